/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The random numbers under the trials, and the parts made of them. */
#include "check.h"

#include <gsl/gsl_cdf.h>
#include <stdlib.h>
#include <string.h>

#include "plain_sample.h"

#define COUNT(a) (sizeof(a) / sizeof(a)[0])
#define BATCHES  256
#define DRAWS    (BATCHES * FW_BATCH)

static const enum fw_stackup_shape all_shapes[] = {FW_STACKUP_NORMAL, FW_STACKUP_UNIFORM,
                                                   FW_STACKUP_TRIANGULAR, FW_STACKUP_ARCSINE,
                                                   FW_STACKUP_MEASURED};

/* Rows "philox4x32 10" of tests/kat_vectors in Random123 1.14 (Salmon, Moraes, Dror and Shaw). */
static void test_published_vectors(void **state)
{
	static const uint32_t row[][10] = {
	    {0, 0, 0, 0, 0, 0, 0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8},
	    {0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0x408f276d,
	     0x41c83b0e, 0xa20bc7c6, 0x6d5451fd},
	    {0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344, 0xa4093822, 0x299f31d0, 0xd16cfe09,
	     0x94fdcceb, 0x5001e420, 0x24126ea1}};
	uint32_t draw[FW_BATCH];
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		/* The vector as the first block of a batch, and as one in its midst. */
		for (uint32_t g = 0; g < FW_BATCH / 4; g += 85) {
			uint32_t counter[4] = {row[i][0] - g, row[i][1], row[i][2], row[i][3]};

			fw_philox_fill(draw, counter, &row[i][4]);
			for (size_t word = 0; word < 4; word++)
				assert_int_equal(draw[word * FW_BATCH / 4 + g], row[i][6 + word]);
		}
	}
}

static double normal_of(uint32_t draw)
{
	double gap[FW_BATCH] = {0};
	uint32_t draws[FW_BATCH] = {0};

	draws[7] = draw;
	fw_sample_add(gap, draws, FW_STACKUP_NORMAL, 1.0);
	return gap[7];
}

/* GSL's quantile at the tail that the draw stands for. */
static double quantile_of(uint32_t draw)
{
	double signed_half = (double)(int32_t)draw + 0.5, tail = fabs(signed_half) * 0x1p-32;

	return copysign(gsl_cdf_ugaussian_Qinv(tail), signed_half);
}

/* Both ends and the middle of each of the table's 256 pieces, on either side; then a stride through
 * all draws. The claim is 2e-7; the pieces meet each other within it. */
static void test_normal_against_gsl(void **state)
{
	double worst = 0;
	(void)state;

	for (unsigned octave = 0; octave < 31; octave++) {
		for (unsigned part = 0; part < 8; part++) {
			double start = ldexp(1.0 + part / 8.0, (int)octave), width = ldexp(0.125, (int)octave);

			for (int i = 0; i <= 16; i++) {
				double at = fmin(start + width * i / 16.0, 2147483647.0);
				uint32_t draw = (uint32_t)at;

				worst = fmax(worst, fabs(normal_of(draw) - quantile_of(draw)));
				worst = fmax(worst, fabs(normal_of(~draw) - quantile_of(~draw)));
				/* x and its mirror come of draws that differ in every bit. */
				assert_near(normal_of(draw), -normal_of(~draw), 0);
			}
		}
	}
	for (uint64_t draw = 0; draw <= UINT32_MAX; draw += 1048573)
		worst = fmax(worst, fabs(normal_of((uint32_t)draw) - quantile_of((uint32_t)draw)));
	assert_near(worst, 0, 2e-7);
	assert_near(normal_of(0), FW_NORMAL_REACH, 5e-4); /* the furthest */
}

