/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file press_inputs.h  From what was given for a press fit to what the solver takes. */
#ifndef FITWRIGHT_CALC_FIT_PRESS_INPUTS_H
#define FITWRIGHT_CALC_FIT_PRESS_INPUTS_H

#include "calc/fit/common.h"
#include "fitwright/press.h"

/** The interference before assembly: one figure off two measured parts, or the two ends of a fit.
 */
struct fw_press_case {
	bool range;         /**< from a fit: least and greatest */
	double least, most; /**< m; negative is clearance */
	double diameter;    /**< m */
};

extern const struct fw_calc_input fw_press_inputs[];

/** From `fit`, or from `shaft` and `bore`, with its line of working. */
int fw_press_take_case(struct fw_press_case *out, struct fw_calc_out *put,
                       const struct fw_calc_values *in, struct fw_error *err);

/** Everything else; the interference is left at zero. */
void fw_press_take(struct fw_press *out, double diameter, const struct fw_calc_values *in);

#endif
