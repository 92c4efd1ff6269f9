#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Gauges at the command line and in a session: register, list, take a reading, find one bad, trace it.
# Usage: gauge.sh PROGRAM TESTS_FOLDER
set -u

program=$1
here=$2/cli
. "$2/shell.sh"
export FITWRIGHT_WHO='R. Example'
usual="--trail t.db"
narrow() { check 'python3 -c "assert max(len(line.rstrip()) for line in open(\"out\", encoding=\"utf-8\")) <= 80"'; }
# sql QUERY: what SQLite reads in the file
sql() { python3 -c 'import sqlite3, sys; [print(*row) for row in sqlite3.connect("t.db").execute(sys.argv[1])]' "$1"; }

# --- usage ---
run 0 gauge --help
out_has 'Usage: fitwright gauge add'
out_has 'Exit status'
narrow
run 2 gauge
err_has 'add, calibrated, bad, retire, uses, list, typical'
run 2 gauge ad
err_has "did you mean 'add'?"
run 2 gauge add DI-2
err_has 'gauge add needs --kind'
run 2 gauge add --kind 'dial indicator'
err_has 'which gauge?'
run 2 gauge add DI-2 DI-3 --kind 'dial indicator'
err_has "'DI-3' is too much"
run 2 gauge list DI-2
run 2 gauge list --kind x
err_has 'gauge list takes no --kind'
run 2 gauge bad DI-2 --from 2026-03-01
err_has 'gauge bad needs --reason'
FITWRIGHT_WHO= run 2 gauge add DI-2 --kind 'dial indicator'
err_has 'who records it?'
check '[ ! -e t.db ]'