/* What the draws make at both ends of the range and in the middle of it. */
static void test_ends(void **state)
{
	static const uint32_t draws[] = {0x80000000u, 0xffffffffu, 0, 0x7fffffffu, 0x40000000u};
	uint32_t draw[FW_BATCH] = {0};
	double gap[3][FW_BATCH] = {{0}};
	(void)state;

	memcpy(draw, draws, sizeof draws);
	fw_sample_add(gap[0], draw, FW_STACKUP_UNIFORM, 2.0);
	fw_sample_add(gap[1], draw, FW_STACKUP_TRIANGULAR, 2.0);
	fw_sample_add(gap[2], draw, FW_STACKUP_ARCSINE, 2.0);
	for (size_t shape = 0; shape < 3; shape++) {
		for (size_t i = 0; i < FW_BATCH; i++)
			assert_true(fabs(gap[shape][i]) < 2.0 + (shape == 2 ? 1e-12 : 0));
	}
	assert_near(gap[0][0], -2, 1e-9);
	assert_near(gap[0][1], 0, 1e-9);
	assert_near(gap[0][3], 2, 1e-9);
	assert_near(gap[0][4], 1, 1e-9);
	assert_near(gap[1][2], 2, 1e-4); /* small draws are the tails here: P(|x| > h) = (1 - h)² */
	assert_near(gap[1][4], 2 * (1 - sqrt(0.5)), 1e-9);
	assert_near(gap[2][0], -2, 1e-9);
	assert_near(gap[2][4], 2 * sin(0.25 * 3.14159265358979323846), 1e-9);
}

static double distribution(enum fw_stackup_shape shape, double x)
{
	switch (shape) {
	case FW_STACKUP_UNIFORM:
		return gsl_cdf_flat_P(x, -1, 1);
	case FW_STACKUP_TRIANGULAR:
		return x < 0 ? (1 + x) * (1 + x) / 2 : 1 - (1 - x) * (1 - x) / 2;
	case FW_STACKUP_ARCSINE: /* on (0, 1) it is the beta of ½ and ½ */
		return gsl_cdf_beta_P((1 + x) / 2, 0.5, 0.5);
	default:
		return gsl_cdf_ugaussian_P(x);
	}
}

static double *parts_of(enum fw_stackup_shape shape, uint32_t seed)
{
	double *x = (double *)calloc(DRAWS, sizeof *x);
	uint32_t draw[FW_BATCH], key[2] = {seed, 0};

	assert_non_null(x);
	for (uint32_t i = 0; i < BATCHES; i++) {
		uint32_t counter[4] = {i * (FW_BATCH / 4), 0, 0, 0};

		fw_philox_fill(draw, counter, key);
		fw_sample_add(x + (size_t)i * FW_BATCH, draw, shape, 1.0);
	}
	return x;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return (x > y) - (x < y);
}

/* Kolmogorov and Smirnov's distance: P(D > 1.95/√n) is 0.001 for large n. */
static void check_distance(enum fw_stackup_shape shape, double *x)
{
	double worst = 0;

	qsort(x, DRAWS, sizeof *x, by_size);
	for (size_t i = 0; i < DRAWS; i++) {
		double p = distribution(shape, x[i]);

		worst = fmax(worst, fmax((double)(i + 1) / DRAWS - p, p - (double)i / DRAWS));
	}
	if (worst > 1.95 / sqrt(DRAWS))
		fail_msg("%s: distance %g", fw_stackup_shape_name(shape), worst * sqrt(DRAWS));
}

/* Pearson's chi-square over a thousand equally likely cells: neither too far nor too even. */
static void check_cells(enum fw_stackup_shape shape, const double *x)
{
	static unsigned cell[1000];
	double sum = 0, expected = (double)DRAWS / COUNT(cell);

	memset(cell, 0, sizeof cell);
	for (size_t i = 0; i < DRAWS; i++) {
		size_t at = (size_t)(distribution(shape, x[i]) * COUNT(cell));

		cell[at < COUNT(cell) ? at : COUNT(cell) - 1]++;
	}
	for (size_t i = 0; i < COUNT(cell); i++)
		sum += (cell[i] - expected) * (cell[i] - expected) / expected;
	double p = gsl_cdf_chisq_Q(sum, COUNT(cell) - 1);
	if (p < 0.001 || p > 0.999)
		fail_msg("%s: chi-square %g, p = %g", fw_stackup_shape_name(shape), sum, p);
}

