#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The program as it is called: usage, exit statuses, messages, files.
# Usage: cli.sh PROGRAM TESTS_FOLDER
set -u

program=$1
here=$2/cli
. "$2/shell.sh"
esc=$(printf '\033')

# --- help, version, usage ---
run 0 --version
out_has 'fitwright 0.'
silent err
for command in '' begin resume list show audit report back; do
  run 0 $command --help
  out_has 'Usage: fitwright'
  out_has 'Exit status'
  out_has 'Example'
  silent err
  check '[ "$(awk "length > 80" out | wc -l)" -eq 0 ]'
done
run 0 list --he
out_has 'Usage: fitwright list'
run 2
err_has 'fitwright: say which command to run'
run 2 lsit
err_has "did you mean 'list'?"
run 2 frobnicate
err_has "there is no command 'frobnicate'"
run 2 report 1 --fromat=html
err_has "did you mean '--format'?"
run 2 report 1 --format=pdf
err_has "--format takes html, json, text or answers, not 'pdf'"
run 2 report --format
err_has '--format needs a value'
run 2 list --json=yes
err_has '--json takes no value'
run 2 list -x
err_has "no option '-x'"
run 2 --color=sometimes list
err_has '--color takes auto, always or never'
run 2 list extra
run 2 show
err_has 'which job?'
run 2 show 1 2
for number in 0 -1 1x x 99999999999999999999 '' ' 1'; do run 2 show -- "$number"; done
run 2 begin
err_has 'which procedure?'
run 2 begin "$here/bench.lua" --who me
err_has '--unit'
run 2 begin "$here/bench.lua" --unit box
err_has '--who'
run 2 begin "$here/bench.lua" --unit box --who ''
run 2 begin "$here/bench.lua" "$here/bench.lua" --unit box --who me
printf 'evil' >evil
run 2 "${esc}[2Jgone"
err_has '\x1b[2Jgone'

# --- nothing there yet ---
run 3 list
run 3 list --trail none.db
err_has 'none.db'
run 3 resume --trail none.db
check '[ ! -e none.db ]'
run 3 begin missing.lua --unit box --who me --trail t.db
err_has 'missing.lua'
check '[ ! -e t.db ]'
run 3 begin "$here/bench.lua" --sheet missing.lua --unit box --who me --trail new/t.db
err_has 'missing.lua'
check '[ ! -e new ]'
run 3 begin "$here/bench.lua" --sheet "$here/sheet.lua" --unit box --who me --trail u.db --answers missing.txt
err_has 'missing.txt'
check '[ ! -e u.db ]'
printf 'drain\nno step: 1\n' >bad.txt
run 3 begin "$here/bench.lua" --sheet "$here/sheet.lua" --unit box --who me --trail u.db --answers bad.txt
err_has 'bad.txt:2: '
check '[ ! -e u.db ]'

# --- a job ---
begin() { status=$1; shift; run "$status" begin "$here/bench.lua" --sheet "$here/sheet.lua" "$@"; }
printf '# invented\ndrain\nend-float: 0.30\n' >first.txt
begin 0 --trail t.db --unit 'box 1' --who 'R. Example' --answers first.txt
out_has 'As found · 1 of 2'
out_has '!! CAUTION'
out_has 'reading 1 of 2 [mm, 0 to 3] > 0.30'
out_has 'Paused; nothing is lost. 2 answered so far.'
out_has 'fitwright resume 1 --trail t.db'
silent err
out_lacks "$esc"
run 0 list --trail t.db
out_has 'box 1'
out_has 'open'
out_has 'As found'
run 0 --trail t.db list --json
check 'python3 -c "import json; j = json.load(open(\"out\")); assert j[0][\"unit\"] == \"box 1\" and j[0][\"state\"] == \"open\""'

