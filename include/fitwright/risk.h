/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file risk.h
 * Acceptance limits and the risks of a wrong decision (JCGM 106:2012, clauses 7.6, 8 and 9).
 *
 * Tolerance limits are what the figure must keep, acceptance limits what its measured value must
 * keep to be accepted. The consumer's risk is that of accepting what doesn't conform, the
 * producer's that of rejecting what does: specific for one item with its measured value, global for
 * a process whose items and measurements both scatter.
 *
 * All values in SI (any one unit). Limits are `struct fw_limits`, their aim unused; one side may be
 * open. On failure `*out` is untouched. FW_ERR_ARGUMENT names what is NaN, infinite, negative or
 * crossed.
 */
#ifndef FITWRIGHT_RISK_H
#define FITWRIGHT_RISK_H

#include <stdbool.h>

#include "fitwright/conform.h"
#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Measurement capability index C_m = (max - min)/(4·u) = tolerance/(2·U), U = 2u (JCGM 106:2012,
 *  7.6). Needs both limits and u > 0. From 4 up, u is at most a sixteenth of the tolerance. */
int fw_risk_capability(double *out, const struct fw_limits *tolerance, double u,
                       struct fw_error *err);

/** Acceptance limits moved inwards by guard bands g = r·U, U = 2u (JCGM 106:2012, 8.3.2): r = 1 is
 *  the default of ISO 14253-1:2013 (from memory), r = 0 plain acceptance, r < 0 (guarded rejection)
 *  moves them outwards. FW_ERR_RANGE when nothing is left between them. */
int fw_risk_guard(struct fw_limits *out, const struct fw_limits *tolerance, double u, double r,
                  struct fw_error *err);

/** Least and most risk that can be asked of fw_risk_limits(). */
#define FW_RISK_LEAST 1e-6
#define FW_RISK_MOST  0.5

/**
 * Acceptance limits on which the specific consumer's risk is just `risk`, so that nothing accepted
 * bears more: P(Y outside the tolerance | y) = risk, Y = y + u·T as in fw_conform_probability().
 * With one limit that is a guard band of t_(1-risk)·u; with two, both tails count, and it is solved
 * for. `risk` 1e-6..0.5, `freedom` from 1 up (INFINITY: normal). u = 0 gives the tolerance back.
 * FW_ERR_RANGE when even the middle of the tolerance bears more risk than that.
 */
int fw_risk_limits(struct fw_limits *out, const struct fw_limits *tolerance, double u,
                   double freedom, double risk, struct fw_error *err);

/** What one measured value may cost. */
struct fw_specific_risk {
	bool accepted;   /**< the value lies within the acceptance limits, or on one */
	double consumer; /**< accepted: P(the item doesn't conform); else 0 */
	double producer; /**< rejected: P(the item conforms); else 0 */
};

/** Specific risks of `value` with standard uncertainty `u` and `freedom` as for
 *  fw_conform_probability() (JCGM 106:2012, clause 9). */
int fw_risk_specific(struct fw_specific_risk *out, double value, double u, double freedom,
                     const struct fw_limits *tolerance, const struct fw_limits *acceptance,
                     struct fw_error *err);

/** What a process delivers before any measurement: items scatter as a normal distribution. */
struct fw_process {
	double mean;
	double sd; /**< > 0 */
};

/** Shares of all items, 0..1. */
struct fw_global_risk {
	double consumer;   /**< accepted and not conforming */
	double producer;   /**< rejected, though conforming */
	double conforming; /**< conforming, measured or not */
	double accepted;   /**< accepted, conforming or not */
};

/**
 * Global risks of a normal process measured with normal error `u` (JCGM 106:2012, clause 9.5):
 *
 *     R_C = integral over y outside the tolerance of g(y)·P(ym accepted | y) dy
 *     R_P = integral over y inside  the tolerance of g(y)·P(ym rejected | y) dy
 *
 * g normal with the process's mean and sd, ym normal about y with sd u. Worked out by Gauss-Kronrod
 * quadrature: each good to 1e-9 of itself, however small, where u is above 1e-7·sd. u = 0 is
 * allowed. FW_ERR_RANGE when limits lie too far from the mean to be counted in sd. Only for items
 * that scatter normally: not for what can't fall below zero and lies near it, such as runout.
 */
int fw_risk_global(struct fw_global_risk *out, const struct fw_process *process, double u,
                   const struct fw_limits *tolerance, const struct fw_limits *acceptance,
                   struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
