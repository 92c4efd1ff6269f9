/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file distribution.h  Tails of the normal and Student's t, safe against GSL's error handler. */
#ifndef FITWRIGHT_SOLVE_DISTRIBUTION_H
#define FITWRIGHT_SOLVE_DISTRIBUTION_H

/** Fewest and most degrees of freedom for which t is evaluated; above the most it is the normal. */
#define FW_FREEDOM_LEAST  0.1
#define FW_FREEDOM_NORMAL 1e5

/** P(T <= x) and P(T > x), x not NaN, infinite x allowed. `freedom` >= FW_FREEDOM_LEAST. */
double fw_tail_below(double x, double freedom);
double fw_tail_above(double x, double freedom);

/** P(low <= T <= high) for low <= high, without cancellation far out in a tail. */
double fw_between(double low, double high, double freedom);

/** 1 - fw_between(), as the sum of both tails. */
double fw_beyond(double low, double high, double freedom);

/** The x with P(T > x) = p, p 1e-13..0.5, `freedom` >= 1. */
double fw_quantile_above(double p, double freedom);

#endif
