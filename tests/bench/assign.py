# SPDX-License-Identifier: GPL-3.0-or-later
"""Assignment: the time of bench_assign against scipy's, on the same costs in the same run.

    python3 tests/bench/assign.py build/tests/bench/bench_assign [sizes...]

Prints a line for each family and size: both times (the least of three calls, the call alone), their
ratio, and whether the costs agree. Ends with status 1 where one is slower or the costs differ.
"""
import subprocess
import sys
import tempfile
import time

import numpy
from scipy.optimize import linear_sum_assignment

random = numpy.random.default_rng(1)


def families(n):
    whole = numpy.arange(1.0, n + 1)
    x, y = random.random(n), random.random(n)
    p, q = random.random((n, 1, 2)), random.random((1, n, 2))
    a, b = random.integers(1, 1001, n), random.integers(1, 1001, n)
    yield "whole 1..100", random.integers(1, 101, (n, n)).astype(float), True
    yield "whole 1..1000", random.integers(1, 1001, (n, n)).astype(float), True
    yield "whole 1..1000000", random.integers(1, 10**6 + 1, (n, n)).astype(float), True
    yield "real 0..1", random.random((n, n)), False
    yield "|x - y|^2", (x[:, None] - y[None, :]) ** 2, False
    yield "|x - y|", numpy.abs(x[:, None] - y[None, :]), False
    yield "distance in a plane", numpy.sqrt(((p - q) ** 2).sum(2)), False
    yield "i * j", numpy.outer(whole, whole), True
    yield "a * b", numpy.outer(a, b).astype(float), True
    yield "all alike", numpy.full((n, n), 7.0), True
    yield "rows n, columns 2 n", random.random((n, 2 * n)), False
    yield "rows 1.1 n, columns n", random.random((n + n // 10, n)), False
    yield "a * b, columns n + 5", numpy.outer(a, random.integers(1, 1001, n + 5)).astype(float), True


def best_of_three(table):
    took = []
    for _ in range(3):
        start = time.perf_counter()
        rows, columns = linear_sum_assignment(table)
        took.append(time.perf_counter() - start)
        if took[0] > 2:
            break
    return min(took), table[rows, columns].sum()


def ours(program, path, table, whole):
    words = [program, path, str(table.shape[0]), str(table.shape[1])] + (["whole"] if whole else [])
    seconds, cost = subprocess.run(words, capture_output=True, text=True, check=True).stdout.split()
    return float(seconds), float(cost)


def main():
    program = sys.argv[1]
    sizes = [int(n) for n in sys.argv[2:]] or [500, 1000, 2000]
    fine = True
    with tempfile.NamedTemporaryFile() as file:
        for n in sizes:
            for name, table, whole in families(n):
                table.tofile(file.name)
                theirs, expected = best_of_three(table)
                for kind in [False, True] if whole else [False]:
                    mine, cost = ours(program, file.name, table, kind)
                    same = abs(cost - expected) <= 1e-9 * abs(expected)
                    fine = fine and same and mine < theirs
                    print(f"{n:5} {name:22} {'integers' if kind else 'doubles':8} "
                          f"ours {1e3 * mine:8.1f} ms  scipy {1e3 * theirs:8.1f} ms  "
                          f"scipy/ours {theirs / mine:5.1f}  {'same cost' if same else 'COST DIFFERS'}", flush=True)
    return 0 if fine else 1


sys.exit(main())
