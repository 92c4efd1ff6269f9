/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file preload.h
 * Preload of a pair of bearings, proved by the torque that keeps the shaft turning.
 *
 * Play can't be read once it is gone, so a preloaded shaft is turned by a cord around a round part
 * of it and a spring scale, and shims are changed until the torque is inside its limits. Two
 * readings at two stacks give the torque for every stack near them.
 *
 * Equations: T = F·(D + c)/2 for a cord of thickness c around a diameter D (plain mechanics; a line
 * straight off the tangent). T = T1 + (T2 - T1)·(s - s1)/(s2 - s1), the straight line through two
 * readings: torque rises with the preload, and preload with the interference, nearly in proportion
 * for rollers (line contact, exponent 10/9: from memory). No formula for the torque itself is
 * given: it depends on bearing, oil and seals, and two readings at the bench hold all of that.
 *
 * The torque is the one that keeps the shaft turning; the one that starts it is higher and is not
 * used. Seals drag: take limits that allow for it, or read with the seals out.
 *
 * SI: metres, newtons, newton metres.
 */
#ifndef FITWRIGHT_PRELOAD_H
#define FITWRIGHT_PRELOAD_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/conform.h"
#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Largest pull (N), diameter (m) and torque (N·m) taken; beyond: FW_ERR_ARGUMENT, a slip of units.
 */
#define FW_TURNING_PULL_MOST     1e5
#define FW_TURNING_DIAMETER_MOST 10.0
#define FW_TURNING_TORQUE_MOST   1e6

/** Torque (N·m) of a `pull` (N, >= 0) on a cord of thickness `cord` (m, >= 0, below the diameter)
 *  around `diameter` (m, > 0). FW_ERR_ARGUMENT names what can't be used. */
int fw_turning_torque(double *out, double pull, double diameter, double cord, struct fw_error *err);

/** The pull (N) that `torque` (N·m, >= 0) asks for: what the scale should show. */
int fw_turning_pull(double *out, double torque, double diameter, double cord, struct fw_error *err);

/** One reading: the shims that were in, and the torque that kept the shaft turning. */
struct fw_turning {
	double stack;    /**< m, >= 0 */
	double torque;   /**< N·m, > 0: with play left the torque says nothing of preload */
	double torque_u; /**< standard uncertainty, N·m, >= 0, each reading on its own */
};

/** The stacks that a line through two readings promises. */
struct fw_turning_line {
	double slope;   /**< N·m per m of shims; negative where more shims loosen */
	double stack;   /**< for the aim, m */
	double stack_u; /**< its standard uncertainty from the two torques, m */
	double low;     /**< stacks between which the torque lies in its limits, m: low <= high; */
	double high;    /**<   -INFINITY or INFINITY where the limits are open */
	bool low_cut;  /**< a limit lies further on: `low` is where the line ceases to be trusted, as */
	bool high_cut; /**<   far beyond the readings as they are apart, or no shims at all; `high` */
	double torque_u; /**< standard uncertainty of the torque promised at `stack`, N·m */
	bool beyond;     /**< the aim lies outside the two readings */
};

/**
 * The stack for the torque aimed at. First-order propagation (JCGM 100:2008, equation 10).
 * `torque`: limits, N·m, open or not negative; the aim (or its default) above zero.
 *
 * Errors: FW_ERR_ARGUMENT names the reading and what is wrong with it. FW_ERR_RANGE when the
 * torques differ by less than twice the uncertainty of their difference (the line could slope
 * either way), when the aim is further beyond the readings than they are apart (take a reading
 * nearer to it), and when the stack would be less than none.
 */
int fw_turning_stack(struct fw_turning_line *out, const struct fw_turning *a,
                     const struct fw_turning *b, const struct fw_limits *torque,
                     struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
