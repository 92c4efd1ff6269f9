/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

extern const struct fw_calculator fw_calculator_reuse;

const struct fw_calculator *const fw_calculators_reuse[] = {&fw_calculator_reuse, NULL};