printf 'turns: 1\n' >wrong.txt
run 3 resume --trail t.db --answers wrong.txt
err_has "wrong.txt:1: the job asks 'end-float' (reading 2 of 2), the file answers 'turns'"
err_has 'fitwright resume 1 --trail t.db'
printf 'end-float: 55\n' >slip.txt
run 3 resume 1 --trail t.db --answers slip.txt
err_has 'slip.txt:1: '
err_has "write 'end-float!: 55'"
printf 'end-float: 3 Nm\n' >torque.txt
run 3 resume 1 --trail t.db --answers torque.txt
err_has 'torque.txt:1: '
printf 'end-float: 0.32\n/back read the wrong scale\nend-float: 12 thou\nturns: free\nremark: ratio 3:1\n' >second.txt
run 0 resume --trail t.db --answers second.txt --who 'S. Example'
out_has 'WITHIN'
out_has 'Close up · 2 of 2'
out_has '[full name to sign] >'
run 1 audit 1 --trail t.db
run 2 back 1 --trail t.db
err_has '--reason'
run 0 back 1 --trail t.db --reason 'forgot the rattle'
printf 'remark: ratio 3:1, a rattle\n' >again.txt
run 0 resume --trail t.db --answers again.txt
printf 'release: S. Example\n' >third.txt
printf 'invented words of a test\n' >pass.txt
printf 'S. Example: invented words of a test\nR. Example: others that do not fit\n' >passphrases.txt
chmod 600 pass.txt passphrases.txt
run 0 person add 'S. Example' --role technician --keys keys --passphrase-file pass.txt --trail t.db
run 0 person add 'R. Example' --role inspector --keys keys --passphrase-file pass.txt --trail t.db
printf 'release: R. Example\n' >another.txt
run 3 resume 1 --trail t.db --answers another.txt --keys keys --passphrases passphrases.txt
err_has "doesn't have this role; who may sign as technician: S. Example"
run 3 resume 1 --trail t.db --answers third.txt --keys nowhere --passphrases passphrases.txt
run 3 resume 1 --trail t.db --answers third.txt --keys keys
run 0 resume 1 --trail t.db --answers third.txt --who 'S. Example' --keys keys --passphrases passphrases.txt
out_has 'Who may sign as technician: S. Example.'
out_has 'Job 1 is released'
run 3 resume --trail t.db
err_has 'no job is open'
run 0 resume 1 --trail t.db
out_has 'Job 1 is released'
run 3 resume 1 --trail t.db --answers third.txt
err_has 'third.txt:1: the job asks nothing more'
run 0 list --trail t.db
out_has 'released'
run 3 resume 2 --trail t.db
run 3 back 1 --trail t.db --reason 'too late'

# --- several open, names with blanks, who from the environment ---
mkdir 'a folder'
FITWRIGHT_WHO='R. Example'
export FITWRIGHT_WHO
begin 0 --trail "a folder/it's.db" --unit one
out_has "fitwright resume 1 --trail 'a folder/it'\\''s.db'"
begin 0 --trail "a folder/it's.db" --unit two
run 3 resume --trail "a folder/it's.db"
err_has '2 jobs are open (1, 2)'
begin 0 --unit default
check '[ -f "$HOME/.local/share/fitwright/trail.db" ]'
run 0 list
out_has 'default'
unset FITWRIGHT_WHO

# --- show, report, audit ---
run 0 show 1 --trail t.db
out_has 'box 1'
run 3 show 9 --trail t.db
run 0 report 1 --trail t.db
out_has 'job-1.html'
check '[ -s job-1.html ] && grep -q "</html>" job-1.html'
run 0 report 1 --trail t.db --format=json
check 'python3 -m json.tool job-1.json >/dev/null'
run 0 report 1 --trail t.db --format text --output -
cp out text
run 0 show 1 --trail t.db
check 'cmp -s out text'
printf 'precious' >keep.html
run 3 report 9 --trail t.db --output keep.html
check '[ "$(cat keep.html)" = precious ]'
run 3 report 1 --trail t.db --output no/such/folder.html
run 0 report 1 --trail t.db --output /dev/null
check '[ -c /dev/null ]'
ln -s real.html link.html
printf 'old' >real.html
run 0 report 1 --trail t.db --output link.html
check '[ -L link.html ] && grep -q "</html>" real.html'
check '[ -z "$(ls | grep "html\\.")" ]'
if [ -w /dev/full ]; then
  run 3 report 1 --trail t.db --output /dev/full
