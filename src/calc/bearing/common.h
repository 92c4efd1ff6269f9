/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file common.h  What the calculators of bearings and gears share. */
#ifndef FITWRIGHT_CALC_BEARING_COMMON_H
#define FITWRIGHT_CALC_BEARING_COMMON_H

#include "calc/figure.h"
#include "fitwright/bearing.h"
#include "fitwright/calc.h"

/** Fields "balls" to "length" of a bearing, for a list of inputs. `needed`: must they be given? */
#define FW_GEOMETRY_INPUTS(needed)                                                                 \
	{.name = "balls",                                                                              \
	 .kind = FW_CALC_WHOLE,                                                                        \
	 .sign = FW_CALC_POSITIVE,                                                                     \
	 .required = (needed),                                                                         \
	 .doc = "balls or rollers in one row"},                                                        \
	    {.name = "dia",                                                                            \
	     .kind = FW_CALC_QUANTITY,                                                                 \
	     .unit = "mm",                                                                             \
	     .sign = FW_CALC_POSITIVE,                                                                 \
	     .required = (needed),                                                                     \
	     .doc = "their diameter"},                                                                 \
	    {.name = "pitch",                                                                          \
	     .kind = FW_CALC_QUANTITY,                                                                 \
	     .unit = "mm",                                                                             \
	     .sign = FW_CALC_POSITIVE,                                                                 \
	     .required = (needed),                                                                     \
	     .doc = "diameter of the circle of their centres"},                                        \
	{                                                                                              \
		.name = "angle", .kind = FW_CALC_QUANTITY, .unit = "°", .sign = FW_CALC_NOT_NEGATIVE,      \
		.doc = "contact angle, 0 for deep groove"                                                  \
	}

/** A whole number from 1 to `most`, which fits into an unsigned. FW_ERR_ARGUMENT for any other,
 *  naming the input; a fraction is rounded. */
int fw_bearing_whole(unsigned *out, const struct fw_calc_values *in, const char *name,
                     unsigned most, struct fw_error *err);

/** Puts such a bearing together: rows 1, balls unless a field "length" is given. FW_ERR_ARGUMENT
 * when the number of balls is none an unsigned holds. */
int fw_bearing_take(struct fw_bearing *out, const struct fw_calc_values *in, struct fw_error *err);

/** Turns a second: rad/s to Hz. */
double fw_bearing_hertz(double speed);

/** Frequencies of a defect as results, Hz. */
void fw_bearing_put_sounds(struct fw_calc_out *out, const struct fw_bearing_frequencies *f);

#endif
