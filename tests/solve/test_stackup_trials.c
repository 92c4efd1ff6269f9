/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chains put together at random, against published examples and closed forms. */
#include "check.h"

#include <gsl/gsl_cdf.h>
#include <stdlib.h>
#include <string.h>

#include "fitwright/stackup.h"
#include "solve/clearance/sample.h"

#define COUNT(a) (sizeof(a) / sizeof(a)[0])
#define ROOT_3   1.7320508075688772

enum { LOW_3S, LOW_95, MIDDLE, HIGH_95, HIGH_3S };

static struct fw_error error;

static struct fw_stackup_link part(double half, enum fw_stackup_shape shape)
{
	return (struct fw_stackup_link){
	    .coefficient = 1, .lower = -half, .upper = half, .shape = shape};
}

static struct fw_stackup_sample simulate(const struct fw_stackup_link *link, size_t count,
                                         const struct fw_limits *limits, uint64_t trials,
                                         uint64_t seed)
{
	struct fw_stackup_run run = {trials, seed, 2};
	struct fw_stackup_sample out;

	memset(&out, 0, sizeof out); /* so that results can be compared byte by byte */
	assert_ok(fw_stackup_simulate(&out, link, count, limits, &run, &error));
	return out;
}

/* Within four of its standard errors (once in 16 000). */
static void near_by_its_error(struct fw_stackup_estimate got, double expected, double more)
{
	assert_true(got.error > 0.0);
	assert_near(got.value, expected, 4 * got.error + more);
}

/* JCGM 101:2008, 9.2.2 (table 2), 9.2.3 (table 3) and 9.2.4 (table 4). */
static void test_additive_model(void **state)
{
	struct fw_stackup_link link[4];
	struct fw_stackup_sample s;
	(void)state;

	for (size_t i = 0; i < 4; i++)
		link[i] = (struct fw_stackup_link){.coefficient = 1, .u = 1, .shape = FW_STACKUP_MEASURED};
	s = simulate(link, 4, NULL, 400000, 1);
	assert_near(s.mean.value, 0.00, 0.01);
	assert_near(s.sd.value, 2.00, 0.01);
	assert_near(s.quantile[LOW_95].value, -3.92, 0.02);
	assert_near(s.quantile[HIGH_95].value, 3.92, 0.02);

	for (size_t i = 0; i < 4; i++)
		link[i] = part(ROOT_3, FW_STACKUP_UNIFORM);
	s = simulate(link, 4, NULL, 400000, 2);
	assert_near(s.sd.value, 2.00, 0.01);
	/* ±2√3·[2 - (3/5)^¼] exactly (9.2.3.2 note). */
	near_by_its_error(s.quantile[LOW_95], -2 * ROOT_3 * (2 - pow(0.6, 0.25)), s.resolution);
	near_by_its_error(s.quantile[HIGH_95], 2 * ROOT_3 * (2 - pow(0.6, 0.25)), s.resolution);
	assert_near(s.quantile[HIGH_95].value, 3.88, 0.015);

	link[3] = part(10 * ROOT_3, FW_STACKUP_UNIFORM);
	s = simulate(link, 4, NULL, 400000, 3);
	assert_near(sqrt(103), 10.1, 0.05); /* as printed */
	near_by_its_error(s.sd, sqrt(103), 0);
	near_by_its_error(s.quantile[LOW_95], -17.0, 0.05);
	near_by_its_error(s.quantile[HIGH_95], 17.0, 0.05);
}

/* JCGM 100:2008, G.2.1: the mean of three equal rectangles spans 95 % within 1.937 of its sd. */
static void test_three_rectangles(void **state)
{
	struct fw_stackup_link link[3];
	(void)state;

	for (size_t i = 0; i < 3; i++)
		link[i] = part(1, FW_STACKUP_UNIFORM); /* sd of the sum: 1 */
	struct fw_stackup_sample s = simulate(link, 3, NULL, 500000, 4);
	near_by_its_error(s.quantile[HIGH_95], 1.937, 0.0005);
	near_by_its_error(s.quantile[LOW_95], -1.937, 0.0005);
	assert_near(s.excess, -0.4, 0.01);
}

/* P(x <= at) for a sum of uniforms of half widths a: Σ ±(at + Σ ±a)^n / (n!·Π 2a) over all signs,
 * the positive parts only. */
