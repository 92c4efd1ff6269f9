/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file kelvin.h  Checks that the thermal solvers share. */
#ifndef FITWRIGHT_SOLVE_KELVIN_H
#define FITWRIGHT_SOLVE_KELVIN_H

#include "fitwright/error.h"

/** 0 °C in kelvins. */
#define FW_CELSIUS 273.15

/** In -60 °C to 300 °C; else FW_ERR_ARGUMENT (not finite) or FW_ERR_RANGE, beginning with `what`.
 */
int fw_kelvin_check(double kelvin, const char *what, struct fw_error *err);

/** A coefficient of expansion that is no slip of units, and its uncertainty. */
int fw_alpha_check(double alpha, double u, const char *what, struct fw_error *err);

#endif
