/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file check.h  Checks of numbers that the bearing solvers share. */
#ifndef FITWRIGHT_SOLVE_BEARING_CHECK_H
#define FITWRIGHT_SOLVE_BEARING_CHECK_H

#include <stdbool.h>

#include "fitwright/bearing.h"

bool fw_positive(double x);
bool fw_not_negative(double x);

/** Dw·cos α / Dpw. */
double fw_bearing_gamma(const struct fw_bearing *bearing);

#endif
