/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file readings.h
 * A list of readings of one thing: what they say together, whether one of them is a slip, and the
 * uncertainty of their mean.
 *
 * All values in SI (any one unit). `x` has `count` finite readings; FW_ERR_ARGUMENT says which
 * reading isn't. FW_ERR_RANGE where squares of the readings overflow. On failure `*out` is
 * untouched.
 */
#ifndef FITWRIGHT_READINGS_H
#define FITWRIGHT_READINGS_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

struct fw_readings {
	size_t count;
	double mean;
	double sd; /**< experimental, with count - 1 (JCGM 100:2008, equation 4); NAN for one reading */
	double lag1; /**< lag-1 autocorrelation, sum (x_i - m)(x_(i+1) - m)/sum (x_i - m)²; NAN for one
	                  reading and for equal ones */
	double min, max; /**< the extremes */
};

/** Mean, standard deviation, lag-1 autocorrelation and extremes of one reading or more. */
int fw_readings_describe(struct fw_readings *out, const double *x, size_t count,
                         struct fw_error *err);

/** On which side of the mean a slip is looked for. */
enum fw_grubbs_side { FW_GRUBBS_EITHER, FW_GRUBBS_HIGH, FW_GRUBBS_LOW };

/** Least and most significance level, and the fewest and most readings. */
#define FW_GRUBBS_LEAST    1e-6
#define FW_GRUBBS_MOST     0.5
#define FW_GRUBBS_FEWEST   3
#define FW_GRUBBS_READINGS 1000000

/** Critical value of Grubbs' test, FW_GRUBBS_FEWEST..FW_GRUBBS_READINGS readings:
 *
 *     G = (n - 1)/√n · √(t²/(n - 2 + t²)),  t = t_(1 - p, n - 2)
 *
 *  with p = significance/n looking on one side, significance/(2n) on either (NIST/SEMATECH
 *  e-Handbook of Statistical Methods, 1.3.5.17.1). It is exact as long as two readings can't pass
 * it at once, and otherwise on the safe side. */
int fw_grubbs_critical(double *out, size_t count, double significance, enum fw_grubbs_side side,
                       struct fw_error *err);

struct fw_grubbs {
	size_t index;    /**< of the suspect, the reading furthest from the mean on that side, from 0 */
	double g;        /**< its distance from the mean in standard deviations; 0: all alike */
	double critical; /**< fw_grubbs_critical() */
	double chance;   /**< at most this share of sets without a slip has a reading so far out */
	bool outlying;   /**< g > critical, and further than `step` from its neighbour */
	bool scale_step; /**< it would be outlying, but stands only a step of the scale apart */
};

/**
 * Is the reading furthest from the mean a slip (Grubbs 1969; ISO 16269-4:2010 and ASTM E178, from
 * memory)? One suspect only: two slips on one side hide each other. Assumes that what isn't a slip
 * scatters normally. Readings rounded to a coarse scale don't: of four at 0.40 and one at 0.41 the
 * last passes the critical value, so one no more than `step` (the gauge's resolution, 0: ignore)
 * from the nearest other reading isn't called outlying (common practice, no source). Three readings
 * or more, `significance` 1e-6..0.5, usually 0.05.
 */
int fw_grubbs(struct fw_grubbs *out, const double *x, size_t count, double step,
              double significance, enum fw_grubbs_side side, struct fw_error *err);

/** The uncertainty of a mean, each u a standard uncertainty. */
struct fw_readings_budget {
	double scatter;    /**< type A: sd/√n, 0 for one reading */
	double resolution; /**< type B: resolution/√12 */
	double error;      /**< type B: limit of error/√3 */
	double u;          /**< root of the sum of squares */
	double freedom;    /**< effective degrees of freedom (Welch and Satterthwaite); INFINITY: no
	                      scatter */
	double coverage; /**< k: two-sided Student's t at `level` for them, not cut to a whole number */
	double expanded; /**< U = k·u */
};

/**
 * Budget of a mean (JCGM 100:2008: 4.2 type A, 4.3.7 and F.2.2.1 rectangles, G.4.1 equation G.2b,
 * G.3). `resolution` and `error` >= 0, 0 where there is none; `level` 0.5..0.9999, usually 0.95.
 * Where the mean of readings is to be worked with, fw_measure_combine() gives the same u as a
 * quantity.
 */
int fw_readings_budget(struct fw_readings_budget *out, const struct fw_readings *readings,
                       double resolution, double error, double level, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
