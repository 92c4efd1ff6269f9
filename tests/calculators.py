#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Every bench calculator as its help shows it: the example works, in words and as JSON, and fits a screen.

    tests/calculators.py PROGRAM
"""
import json
import os
import subprocess
import sys

import fuzz

COLUMNS = 80


def run(program, *arguments):
    return subprocess.run([program, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8",
                          timeout=60)


def complain(name, what):
    print(f"{name}: {what}")
    return 1


def check_text(name, what, text):
    failed = 0
    for line in text.splitlines():
        if len(line) > COLUMNS and not line.startswith("  fitwright "):
            failed += complain(name, f"{what}: {len(line)} columns: {line}")
    return failed


def check(program, calculator):
    name, failed = calculator.name, 0
    text = run(program, name, "--help")
    failed += check_text(name, "help", text.stdout)
    if text.returncode != 0 or not calculator.example:
        return failed + complain(name, f"help: status {text.returncode}, example {calculator.example}")
    text = run(program, name, *calculator.example)
    if text.returncode not in (0, 1) or text.stderr:
        return failed + complain(name, f"example: status {text.returncode}: {text.stderr}")
    failed += check_text(name, "example", text.stdout)
    for part in ("Working", "Results", "Source"):
        if f"\n{part}\n" not in "\n" + text.stdout:
            failed += complain(name, f"example: no part '{part}'")
    if (text.returncode == 1) != ("\nBeware: " in text.stdout):
        failed += complain(name, f"status {text.returncode}, and the words say otherwise")
    answer = json.loads(run(program, name, *calculator.example, "--json").stdout)
    if answer["calculator"] != name or not answer["results"] or not answer["working"] or not answer["inputs"]:
        failed += complain(name, "JSON with something missing")
    done = run(program, name)
    if done.returncode != 2 or "is missing" not in done.stderr:
        failed += complain(name, f"without inputs: status {done.returncode}: {done.stderr}")
    return failed


def main():
    program = os.path.abspath(sys.argv[1])
    found = fuzz.calculators(program)
    failed = sum(check(program, calculator) for calculator in found)
    print(f"{len(found)} calculators, {failed} complaints")
    if len(found) < 20:
        sys.exit("calculators are missing from --help")
    sys.exit(failed > 0)


if __name__ == "__main__":
    main()
