/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calculators of measurements, by the published examples their solvers are held against. */
#include "calc_typed.h"

#include <string.h>

static struct fw_error error;

static int work(struct fw_calc_out **out, const char *name, const char *const *typed)
{
	return calc_typed(out, name, typed, &error);
}

#define WORK(name, ...) worked(name, (const char *const[]){__VA_ARGS__, NULL})
#define REFUSE(code, says, name, ...)                                                              \
	refused(code, says, name, (const char *const[]){__VA_ARGS__, NULL})

static struct fw_calc_out *worked(const char *name, const char *const *typed)
{
	struct fw_calc_out *out = NULL;

	assert_ok(work(&out, name, typed));
	assert_true(fw_calc_lines(out) > 0);
	return out;
}

static void refused(int code, const char *says, const char *name, const char *const *typed)
{
	struct fw_calc_out *out = NULL;

	assert_code(work(&out, name, typed), code);
	assert_contains(error.text, says);
}

static double number(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *result = fw_calc_result_find(out, name);

	if (!result)
		fail_msg("no result '%s'", name);
	return result->quantity.value;
}

static const char *text(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *result = fw_calc_result_find(out, name);

	if (!result)
		fail_msg("no result '%s'", name);
	return result->text;
}

static bool flag(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *result = fw_calc_result_find(out, name);

	if (!result)
		fail_msg("no result '%s'", name);
	return result->flag;
}

static bool says(const struct fw_calc_out *out, const char *part)
{
	for (size_t i = 0; i < fw_calc_lines(out); i++)
		if (strstr(fw_calc_line_text(out, i), part))
			return true;
	return false;
}

/* JCGM 106:2012, 7.4, its figures taken as millimetres: 13.6 with u = 1.8 in 12.5 to 16.3: 0.66. */
static void test_conform_two_sided(void **state)
{
	(void)state;
	struct fw_calc_out *out = WORK("conform", "value", "13.6 mm ± 3.6 mm", "min", "12.5 mm", "max",
	                               "16.3 mm", "guard", "0");
	assert_near(number(out, "probability"), 0.66, 0.005);
	assert_string_equal(text(out, "verdict"), "doubtful");
	assert_near(number(out, "u"), 1.8e-3, 1e-15);
	assert_near(number(out, "margin"), 1.1e-3, 1e-15);
	assert_true(flag(out, "accepted"));
	assert_near(number(out, "consumer-risk"), 0.34, 0.005);
	assert_near(number(out, "capability"), 3.8 / 7.2, 1e-12);
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_true(says(out, "room to min = 13.6 mm - 12.5 mm = 1.1 mm = 0.611111·u"));
	fw_calc_free(out);
}

/* 25 g6 (24.980 to 24.993 by ISO 286-2) with u = 1 µm: the guard band of ISO 14253-1 by U, and that
 * of 1.645 u for 95 %; scipy 1.10 for the probability with nine degrees of freedom. */
static void test_conform_guards(void **state)
{
	(void)state;
	struct fw_calc_out *out = WORK("conform", "value", "24.990 mm", "uncertainty", "2 um", "min",
	                               "24.980", "max", "24.993", "guard", "1");
	assert_near(number(out, "accept-min"), 24.982e-3, 1e-12);
	assert_near(number(out, "accept-max"), 24.991e-3, 1e-12);
	assert_string_equal(text(out, "verdict"), "within");
	assert_near(number(out, "probability"), 0.998650102, 1e-9);
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);

	out = WORK("conform", "value", "24.992", "uncertainty", "2 um", "min", "24.980", "max",
	           "24.993", "freedom", "9");
	assert_near(number(out, "probability"), 0.828281417, 1e-9);
	assert_true(!flag(out, "accepted"));
	assert_near(number(out, "producer-risk"), 0.828281417, 1e-9);
	assert_near(24.993e-3 - number(out, "accept-max"), 1.83e-6, 0.005e-6); /* table G.2, 90 %, 9 */
	fw_calc_free(out);

	/* Lower limit alone: table 1 of JCGM 106. */
	out = WORK("conform", "value", "7 mm ± 2 mm", "min", "5 mm", "asked", "99 %");
	assert_near(number(out, "accept-min"), 7.33e-3, 0.005e-3);
	assert_null(fw_calc_result_find(out, "accept-max"));
	assert_null(fw_calc_result_find(out, "capability"));
	fw_calc_free(out);
}

