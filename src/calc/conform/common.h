/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file common.h  What the calculators of measurements share. */
#ifndef FITWRIGHT_CALC_CONFORM_COMMON_H
#define FITWRIGHT_CALC_CONFORM_COMMON_H

#include "calc/figure.h"
#include "fitwright/calc.h"
#include "fitwright/conform.h"

/** Most r of a guard band, either sign: beyond, it is a slip. */
#define FW_CALC_GUARD 100.0

/** Inputs min and max as limits; a side not given is open. FW_ERR_ARGUMENT where neither is, and
 * where one is uncertain: limits are taken as exact. */
int fw_calc_limits(struct fw_limits *out, const struct fw_calc_values *in, struct fw_error *err);

/** What is given of the inputs listed (ended by NULL; lists too) is 0 or 1e-30 to 1e9 in SI, either
 * sign. Else FW_ERR_RANGE naming the input. Keeps quotients finite. */
int fw_calc_usable(const struct fw_calc_values *in, const char *const *names, struct fw_error *err);

/** Puts out limits, each side that isn't open. */
void fw_calc_put_limits(struct fw_calc_out *out, const struct fw_limits *limits,
                        const struct fw_unit *unit);

#endif
