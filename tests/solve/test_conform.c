/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <string.h>

#include "fitwright/conform.h"

#define PI     3.14159265358979323846
#define NORMAL INFINITY

static struct fw_error error;

static double probability(double value, double u, double freedom, double min, double max)
{
	struct fw_limits limits = {min, max, NAN};
	double p = NAN;

	assert_ok(fw_conform_probability(&p, value, u, freedom, &limits, &error));
	return p;
}

static struct fw_conformity judge(double value, double u, double freedom, double min, double max)
{
	struct fw_limits limits = {min, max, NAN};
	struct fw_conformity c;

	assert_ok(fw_conform(&c, value, u, freedom, &limits, FW_CONFORMANCE, &error));
	return c;
}

/* JCGM 106:2012, table 1: conformance probability against z for one limit, printed to two decimals.
 */
static void test_jcgm_106_table_1(void **state)
{
	static const struct {
		double p, z;
	} row[] = {{0.80, 0.84}, {0.90, 1.28}, {0.95, 1.64}, {0.99, 2.33}, {0.999, 3.09}};
	(void)state;

	for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
		/* The true z lies within half a digit of the printed one. */
		double low = probability(row[i].z - 0.005, 1.0, NORMAL, 0.0, INFINITY);
		double high = probability(row[i].z + 0.005, 1.0, NORMAL, 0.0, INFINITY);
		assert_true(low <= row[i].p && row[i].p <= high);
		/* An upper limit is its mirror image. */
		assert_near(probability(-row[i].z, 1.0, NORMAL, -INFINITY, 0.0),
		            probability(row[i].z, 1.0, NORMAL, 0.0, INFINITY), 1e-15);
	}
}

/* JCGM 106:2012, 7.4, example: kinematic viscosity of a motor oil, 13.6 with u = 1.8 mm²/s against
 * 12.5 to 16.3: 0.66. */
static void test_jcgm_106_two_sided(void **state)
{
	(void)state;
	assert_near(probability(13.6, 1.8, NORMAL, 12.5, 16.3), 0.66, 0.005);
}

/* JCGM 106:2012, 7.7.5: with a tolerance of 4u, 95 % is reached only for 0.45 <= (y - min)/T <=
 * 0.55. */
static void test_jcgm_106_capability_one(void **state)
{
	(void)state;
	assert_true(probability(0.45, 0.25, NORMAL, 0.0, 1.0) >= 0.95);
	assert_true(probability(0.55, 0.25, NORMAL, 0.0, 1.0) >= 0.95);
	assert_true(probability(0.445, 0.25, NORMAL, 0.0, 1.0) < 0.95);
	assert_true(probability(0.555, 0.25, NORMAL, 0.0, 1.0) < 0.95);
	assert_near(probability(0.5, 0.25, NORMAL, 0.0, 1.0), 0.9545,
	            0.00005); /* GUM table G.1: k = 2 */
}

/* JCGM 106:2012, annex A: 68.3 %, 95.5 % (95.45 rounded up), 99.7 % within 1, 2, 3 standard
 * uncertainties. */
static void test_jcgm_106_annex_a(void **state)
{
	(void)state;
	assert_near(probability(0.0, 1.0, NORMAL, -1.0, 1.0), 0.683, 0.0005);
	assert_near(probability(0.0, 1.0, NORMAL, -2.0, 2.0), 0.955, 0.00051);
	assert_near(probability(0.0, 1.0, NORMAL, -3.0, 3.0), 0.997, 0.0005);
}

/* JCGM 106:2012, 8.3.2: on the acceptance limit of a guard band U = 2u, 2.3 % are non-conforming.
 */
static void test_jcgm_106_guard_band(void **state)
{
	(void)state;
	assert_near(1.0 - probability(2.0, 1.0, NORMAL, 0.0, INFINITY), 0.023, 0.0005);
}

