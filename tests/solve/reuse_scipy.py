# SPDX-License-Identifier: GPL-3.0-or-later
"""Engines whose parts are handed round, with the best that mixed-integer programming finds (scipy's
milp, the HiGHS solver), for test_reuse_scipy: three programmes one after the other, each with what the
ones before it reached as a constraint, where fw_reuse() solves one assignment.

A line each, all in whole micrometres: places, old parts, grades; left out, bought, sum of deviations;
then for each place found, own part (-1: bare), factor, min, max, aim; each old part's size; each
grade's size and count (-1: endless). The generator's seed is fixed, all figures are invented.
"""
import numpy
from scipy.optimize import Bounds, LinearConstraint, milp

random = numpy.random.default_rng(8)


def engine(places, grades):
    step = int(random.choice([20, 25, 50]))
    sizes = 2000 + 10 * random.integers(0, 80, places)
    shelf = 2000 + step * numpy.arange(grades)
    counts = random.choice([-1, 0, 1, 2], grades, p=[0.15, 0.25, 0.4, 0.2])
    table = []
    for i in range(places):
        factor = int(random.integers(1, 3))
        low = int(random.integers(10, 20)) * 10
        high = low + int(random.integers(2, 6)) * 10
        aim = int(random.integers(low, high + 1))
        if random.random() < 0.8:
            row = [low + int(random.integers(-15, 16)) * 10, i, factor, low, high, aim]
        else:
            row = [aim + factor * (2000 + 10 * int(random.integers(0, 80))), -1, factor, low, high, aim]
        table.append(row)
    return table, sizes, shelf, counts


def pairs(table, sizes, shelf):
    """(place, what, bought, deviation); what: old parts, then grades."""
    out = []
    for i, (found, own, factor, low, high, aim) in enumerate(table):
        base = found + (factor * int(sizes[own]) if own >= 0 else 0)
        for k, size in enumerate([*sizes, *shelf]):
            clearance = base - factor * int(size)
            if low <= clearance <= high:
                out.append((i, k, k >= len(sizes), abs(clearance - aim)))
    return out


def best(table, sizes, shelf, counts):
    n, options = len(table), pairs(table, sizes, shelf)
    limits = [1] * len(sizes) + [n if c < 0 else c for c in counts]
    width = len(options) + n  # the last n: left out
    served = numpy.zeros((n, width))
    taken = numpy.zeros((len(limits), width))
    left, bought, deviation = numpy.zeros((3, width))
    for x, (i, k, new, off) in enumerate(options):
        served[i, x] = taken[k, x] = 1
        bought[x], deviation[x] = new, off
    served[range(n), range(len(options), width)] = 1
    left[len(options):] = 1
    rules = [LinearConstraint(served, 1, 1), LinearConstraint(taken, -numpy.inf, limits)]
    reached = []
    for goal in (left, bought, deviation):
        answer = milp(goal, integrality=numpy.ones(width), bounds=Bounds(0, 1), constraints=rules,
                      options={"mip_rel_gap": 0})
        assert answer.success, answer.message
        reached.append(round(answer.fun))
        rules.append(LinearConstraint(goal, reached[-1], reached[-1]))
    return reached


for number in range(60):
    places = [4, 8, 12, 16][number % 4]
    table, sizes, shelf, counts = engine(places, 60 if number % 5 else 5)
    print(places, len(sizes), len(shelf), *best(table, sizes, shelf, counts), *sum(table, []), *sizes,
          *(figure for pair in zip(shelf, counts) for figure in pair))
