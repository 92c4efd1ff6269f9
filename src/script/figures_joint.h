/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file figures_joint.h  Reads a joint of a unit sheet. */
#ifndef FITWRIGHT_SCRIPT_FIGURES_JOINT_H
#define FITWRIGHT_SCRIPT_FIGURES_JOINT_H

#include "figures.h"

/* From the checked table at index 1 into a zeroed figure. Raises only when the stack is full. */
int fw_figure_read_joint(struct fw_figure_joint *out, lua_State *L, struct fw_error *error);

#endif