/* JCGM 100:2008, table G.2: t for 95 % and 99 %, printed to two decimals. */
static void test_gum_table_g2(void **state)
{
	static const struct {
		double freedom, t95, t99;
	} row[] = {{1, 12.71, 63.66},   {2, 4.30, 9.92},         {3, 3.18, 5.84},  {5, 2.57, 4.03},
	           {10, 2.23, 3.17},    {16, 2.12, 2.92},        {30, 2.04, 2.75}, {50, 2.01, 2.68},
	           {100, 1.984, 2.626}, {INFINITY, 1.960, 2.576}};
	(void)state;

	for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
		double nu = row[i].freedom;
		assert_true(probability(0, 1, nu, -row[i].t95 - 0.005, row[i].t95 + 0.005) >= 0.95);
		assert_true(probability(0, 1, nu, -row[i].t95 + 0.005, row[i].t95 - 0.005) <= 0.95);
		assert_true(probability(0, 1, nu, -row[i].t99 - 0.005, row[i].t99 + 0.005) >= 0.99);
		assert_true(probability(0, 1, nu, -row[i].t99 + 0.005, row[i].t99 - 0.005) <= 0.99);
	}
}

/* Student's t has closed forms for 1 (Cauchy) and 2 degrees of freedom: textbook. */
static void test_t_closed_forms(void **state)
{
	(void)state;
	for (double x = -40.0; x <= 40.0; x += 0.37) {
		assert_near(probability(x, 1.0, 1.0, 0.0, INFINITY), 0.5 + atan(x) / PI, 1e-12);
		assert_near(probability(x, 1.0, 2.0, 0.0, INFINITY), 0.5 + x / (2.0 * sqrt(2.0 + x * x)),
		            1e-12);
	}
}

/* The normal against the C library's erfc (ISO C, 7.12.8.2), far out in the tails too. */
static void test_normal_tails(void **state)
{
	(void)state;
	for (double x = 0.0; x <= 37.0; x += 0.25) {
		double tail = erfc(x / sqrt(2.0)) / 2.0;
		assert_near(probability(-x, 1.0, NORMAL, 0.0, INFINITY), tail, 1e-12 * tail + 1e-300);
		assert_near(probability(x, 1.0, NORMAL, -INFINITY, 0.0), tail, 1e-12 * tail + 1e-300);
		/* Both limits on one side: the difference of two tails must not cancel. */
		double slice = (erfc(x / sqrt(2.0)) - erfc((x + 1.0) / sqrt(2.0))) / 2.0;
		assert_near(probability(-x, 1.0, NORMAL, 0.0, 1.0), slice, 1e-11 * slice + 1e-300);
	}
}

/* A shaft 25 g6 (24.980 to 24.993 mm by ISO 286-2) measured with u = 0.001 mm; probabilities worked
 * out with Python scipy 1.10.1 (stats.norm, stats.t with 9 degrees). 'w' within, 'd' neither, by
 * the 95 % conformance probability of ISO 14253-1:2017, from memory. */
static void test_25_g6(void **state)
{
	static const struct {
		double y, normal, t9;
		char verdict;
	} row[] = {
	    {24.9820, 0.977249868, 0.961722783, 'w'},  {24.9865, 0.999999999920, 0.999888549, 'w'},
	    {24.9900, 0.998650102, 0.992520029, 'w'},  {24.9910, 0.977249868, 0.961722783, 'w'},
	    {24.99136, 0.949497417, 0.932286490, 'd'}, {24.9920, 0.841344746, 0.828281417, 'd'},
	    {24.9930, 0.500000000, 0.4999998, 'd'},    {24.9945, 0.066807201, 0.083925252, 'd'},
	};
	(void)state;

	for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
		double y = row[i].y * 1e-3, u = 1e-6, min = 24.980e-3, max = 24.993e-3;
		assert_near(probability(y, u, NORMAL, min, max), row[i].normal, 2e-9);
		assert_near(probability(y, u, 9.0, min, max), row[i].t9, 5e-8);
		enum fw_verdict wanted = row[i].verdict == 'w' ? FW_WITHIN : FW_DOUBTFUL;
		assert_int_equal(judge(y, u, NORMAL, min, max).verdict, wanted);
	}
	/* 1.65u past the limit, non-conformity is proven at 95 %. */
	assert_int_equal(judge(24.99465e-3, 1e-6, NORMAL, 24.980e-3, 24.993e-3).verdict, FW_OUTSIDE);
	assert_int_equal(judge(24.99464e-3, 1e-6, NORMAL, 24.980e-3, 24.993e-3).verdict, FW_DOUBTFUL);
}

