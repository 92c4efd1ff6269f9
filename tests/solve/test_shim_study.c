/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shims as they go at the bench: a job with a surprise, and ten thousand simulated ones held
 * against what is asked of the method and against a mechanic's ways. */
#include "check.h"

#include <stdbool.h>
#include <string.h>

#include "../bench/shim_study.h"
#include "fitwright/conform.h"
#include "fitwright/shim.h"

#define THOU     STUDY_THOU
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

/* 10,000 units, gauge good for 1 thou, every fourth with a hidden shift of 12 thou standard
 * deviation. The figures of units, gauge, kit and shift are invented; the bounds are what is asked
 * of the method. */
static void test_ten_thousand_units(void **state)
{
	struct study study = {.gauge_u = GAUGE_U, .limits = end_float, .units = 10000};
	(void)state;

	struct study_tally shims = study_run(&study, STUDY_SHIMS);
	struct study_tally plain = study_run(&study, STUDY_DIFFERENCE);
	struct study_tally guess = study_run(&study, STUDY_GUESS);
	print_message(
	    "%u units, %u with a shift, %u surprises called, %u for nothing; released in %.3f "
	    "trials on average, %.2f %% truly within\n",
	    shims.units, shims.moved, shims.surprises, shims.false_alarms, study_mean_trials(&shims),
	    100.0 * study_share_within(&shims));

	assert_int_equal(shims.units, 10000);
	assert_true(shims.moved > 2300 && shims.moved < 2700); /* the simulation does what it says */
	assert_true(plain.moved == shims.moved && guess.moved == shims.moved);
	assert_true(study_share_within(&guess) < 1.0 && study_mean_trials(&guess) > 1.5);

	assert_int_equal(shims.released, shims.units);
	assert_true(study_mean_trials(&shims) <= 1.25);
	assert_true(study_share_within(&shims) >= 0.999);
	assert_true(shims.false_alarms <= 10);
	/* 5.66 thou of 12: two thirds of the shifts are larger. */
	assert_near((shims.surprises - shims.false_alarms) / (double)shims.moved,
	            erfc(4.0 * sqrt(2.5 + 0.02) / hypot(12.0, sqrt(2.5)) / sqrt(2.0)), 0.03);
	/* In doubt, the uncertainty stated must still be worth its name. */
	assert_true(shims.doubted > 400 && shims.held >= 0.9 * shims.doubted);
	assert_true(sqrt(shims.doubted_squares / shims.doubted) < 1.7 * THOU);
	assert_true(study_mean_trials(&shims) < study_mean_trials(&guess) - 0.4);
	assert_true(study_share_within(&shims) > study_share_within(&plain));
}

/* A narrow window, 8 thou: what averaging and doubt save against the plain difference under the
 * same verdict. */
static void test_narrow_limits(void **state)
{
	struct study study = {.gauge_u = GAUGE_U, .limits = {11 * THOU, 19 * THOU, NAN}, .units = 4000};
	(void)state;

	struct study_tally shims = study_run(&study, STUDY_SHIMS);
	struct study_tally guarded = study_run(&study, STUDY_GUARDED);
	assert_int_equal(shims.released, shims.units);
	assert_true(study_mean_trials(&shims) < study_mean_trials(&guarded));
	assert_true(study_share_within(&shims) >= 0.999);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_job_with_a_surprise),
	    cmocka_unit_test(test_ten_thousand_units),
	    cmocka_unit_test(test_narrow_limits),
	};
	return cmocka_run_group_tests(tests, fill_kit, NULL);
}
