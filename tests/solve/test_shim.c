/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <string.h>

#include "fitwright/shim.h"

#define MM       1e-3
#define THOU     25.4e-6
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static struct fw_shim shim(double thickness, unsigned count)
{
	return (struct fw_shim){.thickness = thickness, .count = count};
}

static struct fw_trial learn(struct fw_datum *datum, double stack, double play, double play_u,
                             double settle_u)
{
	struct fw_trial trial;

	assert_ok(fw_shim_learn(datum, stack, 0.0, play, play_u, settle_u, FW_SURPRISE_SIGMAS, &trial,
	                        &error));
	return trial;
}

/* Play is the datum less the stack: 31 thou fitted and 55 measured leave 86 with none. */
static void test_first_trial(void **state)
{
	struct fw_datum datum = {0};
	(void)state;

	struct fw_trial trial = learn(&datum, 31 * THOU, 55 * THOU, 1 * THOU, 0.0);
	assert_true(isnan(trial.predicted) && isnan(trial.difference));
	assert_false(trial.surprise);
	assert_near(datum.value / THOU, 86.0, 1e-9);
	assert_near(datum.u / THOU, 1.0, 1e-9);
	assert_int_equal(datum.trials, 1);
	assert_int_equal(datum.surprises, 0);
}

/* JCGM 106:2012, annex A: posterior mean (w0·y0 + wm·eta)/(w0 + wm) with weights 1/u². Its
 * uncertainty u0·um/sqrt(u0² + um²) holds for independent figures; with correlation 1 (JCGM
 * 100:2008, 5.2.2, equation 16) it is the weighted sum of both, and that is what one gauge
 * deserves. */
static void test_posterior(void **state)
{
	struct fw_datum datum = {0};
	double u0 = 2.0, um = 1.0, y0 = 86.0, eta = 84.0;
	double w0 = 1.0 / (u0 * u0), wm = 1.0 / (um * um);
	(void)state;

	learn(&datum, 31 * THOU, (y0 - 31) * THOU, u0 * THOU, 0.0);
	learn(&datum, 60 * THOU, (eta - 60) * THOU, um * THOU, 0.0);
	assert_near(datum.value / THOU, (w0 * y0 + wm * eta) / (w0 + wm), 1e-6);
	assert_near(datum.u / THOU, (w0 * u0 + wm * um) / (w0 + wm), 1e-6);
	assert_true(datum.u / THOU > u0 * um / sqrt(u0 * u0 + um * um));
	assert_int_equal(datum.trials, 2);
}

/* However often a trial is repeated, what the gauge shares stays; the seating averages out as the
 * standard deviation of a mean, s/sqrt(n) (JCGM 100:2008, 4.2.3). */
static void test_floor(void **state)
{
	struct fw_datum datum = {0};
	(void)state;

	for (int n = 1; n <= 400; n++) {
		learn(&datum, 60 * THOU, 20 * THOU, 1 * THOU, 2 * THOU);
		assert_near(datum.u / THOU, sqrt(1.0 + 4.0 / n), 1e-6);
		assert_near(datum.value / THOU, 80.0, 1e-6);
	}
	assert_int_equal(datum.trials, 400);
}

/* Uncertainty of the difference: datum, stack, reading and seating in root sum of squares (JCGM
 * 100:2008, equation 10). 3, 1, 2, sqrt(2): 4. */
static void test_expected_difference(void **state)
{
	struct fw_datum datum = {0};
	struct fw_trial trial;
	(void)state;

	learn(&datum, 0.0, 80 * THOU, 3 * THOU, 0.0);
	assert_ok(fw_shim_learn(&datum, 60 * THOU, 1 * THOU, 26 * THOU, 2 * THOU, sqrt(2.0) * THOU, 4.0,
	                        &trial, &error));
	assert_near(trial.predicted / THOU, 20.0, 1e-9);
	assert_near(trial.difference / THOU, 6.0, 1e-9);
	assert_near(trial.expected_u / THOU, 4.0, 1e-6);
	assert_near(trial.sigmas, 1.5, 1e-6);
	assert_false(trial.surprise);
}