# --- add and list ---
run 0 gauge typical
out_has 'micrometer               0.01 mm, error 0.004 mm'
out_has 'inch-pound dial wrench   0.5 lbf·in, error 4 % of the reading'
out_has 'common practice, no source'
narrow
run 0 gauge typical --json
check 'python3 -c "
import json
list = json.load(open(\"out\"))
assert len(list) >= 30 and all(g[\"source\"].startswith(\"common practice\") for g in list)
assert [g for g in list if g[\"kind\"] == \"dial indicator\"][0][\"resolution_si\"] == 1e-05"'
run 0 gauge add DI-2 --kind 'dial indicator' --resolution 0.01mm --error 0.02mm --calibrated 2026-03-01 \
  --due 2099-03-01 --source 'certificate 118/26, invented'
out_has 'DI-2, dial indicator: 0.01 mm, error 0.02 mm, calibrated 2026-03-01, due 2099-03-01.'
run 0 gauge add DI-1 --kind 'Dial Indicator' --calibrated 2020-03-01 --due 2020-09-01
run 0 gauge add TW-1 --kind 'torque wrench' --resolution 0.5Nm --error 4%
run 0 gauge add TI-1 --kind 'thou dial indicator' --resolution '1 thou' --error 0.0005in
run 0 gauge list
out_has 'DI-1   Dial Indicator'
out_has 'overdue since 2020-09-02'
out_has '0.5 N·m   4 %'
out_has '1 thou    0.5 thou'
narrow
LC_ALL=C run 0 gauge list
check '! LC_ALL=C grep -q "[^ -~]" out'
run 0 gauge list --json
check 'python3 -c "
import json
by = {g[\"id\"]: g for g in json.load(open(\"out\"))}
assert by[\"DI-1\"][\"state\"] == \"overdue\" and by[\"DI-2\"][\"state\"] == \"usable\"
assert by[\"TW-1\"][\"relative\"] == 0.04 and by[\"TW-1\"][\"error_si\"] == 0 and by[\"TW-1\"][\"due\"] is None
assert by[\"DI-1\"][\"source\"].startswith(\"common practice\") and by[\"DI-2\"][\"error_si\"] == 2e-05"'
check '[ "$(sql "select count(*) from entry where job = 0 and kind = '"'gauge'"'")" = 4 ]'

run 3 gauge add di-2 --kind 'dial indicator'
err_has 'for a new calibration'
run 3 gauge add X --kind laser
err_has '--resolution and --error are needed'
run 3 gauge add X --kind 'dial indicator' --resolution 1Nm
err_has "a dial indicator doesn't read that"
run 3 gauge add X --kind 'dial indicator' --resolution 0.01mm --error 1Nm
err_has 'same kind as the resolution'
run 3 gauge add X --kind thermometer --resolution '1 °C' --error '1 °C'
err_has 'write it in K'
run 3 gauge add X --kind 'dial indicator' --due 2026-02-30
err_has "due '2026-02-30'"
run 3 gauge add X --kind 'dial indicator' --calibrated 2026-03-01 --due 2026-02-28
err_has 'lies before the calibration'
run 3 gauge calibrated X --calibrated 2026-03-01
err_has "no gauge 'X' is registered"
run 3 gauge calibrated DI-1 --calibrated 2026-03-02
err_has '--due none'
check '[ "$(sql "select count(*) from entry where job = 0 and kind = '"'gauge'"'")" = 4 ]'
run 0 gauge calibrated di-1 --calibrated 2026-03-02 --due 2099-03-01 --error 0.01mm
out_has 'DI-1, Dial Indicator: 0.01 mm, error 0.01 mm, calibrated 2026-03-02'

# --- a reading ---
cat >p.lua <<'P'
return procedure { title = "Float", phases = { "Fit" }, run = function()
  local float = limits { min = mm(0.1), max = mm(0.5), source = owner "invented" }
  phase "Fit"
  local a = measure { id = "float", say = "Read.", unit = mm, gauge = "dial indicator", readings = 2, limits = float }
  check { id = "as-left", name = "end float", value = a, limits = float }
end }
P
printf 'float: 0.3\n' >one.txt
run 3 begin p.lua --unit 'gearbox 1' --answers one.txt
err_has 'one.txt:1: say which: /gauge DI-1 or /gauge DI-2, or /gauge none'
printf '/gauge\n' >none.txt
run 3 resume 1 --answers none.txt
err_has 'none.txt:1: /gauge needs'
printf '/gauge DI-9\n' >wrong.txt
run 3 resume 1 --answers wrong.txt
err_has "wrong.txt:1: no gauge 'DI-9' is registered; there is /gauge DI-1"
printf '/gauge di-2\nfloat: 0.3\n/gauge DI-1\n' >change.txt
run 3 resume 1 --answers change.txt
out_has 'DI-2 dial indicator, 0.01 mm, error 0.02 mm, due 2099-03-01'
err_has 'change.txt:3: this measurement began with DI-2'
printf 'float: 0.31\n' >two.txt
run 0 resume 1 --answers two.txt
out_has 'mean of 2 readings, dial indicator DI-2'
out_has 'WITHIN'
check '[ "$(sql "select value ->> '"'\$.gauge.id'"' from entry where job = 1 and kind = '"'answer'"'" | sort -u)" = DI-2 ]'
run 0 begin p.lua --unit 'gearbox 2' --answers - # nothing is answered
run 0 gauge uses DI-1
out_has 'DI-1 took no reading.'

# --- found bad, years later ---
run 0 gauge bad DI-2 --from 2026-03-01 --reason 'worn spindle'
out_has 'fitwright gauge uses DI-2 --from 2026-03-01'
run 0 gauge list
out_has 'found bad from 2026-03-01 on'
run 1 gauge uses DI-2 --from 2026-03-01
out_has 'job 1, released: gearbox 1'
out_has 'float, reading 1 of 2: 0.3, R. Example'
out_has 'check end float: within'
out_has '2 readings in 1 job, 1 of them released; 1 check rests on them.'
out_lacks 'gearbox 2'
narrow
run 1 gauge uses di-2 --json
check 'python3 -c "
import json
uses = json.load(open(\"out\"))
assert [r[\"typed\"] for r in uses[\"readings\"]] == [\"0.3\", \"0.31\"] and uses[\"readings\"][0][\"released\"]
assert [(c[\"name\"], c[\"verdict\"]) for c in uses[\"checks\"]] == [(\"end float\", \"within\")]"'
run 0 gauge uses DI-2 --from 2099-01-01
out_has 'DI-2 took no reading from 2099-01-01 on.'
run 3 gauge uses DI-2 --from tomorrow
run 3 gauge uses DI-9
run 1 audit 1
out_has 'gauge DI-2 was found bad from 2026-03-01 on (worn spindle); 2 readings were'
run 0 gauge retire DI-2 --reason scrapped
run 0 gauge list
out_has 'retired on 20'
run 3 gauge calibrated DI-2 --calibrated 2026-03-02 --due none
err_has 'give another gauge another number'

# --- at the prompt: with DI-2 gone, DI-1 is the only one ---
printf '/gauge\n/gauge DI-7\n/gauge none\n/gauge di-1\n?\n/pause\n' >typed
"$program" --trail t.db resume 2 <typed >out 2>err
ran='a session'
out_has 'DI-1 Dial Indicator, 0.01 mm, error 0.01 mm, due 2099-03-01'
out_has 'DI-1  0.01 mm, error 0.01 mm, due 2099-03-01, in use'
out_has "no gauge 'DI-7' is registered"
out_has 'figures are used'
out_has '/gauge   choose a gauge of the shop'
narrow

finish
