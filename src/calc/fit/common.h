/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file common.h  What the calculators of fits share: units, figures, planes of readings. */
#ifndef FITWRIGHT_CALC_FIT_COMMON_H
#define FITWRIGHT_CALC_FIT_COMMON_H

#include "calc/figure.h"
#include "fitwright/bore.h"
#include "fitwright/calc.h"

/** Fields of a plane: "52.01", "52.01, across=52.02". */
extern const struct fw_calc_input fw_plane_fields[];

/** The planes of input `name` as one part, with its lines of working and results ("bore-taper" …).
 *  A result that the readings can't give is left out. */
int fw_fit_planes(struct fw_roundness *out, struct fw_calc_out *put,
                  const struct fw_calc_values *in, const char *name, struct fw_error *err);

/** Lines and results of a running clearance; `what` is the inner part ("journal"). */
void fw_fit_put_running(struct fw_calc_out *out, const struct fw_running *running,
                        const struct fw_roundness *bore, double shell,
                        const struct fw_roundness *inner, const char *what,
                        const struct fw_unit *unit);

#endif
