/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file conform.h
 * Verdict on a measured value against its limits, with the uncertainty taken into account
 * (JCGM 106:2012, clauses 7 and 8; the 95 % conformance probability is the default rule of
 * ISO 14253-1:2017, from memory).
 */
#ifndef FITWRIGHT_CONFORM_H
#define FITWRIGHT_CONFORM_H

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Limits of one figure, SI. One-sided limits have -INFINITY or INFINITY on the open side; limits
 * open on both sides judge nothing and are refused. */
struct fw_limits {
	double min, max;
	double aim; /**< NAN: the middle, or the closed side of a one-sided limit */
};

enum fw_verdict { FW_WITHIN, FW_OUTSIDE, FW_DOUBTFUL };

/** "within", "outside", "doubtful". */
const char *fw_verdict_name(enum fw_verdict verdict);

struct fw_conformity {
	enum fw_verdict verdict;
	double probability; /**< that the true value lies in the limits, 0..1 */
	double margin;      /**< to the nearer limit, SI; negative when the value lies outside */
};

/** Default conformance probability asked for: within at or above it, outside at or below 1 - it. A
 *  value inside its limits is never called outside: where the uncertainty is far wider than the
 *  limits the probability is small everywhere, and that condemns only the gauge (doubtful). */
#define FW_CONFORMANCE 0.95

/** FW_OK if min < max, aim inside, nothing NaN; else FW_ERR_ARGUMENT with what and which. */
int fw_limits_check(const struct fw_limits *limits, struct fw_error *err);

/** The aim, or its default as above. */
double fw_limits_aim(const struct fw_limits *limits);

/** A length no further than this from a limit lies on it, m: in binary 0.33 mm - 0.15 mm misses
 *  0.18 mm by the last bit, and a picometre is measured by nobody. */
#define FW_ON_LIMIT 1e-12

/** The limit that `length` (m, worked out) lies on, to FW_ON_LIMIT; else `length` itself, NaN too.
 */
double fw_limits_snap(double length, const struct fw_limits *limits);

/** P(min <= Y <= max) for Y = value + u·T, T Student's t with `freedom` degrees (at least 0.1; from
 *  1e5 up, INFINITY included, the normal, which is then within 2e-6). JCGM 106:2012, 7.3 and 7.4.
 *  u = 0 gives 0 or 1; a value on a limit is inside. NaN or infinite `value` or `u`, or u < 0:
 *  FW_ERR_ARGUMENT. */
int fw_conform_probability(double *out, double value, double u, double freedom,
                           const struct fw_limits *limits, struct fw_error *err);

/** Verdict, probability and margin. `asked` in (0.5, 1), normally FW_CONFORMANCE. */
int fw_conform(struct fw_conformity *out, double value, double u, double freedom,
               const struct fw_limits *limits, double asked, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