fi
# Never over the record, what lies beside it, or another database.
ln t.db hard.html
ln -s t.db soft.html
sqlite3 parts.db 'create table part (name text)'
before=$(cksum <t.db)
others=$(cksum <parts.db)
for target in t.db ./t.db "$work/t.db" hard.html soft.html; do
  run 3 report 1 --trail t.db --output "$target"
  err_has 'this is the record itself'
  err_has '--output'
done
for target in t.db-journal t.db-wal t.db-shm ./t.db-wal parts.db-journal; do
  run 3 report 1 --trail t.db --output "$target"
  err_has "belongs to a database's own files"
  check '[ ! -e "$target" ]'
done
run 3 report 1 --trail t.db --output parts.db --format json
err_has 'this is a database'
check '[ "$before" = "$(cksum <t.db)" ] && [ "$others" = "$(cksum <parts.db)" ] && [ -L soft.html ]'
run 0 audit 1 --trail t.db
run 0 report 1 --trail t.db --output my-journal
rm hard.html soft.html parts.db my-journal
run 0 audit 1 --trail t.db
out_has 'SOUND'
run 0 audit 1 --trail t.db --json
check 'python3 -c "import json; j = json.load(open(\"out\")); assert j[\"broken\"] == 0 and j[\"released\"] is True"'
cp t.db forged.db
python3 - <<'P' || fail 'could not forge the record'
import sqlite3
db = sqlite3.connect("forged.db")
for (name,) in db.execute("select name from sqlite_master where type = 'trigger'").fetchall():
    db.execute(f"drop trigger {name}")
assert db.execute("update entry set typed = '0.29' where kind = 'answer' and typed = '0.30'").rowcount == 1
db.commit()
P
"$program" audit 1 --trail forged.db >out 2>err </dev/null
status=$?
ran='audit of a forged record'
check '[ $status -eq 1 ] || [ $status -eq 3 ]'

