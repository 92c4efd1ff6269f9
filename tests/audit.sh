#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Audits at the command line: cards, excerpts, all jobs several at a time, stopped half way.
# Usage: audit.sh PROGRAM TESTS_FOLDER
set -u

program=$1
here=$2/cli
. "$2/shell.sh"
export FITWRIGHT_WHO='R. Example' FITWRIGHT_KEYS="$work/keys"

# --- a shop of two with keys, and one signed job ---
printf 'an invented passphrase\n' >one
printf 'R. Example: an invented passphrase\nA. Sample: an invented passphrase\n' >all
chmod 600 one all
run 0 person add 'R. Example' --role technician --passphrase-file one --trail t.db
run 0 person add 'A. Sample' --role inspector --passphrase-file one --trail t.db
printf 'cover\nlook: A. Sample\nclose\nrelease: R. Example\n' >answers
run 0 begin "$here/people.lua" --unit 'box 1' --answers answers --passphrases all --trail t.db
mkdir cards false
run 0 person card 'R. Example' --passphrase-file one --output cards/r.card --trail t.db
run 0 person card 'A. Sample' --passphrase-file one --output cards/a.card --trail t.db

run 0 audit 1 --trail t.db
out_has 'Signatures 2, by key 2; holds 1; concessions 0.'
run 0 audit 1 --card cards --trail t.db
out_lacks 'no card'
run 0 audit 1 --card cards/r.card --card cards/a.card --trail t.db
run 1 audit 1 --card cards/r.card --trail t.db
out_has 'no card was given for this name'
run 0 audit 1 --json --card cards --trail t.db
check 'python3 -c "
import json
j = json.load(open(\"out\"))
assert (j[\"signatures\"], j[\"keyed\"], j[\"holds\"], j[\"concessions\"]) == (2, 2, 1, 0), j"'

# --- the one job of a file needs no number; an excerpt is audited by itself ---
run 0 audit --card cards --trail t.db
out_has 'Job 1, released'
run 0 begin "$here/people.lua" --unit 'box 2' --answers answers --passphrases all --trail t.db
run 3 audit --trail t.db
err_has 'there are several jobs in the record: name one, or --all'
run 0 export 2 --output two.db --trail t.db
run 0 audit --card cards --trail two.db
out_has 'Job 2, released'
run 0 audit --all --card cards --trail two.db
out_has 'Jobs 1: broken 0, with open points 0, sound 1:'
run 2 audit

# --- another shop's people of the same names: only their cards tell ---
FITWRIGHT_KEYS="$work/other-keys"
run 0 person add 'R. Example' --role technician --passphrase-file one --trail false.db
run 0 person add 'A. Sample' --role inspector --passphrase-file one --trail false.db
run 0 begin "$here/people.lua" --unit 'box 1' --answers answers --passphrases all --trail false.db
run 0 audit 1 --trail false.db
run 1 audit 1 --card cards --trail false.db
out_has 'by another key than that of'
out_has "THE RECORD CAN'T BE TRUSTED AS IT STANDS"
run 1 audit --all --card cards --trail false.db
out_has 'broken, job 1, entry'
FITWRIGHT_KEYS="$work/keys"

# --- cards that are none ---
run 3 audit 1 --card missing.card --trail t.db
run 3 audit 1 --card one --trail t.db
err_has 'one'
run 3 audit 1 --card false --trail t.db
err_has 'there is no card in it'
printf 'nothing\n' >false/x.card
run 3 audit 1 --card false --trail t.db
err_has 'x.card'

# --- all of them, the same for any number of threads ---
for n in 3 4 5 6 7 8 9; do
  run 0 begin "$here/people.lua" --unit "box $n" --answers answers --passphrases all --trail t.db
done
run 0 audit --all --card cards --threads 1 --trail t.db
cp out first
out_has 'Signatures 18, by key 18; holds 9; concessions 0.'
out_has 'Jobs 9: broken 0, with open points 0, sound 9:'
for threads in 2 3 16; do
  run 0 audit --all --card cards --threads $threads --trail t.db
  check 'cmp -s out first'
done
run 0 audit --all --card cards --trail t.db
check 'cmp -s out first'
run 0 audit --all --json --threads 1 --trail t.db
cp out first
run 0 audit --all --json --threads 4 --trail t.db
check 'cmp -s out first'
check 'python3 -c "
import json
j = json.load(open(\"out\"))
assert [x[\"job\"] for x in j] == list(range(10)) and all(x[\"keyed\"] == 2 for x in j[1:])"'
for threads in 0 -1 x 1000; do run 2 audit --all --threads=$threads --trail t.db; done
run 2 audit 1 --threads 2 --trail t.db
err_has '--threads goes with --all'

# --- progress on a terminal alone; stopped by ctrl-C, what was found is told ---
run 0 audit --all --trail t.db
check '! grep -q audited err'
if command -v script >/dev/null; then
  script -qec "'$program' audit --all --trail t.db" /dev/null </dev/null >out 2>err
  ran='audit --all on a terminal'
  out_has 'Jobs 9: broken 0'
fi
cat >slow.lua <<'END'
return procedure { title = "Slow", phases = { "One" }, run = function()
  for _ = 1, 8 do
    local n = 0
    for i = 1, 4000000 do n = n + i end
    note { id = "n", say = "On?" }
  end
end }
END
for _ in 1 2 3 4 5 6 7 8; do echo n; done >slow.txt
for n in 1 2 3 4; do "$program" begin slow.lua --unit slow --answers slow.txt --trail slow.db >out 2>err; done
timeout --preserve-status -s INT 0.6 "$program" audit --all --threads 1 --trail slow.db >out 2>err </dev/null
status=$?
ran='an audit of all, stopped'
case $status in
3) out_has "THE AUDIT ISN'T COMPLETE"; err_has 'of 4 jobs were audited' ;;
1 | 130) ;; # done already, or not begun yet: on a machine that is quick, or has other work
*) fail "an audit of all was stopped, status $status" ;;
esac

finish
