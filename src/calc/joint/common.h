/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file common.h  What the calculators of joints share: units, figures, the joint as it was given.
 */
#ifndef FITWRIGHT_CALC_JOINT_COMMON_H
#define FITWRIGHT_CALC_JOINT_COMMON_H

#include "calc/figure.h"
#include "fitwright/calc.h"
#include "fitwright/joint.h"

/** kN for a thread in mm, lbf for one in inches; mm or in. */
const char *fw_joint_force_unit(const struct fw_thread *thread);
const char *fw_joint_length_unit(const struct fw_thread *thread);

/** Reads the input "thread". */
int fw_joint_read_thread(struct fw_thread *out, const struct fw_calc_values *in,
                         struct fw_error *err);

/** Reads "class" when it is given; else all zeros. */
int fw_joint_read_strength(struct fw_strength *out, const struct fw_calc_values *in,
                           const struct fw_thread *thread, struct fw_error *err);

/** Reads the whole joint of the calculator "torque": friction, bearing face, wrench. */
int fw_joint_read(struct fw_joint *out, struct fw_strength *strength,
                  const struct fw_calc_values *in, struct fw_error *err);

/** Shear strength from "parent" or "parent-shear"; NAN and FW_OK when neither is given. `*source`
 * gets where it comes from, or NULL. */
int fw_joint_read_parent(double *shear, const char **source, const struct fw_calc_values *in,
                         struct fw_error *err);

/** Works stripping out, with lines and results; `preload` (N): the highest the joint may see, or
 * NAN. */
int fw_joint_put_strip(struct fw_calc_out *out, const struct fw_calc_values *in,
                       const struct fw_thread *thread, const struct fw_strength *strength,
                       double preload, struct fw_error *err);

/** What the help says of parent materials. */
#define FW_PARENTS_ABOUT                                                                           \
	"Parent materials: cast aluminium, die-cast aluminium, wrought aluminium,\n"                   \
	"cast magnesium, die-cast magnesium, grey cast iron, spheroidal cast iron,\n"                  \
	"mild steel, heat-treated steel, brass. Their strengths are typical values of\n"               \
	"weak sorts; give parent-shear where you know better."

#endif