# --- a procedure at fault: two ways on, one with the answers so far ---
cat >faulty.lua <<'END'
return procedure { title = "A slip in it", phases = { "One", "Two" }, run = function()
  phase "One"
  task { id = "drain", say = "Drain the oil." }
  sign { id = "opened", role = "technician" }
  phase "Two"
  measure { id = "gap", say = "Read.", unit = mm, gauge = "vernier caliper", readings = 2, plausible = { mm(0), mm(3) } }
  choose { id = "turns", say = "How does it turn?", options = { "free", "tight" } }
  note { id = "remark", say = "Anything to add?" }
  error("a slip")
  note { id = "end", say = "More?" }
end }
END
sed '/a slip/d' faulty.lua >mended.lua
printf 'drain\nopened: R. Example\ngap: 0.2\n/back misread\ngap!: 3.05\ngap: 118 thou\nturns: 2\nremark: ratio 3:1 # ± é\n' >faulty.txt
run 3 begin faulty.lua --unit 'box 3' --who 'R. Example' --trail "it's f.db" --answers faulty.txt
err_has 'a slip'
err_has "if the last answer was wrong: fitwright back 1 --reason TEXT --trail 'it'\\''s f.db'"
err_has "fitwright report 1 --format answers --trail 'it'\\''s f.db'"
err_has '--answers job-1.answers'
run 3 resume --trail "it's f.db"
err_has 'a slip'
err_has 'fitwright back 1 --reason TEXT'
err_has 'fitwright report 1 --format answers'
run 0 report 1 --format answers --trail "it's f.db"
out_has 'job-1.answers'
cp job-1.answers out
out_has '# opened: signed by R. Example; to be signed anew'
out_has 'gap!: 3.05 mm'
out_has 'gap: 118 thou'
out_has 'turns: tight'
out_lacks 'gap: 0.2'
sed '/^# opened/q' job-1.answers >before.txt
sed '1,/^# opened/d' job-1.answers >after.txt
run 3 begin mended.lua --unit 'box 3' --who me --trail m.db --answers job-1.answers
err_has "the job asks 'opened', the file answers 'gap'"
printf 'opened: me\n' >signed.txt
cat before.txt signed.txt after.txt >whole.txt
run 0 begin mended.lua --unit 'box 3' --who me --trail m.db --answers whole.txt
out_has '2 of 2 · 6 answered'
run 0 report 1 --trail "it's f.db" --format json --output one.json
run 0 report 2 --trail m.db --format json --output two.json
run 0 show 2 --trail m.db
out_has 'kept    reading 1 of 2 was kept against a query'
out_has 'A reading was kept though it was queried as implausible'
check 'python3 -c "
import json
def standing(path):
    entries = json.load(open(path))[\"entries\"]
    return [(e[\"step\"], e[\"value\"]) for e in entries if not e[\"struck\"] and e[\"kind\"] in (\"answer\", \"finding\")]
one, two = standing(\"one.json\"), standing(\"two.json\")
assert one == two and len(one) >= 6, (one, two)"'
run 0 begin "$here/bench.lua" --sheet "$here/sheet.lua" --unit 'box 4' --who me --trail r.db --answers first.txt
run 0 report 1 --format answers --trail r.db --output again.txt
run 0 begin "$here/bench.lua" --sheet "$here/sheet.lua" --unit 'box 4' --who me --trail r.db --answers again.txt
out_has 'Paused; nothing is lost. 2 answered so far.'

# --- the audit of a whole record, and of a head on paper ---
run 0 audit --all --trail t.db
out_has 'box 1                     released  sound   broken 0, open 0, notes '
out_has 'Jobs 1: broken 0, with open points 0, sound 1:'
out_has 'SOUND'
cp t.db all.db
begin 0 --trail all.db --unit 'box 2' --who me --answers first.txt
run 1 audit --all --trail all.db
out_has 'Jobs 2: broken 0, with open points 1, sound 1:'
out_has 'SOUND, WITH OPEN POINTS'
run 1 audit --all --json --trail all.db
check 'python3 -c "
import json
file, one, two = json.load(open(\"out\"))
assert [file[\"job\"], one[\"job\"], two[\"job\"]] == [0, 1, 2] and not file[\"broken\"]
assert one[\"released\"] and not one[\"open\"] and two[\"open\"] and two[\"lines\"]"'
cp t.db forged-well.db
python3 - <<'P' || fail 'could not forge the record well'
import hashlib, sqlite3
db = sqlite3.connect("forged-well.db")
triggers = db.execute("select name, sql from sqlite_master where type = 'trigger'").fetchall()
for name, _ in triggers:
    db.execute(f"drop trigger {name}")
assert db.execute("update entry set typed = '0.29' where kind = 'answer' and typed = '0.30'").rowcount == 1
db.execute("insert into source values (?, ?)", (hashlib.blake2b(b"x", digest_size=32).digest(), b"x"))
for _, sql in triggers:
    db.execute(sql)
db.commit()
P
run 1 audit --all --trail forged-well.db
out_has 'broken, the file:'
out_has 'broken, job 1, entry 3:'
out_has 'released  BROKEN  broken '
out_has "THE RECORD CAN'T BE TRUSTED AS IT STANDS"
check '[ "$(awk "length > 80" out | wc -l)" -eq 0 ]'
run 1 audit --all --json --trail forged-well.db
check 'python3 -c "import json; j = json.load(open(\"out\")); assert j[0][\"broken\"] and j[1][\"broken\"]"'
run 2 audit --all 1 --trail t.db
run 2 audit --all --head 00 --trail t.db
run 3 audit --all --trail none.db

run 0 report 1 --trail t.db --format json --output heads.json
set -- $(python3 -c 'import json; e = json.load(open("heads.json"))["entries"]; print(len(e), *(x["hash"] for x in e[-4:]))')
paper=$(echo "$5" | sed 's/......../& /g')
run 0 audit 1 --trail t.db --head "$paper"
out_has 'the head on the paper is that of the job as it stands'
run 0 audit 1 --trail t.db --head="$(echo "$2" | tr a-f A-F)"
out_has "the paper was printed at entry $(($1 - 3)) of $1"
run 1 audit 2 --trail all.db --head "$5"
out_has 'no entry of the job has the head on the paper'
run 1 audit 1 --json --trail t.db --head "$(echo "$5" | tr 0-9 1-90)"
check 'python3 -c "import json; j = json.load(open(\"out\")); assert j[\"broken\"] == 1 and j[\"lines\"][-1][\"weight\"] == \"broken\""'
for head in '' xyz "${5}0" "$(echo "$5" | cut -c1-63)"; do run 2 audit 1 --trail t.db --head "$head"; done
err_has '--head takes the 64 hex digits'

# --- colour ---
run 0 audit 1 --trail t.db --color=always
out_has "$esc[1"
run 0 audit 1 --trail t.db --color=never
out_lacks "$esc"
if command -v script >/dev/null; then
  script -qec "'$program' audit 1 --trail t.db" /dev/null </dev/null >out 2>err
  ran='audit on a terminal'
  out_has "$esc[1"
  NO_COLOR=1 script -qec "'$program' audit 1 --trail t.db" /dev/null </dev/null >out 2>err
  ran='audit on a terminal with NO_COLOR'
  out_lacks "$esc"
  NO_COLOR=1 script -qec "'$program' audit 1 --trail t.db --color=always" /dev/null </dev/null >out 2>err
  out_has "$esc[1"
else
  fail 'the program script (package bsdutils) is missing'
fi

# --- output that can't be written ---
for closed in '>&-' '>/dev/full'; do
  for arguments in '--help' '--version' 'list --trail t.db' 'list --json --trail t.db' 'show 1 --trail t.db' \
    'audit 1 --trail t.db' 'report 1 --trail t.db --output -' 'begin --help'; do
    eval "\"\$program\" $arguments $closed 2>err </dev/null"
    status=$?
    ran="fitwright $arguments $closed"
    : >out
    check '[ $status -eq 3 ]'
    err_has 'fitwright: '
  done
done
before=$("$program" list --trail t.db --json | cksum)
printf 'drain\n' | "$program" begin "$here/bench.lua" --sheet "$here/sheet.lua" --unit full --who me --trail full.db >/dev/full 2>err
status=$?
ran='a session nobody can see'
check '[ $status -eq 3 ]'
run 0 show 1 --trail full.db
out_lacks 'drain'
check '[ "$before" = "$("$program" list --trail t.db --json | cksum)" ]'
{ "$program" show 1 --trail t.db 2>err; echo $? >status; } | true
check '[ "$(cat status)" -eq 0 ] || [ "$(cat status)" -eq 3 ]'
"$program" list --trail t.db <&- >out 2>&-
status=$?
ran='list with standard input and error closed'
check '[ $status -eq 0 ]'
out_has 'box 1'

# --- a signal ends at once what leaves nothing behind; a session says how to go on ---
cat >slow.lua <<'END'
return procedure { title = "Slow", phases = { "One" }, run = function()
  for _ = 1, 15 do
    local n = 0
    for i = 1, 4000000 do n = n + i end
    note { id = "n", say = "On?" }
  end
end }
END
for _ in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15; do echo n; done >slow.txt
"$program" begin slow.lua --unit slow --who me --trail slow.db --answers slow.txt >out 2>err
timeout --preserve-status -s TERM 0.3 "$program" audit 1 --trail slow.db >out 2>err </dev/null
status=$?
ran='a long audit, stopped'
check '[ $status -eq 143 ]'
mkfifo quiet
exec 3<>quiet
"$program" begin "$here/bench.lua" --sheet "$here/sheet.lua" --unit box --who me --trail term.db >out 2>err <&3 &
for _ in $(seq 200); do grep -q '\] >' out && break; sleep 0.05; done
kill -TERM $!
wait $!
status=$?
exec 3>&-
ran='a session, stopped'
check '[ $status -eq 0 ]'
out_has 'nothing is lost'

# --- ASCII where the charset says no more ---
LC_ALL=C "$program" show 1 --trail t.db >out 2>err
LC_ALL=C "$program" begin "$here/bench.lua" --sheet "$here/sheet.lua" --unit 'bo×' --who me --trail c.db </dev/null >out 2>err
ran='begin with LC_ALL=C'
check '[ -z "$(LC_ALL=C tr -d "\\000-\\177" <out)" ]'
out_has 'box'

finish
