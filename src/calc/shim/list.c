/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

extern const struct fw_calculator fw_calculator_shim, fw_calculator_gasket,
    fw_calculator_turning_torque, fw_calculator_preload_stack, fw_calculator_shims_together;

const struct fw_calculator *const fw_calculators_shim[] = {
    &fw_calculator_shim,          &fw_calculator_gasket,         &fw_calculator_turning_torque,
    &fw_calculator_preload_stack, &fw_calculator_shims_together, NULL,
};