static struct fw_trial second_trial_off_by(double thou, struct fw_datum *datum)
{
	*datum = (struct fw_datum){0};
	learn(datum, 31 * THOU, 55 * THOU, 1 * THOU, 0.0);
	return learn(datum, 66 * THOU, (20 + thou) * THOU, 1 * THOU, 0.0);
}

/* 4 standard deviations of the difference, sqrt(2) thou, are 5.657 thou, to either side. */
static void test_surprise_threshold(void **state)
{
	struct fw_datum datum;
	(void)state;

	assert_false(second_trial_off_by(5.65, &datum).surprise);
	assert_int_equal(datum.trials, 2);
	assert_false(second_trial_off_by(-5.65, &datum).surprise);
	assert_true(second_trial_off_by(5.66, &datum).surprise);
	assert_true(second_trial_off_by(-5.66, &datum).surprise);
	/* The old datum is given up: only the last trial counts. */
	assert_int_equal(datum.trials, 1);
	assert_int_equal(datum.surprises, 1);
	assert_near(datum.value / THOU, 86.0 - 5.66, 1e-9);
	assert_near(datum.u / THOU, 1.0, 1e-9);
}

/* With all uncertainties zero, rounding is no surprise, a micrometre is. */
static void test_no_uncertainty_at_all(void **state)
{
	struct fw_datum datum = {0};
	(void)state;

	learn(&datum, 31 * THOU, 55 * THOU, 0.0, 0.0);
	assert_false(learn(&datum, 0.1 * THOU + 0.2 * THOU, 85.7 * THOU, 0.0, 0.0).surprise);
	assert_near(datum.value / THOU, 86.0, 1e-9);
	assert_true(learn(&datum, 0.0, 86 * THOU + 1e-6, 0.0, 0.0).surprise);
}

