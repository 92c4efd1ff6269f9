# SPDX-License-Identifier: GPL-3.0-or-later
# What the tests of the commands share; read by `. shell.sh` with $program set. A folder of its own is made and entered.
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 1' INT TERM
cd "$work" || exit 1

unset FITWRIGHT_WHO FITWRIGHT_KEYS NO_COLOR XDG_DATA_HOME
export HOME="$work/home" LC_ALL=C.UTF-8 TERM=xterm
umask 022
usual= # options of every run
failures=0
passed=0

pass() { passed=$((passed + 1)); }
fail() {
  echo "FAILED: $*" >&2
  sed 's/^/  out: /' out >&2
  sed 's/^/  err: /' err >&2
  failures=$((failures + 1))
}

# run STATUS ARGUMENT...: the program without a terminal, with its output in out and err
run() {
  wanted=$1
  shift
  setsid -w "$program" $usual "$@" >out 2>err </dev/null
  got=$?
  ran="fitwright $*"
  if [ $got -eq "$wanted" ]; then pass; else fail "status $got, wanted $wanted: $ran"; fi
}
out_has() { if grep -qF -- "$1" out; then pass; else fail "no '$1' on standard output: $ran"; fi; }
out_lacks() { if grep -qF -- "$1" out; then fail "'$1' on standard output: $ran"; else pass; fi; }
err_has() { if grep -qF -- "$1" err; then pass; else fail "no '$1' on standard error: $ran"; fi; }
silent() { if [ -s "$1" ]; then fail "$1 is not empty: $ran"; else pass; fi; }
check() { if eval "$1"; then pass; else fail "$1"; fi; }

# Says how it went; the last line of a test.
finish() {
  echo "$passed passed, $failures failed"
  [ "$failures" -eq 0 ]
}
