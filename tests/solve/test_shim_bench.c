/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shims as they go at the bench: a job with a surprise, and two thousand simulated ones. */
#include "check.h"

#include <stdbool.h>
#include <string.h>

#include "fitwright/conform.h"
#include "fitwright/shim.h"

#define THOU     25.4e-6
#define GAUGE_U  (1.0 * THOU)
#define SHIM_U   (0.1 * THOU)
#define SETTLE_U (0.5 * THOU)
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

/* Input shaft end float: at most 25 thou, experienced hands set about 15. Common practice, no
 * source. */
static const struct fw_limits end_float = {5 * THOU, 25 * THOU, 15 * THOU};

static const double kit_thou[] = {2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 25, 31, 40, 50, 63};

static struct fw_shim kit[COUNT(kit_thou)];

static int fill_kit(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT(kit_thou); i++)
		kit[i] = (struct fw_shim){.thickness = kit_thou[i] * THOU, .u = SHIM_U, .count = 2};
	return 0;
}

static struct fw_trial learn(struct fw_datum *datum, double stack, double play)
{
	struct fw_trial trial;

	assert_ok(fw_shim_learn(datum, stack, SHIM_U, play, GAUGE_U, SETTLE_U, FW_SURPRISE_SIGMAS,
	                        &trial, &error));
	return trial;
}

static struct fw_shim_choice choose(const struct fw_datum *datum)
{
	struct fw_shim_choice c;

	assert_ok(fw_shim_choose(&c, datum, kit, COUNT(kit), 3, true, &end_float, SETTLE_U, &error));
	return c;
}

/* A job at the bench, common practice, no source: 55 thou of end float with a 31 thou shim in; with
 * 63 thou in it then measured only 2 to 3, where subtraction says 23; closed at 16. */
static void test_job_with_a_surprise(void **state)
{
	struct fw_datum datum = {0};
	struct fw_conformity verdict;
	(void)state;

	learn(&datum, 31 * THOU, 55 * THOU);
	assert_near(choose(&datum).wanted / THOU, 31 + 55 - 15, 1e-6);
	assert_near(choose(&datum).play / THOU, 15.0, 0.25);

	struct fw_trial trial = learn(&datum, 63 * THOU, 2.5 * THOU);
	assert_near(trial.predicted / THOU, 23.0, 1e-6);
	assert_near(trial.difference / THOU, -20.5, 1e-6);
	assert_true(trial.surprise);

	/* The next stack rests on the last trial alone: averaged in, the first would have called for
	 * about ten thou more and left the shaft without float. */
	struct fw_shim_choice c = choose(&datum);
	assert_true(c.play >= 14.75 * THOU && c.play <= 16.0 * THOU);
	assert_near(c.stack.thickness / THOU, 63 + 2.5 - 15, 0.75);
	assert_true(c.probability > 0.99);

	trial = learn(&datum, c.stack.thickness, 16 * THOU);
	assert_false(trial.surprise);
	assert_ok(
	    fw_conform(&verdict, 16 * THOU, GAUGE_U, INFINITY, &end_float, FW_CONFORMANCE, &error));
	assert_int_equal(verdict.verdict, FW_WITHIN);
	/* As found and as first tried: outside beyond doubt, and not within. */
	assert_ok(
	    fw_conform(&verdict, 55 * THOU, GAUGE_U, INFINITY, &end_float, FW_CONFORMANCE, &error));
	assert_int_equal(verdict.verdict, FW_OUTSIDE);
	assert_ok(
	    fw_conform(&verdict, 2.5 * THOU, GAUGE_U, INFINITY, &end_float, FW_CONFORMANCE, &error));
	assert_int_equal(verdict.verdict, FW_OUTSIDE);
}

/* splitmix64 (public domain) and Box-Muller, so that every run is the same. */
static double uniform(uint64_t *seed)
{
	uint64_t z = *seed += 0x9E3779B97F4A7C15U;

	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
	return ((double)((z ^ (z >> 31)) >> 11) + 0.5) / 9007199254740992.0;
}

static double normal(uint64_t *seed, double sd)
{
	double r = sqrt(-2.0 * log(uniform(seed)));

	return sd * r * cos(2.0 * 3.14159265358979323846 * uniform(seed));
}

struct tally {
	unsigned units, released, truly_within, trials, surprises, called, stuck;
};

/* The stack as it truly is: each piece off by its own error. */
static double true_thickness(const struct fw_stack *stack, uint64_t *seed)
{
	double sum = 0.0;

	for (size_t i = 0; i < stack->count; i++)
		sum += kit[stack->shim[i]].thickness + normal(seed, SHIM_U);
	return sum;
}

/* Fit, measure, judge, until the reading is within at 95 %. The unit's datum moves, if at all,
 * between the measurement as found and the first stack fitted. */
static void rebuild(struct tally *t, uint64_t *seed)
{
	double base = (60.0 + 60.0 * uniform(seed)) * THOU, stack = 31 * THOU;
	bool moved = uniform(seed) < 0.25;
	struct fw_datum datum = {0};
	struct fw_shim_choice c;

	t->units++;
	t->surprises += moved;
	learn(&datum, stack, base - stack + normal(seed, SETTLE_U) + normal(seed, GAUGE_U));
	if (moved)
		base += normal(seed, 12 * THOU);
	for (int i = 0; i < 10; i++) {
		struct fw_conformity verdict;
		if (fw_shim_choose(&c, &datum, kit, COUNT(kit), 3, true, &end_float, SETTLE_U, &error) !=
		    FW_OK)
			break;
		double play = base - true_thickness(&c.stack, seed) + normal(seed, SETTLE_U);
		double reading = play + normal(seed, GAUGE_U);
		t->trials++;
		t->called += learn(&datum, c.stack.thickness, reading).surprise;
		assert_ok(
		    fw_conform(&verdict, reading, GAUGE_U, INFINITY, &end_float, FW_CONFORMANCE, &error));
		if (verdict.verdict == FW_WITHIN) {
			t->released++;
			t->truly_within += play >= end_float.min && play <= end_float.max;
			return;
		}
	}
	t->stuck++;
}

/* 2000 units, gauge good for 1 thou, every fourth with a hidden shift of 12 thou standard
 * deviation. The figures of units, gauge and shift are invented; the bounds are what is asked of
 * the method. */
static void test_two_thousand_units(void **state)
{
	uint64_t seed = 1;
	struct tally t = {0};
	(void)state;

	for (int i = 0; i < 2000; i++)
		rebuild(&t, &seed);

	double mean = (double)t.trials / t.units;
	double within = (double)t.truly_within / t.released;
	print_message("%u units, %u with a shift, %u surprises called; %u released in %.3f trials on "
	              "average, %.2f %% of them truly within\n",
	              t.units, t.surprises, t.called, t.released, mean, 100.0 * within);
	assert_true(t.surprises > 400 && t.called > 200); /* the simulation did what it says */
	assert_int_equal(t.stuck, 0);
	assert_int_equal(t.released, 2000);
	assert_true(within >= 0.995);
	assert_true(mean <= 1.35);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_job_with_a_surprise),
	    cmocka_unit_test(test_two_thousand_units),
	};
	return cmocka_run_group_tests(tests, fill_kit, NULL);
}
