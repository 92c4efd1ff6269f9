/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file tally.h  What is kept of the gaps of many trials: counts by bins, power sums by blocks. */
#ifndef FITWRIGHT_SOLVE_TALLY_H
#define FITWRIGHT_SOLVE_TALLY_H

#include <stddef.h>
#include <stdint.h>

/** Bins of the histogram: small enough to stay in the first cache while it is filled. */
#define FW_BINS 4096

/** Sums kept side by side, so that the order of additions is the same at any width of vector. */
#define FW_LANES 8

/** What is asked of the gaps, in units of the standard deviation, from the mean. */
struct fw_tally_scale {
	double reach;     /**< the bins cover ±reach; what lies beyond is counted in the last */
	double low, high; /**< limits; infinite where there are none */
};

/** Counts of all trials of one thread. */
struct fw_tally {
	uint32_t bin[FW_BINS];
	uint64_t below, above;
	double lowest, highest;
};

/** Sums of powers 1 to 4 over one block of trials. */
struct fw_power_sums {
	double lane[4][FW_LANES];
};

void fw_tally_clear(struct fw_tally *tally);

/** Takes in `count` gaps. */
void fw_tally_add(struct fw_tally *tally, struct fw_power_sums *sums, const double *gap,
                  size_t count, const struct fw_tally_scale *scale);

/** Adds the counts of `more`. */
void fw_tally_merge(struct fw_tally *tally, const struct fw_tally *more);

/** The quantile at p of `trials` gaps, linear within a bin, never outside lowest and highest. */
double fw_tally_quantile(const struct fw_tally *tally, uint64_t trials,
                         const struct fw_tally_scale *scale, double p);

/** Width of a bin. */
double fw_tally_width(const struct fw_tally_scale *scale);

#endif