static void refuse_trial(double stack, double stack_u, double play, double play_u, double settle_u,
                         double sigmas, const char *says)
{
	struct fw_datum datum = {0}, before;

	learn(&datum, 31 * THOU, 55 * THOU, 1 * THOU, 0.0);
	before = datum;
	assert_code(fw_shim_learn(&datum, stack, stack_u, play, play_u, settle_u, sigmas, NULL, &error),
	            FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_memory_equal(&datum, &before, sizeof datum);
}

static void test_bad_trials(void **state)
{
	static const double bad[] = {NAN, INFINITY, -1.0, 1e9};
	struct fw_datum damaged = {.trials = 1, .value = NAN};
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		refuse_trial(bad[i], 0, MM, 0, 0, 4, "thickness of the stack");
		refuse_trial(MM, bad[i], MM, 0, 0, 4, "uncertainty of the stack");
		refuse_trial(MM, 0, MM, bad[i], 0, 4, "uncertainty of the play");
		refuse_trial(MM, 0, MM, 0, bad[i], 4, "uncertainty of seating");
	}
	refuse_trial(MM, 0, NAN, 0, 0, 4, "play read");
	refuse_trial(MM, 0, -INFINITY, 0, 0, 4, "play read");
	refuse_trial(MM, 0, MM, 0, 0, 0, "threshold");
	refuse_trial(MM, 0, MM, 0, 0, NAN, "threshold");
	refuse_trial(MM, 0, MM, 0, 0, INFINITY, "threshold");
	assert_code(fw_shim_learn(NULL, MM, 0, MM, 0, 0, 4, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_shim_learn(&damaged, MM, 0, MM, 0, 0, 4, NULL, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "damaged");
}

/* Negative play is preload read as such, and is allowed. */
static void test_negative_play(void **state)
{
	struct fw_datum datum = {0};
	(void)state;

	learn(&datum, 50 * THOU, -3 * THOU, 1 * THOU, 0.0);
	assert_near(datum.value / THOU, 47.0, 1e-9);
}

static void refuse_kit(struct fw_shim second, const char *says)
{
	struct fw_shim kit[2] = {shim(0.3 * MM, 1), second};

	assert_code(fw_kit_check(kit, 2, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "entry 2");
	assert_contains(error.text, says);
}

static void test_bad_kits(void **state)
{
	static struct fw_shim large[FW_KIT_SIZES + 1];
	struct fw_shim s = shim(0.5 * MM, 1), two[2] = {shim(0.3 * MM, 1), shim(0.3 * MM, 1)};
	(void)state;

	refuse_kit(shim(NAN, 1), "thickness");
	refuse_kit(shim(INFINITY, 1), "thickness");
	refuse_kit(shim(0.0, 1), "above zero");
	refuse_kit(shim(-0.1 * MM, 1), "above zero");
	refuse_kit(shim(30.0, 1), "metres");
	refuse_kit(shim(0.5 * MM, 0), "no piece");
	refuse_kit(shim(0.3 * MM, 1), "same size as entry 1");
	refuse_kit(shim(0.3 * MM * (1 + 1e-15), 1), "same size as entry 1");
	s.u = -1e-6;
	refuse_kit(s, "uncertainty");
	s.u = NAN;
	refuse_kit(s, "uncertainty");
	s.u = 0.0;
	s.crush = 1.0;
	refuse_kit(s, "crush");
	s.crush = -0.1;
	refuse_kit(s, "crush");
	s.crush = NAN;
	refuse_kit(s, "crush");
	s.crush = 0.2;
	s.crush_u = -0.1;
	refuse_kit(s, "crush");
	s.crush_u = INFINITY;
	refuse_kit(s, "crush");
	assert_code(fw_kit_check(NULL, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_kit_check(&s, 0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "empty");

	/* The same thickness that crushes otherwise is another gasket. */
	two[1].crush = 0.2;
	assert_ok(fw_kit_check(two, 2, &error));

	for (size_t i = 0; i < COUNT(large); i++)
		large[i] = shim(MM * (0.1 + 0.001 * (double)i), 1);
	assert_ok(fw_kit_check(large, FW_KIT_SIZES, &error));
	assert_code(fw_kit_check(large, FW_KIT_SIZES + 1, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "1024");
}

static const struct fw_limits float_limits = {5 * THOU, 25 * THOU, 15 * THOU};

static void test_bad_choices(void **state)
{
	struct fw_shim kit[] = {shim(10 * THOU, 2), shim(20 * THOU, 2)};
	struct fw_datum none = {0}, d = {.value = 45 * THOU, .u = THOU, .trials = 1}, bad;
	struct fw_limits crossed = {25 * THOU, 5 * THOU, NAN};
	struct fw_shim_choice c;
	(void)state;

	assert_ok(fw_shim_choose(&c, &d, kit, 2, 2, false, &float_limits, 0.0, &error));
	assert_code(fw_shim_choose(&c, &none, kit, 2, 2, false, &float_limits, 0.0, &error),
	            FW_ERR_STATE);
	assert_code(fw_shim_choose(&c, &d, kit, 2, 0, false, &float_limits, 0.0, &error),
	            FW_ERR_ARGUMENT);
	assert_code(
	    fw_shim_choose(&c, &d, kit, 2, FW_STACK_MOST + 1, false, &float_limits, 0.0, &error),
	    FW_ERR_ARGUMENT);
	assert_code(fw_shim_choose(&c, &d, kit, 0, 2, false, &float_limits, 0.0, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_shim_choose(&c, &d, kit, 2, 2, false, &crossed, 0.0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "swapped");
	assert_code(fw_shim_choose(&c, &d, kit, 2, 2, false, NULL, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_shim_choose(&c, &d, kit, 2, 2, false, &float_limits, NAN, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_shim_choose(&c, &d, kit, 2, 2, false, &float_limits, -1e-6, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_shim_choose(&c, NULL, kit, 2, 2, false, &float_limits, 0.0, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_shim_choose(NULL, &d, kit, 2, 2, false, &float_limits, 0.0, &error),
	            FW_ERR_ARGUMENT);
	bad = d;
	bad.value = NAN;
	assert_code(fw_shim_choose(&c, &bad, kit, 2, 2, false, &float_limits, 0.0, &error),
	            FW_ERR_ARGUMENT);
	bad = d;
	bad.u = INFINITY;
	assert_code(fw_shim_choose(&c, &bad, kit, 2, 2, false, &float_limits, 0.0, &error),
	            FW_ERR_ARGUMENT);
}

/* 42 hundredths are wanted, the kit has 1 and 2 mm. */
static void test_says_what_to_get(void **state)
{
	struct fw_shim kit[] = {shim(1.0 * MM, 3), shim(2.0 * MM, 3)};
	struct fw_datum d = {.value = 0.80 * MM, .u = 0.01 * MM, .trials = 1};
	struct fw_limits limits = {0.30 * MM, 0.46 * MM, NAN}, least = {0.30 * MM, INFINITY, NAN};
	struct fw_limits most = {-INFINITY, 0.30 * MM, NAN};
	struct fw_shim_choice c;
	(void)state;

	assert_code(fw_shim_choose(&c, &d, kit, 2, 3, false, &limits, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "get a shim of 0.42 mm (0.0165 in), or a stack of 0.34 mm");
	assert_contains(error.text, "to 0.50 mm (0.0197 in)");
	assert_near(c.wanted / MM, 0.42, 1e-9);
	assert_int_equal(c.stack.count, 0);
	assert_true(isnan(c.play));

	assert_code(fw_shim_choose(&c, &d, kit, 2, 3, false, &least, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "at most 0.50 mm");
	assert_ok(fw_shim_choose(&c, &d, kit, 1, 1, true, &most, 0.0, &error));
	d.value = 9.0 * MM;
	assert_code(fw_shim_choose(&c, &d, kit, 2, 2, false, &most, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "at least 8.70 mm");
}

/* The other two ways in which nothing serves want other advice than a size to buy. */
static void test_says_when_no_shim_can_help(void **state)
{
	struct fw_shim kit[] = {shim(0.1 * MM, 3)};
	struct fw_datum tight = {.value = 0.02 * MM, .u = 0.005 * MM, .trials = 1};
	struct fw_datum vague = {.value = 0.80 * MM, .u = 50 * MM, .trials = 1};
	struct fw_limits limits = {0.30 * MM, 0.46 * MM, NAN};
	struct fw_shim_choice c;
	(void)state;

	assert_code(fw_shim_choose(&c, &tight, kit, 1, 3, true, &limits, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "no shim can help");
	assert_contains(error.text, "0.02 mm");
	assert_code(fw_shim_choose(&c, &vague, kit, 1, 3, true, &limits, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "measure again");
}

/* Stacks of n sizes with repeats, at most k pieces: (n + k)! / (n! k!). 38 over 8 = 48 903 492 may
 * be searched, 39 over 8 = 61 523 748 not. */
static void test_bound_on_the_work(void **state)
{
	struct fw_shim kit[31];
	struct fw_datum d = {.value = 3.001 * MM, .u = 0.01 * MM, .trials = 1};
	struct fw_limits limits = {0.30 * MM, 0.46 * MM, NAN};
	struct fw_shim_choice c;
	(void)state;

	for (size_t i = 0; i < COUNT(kit); i++) {
		kit[i] = shim((0.1 + 0.0137 * (double)i) * MM, 8);
		kit[i].u = 0.002 * MM;
	}
	assert_ok(fw_shim_choose(&c, &d, kit, 30, 8, false, &limits, 0.0, &error));
	assert_near(c.play / MM, 0.38, 0.01);
	assert_code(fw_shim_choose(&c, &d, kit, 31, 8, false, &limits, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "50 million");
	/* One piece of each: 31 over 1 + ... + 31 over 8 = 11 460 948 and fewer. */
	for (size_t i = 0; i < COUNT(kit); i++)
		kit[i].count = 1;
	assert_ok(fw_shim_choose(&c, &d, kit, 31, 8, false, &limits, 0.0, &error));
}

/* Two of one size are independent in thickness (JCGM 100:2008, equation 10), common in crush
 * (equation 16): sqrt(2·0.64·u²) and 2·t·u_crush. */
static void test_uncertainty_of_a_stack(void **state)
{
	struct fw_shim kit = {
	    .thickness = 0.5 * MM, .u = 0.01 * MM, .crush = 0.2, .crush_u = 0.03, .count = 2};
	struct fw_limits nip = {-0.1 * MM, 0.1 * MM, NAN};
	struct fw_shim_choice c;
	double own = 0.8 * 0.01, common = 2 * 0.5 * 0.03;
	(void)state;

	assert_ok(fw_gasket_choose(&c, 0.8 * MM, 0.02 * MM, &kit, 1, 2, &nip, &error));
	assert_int_equal(c.stack.count, 2);
	assert_near(c.stack.thickness / MM, 0.8, 1e-12);
	assert_near(c.stack.u / MM, sqrt(2 * own * own + common * common), 1e-12);
	assert_near(c.u / MM, sqrt(2 * own * own + common * common + 0.02 * 0.02), 1e-12);
}

/* A retainer stands off 0.50 mm; nip of 0.05 to 0.15 mm asked for; gaskets that lose a fifth. All
 * figures invented. 0.5 - 0.8·0.5 = 0.10. */
static void test_gasket(void **state)
{
	static const double sizes[] = {0.25, 0.40, 0.50, 0.63, 0.80};
	struct fw_shim kit[COUNT(sizes)];
	struct fw_limits nip = {0.05 * MM, 0.15 * MM, NAN};
	struct fw_shim_choice c;
	(void)state;

	for (size_t i = 0; i < COUNT(sizes); i++)
		kit[i] =
		    (struct fw_shim){.thickness = sizes[i] * MM, .crush = 0.2, .crush_u = 0.02, .count = 1};
	assert_ok(fw_gasket_choose(&c, 0.50 * MM, 0.01 * MM, kit, COUNT(kit), 1, &nip, &error));
	assert_int_equal(c.stack.count, 1);
	assert_int_equal(c.stack.shim[0], 2);
	assert_near(c.play / MM, 0.10, 1e-12);
	assert_true(c.probability > 0.95);

	/* None is thick enough for 1.2 mm: 1.10 clamped, 1.375 new. */
	assert_code(fw_gasket_choose(&c, 1.20 * MM, 0.01 * MM, kit, COUNT(kit), 1, &nip, &error),
	            FW_ERR_RANGE);
	assert_contains(error.text, "get a gasket of 1.375 mm (0.0541 in) new, 1.10 mm");
	assert_near(c.wanted / MM, 1.10, 1e-9);
	/* A gap below the nip can't be nipped. */
	assert_code(fw_gasket_choose(&c, 0.03 * MM, 0.001 * MM, kit, COUNT(kit), 1, &nip, &error),
	            FW_ERR_RANGE);
	assert_contains(error.text, "no gasket can help");
}

static void test_bad_gaskets(void **state)
{
	static const double bad[] = {NAN, INFINITY, -INFINITY, 0.0, -0.1 * MM, 2.0};
	struct fw_shim kit[] = {shim(0.5 * MM, 1)};
	struct fw_limits nip = {0.05 * MM, 0.15 * MM, NAN};
	struct fw_shim_choice c;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++)
		assert_code(fw_gasket_choose(&c, bad[i], 0.0, kit, 1, 1, &nip, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gasket_choose(&c, MM, -1e-6, kit, 1, 1, &nip, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gasket_choose(&c, MM, NAN, kit, 1, 1, &nip, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gasket_choose(&c, MM, 0.0, kit, 1, 1, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gasket_choose(&c, MM, 0.0, NULL, 1, 1, &nip, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gasket_choose(NULL, MM, 0.0, kit, 1, 1, &nip, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_first_trial),
	    cmocka_unit_test(test_posterior),
	    cmocka_unit_test(test_floor),
	    cmocka_unit_test(test_expected_difference),
	    cmocka_unit_test(test_surprise_threshold),
	    cmocka_unit_test(test_no_uncertainty_at_all),
	    cmocka_unit_test(test_bad_trials),
	    cmocka_unit_test(test_negative_play),
	    cmocka_unit_test(test_bad_kits),
	    cmocka_unit_test(test_bad_choices),
	    cmocka_unit_test(test_says_what_to_get),
	    cmocka_unit_test(test_says_when_no_shim_can_help),
	    cmocka_unit_test(test_bound_on_the_work),
	    cmocka_unit_test(test_uncertainty_of_a_stack),
	    cmocka_unit_test(test_gasket),
	    cmocka_unit_test(test_bad_gaskets),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