static double uniform_sum_below(const double *a, unsigned n, double at)
{
	double sum = 0, scale = 1;

	for (unsigned i = 0; i < n; i++)
		scale *= 2 * a[i] * (i + 1);
	for (unsigned mask = 0; mask < 1u << n; mask++) {
		double base = at, sign = 1;

		for (unsigned i = 0; i < n; i++) {
			base += mask >> i & 1 ? -a[i] : a[i];
			sign = mask >> i & 1 ? -sign : sign;
		}
		sum += base > 0 ? sign * pow(base, n) : 0;
	}
	return sum / scale;
}

/* 40 ±0.10 less 25 ±0.05, 2 ±0.03, 10 ±0.05, each uniform. The share outside is known in closed
 * form; that form itself against a convolution by FFT (0.0786, 0.02834, 0.00434, 0.00056). */
static void test_uniform_chain(void **state)
{
	static const double a[] = {0.10, 0.05, 0.03, 0.05}, nominal[] = {40, 25, 2, 10};
	static const double at[] = {0.126, 0.15, 0.18, 0.20};
	static const double by_fft[] = {0.0786, 0.02834, 0.00434, 0.00056};
	struct fw_stackup_link link[4];
	(void)state;

	for (size_t i = 0; i < 4; i++) {
		link[i] = part(a[i], FW_STACKUP_UNIFORM);
		link[i].nominal = nominal[i];
		link[i].coefficient = i ? -1 : 1;
	}
	for (size_t i = 0; i < COUNT(at); i++) {
		struct fw_limits limits = {3 - at[i], 3 + at[i], NAN};
		struct fw_stackup_sample s = simulate(link, 4, &limits, 300000, 10 + i);
		double above = uniform_sum_below(a, 4, -at[i]);

		assert_near(2 * above, by_fft[i], by_fft[i] > 0.01 ? 6e-5 : 6e-6);
		near_by_its_error(s.outside_above, above, 0);
		near_by_its_error(s.outside_below, above, 0);
		near_by_its_error(s.outside, 2 * above, 0);
		assert_near(s.outside.value, (double)(s.below + s.above) / 3e5, 1e-15);
		assert_true(s.lowest >= 2.77 && s.highest <= 3.23);
		near_by_its_error(s.quantile[HIGH_95], 3.1375, 0.0002);
		near_by_its_error(s.quantile[LOW_95], 2.8625, 0.0002);
	}
}

/* The quantiles of one link are those of its distribution. */
static void test_one_link(void **state)
{
	struct fw_stackup_link link = part(3, FW_STACKUP_NORMAL); /* sd 1 */
	(void)state;

	link.nominal = 5;
	struct fw_stackup_sample s = simulate(&link, 1, NULL, 1000000, 5);
	for (size_t i = 0; i < FW_STACKUP_QUANTILES; i++) {
		double z = gsl_cdf_ugaussian_Pinv(fw_stackup_quantile_at[i]);

		near_by_its_error(s.quantile[i], 5 + z, s.resolution / 200);
	}
	near_by_its_error(s.mean, 5, 0);
	near_by_its_error(s.sd, 1, 0);

	link.shape = FW_STACKUP_UNIFORM;
	s = simulate(&link, 1, NULL, 500000, 6);
	for (size_t i = 0; i < FW_STACKUP_QUANTILES; i++)
		near_by_its_error(s.quantile[i], 2 + 6 * fw_stackup_quantile_at[i], s.resolution / 200);
	/* The arcsine's ends are as steep as any: its density has no bound there. */
	link.shape = FW_STACKUP_ARCSINE;
	s = simulate(&link, 1, NULL, 500000, 7);
	for (size_t i = 0; i < FW_STACKUP_QUANTILES; i++)
		near_by_its_error(s.quantile[i],
		                  5 - 3 * cos(3.14159265358979323846 * fw_stackup_quantile_at[i]),
		                  s.resolution);
	near_by_its_error(s.sd, 3 / sqrt(2), 0);
	link.shape = FW_STACKUP_TRIANGULAR;
	s = simulate(&link, 1, NULL, 500000, 8);
	near_by_its_error(s.quantile[LOW_95], 2 + 3 * sqrt(0.05), s.resolution / 200);
	near_by_its_error(s.quantile[HIGH_3S], 8 - 3 * sqrt(0.0027), s.resolution / 200);
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return (x > y) - (x < y);
}

