/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file common.h  What the calculators of measurements share. */
#ifndef FITWRIGHT_CALC_CONFORM_COMMON_H
#define FITWRIGHT_CALC_CONFORM_COMMON_H

#include "fitwright/calc.h"
#include "fitwright/conform.h"

/** Room for one figure in a line of working. */
#define FW_FIGURE 48

/** Most r of a guard band, either sign: beyond, it is a slip. */
#define FW_CALC_GUARD 100.0

/** Inputs min and max as limits; a side not given is open. FW_ERR_ARGUMENT where neither is, and
 * where one is uncertain: limits are taken as exact. */
int fw_calc_limits(struct fw_limits *out, const struct fw_calc_values *in, struct fw_error *err);

/** What is given of the inputs listed (ended by NULL; lists too) is 0 or 1e-30 to 1e9 in SI, either
 * sign. Else FW_ERR_RANGE naming the input. Keeps quotients finite. */
int fw_calc_usable(const struct fw_calc_values *in, const char *const *names, struct fw_error *err);

/** A plain number with six figures. Returns `buffer`. */
const char *fw_calc_plain(double value, char buffer[FW_FIGURE]);

/** The unit of a difference: K for a temperature on a scale. */
const struct fw_unit *fw_calc_span_unit(const struct fw_unit *unit);

/** A unit in which a thousandth of the other's step is still seen: µm for metric lengths, thou for
 *  inches; of other quantities that of a difference. */
const struct fw_unit *fw_calc_fine(const struct fw_unit *unit);

/** Puts out limits, each side that isn't open. */
void fw_calc_put_limits(struct fw_calc_out *out, const struct fw_limits *limits,
                        const struct fw_unit *unit);

#endif
