/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file stackup.h
 * Stack-ups: what a gap comes to when each part of its chain may lie anywhere in its tolerance.
 *
 *     gap = Σ c_i · x_i
 *
 * over the links of the chain; c_i is +1 for a link that opens the gap when it grows, -1 for one
 * that closes it, or any other factor that the geometry gives. Three answers, of falling caution:
 * - worst case: every link at its worst end at once;
 * - spread: means and variances of independent links added (JCGM 100:2008, 5.1.2); with the gap
 *   taken as normal, the share outside limits and the capability;
 * - Monte Carlo: the distribution of the gap itself (JCGM 101:2008, clauses 5 and 7).
 *
 * A link is not centred when its deviations are not: 25 +0.02/-0.06 scatters about 24.98, half its
 * width 0.04. Its shape says how it scatters over that width, `a` being half of it:
 *
 *     shape        standard deviation   excess kurtosis
 *     normal       a / sigmas           0
 *     uniform      a / √3               -1.2
 *     triangular   a / √6               -0.6
 *     arcsine      a / √2               -1.5
 *     measured     u                    0      (normal, JCGM 101:2008, 6.4.7)
 *
 * (JCGM 100:2008, 4.3.7 and 4.3.9; JCGM 101:2008, 6.4.) A normal link is not cut off at its
 * tolerance: with sigmas = 3 some 0.27 % of its parts lie beyond. Parts that a gauge sorts are
 * better called uniform.
 *
 * Links are independent. A dimension that enters the chain twice is one link with the sum of its
 * coefficients, and parts of one batch share an offset that no such sum knows of.
 *
 * Lengths are in metres, but the chain may be of anything: nothing here depends on it. All figures
 * finite.
 */
#ifndef FITWRIGHT_STACKUP_H
#define FITWRIGHT_STACKUP_H

#include <stddef.h>
#include <stdint.h>

#include "fitwright/conform.h"
#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

enum fw_stackup_shape {
	FW_STACKUP_NORMAL,
	FW_STACKUP_UNIFORM,
	FW_STACKUP_TRIANGULAR,
	FW_STACKUP_ARCSINE,
	FW_STACKUP_MEASURED
};

/** "normal", "uniform" …, in the order of the enum; NULL for what is none of them. */
const char *fw_stackup_shape_name(enum fw_stackup_shape shape);

/** How many standard deviations half a normal tolerance is when nothing else is said. */
#define FW_STACKUP_SIGMAS 3.0

/** Most links in a chain. Beyond: FW_ERR_ARGUMENT. */
#define FW_STACKUP_LINKS 1000000

/** One link. Zero-initialise, then set what applies. */
struct fw_stackup_link {
	const char *name;   /**< for messages, borrowed; NULL: only its number is given */
	double coefficient; /**< c, not 0 */
	double nominal;     /**< m; of a measured link the value read */
	double lower; /**< deviations from nominal, m, lower <= upper; both 0 for a measured link */
	double upper;
	double sigmas; /**< normal, measured: standard deviations in half the tolerance; 0: 3 */
	double u;      /**< measured: standard uncertainty, m, >= 0; 0 for all others */
	enum fw_stackup_shape shape;
};

/** Worst case and spread. */
struct fw_stackup {
	double nominal;  /**< Σ c·nominal, m */
	double mean;     /**< Σ c·(nominal + middle of the deviations), m */
	double min, max; /**< worst case, m; of a measured link ± sigmas·u is taken as its limits */
	double rss; /**< root of the sum of squares of the half tolerances, √Σ(c·a)², m: the usual
	                 statistical tolerance, mean ± rss. 3·sd where all are normal at 3 sigma */
	double sd;  /**< standard deviation by the shapes above, m */
	double excess; /**< excess kurtosis of the gap, 0 for the normal; 0 when sd is 0 */
};

/** What one link has in the spread and in the worst case, as shares 0..1 of the whole: of the
 *  variance, and of max - min. All are 0 where there is no spread. */
struct fw_stackup_share {
	double variance, range;
};

/** Worst case and spread of a chain of `count` links. `share` has room for `count`, or is NULL.
 *  FW_ERR_ARGUMENT names the link (from 1) and the figure: NaN, infinite, lower above upper, a
 *  coefficient of 0, sigmas or u negative, u on a link that isn't measured, no links; FW_ERR_RANGE
 *  when a result is no finite number. On an error nothing is written. */
