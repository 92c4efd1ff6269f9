/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

extern const struct fw_calculator fw_calculator_conform, fw_calculator_readings, fw_calculator_risk;

const struct fw_calculator *const fw_calculators_conform[] = {
    &fw_calculator_conform, &fw_calculator_readings, &fw_calculator_risk, NULL};