static void test_margin_and_names(void **state)
{
	(void)state;
	assert_near(judge(3.0, 0.1, NORMAL, 0.0, 10.0).margin, 3.0, 1e-15);
	assert_near(judge(8.0, 0.1, NORMAL, 0.0, 10.0).margin, 2.0, 1e-15);
	assert_near(judge(12.0, 0.1, NORMAL, 0.0, 10.0).margin, -2.0, 1e-15);
	assert_near(judge(-1.5, 0.1, NORMAL, 0.0, INFINITY).margin, -1.5, 1e-15);
	assert_string_equal(fw_verdict_name(FW_WITHIN), "within");
	assert_string_equal(fw_verdict_name(FW_OUTSIDE), "outside");
	assert_string_equal(fw_verdict_name(FW_DOUBTFUL), "doubtful");
}

/* Without uncertainty it is a plain comparison, the limits belong to what they limit. */
static void test_no_uncertainty(void **state)
{
	(void)state;
	assert_near(probability(10.0, 0.0, NORMAL, 0.0, 10.0), 1.0, 0.0);
	assert_near(probability(0.0, 0.0, NORMAL, 0.0, 10.0), 1.0, 0.0);
	assert_near(probability(nextafter(10.0, 11.0), 0.0, NORMAL, 0.0, 10.0), 0.0, 0.0);
	assert_int_equal(judge(10.0, 0.0, 5.0, 0.0, 10.0).verdict, FW_WITHIN);
	assert_int_equal(judge(10.1, 0.0, 5.0, 0.0, 10.0).verdict, FW_OUTSIDE);
}

/* A gauge a hundred times coarser than the limits proves nothing, least of all "outside". */
static void test_coarse_gauge_is_doubtful(void **state)
{
	(void)state;
	assert_true(probability(0.5, 100.0, NORMAL, 0.0, 1.0) < 0.05);
	assert_int_equal(judge(0.5, 100.0, NORMAL, 0.0, 1.0).verdict, FW_DOUBTFUL);
}

static void test_aim(void **state)
{
	struct fw_limits both = {1.0, 4.0, NAN}, below = {-INFINITY, 4.0, NAN};
	struct fw_limits above = {1.0, INFINITY, NAN}, given = {1.0, 4.0, 1.5};
	(void)state;

	assert_near(fw_limits_aim(&both), 2.5, 0.0);
	assert_near(fw_limits_aim(&below), 4.0, 0.0);
	assert_near(fw_limits_aim(&above), 1.0, 0.0);
	assert_near(fw_limits_aim(&given), 1.5, 0.0);
	assert_ok(fw_limits_check(&both, &error));
	assert_ok(fw_limits_check(&below, &error));
	assert_ok(fw_limits_check(&above, &error));
	assert_ok(fw_limits_check(&given, &error));
}

