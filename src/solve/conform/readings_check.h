/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file readings_check.h  At least one reading, each a finite number. */
#ifndef FITWRIGHT_SOLVE_READINGS_CHECK_H
#define FITWRIGHT_SOLVE_READINGS_CHECK_H

#include "fitwright/readings.h"

int fw_readings_check(const double *x, size_t count, struct fw_error *err);

#endif
