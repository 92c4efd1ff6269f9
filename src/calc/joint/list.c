/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

extern const struct fw_calculator fw_calculator_torque, fw_calculator_strip, fw_calculator_adapter,
    fw_calculator_order, fw_calculator_angle, fw_calculator_thread;

const struct fw_calculator *const fw_calculators_joint[] = {&fw_calculator_torque,
                                                            &fw_calculator_strip,
                                                            &fw_calculator_adapter,
                                                            &fw_calculator_order,
                                                            &fw_calculator_angle,
                                                            &fw_calculator_thread,
                                                            NULL};
