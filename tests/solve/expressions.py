#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Random expressions of uncertain quantities, worked out here and by Debian's python3-uncertainties.

    tests/solve/expressions.py PROGRAM

PROGRAM is built from expression.c. The expressions are the same each time. Variables come up more than once and share
gauges, lengths come in millimetres, inches and thou. Compared: value, standard uncertainty, effective degrees of freedom
(from the library's components by Welch and Satterthwaite) and dimension.
"""
import math
import random
import subprocess
import sys

import uncertainties  # a missing package fails the test: apt-get install python3-uncertainties
from uncertainties import umath

CASES = 2000
MOST_SOURCES = 32
UNITS = {0: {"1": 1.0, "%": 0.01}, 1: {"mm": 1e-3, "in": 0.0254, "thou": 25.4e-6}}
RELATIVE = 1e-9
# What cancels leaves rounding errors of this share of what cancelled.
ROUNDING = 1e-13


class Node:
    """Words for the program; the library's value; dimension; how large value and u were before they cancelled."""

    def __init__(self, words, value, length, scale, spread):
        self.words, self.value, self.length, self.scale, self.spread = words, value, length, scale, spread


class Case:
    def __init__(self, rng):
        self.rng = rng
        self.freedom = {}
        self.gauges = [self.source(f"gauge{i}") for i in range(3)]
        self.leaves = {0: [self.leaf(0, i) for i in range(4)], 1: [self.leaf(1, i) for i in range(6)]}

    def source(self, name):
        variable = uncertainties.ufloat(0.0, 1.0, tag=name)
        self.freedom[name] = self.rng.choice([1, 2, 4, 9, 24, 7.5, math.inf])
        return variable

    def leaf(self, length, number):
        unit, factor = self.rng.choice(sorted(UNITS[length].items()))
        typed = self.rng.choice([-1, 1, 1]) * 10 ** self.rng.uniform(-2, 2)
        value, words, spread = typed * factor, [], 0.0
        terms = [(self.source(f"own{length}{number}"), 10 ** self.rng.uniform(-5, -1))]
        for gauge in self.gauges:
            if self.rng.random() < 0.4:
                terms.append((gauge, self.rng.choice([-1, 1]) * 10 ** self.rng.uniform(-5, -1)))
        if self.rng.random() < 0.15:
            terms = []
        result = value if terms else uncertainties.ufloat(value, 0)
        for source, share in terms:
            u = share * value
            words += [source.tag, u.hex(), repr(self.freedom[source.tag])]
            result = result + source * u
            spread += abs(u)
        return Node(["v", typed.hex(), unit, str(len(terms))] + words, result, length, abs(value), spread)

    def make(self, length, depth):
        if depth == 0 or (length in self.leaves and self.rng.random() < 0.15):
            return self.rng.choice(self.leaves[length]) if length in self.leaves else self.climb(length, 0)
        kind = self.rng.choice("++--**//srx")
        if kind in "+-":
            return combine(kind, self.make(length, depth - 1), self.make(length, depth - 1))
        if kind in "*/":
            return self.climb(length, depth - 1, kind)
        if kind == "s":
            return scaled(self.make(length, depth - 1), self.rng.uniform(-5, 5))
        if kind == "r" and abs(length) <= 1:
            return root(self.make(2 * length, depth - 1)) or self.make(length, depth - 1)
        return self.make(length, depth - 1)

    def climb(self, length, depth, kind=None):
        """A product or quotient of the wanted dimension."""
        other = self.rng.choice([0, 1]) if abs(length) < 2 else 1
        if kind is None:
            kind = "*" if length > 0 else "/"
        if kind == "*" and length < 0:
            kind = "/"
        left = length - other if kind == "*" else length + other
        if abs(left) > 3:
            other, left, kind = 0, length, "*"
        a, b = self.make(left, depth), self.make(other, depth)
        if kind == "/" and abs(b.value.n) <= 1e-3 * b.scale:
            return combine("*", a, b) if other == 0 else self.make(length, max(depth - 1, 0))
        return combine(kind, a, b)


def combine(kind, a, b):
    x, y = a.value.n, b.value.n
    if kind in "+-":
        value = a.value + b.value if kind == "+" else a.value - b.value
        return Node(a.words + b.words + [kind], value, a.length, a.scale + b.scale, a.spread + b.spread)
    if kind == "*":
        return Node(a.words + b.words + ["*"], a.value * b.value, a.length + b.length, a.scale * b.scale,
                    abs(x) * b.spread + abs(y) * a.spread)
    return Node(a.words + b.words + ["/"], a.value / b.value, a.length - b.length, a.scale / abs(y),
                a.spread / abs(y) + abs(x) * b.spread / y ** 2)


def scaled(a, factor):
    return Node(a.words + ["s", factor.hex()], a.value * factor, a.length, a.scale * abs(factor),
                a.spread * abs(factor))


def root(a):
    if a.value.n <= 1e-3 * a.scale:
        return None
    value = umath.sqrt(a.value)
    return Node(a.words + ["r"], value, a.length // 2, value.n, 0.5 * a.spread / value.n)


def freedom_of(value, freedom):
    """Equation G.2b of JCGM 100:2008 from the components."""
    total = sum((u / value.s) ** 4 / freedom[source.tag] for source, u in value.error_components().items() if u)
    return 1 / total if total else math.inf


def expressions():
    rng = random.Random(20080601)
    while True:
        case = Case(rng)
        length = rng.choice([0, 1, 1, 2, -1])
        node = case.make(length, rng.randint(1, 6))
        sources = [s for s, u in node.value.error_components().items() if u]
        if node.words.count("v") > 1 and len(sources) <= MOST_SOURCES:
            yield case, node


def differs(mine, yours, slack):
    if math.isinf(mine) or math.isinf(yours):
        return mine != yours
    return not abs(mine - yours) <= RELATIVE * abs(yours) + slack


def main():
    stream = expressions()
    cases = [next(stream) for _ in range(CASES)]
    text = "\n".join(" ".join(node.words) + " =" for _, node in cases)
    done = subprocess.run([sys.argv[1]], input=text, stdout=subprocess.PIPE, encoding="utf-8", check=True)
    lines = done.stdout.splitlines()
    if len(lines) != CASES:
        sys.exit(f"{len(lines)} answers to {CASES} expressions")
    failed = shared = judged = 0
    worst = 0.0
    for (case, node), line in zip(cases, lines):
        value, u, freedom = (float.fromhex(word) for word in line.split()[:3])
        length = int(line.split()[3])
        wanted = node.value
        complaints = []
        if differs(value, wanted.n, ROUNDING * node.scale):
            complaints.append(f"value {value!r}, not {wanted.n!r}")
        if differs(u, wanted.s, ROUNDING * node.spread):
            complaints.append(f"u {u!r}, not {wanted.s!r}")
        if length != node.length:
            complaints.append(f"length to the {length}, not {node.length}")
        if wanted.s > 1e-6 * node.spread:  # else what is left is rounding, and so are its parts
            judged += 1
            worst = max(worst, abs(u / wanted.s - 1))
            if differs(freedom, freedom_of(wanted, case.freedom), 0):
                complaints.append(f"freedom {freedom!r}, not {freedom_of(wanted, case.freedom)!r}")
        shared += any("gauge" in s.tag for s, c in wanted.error_components().items() if c)
        if complaints:
            failed += 1
            print(" ".join(node.words) + ": " + "; ".join(complaints))
    print(f"{CASES} expressions, {judged} of them uncertain, {shared} with a shared gauge; {failed} differ; "
          f"u differs by {worst:.1e} at the most")
    if judged < 1000 or shared < 1000:
        sys.exit("too few expressions tell anything")
    sys.exit(failed > 0)


if __name__ == "__main__":
    main()
