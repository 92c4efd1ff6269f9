/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

const struct fw_calculator *const fw_calculators_fit[] = {NULL};
