# SPDX-License-Identifier: GPL-3.0-or-later
"""Several shimmed places: bench_together against glpsol (GLPK) on the same cases, in the same run.

    python3 tests/bench/together.py build/tests/bench/bench_together [cases]

Three places, 20 sizes, up to 4 of each at hand, at most 4 shims a place, three responses that every
place moves; fewest shims with which all responses lie in limits of a given width, everything being
known outright. glpsol has 60 s a case. Prints processor times and their ratio; ends with status 1
where the answers differ.
"""
import os
import re
import resource
import subprocess
import sys
import tempfile

LIMIT = 60


def glpsol(path, folder):
    """Seconds, and the fewest shims; None: none serve; 'limit'."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    solution = os.path.join(folder, "out.sol")
    subprocess.run(["glpsol", "--lp", path, "--tmlim", str(LIMIT), "-w", solution], check=True,
                   stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    took = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    with open(solution) as lines:
        status, goal = re.search(r"^s mip \d+ \d+ (\w) (\S+)", lines.read(), re.M).groups()
    return took, {"o": round(float(goal)), "n": None}.get(status, "limit")


def ours(program, number, width, path):
    with open(path, "w") as lp:
        run = subprocess.run([program, "lp", str(number), str(width)], check=True, stdout=lp,
                             stderr=subprocess.PIPE, text=True)
    end, shims, took = run.stderr.split()
    return float(took), int(shims) if end == "shims" else None


def main():
    program, cases = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 5
    differ = 0
    print("width  cases  ours: mean, worst  glpsol: mean, worst  out of time  ratio of means")
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "case.lp")
        for width in (1000, 100, 20, 10, 4, 2, 1):
            mine, theirs, late = [], [], 0
            for number in range(cases):
                took, shims = ours(program, number, width, path)
                mine.append(took)
                took, fewest = glpsol(path, folder)
                theirs.append(took)
                late += fewest == "limit"
                differ += fewest != "limit" and fewest != shims
            print(f"{width:4} µm {cases:4}  {1e3 * sum(mine) / cases:8.1f} {1e3 * max(mine):6.1f} ms"
                  f"  {sum(theirs) / cases:9.2f} {max(theirs):7.2f} s  {late:11}"
                  f"  {sum(theirs) / sum(mine):14.0f}", flush=True)
    print("answers differ:", differ)
    return 1 if differ else 0


sys.exit(main())