/* A deviation the slow way, from GSL and the mathematical library. */
static double slow_part(const struct fw_stackup_link *link, uint32_t draw)
{
	double even = ((double)(int32_t)draw + 0.5) * 0x1p-31;
	double half = (link->upper - link->lower) / 2, middle = (link->upper + link->lower) / 2;

	switch (link->shape) {
	case FW_STACKUP_UNIFORM:
		return middle + half * even;
	case FW_STACKUP_TRIANGULAR:
		return middle + half * copysign(1 - sqrt(fabs(even)), even);
	case FW_STACKUP_ARCSINE:
		return middle + half * sin(even * 1.57079632679489661923);
	case FW_STACKUP_MEASURED:
		return link->u * copysign(gsl_cdf_ugaussian_Qinv(fabs(even) / 2), even);
	default:
		return middle + half / 3 * copysign(gsl_cdf_ugaussian_Qinv(fabs(even) / 2), even);
	}
}

/* A mixed chain, trial by trial the slow way from the same (published) random numbers, with a
 * number of trials that fills neither a batch nor the lanes. */
static void test_trial_by_trial(void **state)
{
	struct fw_stackup_link link[5] = {part(0.3, FW_STACKUP_NORMAL),
	                                  part(0.2, FW_STACKUP_UNIFORM),
	                                  part(0.4, FW_STACKUP_TRIANGULAR),
	                                  part(0.1, FW_STACKUP_ARCSINE),
	                                  {.u = 0.05, .shape = FW_STACKUP_MEASURED}};
	enum { TRIALS = 70003, BATCH_ROWS = (TRIALS + FW_BATCH - 1) / FW_BATCH };
	double *gap = (double *)calloc((size_t)BATCH_ROWS * FW_BATCH, sizeof *gap);
	uint64_t seed = 0x123456789abcdefull;
	struct fw_limits limits = {9.3, 10.5, NAN};
	double sum = 0, square = 0;
	uint64_t below = 0, above = 0;
	(void)state;

	assert_non_null(gap);
	for (size_t i = 0; i < 5; i++) {
		link[i].nominal = 2 + (double)i;
		link[i].coefficient = i % 2 ? -1 : 1.5;
	}
	link[1].upper = 0.5; /* not centred */
	for (uint32_t i = 0; i < 5; i++) {
		for (uint32_t row = 0; row < BATCH_ROWS; row++) {
			uint32_t draw[FW_BATCH], counter[4] = {row * (FW_BATCH / 4), i, 0, 0};
			uint32_t key[2] = {(uint32_t)seed, (uint32_t)(seed >> 32)};

			fw_philox_fill(draw, counter, key);
			for (size_t j = 0; j < FW_BATCH; j++)
				gap[row * FW_BATCH + j] +=
				    link[i].coefficient * (link[i].nominal + slow_part(&link[i], draw[j]));
		}
	}
	struct fw_stackup_sample s = simulate(link, 5, &limits, TRIALS, seed);
	for (size_t i = 0; i < TRIALS; i++) {
		sum += gap[i];
		below += gap[i] < limits.min;
		above += gap[i] > limits.max;
	}
	for (size_t i = 0; i < TRIALS; i++)
		square += (gap[i] - sum / TRIALS) * (gap[i] - sum / TRIALS);
	qsort(gap, TRIALS, sizeof *gap, by_size);

	assert_near(s.mean.value, sum / TRIALS, 1e-8);
	assert_near(s.sd.value, sqrt(square / (TRIALS - 1)), 1e-7);
	assert_near(s.lowest, gap[0], 1e-6);
	assert_near(s.highest, gap[TRIALS - 1], 1e-6);
	assert_int_equal(s.below, below);
	assert_int_equal(s.above, above);
	assert_true(below > 100 && above > 100);
	for (size_t i = 0; i < FW_STACKUP_QUANTILES; i++)
		assert_near(s.quantile[i].value, gap[(size_t)(fw_stackup_quantile_at[i] * TRIALS)],
		            s.resolution);
	free(gap);
}

