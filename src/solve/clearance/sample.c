/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/clearance/sample.h"

#include <math.h>
#include <string.h>

#include "solve/clearance/clones.h"

#define QUARTER (FW_BATCH / 4)
#define LOW     0xffffffffu

/* Multipliers and key steps of Philox4x32; ten rounds. 32-bit values sit in 64-bit lanes, as there
 * a compiler finds the vector multiplication. */
FW_CLONES
static void fill(uint32_t *restrict out, const uint32_t *restrict counter,
                 const uint32_t *restrict key)
{
	uint32_t first = counter[0], c1 = counter[1], c2 = counter[2], c3 = counter[3];
	uint32_t key0 = key[0], key1 = key[1];

	for (uint32_t g = 0; g < QUARTER; g++) {
		uint64_t x0 = first + g, x1 = c1, x2 = c2, x3 = c3;
		uint32_t k0 = key0, k1 = key1;

#if defined(__GNUC__)
#pragma GCC unroll 10
#endif
		for (int round = 0; round < 10; round++) {
			uint64_t p0 = (x0 & LOW) * 0xD2511F53u, p1 = (x2 & LOW) * 0xCD9E8D57u;

			x0 = (p1 >> 32) ^ x1 ^ k0;
			x2 = (p0 >> 32) ^ x3 ^ k1;
			x1 = p1 & LOW;
			x3 = p0 & LOW;
			k0 += 0x9E3779B9u;
			k1 += 0xBB67AE85u;
		}
		out[g] = (uint32_t)x0;
		out[QUARTER + g] = (uint32_t)x1;
		out[2 * QUARTER + g] = (uint32_t)x2;
		out[3 * QUARTER + g] = (uint32_t)x3;
	}
}

void fw_philox_fill(uint32_t draw[FW_BATCH], const uint32_t counter[4], const uint32_t key[2])
{
	fill(draw, counter, key);
}

/* A draw as a number evenly spread over (-1, 1), the middle of its step. */
static inline double even(uint32_t draw)
{
	return ((double)(int32_t)draw + 0.5) * 0x1p-31;
}

FW_CLONES
static void add_uniform(double *restrict gap, const uint32_t *restrict draw, double scale)
{
	for (size_t i = 0; i < FW_BATCH; i++)
		gap[i] += scale * even(draw[i]);
}

/* P(|x| > h) = (1 - h)², and the sign of the draw. */
FW_CLONES
static void add_triangular(double *restrict gap, const uint32_t *restrict draw, double scale)
{
	for (size_t i = 0; i < FW_BATCH; i++)
		gap[i] += copysign(scale, even(draw[i])) * (1.0 - sqrt(fabs(even(draw[i]))));
}

/* sin(pi/2·t), t even over (-1, 1), by its Taylor series to t^17 (within 5e-14): libm's sine may
 * round otherwise elsewhere. */
FW_CLONES
static void add_arcsine(double *restrict gap, const uint32_t *restrict draw, double scale)
{
	for (size_t i = 0; i < FW_BATCH; i++) {
		double x = 1.57079632679489661923 * even(draw[i]), y = x * x;
		double sum = 1.0 - y * (1.0 / 272.0);

		sum = 1.0 - y * (1.0 / 210.0) * sum;
		sum = 1.0 - y * (1.0 / 156.0) * sum;
		sum = 1.0 - y * (1.0 / 110.0) * sum;
		sum = 1.0 - y * (1.0 / 72.0) * sum;
		sum = 1.0 - y * (1.0 / 42.0) * sum;
		sum = 1.0 - y * (1.0 / 20.0) * sum;
		sum = 1.0 - y * (1.0 / 6.0) * sum;
		gap[i] += scale * (x * sum);
	}
}

/* The draw's highest bit is the side, the rest is u of that tail; row and argument are read off the
 * bits of 2^32·u. The sign goes by bits too, as a branch would go wrong half the time. Loads decide
 * the speed here, and wider vectors would gather them one by one: no clones. */
static void add_normal(double *restrict gap, const uint32_t *restrict draw, double scale)
{
	for (size_t i = 0; i < FW_BATCH; i++) {
		double v = (double)(int32_t)draw[i] + 0.5, m;
		uint64_t bits;

		memcpy(&bits, &v, sizeof bits);
		const double *c = fw_normal_table[(bits >> 49) & 0xff];
		bits = (bits & 0x1ffffffffffffu) | 0x3ff0000000000000u;
		memcpy(&m, &bits, sizeof m);
		double t = m - 1.0;
		double z = (c[3] * t + c[2]) * (t * t) + (c[1] * t + c[0]);
		gap[i] += copysign(scale, v) * z;
	}
}

void fw_sample_add(double gap[FW_BATCH], const uint32_t draw[FW_BATCH], enum fw_stackup_shape shape,
                   double scale)
{
	switch (shape) {
	case FW_STACKUP_UNIFORM:
		add_uniform(gap, draw, scale);
		break;
	case FW_STACKUP_TRIANGULAR:
		add_triangular(gap, draw, scale);
		break;
	case FW_STACKUP_ARCSINE:
		add_arcsine(gap, draw, scale);
		break;
	case FW_STACKUP_NORMAL:
	case FW_STACKUP_MEASURED:
		add_normal(gap, draw, scale);
		break;
	}
}
