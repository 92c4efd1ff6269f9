/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file draws.h  Random numbers for made-up cases: the same in every run and on every machine. */
#ifndef FITWRIGHT_TESTS_DRAWS_H
#define FITWRIGHT_TESTS_DRAWS_H

#include <stdint.h>

/* splitmix64 (public domain). */
static inline uint64_t next(uint64_t *seed)
{
	uint64_t z = *seed += 0x9E3779B97F4A7C15U;

	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
	return z ^ (z >> 31);
}

/* From 0 to below 1. */
static inline double uniform(uint64_t *seed)
{
	return (double)(next(seed) >> 11) / 9007199254740992.0;
}

#endif
