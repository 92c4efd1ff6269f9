#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# A session at a real terminal (tmux): line editing, ctrl-C, ctrl-D, UTF-8, the width of the window.
# Usage: terminal.sh SESSION_PROGRAM FITWRIGHT TESTS_FOLDER
set -u

program=$1
fitwright=$2
here=$3/cli
work=$(mktemp -d) || exit 1
socket=fitwright-test-$$-0
count=0
failures=0
unset TMUX

command -v tmux >/dev/null || { echo "terminal.sh: tmux is missing, install it" >&2; exit 1; }

tmux_() { tmux -L "$socket" -f /dev/null "$@"; }
trap 'tmux_ kill-server 2>/dev/null; rm -rf "$work"' EXIT
trap 'exit 1' INT TERM

# A server of its own for each window: one that is ending would take the next window with it.
fresh() {
  tmux_ kill-server 2>/dev/null
  count=$((count + 1))
  socket=fitwright-test-$$-$count
}

# start COLUMNS CHARSET: a fresh window with a shell that says when the program has ended
start() {
  fresh
  tmux_ -u new-session -d -x "$1" -y 50 \
    "env LC_ALL=$2 TERM=screen sh -c 'trap : INT; \"$program\"; stty -a | grep -q \" icanon\" && echo tty-restored; echo over; sleep 60'"
}

screen() { tmux_ capture-pane -p -S -200 2>/dev/null; }

# await TEXT: until it stands on the screen; a failure after ten seconds
await() {
  tries=100
  while [ $tries -gt 0 ]; do
    if screen | grep -qF -- "$1"; then return 0; fi
    sleep 0.1
    tries=$((tries - 1))
  done
  echo "FAILED: $test: no '$1' on the screen:" >&2
  screen >&2
  failures=$((failures + 1))
  return 1
}

never() {
  if screen | grep -qF -- "$1"; then
    echo "FAILED: $test: '$1' is on the screen:" >&2
    screen >&2
    failures=$((failures + 1))
  fi
}

key() { tmux_ send-keys "$@"; }
words() { tmux_ send-keys -l -- "$1"; }

test="a whole session with editing"
start 80 C.UTF-8
await 'end float [mm, 0 to 3] >'
words '0.24'; key BSpace; words '3'; key Enter
await 'WITHIN, 0.070 mm inside the nearer limit'
await '├'
await 'remark [words] >'
words 'Prüfung 3 µm'; key Left Left; words 'x'; key BSpace Enter
await '1   5   3   7  |   2   6   4   8'
key Enter
await 'full name to sign'
words 'R. Example'; key Enter
await 'over'
await 'recorded <0.23>'
await 'recorded <Prüfung 3 µm>'
await 'recorded <R. Example>'
await 'tty-restored'
await 'code 0'

test="ctrl-C leaves"
start 80 C
await 'end float [mm, 0 to 3] >'
words '0.2'; key C-c
await 'Paused; nothing is lost. 0 answered so far.'
await 'fitwright resume 7'
await 'tty-restored'
never 'recorded'

test="ctrl-D leaves"
start 80 C
await 'end float [mm, 0 to 3] >'
key C-d
await 'Paused; nothing is lost.'
await 'tty-restored'

test="implausible, help, back"
start 80 C
await 'end float [mm, 0 to 3] >'
words '55'; key Enter
await 'Enter it again to keep it, or correct it:'
words '?'; key Enter
await 'At any prompt'
words '55'; key Enter
await 'remark [words] >'
words '/back'; key Enter
await 'reason, or Enter to leave it >'
words 'misread'; key Enter
await 'answered'
words '0.3'; key Enter
await 'remark [words] >'
words '/pause'; key Enter
await 'recorded <0.3>'
never 'confirmed'

test="a paste confirms nothing unread"
start 80 C
await 'end float [mm, 0 to 3] >'
tmux_ set-buffer -- "$(printf '55\n55\n55\n_')"
tmux_ paste-buffer
await 'Enter it again to keep it, or correct it:'
sleep 0.5
never 'remark [words] >'
key C-d
await 'over'
never 'recorded <55>'

test="plain ASCII without a UTF-8 charset"
start 80 C
await '!! CAUTION'
words '0.23'; key Enter
await '(---o---)'
never '●'

test="letters beyond ASCII are typed in any charset"
start 80 C
await 'end float [mm, 0 to 3] >'
words '0.2'; key Enter
await 'remark [words] >'
words 'Prüfung'; key Enter
await 'Enter when done'
key C-d
await 'recorded <Prüfung>'

test="a narrow window"
start 44 C.UTF-8
await 'end float [mm, 0 to 3] >'
words '0.23'; key Enter
await 'WITHIN'
await 'max 0.300 mm'

test="stopped and continued (ctrl-Z)"
fresh
tmux_ -u new-session -d -x 80 -y 50 "env LC_ALL=C.UTF-8 TERM=screen bash --norc --noprofile -i"
words "PS1='shell# '"; key Enter
await 'shell#'
words "'$program'"; key Enter
await 'end float [mm, 0 to 3] >'
words '0.2'
await '] > 0.2'
key C-z
await 'Stopped'
words 'clear; fg'; key Enter
await '] > 0.2'
words '3'; key BSpace; words '7'; key Enter
await 'remark [words] >'
key C-d
await 'recorded <0.27>'

test="ctrl-C at any moment"
for delay in 0 0 0 0 0.01 0.02 0.03 0.05; do
  start 80 C
  await 'end float [mm, 0 to 3] >'
  words '0.2'; [ $delay = 0 ] || sleep $delay; key C-c
  await 'nothing is lost'
done

test="the program itself: ctrl-C, then on from there"
fresh
tmux_ -u new-session -d -x 80 -y 50 "cd '$work' && env LC_ALL=C.UTF-8 TERM=screen sh -c 'trap : INT; PS1=\"shell# \" exec sh -i'"
await 'shell#'
words "'$fitwright' begin '$here/bench.lua' --sheet '$here/sheet.lua' --unit box --who me --trail t.db"; key Enter
await '[Enter when done] >'
key Enter
await 'reading 1 of 2 [mm, 0 to 3] >'
words '12 thou'; key Enter
await 'reading 2 of 2 [mm, 0 to 3] >'
words '0.'
await '2 of 2 [mm, 0 to 3] > 0.'
key C-c
await 'fitwright resume 1 --trail t.db'
words "clear; '$fitwright' resume --trail t.db; echo status \$?"; key Enter
await '1 of 2 · 2 answered'
await 'reading 2 of 2 [mm, 0 to 3] >'
words '0.31'; key Enter
await 'WITHIN'
await '[1 to 2] >'
key C-d
await 'status 0'

if [ $failures -gt 0 ]; then
  echo "$failures failed" >&2
  exit 1
fi
echo "all passed"
