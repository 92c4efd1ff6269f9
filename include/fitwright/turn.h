/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file turn.h
 * Tightening by angle: bolt and clamped parts as springs. Past snug, a turn by `angle` shortens
 * what is clamped and stretches the bolt by angle/(2·pi)·P between them:
 *
 *     angle = 2·pi/P · (F - F_snug) · (1/k_bolt + 1/k_parts)
 *
 * (Budynas and Nisbett, Shigley's Mechanical Engineering Design, chapter 8: turn of the nut). It
 * holds while the bolt is below yield and all faces touch. Beyond yield the bolt itself sets the
 * preload, and an angle that was given for it must be kept to, not worked out. SI throughout,
 * angles in radians. All stiffnesses: FW_ERR_ARGUMENT names what can't be used, FW_ERR_RANGE when
 * the result is no finite number above 0.
 */
#ifndef FITWRIGHT_TURN_H
#define FITWRIGHT_TURN_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"
#include "fitwright/joint.h"

#ifdef __cplusplus
extern "C" {
#endif

struct fw_bolt_spring {
	struct fw_thread thread;
	double shank;    /**< plain length within the grip, m, 0 or more */
	double threaded; /**< threaded length within the grip, m, 0 or more; not both 0 */
	double modulus;  /**< Young's modulus, Pa: steel 205e9 to 210e9 */
	bool ends; /**< count head, engaged thread and nut too: 0.5·d, 0.5·d on the root and 0.4·d
	              (VDI 2230, from memory); else the grip alone, as Shigley does */
};

/** Stiffness of a bolt, N/m: k = Ad·At·E/(Ad·lt + At·ld) (Shigley, equation 8-17). */
int fw_bolt_stiffness(double *out, const struct fw_bolt_spring *bolt, struct fw_error *err);

/** Stiffness of a sleeve clamped end on, N/m: pi/4·(do² - di²)·E/l. */
int fw_sleeve_stiffness(double *out, double outer, double inner, double length, double modulus,
                        struct fw_error *err);

/** A clamped part. */
struct fw_layer {
	double length, modulus; /**< m, Pa */
};

/** Most layers in one joint. */
#define FW_LAYERS_MOST 64

/**
 * Stiffness of plates clamped between two faces, N/m: cones of 30° from both, meeting half way
 * (Shigley, equation 8-20, with the hole's diameter in place of the bolt's). `face` is the diameter
 * pressed on (1.5·d where it isn't known), `hole` that of the hole. For plates at least as wide as
 * the cones grow; narrower ones are softer. FW_ERR_ARGUMENT unless 0 < hole < face and each layer
 * is above 0.
 */
int fw_plates_stiffness(double *out, const struct fw_layer *layer, size_t count, double face,
                        double hole, struct fw_error *err);

struct fw_turn {
	double pitch;       /**< of the thread, m */
	double bolt, parts; /**< stiffnesses, N/m */
	double snug;        /**< preload from which the angle is counted, N, 0 or more */
};

/** Angle past snug for `preload` (N, not below snug); preload after `angle` (0 or more).
 * FW_ERR_ARGUMENT; FW_ERR_RANGE beyond ten turns, or when the result is no finite number. */
int fw_turn_angle(double *out, const struct fw_turn *turn, double preload, struct fw_error *err);
int fw_turn_preload(double *out, const struct fw_turn *turn, double angle, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
