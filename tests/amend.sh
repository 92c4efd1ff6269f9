#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# An answer amended, a released job opened again, by the commands.
# Usage: amend.sh PROGRAM TESTS_FOLDER
set -u

program=$1
here=$2/cli
. "$2/shell.sh"

fitwright_help() { run 0 "$1" --help; out_has "$2"; }
fitwright_help amend 'fitwright amend JOB ENTRY --to TEXT --reason TEXT'
fitwright_help reopen 'fitwright reopen JOB --reason TEXT --signer NAME'

# --- a session with amendments in its answers ---
printf '%s\n' 'first: a box' 'way: plain' 'found: 0.40' 'found: 0.42' 'shim' 'seen: rust' 'left: 0.10' \
  '/amend found reading 2 of 2: 0.52 -- read wrongly' 'shim' 'seen: dust' 'left: 0.12' \
  '/amend first: a crate -- misheard' >answers.txt
run 0 begin "$here/amend.lua" --unit pump --who 'B. Hand' --answers answers.txt --trail t.db
out_has 'found (reading 2 of 2): "0.42" becomes "0.52".'
out_has 'These lapse; what still comes up is asked again:'
out_has 'An answer is amended: misheard'
out_has 'The 6 later answers stay.'

# --- what stands, and what an amendment would do ---
printf '%s\n' 'first: a box' 'way: 1' >choice.txt
run 0 begin "$here/amend.lua" --unit pump --who 'B. Hand' --answers choice.txt --trail choice.db
run 0 amend 1 --trail choice.db
out_has '     2  first: a box'
out_has '     3  way: 1 (plain)'
run 0 amend 1 --trail t.db
out_has '    18  first: a crate'
out_has '    11  found (reading 2 of 2): 0.52'
out_lacks 'a box'
before=$(cksum <t.db)
run 0 amend 1 3 --to work --dry-run --trail t.db
out_has 'way: "plain" becomes "work".'
out_has 'seen: dust'
out_has 'Asked next: strip: Strip it again.'
check '[ "$(cksum <t.db)" = "$before" ]'

# --- answers that wait behind a question of words, and lapse when it is answered ---
cat >lid.lua <<'END'
return procedure { title = 'Lid', phases = { 'One' }, run = function()
  phase 'One'
  local way, more = choose { id = 'way', say = 'Which way?', options = { 'plain', 'words' } }, ''
  if way == 'words' then more = note { id = 'more', say = 'Tell more.' } end
  task { id = 'fit', say = 'Fit it. ' .. more }
  note { id = 'seen', say = 'What did you see?' }
  sign { id = 'release', role = 'technician' }
end }
END
printf '%s\n' 'way: plain' 'fit' 'seen: rust' '/amend way: words -- misheard' >lid.txt
run 0 begin lid.lua --unit lid --who 'B. Hand' --answers lid.txt --trail lid.db
out_has '2 of those that stay wait behind what is asked next'
out_lacks 'with that: the work goes another way'
printf '%s\n' 'more: upside down' 'fit' >more.txt
run 0 resume 1 --answers more.txt --trail lid.db
out_has '2 later answers lapse with that: the work goes another way from here.'

# --- refused ---
run 2 amend --trail t.db
run 2 amend one --trail t.db
run 2 amend 1 x --to a --reason b --trail t.db
run 2 amend 1 3 4 --to a --reason b --trail t.db
run 2 amend 1 --to work --trail t.db
run 2 amend 1 3 --reason slip --trail t.db
err_has '--to'
run 2 amend 1 3 --to work --trail t.db
err_has '--reason'
run 3 amend 1 3 --to work --reason slip --trail t.db
err_has 'say --yes'
run 3 amend 1 3 --to up --reason slip --yes --trail t.db
err_has 'none of the choices'
run 3 amend 1 2 --to 'a sack' --reason slip --yes --trail t.db
err_has 'struck out'
run 3 amend 1 4 --to 16 --reason slip --yes --trail t.db
err_has 'say --confirmed'
run 3 amend 1 3 --to wrong --reason slip --yes --trail t.db
err_has 'with that answer the procedure fails: amend.lua:9'
run 3 amend 7 --trail t.db
check '[ "$(cksum <t.db)" = "$before" ]'

