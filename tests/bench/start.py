#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""How long a command takes from the start of its process to its end, against one that only says its version.

    tests/bench/start.py PROGRAM [TRAIL]    TRAIL: of many entries, with a job 1
"""
import os
import statistics
import subprocess
import sys
import tempfile
import time

ROUNDS = 41


def once(arguments):
    start = time.perf_counter()
    done = subprocess.run(arguments, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    if done.returncode not in (0, 1):
        sys.exit(f"{arguments}: {done.stderr.decode()}")
    return 1e3 * (time.perf_counter() - start)


def main():
    program = sys.argv[1]
    top = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    with tempfile.TemporaryDirectory() as folder:
        trail = os.path.join(folder, "trail.db")
        once([program, "begin", os.path.join(top, "procedures/shaft-end-float.lua"), "--sheet",
              os.path.join(top, "demo/gearbox.lua"), "--unit", "gearbox (invented)", "--who", "R. Example",
              "--answers", "/dev/null", "--trail", trail])
        commands = [("--version", [program, "--version"])]
        for name, file in [("a small trail", trail)] + [("a large trail", f) for f in sys.argv[2:3]]:
            commands += [(f"{c} in {name}", [program, *c.split(), "--trail", file]) for c in ("list", "show 1")]
        times = {name: [] for name, _ in commands}
        for _ in range(ROUNDS):
            for name, arguments in commands:
                times[name].append(once(arguments))
    bare = statistics.median(times["--version"])
    for name, _ in commands:
        middle = statistics.median(times[name])
        print(f"{name:28} {middle:8.2f} ms from start to end, {middle - bare:8.2f} ms above --version; "
              f"at the least {min(times[name]):.2f} ms")


if __name__ == "__main__":
    main()