static void test_same_on_any_number_of_threads(void **state)
{
	static const uint64_t trials[] = {10000, 65536, 300001, 1048576};
	static const unsigned threads[] = {0, 2, 3, 7, 64};
	struct fw_stackup_link link[3] = {part(0.3, FW_STACKUP_NORMAL), part(0.2, FW_STACKUP_UNIFORM),
	                                  part(0.2, FW_STACKUP_ARCSINE)};
	struct fw_limits limits = {-0.4, 0.3, NAN};
	(void)state;

	for (size_t t = 0; t < COUNT(trials); t++) {
		struct fw_stackup_run run = {trials[t], 77, 1};
		struct fw_stackup_sample one, more;

		memset(&one, 0, sizeof one);
		assert_ok(fw_stackup_simulate(&one, link, 3, &limits, &run, &error));
		assert_int_equal(one.trials, trials[t]);
		for (size_t i = 0; i < COUNT(threads); i++) {
			run.threads = threads[i];
			memset(&more, 0, sizeof more);
			assert_ok(fw_stackup_simulate(&more, link, 3, &limits, &run, &error));
			assert_memory_equal(&one, &more, sizeof one);
		}
		run.seed = 78;
		assert_ok(fw_stackup_simulate(&more, link, 3, &limits, &run, &error));
		assert_true(more.mean.value != one.mean.value);
	}
}

/* Are the standard errors what they say? The scatter over three hundred seeds, each within four of
 * its own errors (1/√600), the quantiles' a little more as each is read off few trials. */
static void test_standard_errors(void **state)
{
	enum { RUNS = 300, KINDS = 8 };
	struct fw_stackup_link link[2] = {part(0.3, FW_STACKUP_NORMAL), part(0.4, FW_STACKUP_UNIFORM)};
	struct fw_limits limits = {-0.5, 0.45, NAN};
	double sum[KINDS] = {0}, square[KINDS] = {0}, claimed[KINDS] = {0};
	(void)state;

	for (uint64_t seed = 0; seed < RUNS; seed++) {
		struct fw_stackup_sample s = simulate(link, 2, &limits, 10000, seed);
		struct fw_stackup_estimate e[KINDS] = {s.mean,        s.sd,          s.quantile[0],
		                                       s.quantile[1], s.quantile[2], s.quantile[3],
		                                       s.quantile[4], s.outside};

		for (size_t k = 0; k < KINDS; k++) {
			sum[k] += e[k].value;
			square[k] += e[k].value * e[k].value;
			claimed[k] += e[k].error * e[k].error;
		}
	}
	for (size_t k = 0; k < KINDS; k++) {
		double scatter = sqrt((square[k] - sum[k] * sum[k] / RUNS) / (RUNS - 1));

		assert_near(scatter / sqrt(claimed[k] / RUNS), 1.0, k == 2 || k == 6 ? 0.2 : 0.15);
	}
}

static void test_no_spread(void **state)
{
	struct fw_stackup_link link = {.coefficient = -2, .nominal = 3};
	struct fw_limits limits = {-6, 0, NAN};
	struct fw_stackup_sample s = simulate(&link, 1, &limits, 10000, 1);
	(void)state;

	assert_near(s.mean.value, -6, 0);
	assert_near(s.sd.value, 0, 0);
	assert_near(s.quantile[4].value, -6, 0);
	assert_near(s.lowest, -6, 0);
	assert_near(s.outside.value, 0, 0); /* on the limit */
	limits.min = -5;
	s = simulate(&link, 1, &limits, 10000, 1);
	assert_near(s.outside_below.value, 1, 0);
	assert_near(s.outside.value, 1, 0);
}

/* The scale of the figures is taken out before squares are made. */
static void test_scale(void **state)
{
	struct fw_stackup_link link[2] = {part(1, FW_STACKUP_UNIFORM), part(2, FW_STACKUP_UNIFORM)};
	struct fw_stackup_sample one = simulate(link, 2, NULL, 20000, 9);
	static const double scale[] = {0x1p-600, 0x1p900};
	(void)state;

	for (size_t i = 0; i < COUNT(scale); i++) {
		for (size_t j = 0; j < 2; j++) {
			link[j].upper = (double)(j + 1) * scale[i];
			link[j].lower = -link[j].upper;
		}
		struct fw_stackup_sample other = simulate(link, 2, NULL, 20000, 9);

		assert_near(other.sd.value / scale[i], one.sd.value, 0);
		assert_near(other.highest / scale[i], one.highest, 0);
		assert_near(other.quantile[0].value / scale[i], one.quantile[0].value, 0);
	}
	/* Of one part, by coefficients from the end of doubles to a few bits above nothing. */
	for (int power = -1070; power <= 1000; power += 90) {
		struct fw_stackup_link far = part(1, FW_STACKUP_UNIFORM);

		far.coefficient = ldexp(1, power);
		far.upper = ldexp(1, power < 0 ? 1000 : -1000);
		far.lower = -far.upper;
		struct fw_stackup_sample other = simulate(&far, 1, NULL, 20000, 9);
		double all = far.coefficient * far.upper;

		assert_true(isfinite(other.mean.value) && isfinite(other.excess));
		assert_near(other.sd.value / all, 1 / sqrt(3), 0.01);
	}
	struct fw_stackup_link tiny = part(1, FW_STACKUP_UNIFORM), vast = tiny;
	tiny.coefficient = 1e-320;
	tiny.upper = 1e10;
	tiny.lower = -1e10;
	struct fw_stackup_sample least = simulate(&tiny, 1, NULL, 20000, 9);
	assert_near(least.mean.value, 0, 1e-312);
	assert_near(least.sd.value, 1e-310 / sqrt(3), 2e-312);
	/* The worst case of a normal part is a double, its farthest parts are not. */
	struct fw_stackup_run run = {10000, 1, 2};
	struct fw_stackup_sample untouched = {.trials = 7};
	vast.shape = FW_STACKUP_NORMAL;
	vast.upper = 1.7e308;
	vast.lower = -1.7e308;
	assert_code(fw_stackup_simulate(&untouched, &vast, 1, NULL, &run, &error), FW_ERR_RANGE);
	assert_contains(error.text, "beyond all measure");
	assert_int_equal(untouched.trials, 7);
}

