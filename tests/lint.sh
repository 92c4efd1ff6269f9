#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# clang-tidy and cppcheck over src/; not zero when either finds something.
#
#   sh tests/lint.sh BUILD [FOLDER]   BUILD is a configured build folder; FOLDER src, src/solve …
set -eu
cd "$(dirname "$0")/.."

build=${1:?name a configured build folder}
folder=${2:-src}
[ -f "$build/compile_commands.json" ] || {
  echo "lint: no compile_commands.json in $build; configure it first" >&2
  exit 2
}
said=$(mktemp)
trap 'rm -f "$said"' EXIT
status=0

# A process for each file: version 14 carries state from one file into the next. Two at a time.
find "$folder" -name '*.c' | sort | xargs -P 2 -n 1 clang-tidy --quiet -p "$build" >"$said" 2>&1 || status=1
grep -vE '^[0-9]+ warnings? (generated|treated)|^Suppressed|^Use -' "$said" || true

cppcheck --enable=warning,performance,portability --error-exitcode=1 --inline-suppr --quiet --std=c11 \
  -I include -I src --include=tests/lint_macros.h "$folder" || status=1

if [ "$status" -eq 0 ]; then echo "lint: nothing found in $folder"; else echo "lint: see above"; fi
exit "$status"