int fw_stackup_spread(struct fw_stackup *out, struct fw_stackup_share *share,
                      const struct fw_stackup_link *link, size_t count, struct fw_error *err);

/** How a gap taken as normal (mean, sd) lies in limits. */
struct fw_stackup_capability {
	double below, above, outside; /**< probabilities; 0 or 1 when sd is 0 */
	double cp;  /**< (max - min) / (6·sd); NAN with one-sided limits and when sd is 0 */
	double cpk; /**< distance of the mean from the nearer limit / (3·sd), negative outside; NAN when
	                 sd is 0 */
};

/** FW_ERR_ARGUMENT as fw_limits_check(), and for a stack-up that is not one. Without a spread a mean
 *  within FW_ON_LIMIT of a limit is inside. The normal is good near the middle; where few links make
 *  up most of the variance it misses in the tails (`excess`). */
int fw_stackup_capability(struct fw_stackup_capability *out, const struct fw_stackup *stackup,
                          const struct fw_limits *limits, struct fw_error *err);

/** An estimate and its standard error. */
struct fw_stackup_estimate {
	double value, error;
};

/** Quantiles worked out: the middle, and the ends of the 95 % and of the 99.73 % interval. */
#define FW_STACKUP_QUANTILES 5
extern const double fw_stackup_quantile_at[FW_STACKUP_QUANTILES];

/** Fewest and most trials; most links times trials; most threads. */
#define FW_STACKUP_TRIALS_LEAST 10000
#define FW_STACKUP_TRIALS_MOST  1000000000
#define FW_STACKUP_WORK_MOST    2e10
#define FW_STACKUP_THREADS_MOST 64

/** How to run the trials. */
struct fw_stackup_run {
	uint64_t
	    trials;    /**< JCGM 101:2008, 7.2.2 advises 1e4/(1 - p): 2e5 for 95 %, 3.7e6 for 99.73 % */
	uint64_t seed; /**< any */
	unsigned threads; /**< 1..FW_STACKUP_THREADS_MOST; 0: one */
};

/** The distribution of the gap, from `trials` assemblies. */
struct fw_stackup_sample {
	uint64_t trials;
	struct fw_stackup_estimate mean, sd;                       /**< m */
	struct fw_stackup_estimate quantile[FW_STACKUP_QUANTILES]; /**< m */
	double resolution;      /**< m: no quantile is further than this from that of the trials; with a
	                             smooth density 1/200 of it */
	double lowest, highest; /**< m, of all trials */
	double excess;          /**< excess kurtosis of the trials */
	uint64_t below, above;  /**< trials outside the limits; 0 without limits */
	struct fw_stackup_estimate outside_below, outside_above, outside; /**< probabilities */
};

/**
 * Puts the chain together `run->trials` times from random parts. `limits` may be NULL.
 *
 * Random numbers: Philox4x32-10 (Salmon, Moraes, Dror and Shaw, "Parallel random numbers: as easy
 * as 1, 2, 3", 2011), key = seed, counter = (trial, link). Each variate is made from one 32-bit
 * number: uniform ones have a step of 2^-32 of their width; normal ones come from the inverse of
 * the distribution function, cut at 6.34 standard deviations, with an error below 2e-7 of one. The
 * same seed, chain, limits and trials give the same figures, bit for bit, whatever the number of
 * threads, the compiler and the processor (with IEEE 754 doubles).
 *
 * Standard errors: of the mean sd/√n; of the sd from the fourth moment; of a quantile from the
 * order statistics at p ± √(p(1-p)/n); of a probability √(q(1-q)/n) with q = (k+1)/(n+2), which is
 * not 0 when no trial fell outside.
 *
 * FW_ERR_ARGUMENT as fw_stackup_spread() and fw_limits_check(), and for trials or threads out of
 * bounds; FW_ERR_RANGE when links times trials exceed FW_STACKUP_WORK_MOST (about a minute) and
 * when a result is no finite number; FW_ERR_MEMORY.
 */
int fw_stackup_simulate(struct fw_stackup_sample *out, const struct fw_stackup_link *link,
                        size_t count, const struct fw_limits *limits,
                        const struct fw_stackup_run *run, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
