/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_sample.h"

#define FW_NO_CLONES
#define fw_philox_fill plain_fill
#define fw_sample_add  plain_add

#include "solve/clearance/sample.c"
