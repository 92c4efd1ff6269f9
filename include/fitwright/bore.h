/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file bore.h
 * What runs in a bore: out-of-round and taper from several readings, oil clearance of a journal,
 * clearance of a piston, gap and side clearance of a piston ring.
 *
 * All lengths in metres, all sizes diameters, all at one temperature (20 °C unless said otherwise).
 */
#ifndef FITWRIGHT_BORE_H
#define FITWRIGHT_BORE_H

#include <stddef.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Two diameters at one depth: along the throw, thrust or crank axis, and square to it. */
struct fw_plane {
	double along;
	double across; /**< NAN when not measured */
};

/** Most planes of one bore. */
#define FW_PLANES_MOST 1000000

/** A bore, journal or piston from its readings. */
struct fw_roundness {
	double mean, min, max; /**< of all readings */
	double out_of_round;   /**< greatest |along - across| in a plane; NAN without a plane that has
	                          both */
	double taper; /**< greatest difference in one direction between planes; NAN with one plane */
	size_t readings;
};

/**
 * Workshop rules (common practice, no source): out-of-round is the difference of two diameters
 * square to each other at one depth, taper that of two depths in one direction. Neither sees a
 * three-lobed shape. `name` is what messages call it ("bore"). FW_ERR_ARGUMENT names the plane that
 * isn't finite and above zero; FW_ERR_RANGE when the readings differ by more than a tenth: two
 * parts, or a slip of units.
 */
int fw_roundness(struct fw_roundness *out, const struct fw_plane *planes, size_t count,
                 const char *name, struct fw_error *err);

/** What is left between a bore, a shell if any, and what runs in it. Negative: it does not go in.
 */
struct fw_running {
	double mean, min, max; /**< of the mean sizes; smallest bore on largest journal; the reverse */
	double ratio;          /**< mean clearance / mean size of the inner part */
};

/** A bearing's usual clearance as a share of the journal: 0.001 in for each inch, between three
 *  quarters of that and half as much again. Common practice, no source; never a limit. */
#define FW_RUNNING_RULE      0.001
#define FW_RUNNING_RULE_LOW  0.00075
#define FW_RUNNING_RULE_HIGH 0.0015

/**
 * clearance = bore - 2·shell - inner. `shell` is the wall of one shell, 0 for none; it is taken as
 * it was miked loose: crush, which closes the bore by some micrometres as the cap is torqued down,
 * is left out, so that a bore measured with the shells in and the cap torqued is the better way.
 * FW_ERR_ARGUMENT; FW_ERR_RANGE when shell or clearance is more than a tenth of the inner part.
 */
int fw_running_clearance(struct fw_running *out, const struct fw_roundness *bore, double shell,
                         const struct fw_roundness *inner, struct fw_error *err);

/** Gap of a ring by rule: bore · share, "0.0035 in for each inch" is 0.0035. `share` above 0, else
 *  FW_ERR_ARGUMENT, and up to 0.02, else FW_ERR_RANGE. */
int fw_ring_rule(double *out, double bore, double share, struct fw_error *err);

/**
 * The gap a ring has in a bore of `other` when it has `gap` in one of `bore`: the ring's own length
 * stays, so the gap grows by the circumference, gap + pi·(other - bore). Also what a worn or
 * tapered bore does to it at another depth. Negative: the ends butt. `gap` 0 or more, else
 * FW_ERR_ARGUMENT. FW_ERR_RANGE when it is more than a fifth of the bore, and when the bores differ
 * by more than a twentieth: the ring would no longer be round.
 */
int fw_ring_gap_in(double *out, double gap, double bore, double other, struct fw_error *err);

/** Side clearance of a ring in its groove: groove - width. Negative: it doesn't go in. FW_ERR_RANGE
 *  when they differ by more than half the groove. */
int fw_ring_side(double *out, double groove, double width, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
