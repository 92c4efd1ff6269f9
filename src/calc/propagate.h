/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file propagate.h  From the uncertainty of the inputs to that of the results. */
#ifndef FITWRIGHT_CALC_PROPAGATE_H
#define FITWRIGHT_CALC_PROPAGATE_H

#include "fitwright/calc.h"

/* Most sources of uncertainty in one calculation: each costs two more runs. */
#define FW_CALC_SOURCES 1000

/* Most sources that a result carries by themselves: half of what a quantity holds, so that the
 * result can still be combined with others. */
#define FW_CALC_TERMS (FW_TERMS / 2)

/* Runs the calculator once. The caller frees `*out`. */
int fw_calc_run(struct fw_calc_out **out, const struct fw_calculator *calculator,
                const struct fw_calc_values *values, bool quiet, struct fw_error *err);

/* Warns of inputs that carry an uncertainty which the calculator never asked for. */
void fw_calc_warn_unused(struct fw_calc_out *out, const struct fw_calc_values *values);

/* Gives the results in `out` their uncertainty. A result carries up to FW_CALC_TERMS sources; where
 * there are more, all from the last one on are one independent source of its own. */
int fw_calc_propagate(struct fw_calc_out *out, const struct fw_calculator *calculator,
                      struct fw_calc_values *values, struct fw_error *err);

#endif
