/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file sample.h  Random numbers in batches, and the deviations of parts made from them. */
#ifndef FITWRIGHT_SOLVE_SAMPLE_H
#define FITWRIGHT_SOLVE_SAMPLE_H

#include <stdint.h>

#include "fitwright/stackup.h"

/** Numbers in a batch: small enough that a batch stays in the first cache. */
#define FW_BATCH 1024

/** A batch of Philox4x32-10: blocks with the counters `counter`, `counter` + 1 … in its first word.
 *  Word w of block g is draw[w·FW_BATCH/4 + g]. */
void fw_philox_fill(uint32_t draw[FW_BATCH], const uint32_t counter[4], const uint32_t key[2]);

/** Adds to each gap a deviation of the shape, made of its draw: of a normal or measured link with
 *  standard deviation `scale`, of the others within ±scale. */
void fw_sample_add(double gap[FW_BATCH], const uint32_t draw[FW_BATCH], enum fw_stackup_shape shape,
                   double scale);

/** Where normal deviations are cut off, in standard deviations. */
#define FW_NORMAL_REACH 6.338

/** Upper tail of the normal: for 2^32·u = m·2^e, e from -1 to 30, m in [1 + s/8, 1 + (s+1)/8), the
 *  quantile is a + b·t + c·t² + d·t³ with t = m - 1 - s/8, within 2e-7. The row is the lowest five
 *  bits of e's IEEE 754 exponent (e + 1023) and the three of s. */
extern const double fw_normal_table[256][4];

#endif
