/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file joint.h
 * Bolted joints: threads and their limits, strength by property class, preload from torque and its
 * scatter with friction, its share of proof load and of yield; the order in which a circle of bolts
 * is tightened, and in which passes. Stripping: strip.h. Adapters on a wrench: wrench.h. Other
 * patterns of bolts: pattern.h. Tightening by angle: turn.h.
 *
 * Equation (the full form, as in ISO 16047 and Motosh; from memory, checked against the nut-factor
 * form and VDI 2230's short form M = F·(0.16·P + 0.58·d2·mu_thread + Dkm/2·mu_head)):
 *     T = F · [ P/(2·pi) + mu_thread·d2/(2·cos 30°) + mu_head·Dkm/2 ] + T_prevailing
 * SI throughout: metres, newtons, newton metres, pascals. On failure `*out` is untouched.
 */
#ifndef FITWRIGHT_JOINT_H
#define FITWRIGHT_JOINT_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A thread of 60° profile. Metric by ISO 68-1/ISO 724, inch by ASME B1.1; stress area by ISO
 * 898-1, for inch threads At = 0.7854·(D - 0.9743/n)^2. */
struct fw_thread {
	double diameter;    /**< nominal, m */
	double pitch;       /**< m */
	double pitch_dia;   /**< d2 = D2 = d - 0.649519·P, m */
	double minor_dia;   /**< d3 = d - 1.226869·P, root of the bolt, m */
	double inner_dia;   /**< D1 = d - 1.082532·P, bore of the nut, m */
	double stress_area; /**< m² */
	bool inch;
	bool left_hand; /**< designated LH */
};

/** Reads "M8", "M8x1", "M8×1.25", "1/4-20", "5/16-18 UNC", "3/8-24 UNF", "#10-32". Coarse pitch
 * when none is given (M only). Also "1 1/8-7", "1-1/8-7", "0.25-20". UNC, UNF or UNEF behind it
 * must fit the threads per inch (ASME B1.1); UN and UNS are taken as read. Behind that may stand
 * the usual tolerance class, "-6g", "-6H", "-6H/6g", "-2A", "-2B", "-2B/2A" (ISO 965-1, ASME B1.1),
 * and "-LH" for a left-hand thread. FW_ERR_INPUT says what was expected. */
int fw_thread_parse(struct fw_thread *out, const char *text, struct fw_error *err);

/** Limits of size of bolt and nut thread, m. */
struct fw_thread_limits {
	const char *classes; /**< "6g/6H" or "2A/2B" */
	double bolt_outer_min, bolt_outer_max;
	double bolt_pitch_min, bolt_pitch_max;
	double nut_inner_min, nut_inner_max;
	double nut_pitch_min, nut_pitch_max;
};

/**
 * Limits of the usual tolerance classes: metric 6g and 6H by the tables of ISO 965-1 (normal length
 * of engagement), above 1.4 mm to 180 mm and the pitches tabled there for the diameter; inch 2A and
 * 2B by the formulas of ASME B1.1, section 5, up to 6 in and down to #0 (not rounded: up to 0.0001
 * in from the printed limits, the bore of the nut 0.001 in). FW_ERR_ARGUMENT for no thread;
 * FW_ERR_RANGE where the standard has no tolerance for that pitch.
 */
int fw_thread_limits(struct fw_thread_limits *out, const struct fw_thread *thread,
                     struct fw_error *err);

/** What a property class stands for, Pa: proof stress, yield (ReL, Rp0.2, Rpf), least tensile
 * strength. */
struct fw_strength {
	double proof, yield, tensile;
};

/** Strength of a property class "4.6", "8.8" … "12.9" (ISO 898-1, M1.6 to M39) or "SAE 5", "SAE
 * J429 grade 5" … (SAE J429, 1/4 to 1 1/2 in), which may depend on the diameter (m). FW_ERR_INPUT
 * lists the classes known; FW_ERR_RANGE where the standard has none for that diameter. */
int fw_class_strength(struct fw_strength *out, const char *property_class, double diameter,
                      struct fw_error *err);

/** Its proof stress alone. */
int fw_proof_stress(double *out, const char *property_class, double diameter, struct fw_error *err);

/** Friction of thread or head: lowest, usual, highest. */
struct fw_friction {
	double low, usual, high;
};

/** Friction by state: "dry", "oiled", "anti-seize", "threadlocker". Common practice, no source.
 *  FW_ERR_INPUT lists them. */
int fw_friction_state(struct fw_friction *out, const char *state, struct fw_error *err);

/**
 * Mean diameter under a head that bears from the hole's edge di to `outer`, do (m):
 *
 *     mean = (do + di)/2
 *     even = 2/3·(do³ - di³)/(do² - di²)
 *
 * The plain mean, as VDI 2230 takes it, and that of an evenly pressed ring, which is at most a
 * third more (of a tiny hole) and below 1 % more for hexagon heads. Either may be NULL.
 * FW_ERR_ARGUMENT unless 0 < hole < outer.
 */
int fw_bearing_diameter(double *mean, double *even, double outer, double hole,
                        struct fw_error *err);

/** Dkm when it isn't given, in nominal diameters. */
#define FW_BEARING_USUAL 1.3

/** A joint. Zeroed members behind `friction` mean the usual, as said. */
struct fw_joint {
	struct fw_thread thread;
	struct fw_friction friction; /**< of the thread, and under the head unless `head` is given;
	                                above 0, below 1 */
	struct fw_friction head;     /**< under the head; all 0: as the thread */
	double bearing_dia;  /**< Dkm: mean diameter under the head, m, not below nominal; 0: 1.3 times
	                        it */
	double proof_stress; /**< Pa; 0: unknown, then share is NAN */
	double yield_stress; /**< Pa; 0: unknown, then yield_share is NAN */
	double wrench;       /**< relative error limit of the wrench, 0.04 for 4 % */
	double wrench_fixed; /**< and the part that doesn't grow with the torque, N·m */
	double prevailing;   /**< torque that turns the nut before it clamps, N·m */
	double loss;         /**< share of the lowest preload lost as surfaces bed down, below 1;
	                        NASA TM-106943, equation 11: 0.05 */
};

struct fw_preload {
	double low, usual, high; /**< N: high friction and wrench low … low friction and wrench high */
	double proof_load;       /**< N, NAN when unknown */
	double share;            /**< high / proof_load, NAN when unknown */
	double usual_share;      /**< usual / proof_load, NAN when unknown */
	double nut_factor;   /**< K in T = K·D·F at usual friction, without the prevailing torque */
	double stress_usual; /**< Pa: pull and twist together while tightening, fw_joint_stress() */
	double stress_high;  /**< Pa: the most it can be */
	double yield_share;  /**< stress_high / yield_stress, NAN when unknown */
};

/** Preload that `torque` (N·m at the bolt, > 0) gives. FW_ERR_ARGUMENT names what can't be used;
 *  FW_ERR_RANGE when the torque isn't above the prevailing one, or the result is no finite number.
 *  `low` may be 0: the wrench's error and the prevailing torque can eat up a small torque. */
int fw_joint_preload(struct fw_preload *out, const struct fw_joint *joint, double torque,
                     struct fw_error *err);

/** Torque (N·m at the bolt) for `preload` (N, > 0) at usual friction, prevailing torque included.
 *  FW_ERR_ARGUMENT; FW_ERR_RANGE when it is no finite number. */
int fw_joint_torque(double *out, const struct fw_joint *joint, double preload,
                    struct fw_error *err);

/** Torque for each newton of preload, m: rise of the thread, its friction, friction of the head. */
struct fw_lever {
	double rise, thread, head;
};

/** Friction under the head: `head`, or that of the thread when all of it is 0. Borrowed. */
const struct fw_friction *fw_joint_head(const struct fw_joint *joint);

/** The three terms of the equation above at friction `thread` and `head`, from 0 to below 1, and
 * for a joint that can be; else FW_ERR_ARGUMENT. */
int fw_joint_lever(struct fw_lever *out, const struct fw_joint *joint, double thread, double head,
                   struct fw_error *err);

/**
 * Stress (Pa) while the bolt is being tightened to `preload` (N, >= 0): sqrt(sigma² + 3·tau²), the
 * pull on the stress area, the thread's torque and the prevailing one on a bar of diameter d0 of
 * that area that yields all through, tau = 12·M/(pi·d0³) (VDI 2230 from edition 2001, from memory;
 * its tables of preload at 90 % of yield come out by it). `thread` is the friction in the thread,
 * from 0 to below 1. The twist springs back by half or more once the wrench is off (common
 * practice, no source). FW_ERR_ARGUMENT; FW_ERR_RANGE when the stress is no finite number.
 */
int fw_joint_stress(double *out, const struct fw_joint *joint, double preload, double thread,
                    struct fw_error *err);

/** Nut-factor form, T = K·D·F (NASA TM-106943, equation 1): the preload of a torque, the torque of
 * a preload. `factor` K above 0 and at most 1, `diameter` nominal, all above 0, else
 * FW_ERR_ARGUMENT; FW_ERR_RANGE when the result is no finite number above 0. */
int fw_nut_factor_preload(double *out, double factor, double diameter, double torque,
                          struct fw_error *err);
int fw_nut_factor_torque(double *out, double factor, double diameter, double preload,
                         struct fw_error *err);

/** Most bolts in one circle or pattern. */
#define FW_BOLTS_MOST 256

/**
 * Order for a circle of `count` bolts (1..FW_BOLTS_MOST), numbered from 1 clockwise. Multiples of
 * four go in crosses: a, a + n/2, a + n/4, a + 3n/4, the crosses themselves spread (1, 3, 2, 4 …),
 * so that 4, 8, 12, 16, 20 and 24 give the legacy cross-pattern of ASME PCC-1 (from memory). Other
 * even counts go in opposite pairs, the pairs spread likewise; odd ones by the stride nearest half
 * the circle that visits every bolt, (n - 1)/2. `order` has room for `count`.
 */
int fw_circle_order(unsigned *order, size_t count, struct fw_error *err);

/** Checks a list of passes as shares of the final torque: never falling, each in (0, 1], the last
 *  1, else FW_ERR_ARGUMENT names the pass. */
int fw_passes_check(const double *share, size_t count, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
