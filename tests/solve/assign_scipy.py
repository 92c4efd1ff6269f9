# SPDX-License-Identifier: GPL-3.0-or-later
"""Assignment problems with the optimum that scipy finds, for test_assign_scipy.

A line each: rows, columns, optimum, then the costs row by row; "inf" is a forbidden pair. Problems
without any assignment have the optimum "none". The generator's seed is fixed.
"""
import numpy
from scipy.optimize import linear_sum_assignment

random = numpy.random.default_rng(20)


def costs(rows, columns, kind):
    if kind == 0:
        return random.integers(-20, 21, (rows, columns)).astype(float)
    if kind == 1:
        return random.integers(0, 10**6, (rows, columns)).astype(float)
    if kind == 2:
        return random.random((rows, columns))
    if kind == 3:
        return numpy.outer(random.integers(1, 200, rows), random.integers(1, 200, columns)).astype(float)
    if kind == 4:
        return (random.random((rows, 1)) - random.random((1, columns))) ** 2
    table = random.integers(0, 30, (rows, columns)).astype(float)
    table[random.random((rows, columns)) < 0.15 * random.integers(1, 7)] = numpy.inf
    return table


def optimum(table):
    try:
        return repr(float(table[linear_sum_assignment(table)].sum()))
    except ValueError:
        return "none"


for number in range(420):
    rows, columns = (int(n) for n in random.integers(1, 41, 2))
    if number % 6 == 0:
        columns = rows
    table = costs(rows, columns, number % 6 if number % 7 else int(random.integers(0, 6)))
    print(rows, columns, optimum(table), *(repr(float(c)) for c in table.flat))
