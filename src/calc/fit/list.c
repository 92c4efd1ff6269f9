/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

extern const struct fw_calculator fw_calculator_fit, fw_calculator_oil_clearance,
    fw_calculator_piston, fw_calculator_ring_gap, fw_calculator_press_fit;

const struct fw_calculator *const fw_calculators_fit[] = {
    &fw_calculator_fit,    &fw_calculator_press_fit, &fw_calculator_oil_clearance,
    &fw_calculator_piston, &fw_calculator_ring_gap,  NULL};