static void test_many_links(void **state)
{
	size_t count = FW_STACKUP_LINKS;
	struct fw_stackup_link *link =
	    (struct fw_stackup_link *)calloc(count, sizeof(struct fw_stackup_link));
	struct fw_stackup_run run = {FW_STACKUP_TRIALS_LEAST, 1, 2};
	struct fw_stackup_sample s;
	(void)state;

	assert_non_null(link);
	for (size_t i = 0; i < count; i++)
		link[i] = part(1, FW_STACKUP_UNIFORM);
	/* A thousand of them: near enough normal for Cramér, √(1000/3) wide. */
	s = simulate(link, 1000, NULL, 20000, 3);
	near_by_its_error(s.sd, sqrt(1000.0 / 3), 0);
	near_by_its_error(s.quantile[HIGH_95], 1.95996 * sqrt(1000.0 / 3), 0.02);
	run.trials = 20001;
	assert_code(fw_stackup_simulate(&s, link, count, NULL, &run, &error), FW_ERR_RANGE);
	assert_contains(error.text, "20000");
	free(link);
}

static void test_what_is_refused(void **state)
{
	struct fw_stackup_link link = part(1, FW_STACKUP_UNIFORM), bad = link;
	struct fw_limits crossed = {1, -1, NAN}, nan = {NAN, 1, NAN};
	struct fw_stackup_run run = {10000, 1, 1}, odd = run;
	struct fw_stackup_sample out = {.trials = 7};
	(void)state;

	bad.upper = NAN;
	assert_code(fw_stackup_simulate(&out, &bad, 1, NULL, &run, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "upper");
	assert_code(fw_stackup_simulate(&out, &link, 0, NULL, &run, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_simulate(&out, NULL, 1, NULL, &run, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_simulate(&out, &link, 1, &crossed, &run, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "swapped");
	assert_code(fw_stackup_simulate(&out, &link, 1, &nan, &run, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_simulate(&out, &link, 1, NULL, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_simulate(NULL, &link, 1, NULL, &run, &error), FW_ERR_ARGUMENT);
	static const uint64_t trials[] = {0, 9999, 1000000001, UINT64_MAX};
	for (size_t i = 0; i < COUNT(trials); i++) {
		odd.trials = trials[i];
		assert_code(fw_stackup_simulate(&out, &link, 1, NULL, &odd, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "10000 to 1000000000");
	}
	odd = run;
	odd.threads = 65;
	assert_code(fw_stackup_simulate(&out, &link, 1, NULL, &odd, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "threads");
	assert_int_equal(out.trials, 7);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_additive_model),
	    cmocka_unit_test(test_three_rectangles),
	    cmocka_unit_test(test_uniform_chain),
	    cmocka_unit_test(test_one_link),
	    cmocka_unit_test(test_trial_by_trial),
	    cmocka_unit_test(test_same_on_any_number_of_threads),
	    cmocka_unit_test(test_standard_errors),
	    cmocka_unit_test(test_no_spread),
	    cmocka_unit_test(test_scale),
	    cmocka_unit_test(test_many_links),
	    cmocka_unit_test(test_what_is_refused),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