static void check_moments(enum fw_stackup_shape shape, const double *x)
{
	static const double variance[] = {1, 1.0 / 3, 1.0 / 6, 0.5, 1};
	static const double kurtosis[] = {3, 1.8, 2.4, 1.5, 3};
	double sum = 0, square = 0, fourth = 0, n = DRAWS, v = variance[shape];

	for (size_t i = 0; i < DRAWS; i++) {
		sum += x[i];
		square += x[i] * x[i];
		fourth += x[i] * x[i] * x[i] * x[i];
	}
	/* Four standard errors of each; a fourth power's needs the eighth moment, 105 at most. */
	assert_near(sum / n, 0, 4 * sqrt(v / n));
	assert_near(square / n, v, 4 * v * sqrt((kurtosis[shape] - 1) / n));
	assert_near(fourth / n, kurtosis[shape] * v * v, 4 * v * v * sqrt(105 / n));
}

static void test_distributions(void **state)
{
	(void)state;

	for (size_t i = 0; i < COUNT(all_shapes); i++) {
		double *x = parts_of(all_shapes[i], 20 + (uint32_t)i);

		check_moments(all_shapes[i], x);
		check_cells(all_shapes[i], x);
		check_distance(all_shapes[i], x);
		free(x);
	}
}

/* Neighbouring trials, links and seeds know nothing of each other: correlations within 4.5/√n. */
static void test_streams_are_apart(void **state)
{
	static uint32_t draw[4][FW_BATCH];
	double product[3] = {0}, neighbours = 0, n = 64.0 * FW_BATCH;
	(void)state;

	for (uint32_t i = 0; i < 64; i++) {
		uint32_t counter[4] = {i * (FW_BATCH / 4), 0, 0, 0}, key[2] = {1, 0};

		fw_philox_fill(draw[0], counter, key);
		counter[1] = 1;
		fw_philox_fill(draw[1], counter, key);
		counter[1] = 0;
		key[0] = 2;
		fw_philox_fill(draw[2], counter, key);
		key[0] = 1;
		key[1] = 1;
		fw_philox_fill(draw[3], counter, key);
		for (size_t j = 0; j < FW_BATCH; j++) {
			double x = ((double)draw[0][j] * 0x1p-32 - 0.5) * sqrt(12);

			for (size_t k = 0; k < 3; k++)
				product[k] += x * ((double)draw[k + 1][j] * 0x1p-32 - 0.5) * sqrt(12);
			neighbours += x * ((double)draw[0][(j + 1) % FW_BATCH] * 0x1p-32 - 0.5) * sqrt(12);
		}
	}
	for (size_t k = 0; k < 3; k++)
		assert_near(product[k] / n, 0, 4.5 / sqrt(n));
	assert_near(neighbours / n, 0, 4.5 / sqrt(n));
}

/* The loops as the library has them, at whatever width this processor has, and plain. */
static void test_same_bits_at_any_width(void **state)
{
	uint32_t draw[FW_BATCH], plain[FW_BATCH], key[2] = {99, 7};
	double gap[2][FW_BATCH];
	(void)state;

	memset(gap, 0, sizeof gap);
	for (uint32_t i = 0; i < 40; i++) {
		uint32_t counter[4] = {0xfffff000u + i * (FW_BATCH / 4), i, 3, 4};

		fw_philox_fill(draw, counter, key);
		plain_fill(plain, counter, key);
		assert_memory_equal(draw, plain, sizeof draw);
		for (size_t s = 0; s < COUNT(all_shapes); s++) {
			fw_sample_add(gap[0], draw, all_shapes[s], 0.37 * (double)(s + 1));
			plain_add(gap[1], draw, all_shapes[s], 0.37 * (double)(s + 1));
			assert_memory_equal(gap[0], gap[1], sizeof gap[0]);
		}
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(test_published_vectors),
	                                   cmocka_unit_test(test_normal_against_gsl),
	                                   cmocka_unit_test(test_ends),
	                                   cmocka_unit_test(test_distributions),
	                                   cmocka_unit_test(test_streams_are_apart),
	                                   cmocka_unit_test(test_same_bits_at_any_width)};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