static void test_conform_warns(void **state)
{
	(void)state;
	struct fw_calc_out *out = WORK("conform", "value", "3 mm", "max", "2 mm");
	assert_string_equal(text(out, "verdict"), "outside");
	assert_int_equal(fw_calc_warnings(out), 2); /* outside, and no uncertainty given */
	assert_near(number(out, "margin"), -1e-3, 1e-15);
	fw_calc_free(out);
	/* A gauge too coarse accepts nothing; the verdict stands. */
	out = WORK("conform", "value", "1.5 mm ± 2 mm", "min", "1 mm", "max", "2 mm");
	assert_string_equal(text(out, "verdict"), "doubtful");
	assert_null(fw_calc_result_find(out, "accepted"));
	assert_int_equal(fw_calc_warnings(out), 2);
	fw_calc_free(out);
}

/* An uncertainty with its degrees of freedom, as a measurement hands it over. */
static void test_conform_takes_a_measurement(void **state)
{
	(void)state;
	const struct fw_calculator *calculator = fw_calculator_find("conform");
	struct fw_calc_values *values = NULL;
	struct fw_calc_out *out = NULL;
	struct fw_quantity q;

	assert_ok(fw_quantity_make(&q, 24.9945, fw_unit_find("mm", 2), &error));
	assert_ok(fw_quantity_add_term(&q, 7, 1e-6, 9, &error));
	assert_ok(fw_calc_values_new(&values, calculator->inputs, &error));
	assert_ok(fw_calc_set_quantity(values, "value", &q, &error));
	assert_ok(fw_calc_type(values, "min", "24.980", &error));
	assert_ok(fw_calc_type(values, "max", "24.993", &error));
	assert_ok(fw_calculate(&out, calculator, values, &error));
	assert_near(number(out, "probability"), 0.083925252, 1e-9); /* scipy 1.10 */
	assert_true(says(out, "Student's t"));
	assert_int_equal(fw_calc_result_find(out, "margin")->quantity.count, 0);
	fw_calc_free(out);
	fw_calc_values_free(values);
}

static void test_conform_refuses(void **state)
{
	(void)state;
	REFUSE(FW_ERR_ARGUMENT, "min and max", "conform", "value", "3 mm ± 1 mm");
	REFUSE(FW_ERR_ARGUMENT, "swapped", "conform", "value", "3 mm", "min", "4 mm", "max", "2 mm");
	REFUSE(FW_ERR_ARGUMENT, "max is uncertain", "conform", "value", "3 mm", "max", "4 mm ± 1 mm");
	REFUSE(FW_ERR_ARGUMENT, "min is uncertain", "conform", "value", "3 mm", "min", "2 ± 1");
	REFUSE(FW_ERR_ARGUMENT, "give it once", "conform", "value", "3 mm ± 1 mm", "max", "4",
	       "uncertainty", "1");
	REFUSE(FW_ERR_ARGUMENT, "asked", "conform", "value", "3 mm", "max", "4", "asked", "50 %");
	REFUSE(FW_ERR_ARGUMENT, "asked", "conform", "value", "3 mm", "max", "4", "asked", "100 %");
	REFUSE(FW_ERR_INPUT, "asked", "conform", "value", "3 mm", "max", "4", "asked", "95");
	REFUSE(FW_ERR_ARGUMENT, "asked", "conform", "value", "3 mm", "max", "4", "asked", "-1");
	REFUSE(FW_ERR_ARGUMENT, "uncertainty", "conform", "value", "3", "max", "4", "uncertainty",
	       "-1");
	REFUSE(FW_ERR_ARGUMENT, "freedom", "conform", "value", "3 ± 1", "max", "9", "freedom", "0.5");
	REFUSE(FW_ERR_ARGUMENT, "freedom", "conform", "value", "3 ± 1", "max", "9", "freedom", "0");
	REFUSE(FW_ERR_RANGE, "max is too large", "conform", "value", "3 ± 1", "max", "1e300");
	REFUSE(FW_ERR_RANGE, "value", "conform", "value", "3 ± 1e-300", "max", "9");
	REFUSE(FW_ERR_ARGUMENT, "guard", "conform", "value", "3 ± 1", "max", "9", "guard", "101");
	REFUSE(FW_ERR_DIMENSION, "max", "conform", "value", "3 N", "max", "4 mm");
	REFUSE(FW_ERR_ARGUMENT, "value", "conform", "max", "4 mm");
}