static void refuse_limits(double min, double max, double aim, const char *says)
{
	struct fw_limits limits = {min, max, aim};

	assert_code(fw_limits_check(&limits, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
}

static void test_bad_limits(void **state)
{
	(void)state;
	refuse_limits(NAN, 1.0, NAN, "min is not a number");
	refuse_limits(0.0, NAN, NAN, "max is not a number");
	refuse_limits(2.0, 1.0, NAN, "swapped");
	refuse_limits(1.0, 1.0, NAN, "min is not below max");
	refuse_limits(INFINITY, 1.0, NAN, "min is not below max");
	refuse_limits(0.0, -INFINITY, NAN, "min is not below max");
	refuse_limits(-INFINITY, INFINITY, NAN, "both sides are open");
	refuse_limits(0.0, 1.0, 1.5, "aim is above max");
	refuse_limits(0.0, 1.0, -0.5, "aim is below min");
	refuse_limits(0.0, INFINITY, INFINITY, "aim is infinite");
	assert_code(fw_limits_check(NULL, &error), FW_ERR_ARGUMENT);
}

static void refuse(double value, double u, double freedom, double asked, const char *says)
{
	struct fw_limits limits = {0.0, 1.0, NAN};
	struct fw_conformity c;

	assert_code(fw_conform(&c, value, u, freedom, &limits, asked, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
}

static void test_bad_arguments(void **state)
{
	struct fw_limits crossed = {1.0, 0.0, NAN};
	struct fw_conformity c;
	double p = 0.0;
	(void)state;

	refuse(NAN, 1.0, NORMAL, 0.95, "value");
	refuse(INFINITY, 1.0, NORMAL, 0.95, "value");
	refuse(0.5, NAN, NORMAL, 0.95, "uncertainty");
	refuse(0.5, INFINITY, NORMAL, 0.95, "uncertainty");
	refuse(0.5, -1e-9, NORMAL, 0.95, "negative");
	refuse(0.5, 1.0, NAN, 0.95, "freedom");
	refuse(0.5, 1.0, 0.0, 0.95, "freedom");
	refuse(0.5, 1.0, -3.0, 0.95, "freedom");
	refuse(0.5, 1.0, NORMAL, 0.5, "between 0.5 and 1");
	refuse(0.5, 1.0, NORMAL, 1.0, "between 0.5 and 1");
	refuse(0.5, 1.0, NORMAL, NAN, "between 0.5 and 1");
	assert_code(fw_conform(&c, 0.5, 1.0, NORMAL, &crossed, 0.95, &error), FW_ERR_ARGUMENT);
	assert_code(fw_conform_probability(&p, 0.5, 1.0, NORMAL, NULL, &error), FW_ERR_ARGUMENT);
}

/* GSL's error handler aborts: no figure whatever may reach it. Sane answers all the way, rising
 * with the value against a lower limit. */
static void test_sweep_of_extremes(void **state)
{
	static const double freedom[] = {0.1, 0.5,   1,   2.5, 29.9, 30.1,
	                                 1e3, 99999, 1e5, 1e6, 1e12, INFINITY};
	static const double u[] = {1e-320, 1e-300, 1e-9, 1.0, 1e9, 1e300};
	(void)state;

	for (size_t i = 0; i < sizeof freedom / sizeof freedom[0]; i++)
		for (size_t j = 0; j < sizeof u / sizeof u[0]; j++) {
			double last = 0.0;
			for (int e = -2400; e <= 2400; e++) {
				double value = copysign(pow(10.0, fabs((double)e) / 8.0 - 8.0), (double)e);
				double p = probability(value, u[j], freedom[i], 0.0, INFINITY);
				assert_true(p >= last - 1e-12 && p <= 1.0);
				last = p;
			}
			assert_true(last >= 0.5);
		}
	/* From 1e5 degrees on the normal is used; just below, t must agree with it to 2e-6. */
	for (double x = -8.0; x <= 8.0; x += 0.1)
		assert_near(probability(x, 1.0, 99999.0, 0.0, INFINITY),
		            probability(x, 1.0, INFINITY, 0.0, INFINITY), 2e-6);
}

/* 0.33 - 0.15 is 0.18 to a mechanic, and a little more in binary. */
static void test_on_the_limit(void **state)
{
	(void)state;
	struct fw_limits limits = {0.1e-3, 0.18 / 1e3, NAN}, open = {-INFINITY, 0.18 / 1e3, NAN};
	double worked_out = 0.33 / 1e3 - 0.15 / 1e3;

	assert_true(worked_out > limits.max);
	assert_true(fw_limits_snap(worked_out, &limits) == limits.max);
	assert_true(fw_limits_snap(worked_out, &open) == limits.max);
	assert_true(fw_limits_snap(0.4e-3 - 0.3e-3, &limits) == limits.min);
	assert_true(fw_limits_snap(0.18001e-3, &limits) == 0.18001e-3);
	assert_true(fw_limits_snap(0.14e-3, &limits) == 0.14e-3);
	assert_true(isnan(fw_limits_snap(NAN, &limits)));
	assert_true(fw_limits_snap(-INFINITY, &limits) == -INFINITY);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_jcgm_106_table_1),
	    cmocka_unit_test(test_jcgm_106_two_sided),
	    cmocka_unit_test(test_jcgm_106_capability_one),
	    cmocka_unit_test(test_jcgm_106_annex_a),
	    cmocka_unit_test(test_jcgm_106_guard_band),
	    cmocka_unit_test(test_gum_table_g2),
	    cmocka_unit_test(test_t_closed_forms),
	    cmocka_unit_test(test_normal_tails),
	    cmocka_unit_test(test_25_g6),
	    cmocka_unit_test(test_margin_and_names),
	    cmocka_unit_test(test_no_uncertainty),
	    cmocka_unit_test(test_coarse_gauge_is_doubtful),
	    cmocka_unit_test(test_aim),
	    cmocka_unit_test(test_bad_limits),
	    cmocka_unit_test(test_bad_arguments),
	    cmocka_unit_test(test_sweep_of_extremes),
	    cmocka_unit_test(test_on_the_limit),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
