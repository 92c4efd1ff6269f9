/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file plain_sample.h  src/solve/clearance/sample.c compiled once more, without clones or
 * vectors. */
#ifndef FITWRIGHT_TESTS_PLAIN_SAMPLE_H
#define FITWRIGHT_TESTS_PLAIN_SAMPLE_H

#include "solve/clearance/sample.h"

void plain_fill(uint32_t draw[FW_BATCH], const uint32_t counter[4], const uint32_t key[2]);
void plain_add(double gap[FW_BATCH], const uint32_t draw[FW_BATCH], enum fw_stackup_shape shape,
               double scale);

#endif
