/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file risk_check.h  What acceptance limits and risks ask of their arguments alike. */
#ifndef FITWRIGHT_SOLVE_RISK_CHECK_H
#define FITWRIGHT_SOLVE_RISK_CHECK_H

#include "fitwright/conform.h"

/** A place for the result, sound limits, u finite and not negative. */
int fw_risk_check(const void *out, const struct fw_limits *tolerance, double u,
                  struct fw_error *err);

#endif
