#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# People, keys and cards by the commands: a shop of one person, of two, keys lost and mistyped passphrases.
# Usage: people.sh PROGRAM TESTS_FOLDER
set -u

program=$1
here=$2/cli
. "$2/shell.sh"
json() { python3 -c "import json,sys; d=json.load(open('out')); print($1)"; }

printf 'correct horse\n' >one
printf 'R. Example: correct horse\n# a remark\n a. sample : battery staple\n' >all
printf 'battery staple\r\nnot this line\n' >two
chmod 600 one two all

# --- usage ---
for command in person shop; do
  run 0 $command --help
  out_has 'Usage: fitwright'
  out_has 'Exit status'
  check '[ "$(awk "length > 80" out | wc -l)" -eq 0 ]'
done
run 2 person
run 2 person ad X
err_has "did you mean 'add'?"
run 2 person add
err_has 'whom?'
run 2 person add 'R. Example'
err_has '--role'
run 2 person add R. Example --role technician
err_has 'in quotes'
run 2 person list --role technician
err_has "'person list' takes no --role"
run 2 person retire 'R. Example'
err_has '--reason'
run 2 person replace 'R. Example'
err_has '--reason'
run 2 shop --alone maybe
err_has 'yes or no'

# --- who leaves before there is a key leaves nothing behind ---
run 3 person add 'R. Example' --role technician
err_has 'no terminal'
run 3 person add 'R. Example' --role technician --passphrase-file missing
err_has 'missing'
printf 'short\n' >short
chmod 600 short
run 3 person add 'R. Example' --role technician --passphrase-file short
err_has 'fewer than 8'
run 3 person add "R.$(printf '\033')[2J" --role technician --passphrase-file one
check '[ ! -e home ]'

# --- a shop of one person: two commands, as docs/people.md shows them ---
before=$(date +%s)
run 0 person add 'R. Example' --role technician --role inspector --passphrase-file one
silent err
out_has 'R. Example is recorded as technician, inspector; with this key'
out_has 'This is the only person with a key, so nothing here is independent yet'
out_has 'Nobody can sign as concession yet.'
out_has 'fitwright shop --alone yes'
out_has 'fitwright person add NAME --role inspector'
run 0 shop --alone yes
out_has 'yes: signatures at holds and concessions are not independent'
run 0 gauge add DI-1 --kind 'dial indicator'
check '[ "$(sqlite3 home/.local/share/fitwright/trail.db "select who from entry where job = 0 and kind = '"'gauge'"'")" = "R. Example" ]'
check '[ $(($(date +%s) - before)) -lt 60 ]'
keys=home/.local/share/fitwright/keys
check '[ "$(stat -c %a $keys)" = 700 ]'
check '[ "$(stat -c %a $keys/r-example.key)" = 600 ]'
check '! grep -q correct $keys/r-example.key'

run 0 shop --json
check '[ "$(json "d[\"alone\"], d[\"keys\"], d[\"format\"], len(d[\"shop\"])")" = "True True 2 32" ]'
run 0 person list --json
check '[ "$(json "d[0][\"name\"], d[0][\"roles\"], d[0][\"state\"], d[0][\"proven\"]")" = "R. Example ['"'technician', 'inspector'"'] in use True" ]'
run 3 person add 'r. example' --role technician --passphrase-file one
err_has 'R. Example has a key already'
check '[ "$(ls $keys | wc -l)" -eq 1 ]'

