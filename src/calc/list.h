/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file list.h  The tables of calculators, one for each trade, ended by NULL. */
#ifndef FITWRIGHT_CALC_LIST_H
#define FITWRIGHT_CALC_LIST_H

#include "fitwright/calc.h"

extern const struct fw_calculator *const fw_calculators_conform[],
    *const fw_calculators_shim[], *const fw_calculators_reuse[],
                                      *const fw_calculators_clearance[],
                                          *const fw_calculators_fit[],
                                              *const fw_calculators_joint[],
                                                  *const fw_calculators_bearing[];

#endif
