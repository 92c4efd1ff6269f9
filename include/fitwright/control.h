/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file control.h
 * Control limits for single values that come one at a time: a chart for individuals with its moving
 * ranges (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2).
 *
 * With x the values in order and MR(i) = |x(i) - x(i-1)|, both averaged,
 *
 *     limits of the values = mean(x) ± 3·mean(MR)/d2,   d2 = 2/√π = 1.128
 *     limit of the ranges  = D4·mean(MR),               D4 = 1 + 3·d3/d2 = 3.267, d3 = √(2 - 4/π)
 *
 * d2 and d3 are mean and standard deviation of the range of two normal values; 3/d2 is the 2.66 of the
 * tables. The scatter is taken from neighbours, so that a slow drift doesn't widen the limits that
 * are to show it.
 *
 * What is beyond control limits is worth a question; it needn't be outside its own limits, nor the other
 * way round.
 */
#ifndef FITWRIGHT_CONTROL_H
#define FITWRIGHT_CONTROL_H

#include <stddef.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Fewest values from which limits are worked out (the handbook's example has ten), and fewest from which
 *  they are more than provisional (common practice, no source). */
#define FW_CONTROL_LEAST   10
#define FW_CONTROL_SETTLED 20
/** Values in a row on one side of the mean that make a run (Western Electric, Statistical Quality
 *  Control Handbook, 1956: from memory). */
#define FW_CONTROL_RUN 8

/** All in the unit of the values. */
struct fw_control {
	size_t count;
	double mean;
	double range;      /**< mean of the moving ranges */
	double sd;         /**< range/d2 */
	double low, high;  /**< limits of the values */
	double range_high; /**< limit of the moving ranges; below they have none */
};

/** Limits from `count` values in the order in which they came. FW_ERR_RANGE: fewer than FW_CONTROL_LEAST, or
 *  values too large for their differences; FW_ERR_ARGUMENT: one is NaN or infinite. On failure `*out` is untouched. */
int fw_control_limits(struct fw_control *out, const double *x, size_t count, struct fw_error *err);

/** Why a value stands out; may be several. */
enum fw_control_mark {
	FW_CONTROL_BEYOND = 1,   /**< beyond the limits of the values */
	FW_CONTROL_JUMPED = 2,   /**< its moving range, to the value before it, is beyond its limit */
	FW_CONTROL_ONE_SIDE = 4  /**< with the seven or more before it on one side of the mean */
};
/** Marks `x` against `control`; one of the mean ends a run. `marks` has room for `count`. */
void fw_control_marks(unsigned *marks, const struct fw_control *control, const double *x, size_t count);

#ifdef __cplusplus
}
#endif

#endif
