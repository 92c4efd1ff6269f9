/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file press.h
 * Press and shrink fits of a hub on a shaft, solid or hollow, by Lamé's thick cylinders.
 *
 *     p = U / { d·[ (1/Eh)·((D² + d²)/(D² - d²) + vh) + (1/Es)·((d² + b²)/(d² - b²) - vs) ] }
 *
 * (Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th edition, equation 3-56, with
 * diameters), D outside of the hub, d the joint, b bore of the shaft, E modulus, v Poisson's ratio.
 * U is the interference on the diameter that is left:
 *
 *     U = measured interference - smoothing·(Rz1 + Rz2) + (as - ah)·warming·d
 *
 * The peaks of both surfaces are smoothed as the parts go together: 0.8 of the sum of their
 * roughness Rz is lost by DIN 7190 before 2017, 0.4 by DIN 7190-1:2017, both as quoted in the
 * manual of a calculation program; the standard itself was not read.
 *
 * Stresses are elastic, in plane stress (no axial stress), both parts of one length and of constant
 * section: a hub longer or shorter than its seat, a boss with a web, edges and speed are outside
 * the model. A share of yield above 1 says that it no longer holds.
 *
 * SI throughout.
 */
#ifndef FITWRIGHT_PRESS_H
#define FITWRIGHT_PRESS_H

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

struct fw_press_part {
	double modulus;   /**< Young's modulus, Pa, above zero */
	double poisson;   /**< 0 to below 0.5 */
	double yield;     /**< yield stress, Pa; 0: unknown, then shares are NAN */
	double expansion; /**< 1/K; used with warming only */
};

/** One thing at low, usual and high friction, or the friction itself. */
struct fw_press_range {
	double low, usual, high;
};

struct fw_press {
	double diameter;     /**< of the joint, m */
	double hub_outer;    /**< m, above the diameter */
	double shaft_bore;   /**< m, below the diameter; 0: solid */
	double length;       /**< of contact, m */
	double interference; /**< shaft - bore before assembly, on the diameter, m; at most 2 % of it */
	double roughness;    /**< Rz of both surfaces together, m; 0: none taken off */
	double smoothing;    /**< share of it that is lost, 0 to 1 */
	double warming;      /**< of both parts since they were measured, K; may be negative */
	struct fw_press_part hub, shaft;
	struct fw_press_range friction; /**< low, usual, high; above 0, below 1 */
};

struct fw_press_fit {
	double interference; /**< U, m; zero or less: loose, and all below it is zero */
	double pressure;     /**< Pa */
	double hub_hoop;     /**< at the hub's bore, Pa; radial stress there is -pressure */
	double hub_mises;    /**< equivalent stresses at the hub's bore, Pa */
	double hub_tresca;
	double shaft_hoop;   /**< at the shaft's surface, Pa, negative; radial is -pressure */
	double shaft_mises;  /**< greatest in the shaft: at its surface, or at its bore where hollow */
	double shaft_tresca; /**< likewise */
	double shaft_skin_mises;      /**< at its surface */
	double hub_share;             /**< Tresca / yield of the hub; NAN when unknown */
	double shaft_share;           /**< likewise */
	double hub_growth;            /**< of the hub's outside diameter, m */
	double shaft_shrink;          /**< of the shaft's bore, m; 0 when solid */
	struct fw_press_range force;  /**< axial, at which it slips, N: pi·d·L·p·friction */
	struct fw_press_range torque; /**< at which it slips, N·m: force·d/2 */
};

/** FW_ERR_ARGUMENT names what isn't finite or can't be (a hub no larger than the joint, a bore as
 *  large as the shaft); FW_ERR_RANGE for an interference beyond 2 % of the diameter, or a result
 *  that is no finite number. */
int fw_press_fit(struct fw_press_fit *out, const struct fw_press *press, struct fw_error *err);

/** How much warmer than the shaft the hub must be, K, to go on with `clearance` to spare (m, on the
 *  diameter): (interference + clearance) / (expansion·diameter). Interference and clearance from 0
 *  to 2 % of the diameter, expansion above 0, else FW_ERR_ARGUMENT; FW_ERR_RANGE when the rise is
 * no finite number. */
int fw_press_heating(double *out, double diameter, double interference, double clearance,
                     double expansion, struct fw_error *err);

/** Friction of steel on steel or iron, 0.08, 0.12, 0.20. Common practice, no source. */
struct fw_press_range fw_press_friction(void);

#ifdef __cplusplus
}
#endif

#endif
