#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes normal_table.c: cubics through the quantile of the normal at Chebyshev's points.

python3 normal_table.py >normal_table.c
"""
import math
from statistics import NormalDist

OCTAVES, PARTS, POINTS = 32, 8, 4


def quantile(m, octave):
    """z of the upper tail u = m/2^33, 2/2^33 …: the halves that a 31-bit draw makes."""
    return -NormalDist().inv_cdf(math.ldexp(m, octave - 33))


def cubic(f, start, width):
    """Coefficients, in t = m - start, of the cubic through f at Chebyshev's points of the part."""
    t = [width / 2 * (1 + math.cos(math.pi * (k + 0.5) / POINTS)) for k in range(POINTS)]
    c = [f(start + x) for x in t]
    for j in range(1, POINTS):  # Newton's divided differences
        for i in range(POINTS - 1, j - 1, -1):
            c[i] = (c[i] - c[i - 1]) / (t[i] - t[i - j])
    p = [0.0] * POINTS
    for k in range(POINTS - 1, -1, -1):
        p = [c[k] - p[0] * t[k]] + [p[i - 1] - p[i] * t[k] for i in range(1, POINTS)]
    return p


print("/* SPDX-License-Identifier: GPL-3.0-or-later */")
print("/* Written by normal_table.py; the test holds it against GSL's quantile. */")
print('#include "solve/clearance/sample.h"\n')
print("/* clang-format off */")
print("const double fw_normal_table[256][4] = {")
for octave in [*range(2, OCTAVES), 0, 1]:  # by the low bits of the exponent of 2^32·u
    for part in range(PARTS):
        row = cubic(lambda m: quantile(m, octave), 1 + part / PARTS, 1 / PARTS)
        print("\t{" + ", ".join("%.16g" % c for c in row) + "},")
print("};")