# --- a job in it ---
printf 'cover\nlook: R. Example\nclose\nrelease: r. example\n' >answers
begin() { status=$1; shift; run "$status" begin "$here/people.lua" --unit 'box 1' --who 'R. Example' "$@"; }
begin 3 --answers answers
err_has 'there is no terminal to ask for the passphrase at'
err_has '--passphrases'
printf 'R. Example: wrong horse\n' >wrong
chmod 600 wrong
printf 'look: R. Example\nclose\nrelease: R. Example\n' >rest
run 3 resume 1 --answers rest --passphrases wrong
err_has 'wrong:1: '
err_has "doesn't fit"
printf 'S. Nobody: correct horse\n' >nobody
run 3 resume 1 --answers rest --passphrases nobody
err_has 'others may read or change the passphrases in nobody: chmod 600 nobody'
err_has "no line 'R. Example: …'"
run 3 resume 1 --answers rest --passphrases all --keys elsewhere
err_has "the key of R. Example isn't in elsewhere"
check '[ "$(sqlite3 home/.local/share/fitwright/trail.db "select count(*) from entry where job = 1 and kind = '"'sign'"'")" -eq 0 ]'
run 0 resume 1 --answers rest --passphrases all
out_has 'is released'
out_lacks 'correct horse'
check '[ "$(sqlite3 home/.local/share/fitwright/trail.db "select group_concat(value ->> '"'\$.independent'"') from entry where job = 1 and kind = '"'sign'"' and step = '"'look'"'")" = 0 ]'
run 0 show 1
out_lacks 'correct horse'

# Answers down a pipe: nobody is asked.
printf 'cover\nlook: R. Example\n' | setsid -w "$program" begin "$here/people.lua" --unit 'box 2' --who 'R. Example' --answers - >out 2>err
check '[ $? -eq 3 ]'
err_has 'there is no terminal to ask for the passphrase at'

# --- a second person ends it ---
run 0 person add 'A. Sample' --role inspector --passphrases all --who 'R. Example'
out_has "The shop isn't one person any more"
out_lacks 'only person'
run 3 shop --alone yes --who 'R. Example'
err_has '2 people have a key in use'
run 2 gauge retire DI-1 --reason 'dropped'
err_has 'who records it?'
run 0 shop --json
check '[ "$(json "d[\"alone\"]")" = False ]'
run 3 resume 2 --answers rest --passphrases all
err_has 'hold'
sed 's/look: R. Example/look: a. sample/' rest >by-another
run 0 resume 2 --answers by-another --passphrases all
check '[ "$(sqlite3 home/.local/share/fitwright/trail.db "select group_concat(value ->> '"'\$.independent'"') from entry where job = 2 and kind = '"'sign'"' and step = '"'look'"'")" = 1 ]'

# --- a passphrase is lost, a person leaves ---
run 0 person replace 'A. Sample' --reason 'passphrase forgotten' --passphrase-file one --who 'R. Example'
out_has 'with a new key'
check '[ -e $keys/a-sample.key ] && [ -e $keys/a-sample-2.key ]'
run 3 person card 'A. Sample' --passphrase-file two
err_has 'a-sample-2.key'
run 0 person card 'A. Sample' --passphrase-file one --output a.card
check 'grep -q "^name: A. Sample$" a.card'
run 0 person retire 'A. Sample' --reason 'has left the shop' --who 'R. Example'
run 3 person retire 'A. Sample' --reason 'has left the shop' --who 'R. Example'
run 0 person list
out_has 'replaced'
out_has 'retired'
out_lacks "don't rely on it"
run 3 person card 'A. Sample' --passphrase-file one
run 3 person card 'R. Example' --passphrase-file one --output home/.local/share/fitwright/trail.db
begin 3 --answers by-another --passphrases all
printf 'cover\nlook: A. Sample\n' >gone
begin 3 --answers gone --passphrases all
err_has "A. Sample"

# --- the same key in a second trail ---
run 0 person add 'R. Example' --role technician --key $keys/r-example.key --passphrase-file one --trail second.db
check '[ "$(ls $keys | wc -l)" -eq 3 ]'
run 0 person card 'R. Example' --passphrase-file one --trail second.db
mv out there
run 0 person card 'R. Example' --passphrase-file one
check 'cmp -s out there'

# --- a name that nobody with a key has is pointed out ---
run 0 begin "$here/people.lua" --unit 'box 2' --who 'R. Exampel' --answers /dev/null --trail second.db
err_has "'R. Exampel' has no key in this shop"
out_has 'At the bench: R. Exampel'
run 0 resume 1 --who 'R. Example' --answers /dev/null --trail second.db
silent err

# --- a trail that only a reader has; and none ---
run 3 shop --trail none.db
check '[ ! -e none.db ]'
run 1 audit --all # open jobs, and a hold that isn't independent
out_has 'Jobs 4: broken 0'

finish
