/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file joint.h
 * Bolted joints: preload from torque, its scatter with friction, its share of proof load; the order
 * in which a circle of bolts is tightened, and in which passes.
 *
 * Equation (the full form, as in ISO 16047 and Motosh; from memory, checked against the nut-factor
 * form and VDI 2230's short form M = F·(0.16·P + 0.58·d2·mu_thread + Dkm/2·mu_head)):
 *     T = F · [ P/(2·pi) + mu_thread·d2/(2·cos 30°) + mu_head·Dkm/2 ]
 * SI throughout: metres, newtons, newton metres, pascals.
 */
#ifndef FITWRIGHT_JOINT_H
#define FITWRIGHT_JOINT_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A thread of 60° profile. Metric by ISO 68-1/ISO 724, inch by ASME B1.1; stress area by ISO 898-1,
 *  for inch threads At = 0.7854·(D - 0.9743/n)^2. */
struct fw_thread {
	double diameter;    /**< nominal, m */
	double pitch;       /**< m */
	double pitch_dia;   /**< d2 = d - 0.649519·P, m */
	double minor_dia;   /**< d3 = d - 1.226869·P, m */
	double stress_area; /**< m² */
	bool inch;
};

/** Reads "M8", "M8x1", "M8×1.25", "1/4-20", "5/16-18 UNC", "3/8-24 UNF", "#10-32". Coarse pitch when
 *  none is given (M only). Also "1 1/8-7", "1-1/8-7", "0.25-20". UNC or UNF behind it must fit the
 *  threads per inch (ASME B1.1); UNEF, UN and UNS are taken as read. FW_ERR_INPUT says what was
 *  expected. */
int fw_thread_parse(struct fw_thread *out, const char *text, struct fw_error *err);

/** Proof stress (Pa) of a property class "4.6", "8.8" … "12.9" (ISO 898-1, M1.6 to M39) or "SAE 5",
 *  "SAE J429 grade 5" … (SAE J429, 1/4 to 1 1/2 in), which may depend on the diameter (m).
 *  FW_ERR_INPUT lists the classes known; FW_ERR_RANGE where the standard has none for that diameter. */
int fw_proof_stress(double *out, const char *property_class, double diameter, struct fw_error *err);

/** Friction of thread and head: lowest, usual, highest. */
struct fw_friction {
	double low, usual, high;
};

/** Friction by state: "dry", "oiled", "anti-seize", "threadlocker". Common practice, no source.
 *  FW_ERR_INPUT lists them. */
int fw_friction_state(struct fw_friction *out, const char *state, struct fw_error *err);

struct fw_joint {
	struct fw_thread thread;
	struct fw_friction friction; /**< of thread and under the head alike; above 0, below 1 */
	double bearing_dia; /**< Dkm: mean diameter under the head, m, not below nominal; 0: 1.3 times it */
	double proof_stress; /**< Pa; 0: unknown, then share is NAN */
	double wrench;       /**< relative error limit of the wrench, 0.04 for 4 % */
};

struct fw_preload {
	double low, usual, high; /**< N: high friction and wrench low … low friction and wrench high */
	double proof_load;       /**< N, NAN when unknown */
	double share;            /**< high / proof_load, NAN when unknown */
	double usual_share;      /**< usual / proof_load, NAN when unknown */
	double nut_factor;       /**< K in T = K·D·F at usual friction */
};

/** Preload that `torque` (N·m, > 0) gives. FW_ERR_ARGUMENT names what can't be used; FW_ERR_RANGE when
 *  the result is no finite number. */
int fw_joint_preload(struct fw_preload *out, const struct fw_joint *joint, double torque,
                     struct fw_error *err);

/** Torque (N·m) for `preload` (N, > 0) at usual friction. */
int fw_joint_torque(double *out, const struct fw_joint *joint, double preload, struct fw_error *err);

/** Most bolts in one circle. */
#define FW_BOLTS_MOST 256

/**
 * Order for a circle of `count` bolts (1..FW_BOLTS_MOST), numbered from 1 clockwise. Multiples of
 * four go in crosses: a, a + n/2, a + n/4, a + 3n/4, the crosses themselves spread (1, 3, 2, 4 …), so
 * that 4, 8, 12, 16, 20 and 24 give the legacy cross-pattern of ASME PCC-1 (from memory). Other even
 * counts go in opposite pairs, the pairs spread likewise; odd ones by the stride nearest half the
 * circle that visits every bolt, (n - 1)/2.
 * `order` has room for `count`.
 */
int fw_circle_order(unsigned *order, size_t count, struct fw_error *err);

/** Checks a list of passes as shares of the final torque: never falling, each in (0, 1], the last
 *  1, else FW_ERR_ARGUMENT names the pass. */
int fw_passes_check(const double *share, size_t count, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