/* NIST/SEMATECH e-Handbook, 1.3.5.17.1: the reading 245.57 is an outlier, G = 2.4687; either side
 * at 5 %: 2.126. */
static void test_readings_slip(void **state)
{
	(void)state;
	struct fw_calc_out *out = WORK(
	    "readings", "reading", "199.31; 199.53; 200.19; 200.82; 201.92; 201.95; 202.18; 245.57");
	assert_near(number(out, "g"), 2.4687, 0.0001);
	assert_near(number(out, "g-critical"), 2.126, 0.0007);
	assert_true(flag(out, "slip"));
	assert_near(number(out, "suspect"), 8, 0);
	assert_near(number(out, "suspect-value"), 245.57e-3, 1e-12);
	assert_int_equal(fw_calc_warnings(out), 1);
	fw_calc_free(out);
	/* A step of the scale is none. */
	out = WORK("readings", "reading", "0.40;0.40;0.40;0.40;0.41", "resolution", "0.01");
	assert_true(!flag(out, "slip"));
	assert_int_equal(fw_calc_warnings(out), 0);
	assert_true(says(out, "step of the scale"));
	fw_calc_free(out);
}

/* JCGM 100:2008, 4.4.3 and table 1, as millimetres: mean 100.145, s 1.489, u 0.333; table G.2:
 * t95(19) = 2.09. With a gauge: 4.3.7 and F.2.2.1. */
static void test_readings_budget(void **state)
{
	(void)state;
	struct fw_calc_out *out = WORK(
	    "readings", "reading",
	    "96.90;98.18;98.25;98.61;99.03;99.49;99.56;99.74;99.89;100.07;100.33;100.42;100.68;100.95;"
	    "101.11;101.20;101.57;101.84;102.36;102.72");
	assert_near(number(out, "mean"), 100.145e-3, 1e-12);
	assert_near(number(out, "sd"), 1.489e-3, 0.0005e-3);
	assert_near(number(out, "u"), 0.333e-3, 0.0005e-3);
	assert_near(number(out, "freedom"), 19, 1e-9);
	assert_near(number(out, "coverage"), 2.09, 0.005);
	/* Python's statistics on the readings, times Student's quantile by Simpson's rule. */
	assert_near(number(out, "expanded"), 0.69680067e-3, 1e-11);
	fw_calc_free(out);

	out = WORK("readings", "reading", "3 mm", "resolution", "0.01", "error", "0.04", "coverage",
	           "99 %");
	assert_near(number(out, "resolution-u"), 0.0029e-3, 0.00005e-3);
	assert_near(number(out, "error-u"), 0.0231e-3, 0.00005e-3);
	assert_near(number(out, "coverage"), 2.576, 0.0005);
	assert_null(fw_calc_result_find(out, "freedom"));
	assert_null(fw_calc_result_find(out, "sd"));
	assert_null(fw_calc_result_find(out, "slip"));
	assert_int_equal(fw_calc_warnings(out), 1); /* read again */
	fw_calc_free(out);

	/* A typical gauge, and one figure of it replaced. */
	out = WORK("readings", "reading", "3;3;3", "gauge", "dial indicator", "error", "0");
	assert_near(number(out, "u"), 1e-5 / sqrt(12), 1e-12);
	fw_calc_free(out);
	out = WORK("readings", "reading", "3;3;3");
	assert_near(number(out, "u"), 0, 0);
	assert_int_equal(fw_calc_warnings(out), 1);
	fw_calc_free(out);
}

