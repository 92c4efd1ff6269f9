/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

extern const struct fw_calculator fw_calculator_stack_up, fw_calculator_thermal,
    fw_calculator_hot_fit, fw_calculator_heat_fit;

const struct fw_calculator *const fw_calculators_clearance[] = {
    &fw_calculator_stack_up, &fw_calculator_thermal, &fw_calculator_hot_fit,
    &fw_calculator_heat_fit, NULL};
