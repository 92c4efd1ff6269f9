/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

extern const struct fw_calculator fw_calculator_bearing, fw_calculator_bearing_fit,
    fw_calculator_clearance_class, fw_calculator_frequencies, fw_calculator_gear_mesh,
    fw_calculator_noise;

const struct fw_calculator *const fw_calculators_bearing[] = {&fw_calculator_bearing,
                                                              &fw_calculator_clearance_class,
                                                              &fw_calculator_bearing_fit,
                                                              &fw_calculator_frequencies,
                                                              &fw_calculator_gear_mesh,
                                                              &fw_calculator_noise,
                                                              NULL};