static void test_readings_refuse(void **state)
{
	(void)state;
	REFUSE(FW_ERR_ARGUMENT, "reading", "readings", "resolution", "1 mm");
	REFUSE(FW_ERR_NOT_FOUND, "gauge", "readings", "reading", "1;2", "gauge", "eye");
	REFUSE(FW_ERR_NOT_FOUND, "gauge", "readings", "reading", "1;2", "gauge", "torque wrench");
	REFUSE(FW_ERR_ARGUMENT, "resolution", "readings", "reading", "1;2", "resolution", "-1");
	REFUSE(FW_ERR_ARGUMENT, "error", "readings", "reading", "1;2", "error", "-1");
	REFUSE(FW_ERR_ARGUMENT, "coverage", "readings", "reading", "1;2", "coverage", "100 %");
	REFUSE(FW_ERR_ARGUMENT, "significance", "readings", "reading", "1;2;4;7", "significance",
	       "60 %");
	REFUSE(FW_ERR_RANGE, "reading is too large", "readings", "reading", "1;1e307 m;-1e307 m");
	REFUSE(FW_ERR_DIMENSION, "reading", "readings", "reading", "1 mm;2 N");
}

/* JCGM 106:2012, 9.5.3, ohms as millimetres: R_C = 0.01, R_P = 0.07, 90 % conform. */
static void test_risk(void **state)
{
	(void)state;
	struct fw_calc_out *out = WORK("risk", "mean", "1500", "sd", "0.12", "uncertainty", "0.08",
	                               "min", "1499.8", "max", "1500.2", "guard", "0.25");
	assert_near(number(out, "accept-min"), 1499.82e-3, 1e-9);
	assert_near(number(out, "accept-max"), 1500.18e-3, 1e-9);
	assert_near(number(out, "conforming"), 0.90, 0.005);
	assert_near(number(out, "consumer-risk"), 0.01, 0.0005);
	assert_near(number(out, "producer-risk"), 0.07, 0.0015);
	/* By Simpson's rule in Python over the items outside: 0.00987829 of all, of 0.84527108
	 * accepted. */
	assert_near(number(out, "bad-among-accepted"), 0.0116865, 1e-6);
	fw_calc_free(out);
	/* One limit at the mean: atan(u/s)/(2·pi), an eighth for u = s. */
	out = WORK("risk", "mean", "5", "sd", "1", "uncertainty", "2", "max", "5");
	assert_near(number(out, "consumer-risk"), 0.125, 1e-9);
	assert_near(number(out, "producer-risk"), 0.125, 1e-9);
	assert_null(fw_calc_result_find(out, "capability"));
	fw_calc_free(out);
}

static void test_risk_refuses(void **state)
{
	(void)state;
	REFUSE(FW_ERR_ARGUMENT, "min and max", "risk", "mean", "5", "sd", "1", "uncertainty", "2");
	REFUSE(FW_ERR_ARGUMENT, "sd", "risk", "mean", "5", "sd", "0", "uncertainty", "2", "max", "5");
	REFUSE(FW_ERR_ARGUMENT, "sd", "risk", "mean", "5", "uncertainty", "2", "max", "5");
	REFUSE(FW_ERR_RANGE, "nothing to accept", "risk", "mean", "5", "sd", "1", "uncertainty", "2",
	       "min", "4", "max", "6", "guard", "1");
	REFUSE(FW_ERR_RANGE, "sd is too small", "risk", "mean", "5", "sd", "1e-300", "uncertainty", "2",
	       "max", "9");
	REFUSE(FW_ERR_ARGUMENT, "guard", "risk", "mean", "5", "sd", "1", "uncertainty", "1", "max", "5",
	       "guard", "-101");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_conform_two_sided),
	    cmocka_unit_test(test_conform_guards),
	    cmocka_unit_test(test_conform_warns),
	    cmocka_unit_test(test_conform_takes_a_measurement),
	    cmocka_unit_test(test_conform_refuses),
	    cmocka_unit_test(test_readings_slip),
	    cmocka_unit_test(test_readings_budget),
	    cmocka_unit_test(test_readings_refuse),
	    cmocka_unit_test(test_risk),
	    cmocka_unit_test(test_risk_refuses),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