# --- done ---
run 0 amend 1 4 --to 16 --confirmed --reason 'it is so' --yes --trail t.db
run 0 back 1 --reason 'it is not' --trail t.db
run 0 amend 1 16 --to '0.13 mm' --reason 'read off the wrong scale' --yes --who 'A. Sample' --trail t.db
out_has 'fitwright resume 1'
check '[ "$(sqlite3 t.db "select who || typed from entry where job = 1 and seq = 23")" = "A. Sample0.13 mm" ]'
printf 'release: R. Example\n' >sign.txt
run 0 resume 1 --answers sign.txt --trail t.db
run 1 audit 1 --trail t.db
out_has "the answer at 'left' was amended from \"0.12\" to \"0.13 mm\""
out_has 'SOUND'
out_lacks 'broken,'

# --- opened again ---
run 3 amend 1 3 --to work --reason slip --yes --trail t.db
err_has 'fitwright reopen'
run 2 reopen 1 --signer 'R. Example' --trail t.db
err_has '--reason'
run 2 reopen 1 --reason 'the figure was wrong' --trail t.db
err_has '--signer'
run 0 reopen 1 --reason 'the figure was wrong' --signer 'R. Example' --trail t.db
out_has 'Job 1 is open again.'
run 3 reopen 1 --reason 'the figure was wrong' --signer 'R. Example' --trail t.db
err_has "isn't released"
run 0 amend 1 15 --to 'dust, dry' --reason 'said so' --yes --trail t.db
run 0 resume 1 --answers sign.txt --trail t.db
out_has 'Job 1 is released'
run 1 audit 1 --trail t.db
out_has 'the released job was opened again by R. Example: the figure was wrong'
check '[ "$(sqlite3 t.db "select count(*) from entry where kind = '"'release'"'")" = 2 ]'
check '[ "$(sqlite3 t.db "select group_concat(value) from reading where job = 1")" = "0.400 mm,0.520 mm,0.130 mm" ]'

# --- a job whose procedure fails on an answer ---
printf '%s\n' 'first: a box' 'way: wrong' 'found: 0.40' 'found: 0.42' >wrong.txt
run 3 begin "$here/amend.lua" --unit pump --who 'B. Hand' --answers wrong.txt --trail t.db
err_has 'fitwright amend 2'
run 3 resume 2 --trail t.db
run 0 amend 2 --trail t.db
out_has 'The procedure fails on what is recorded:'
out_has '     3  way: wrong'
run 0 amend 2 3 --to plain --reason 'slip of the finger' --yes --trail t.db
run 0 resume 2 --trail t.db
out_has 'Fit what makes up for'

# --- a shop whose people have keys ---
printf 'R. Example: correct horse\n' >all
run 0 begin "$here/amend.lua" --unit pump --who 'B. Hand' --answers answers.txt --trail k.db
printf 'correct horse\n' >one
run 0 person add 'R. Example' --role technician --passphrase-file one --trail k.db
run 0 resume 1 --answers sign.txt --passphrases all --trail k.db
run 3 reopen 1 --reason why --signer 'A. Sample' --passphrases all --trail k.db
err_has 'A. Sample'
run 3 reopen 1 --reason why --signer 'R. Example' --trail k.db
err_has 'passphrase'
run 0 reopen 1 --reason why --signer 'R. Example' --passphrases all --trail k.db
run 1 audit 1 --trail k.db
check '[ "$(sqlite3 k.db "select length(json_extract(value, '"'\$.signature'"')) from entry where kind = '"'reopen'"'")" = 128 ]'

finish
