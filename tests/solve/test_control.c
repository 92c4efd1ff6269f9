/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Control limits for individuals, against two published examples. */
#include "check.h"

#include "fitwright/control.h"

#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

/* NIST/SEMATECH e-Handbook, 6.3.2.2, flow rate of ten batches (the batches from memory; they have
 * the mean 50.81 and the mean moving range 1.8778 that the handbook prints). It gives 50.81 +
 * 3·1.8778/1.128 = 55.8041 and 45.8159, with d2 rounded to four figures: 0.034 % of the 4.994
 * between mean and limit. */
static const double flow_rate[] = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};

static void test_handbook(void **state)
{
	(void)state;
	struct fw_control c;
	unsigned marks[COUNT(flow_rate)];

	assert_ok(fw_control_limits(&c, flow_rate, COUNT(flow_rate), &error));
	assert_int_equal(c.count, 10);
	assert_near(c.mean, 50.81, 1e-12);
	assert_near(c.range, 1.8778, 5e-5);
	assert_near(c.high, 55.8041, 0.0018);
	assert_near(c.low, 45.8159, 0.0018);
	/* "The process is in control": none is beyond the limits. */
	fw_control_marks(marks, &c, flow_rate, COUNT(flow_rate));
	for (size_t i = 0; i < COUNT(flow_rate); i++)
		assert_int_equal(marks[i], 0);
}

/* SAS/QC User's Guide, MACONTROL procedure, example 9.4: diameters of 30 steel belts, and the
 * listing of _LCLI_ 23.8571, _MEAN_ 24.0083, _UCLI_ 24.1596, _R_ 0.056897, _UCLR_ 0.18585, _STDDEV_
 * 0.050423. */
static const double belts[] = {24.05, 23.99, 23.95, 23.93, 23.97, 24.02, 24.06, 24.10,
                               23.98, 24.03, 23.91, 24.06, 24.06, 23.96, 23.98, 24.06,
                               24.01, 24.00, 23.93, 23.92, 24.09, 24.11, 24.05, 23.98,
                               23.98, 24.06, 24.02, 24.06, 23.97, 23.96};

static void test_belts(void **state)
{
	(void)state;
	struct fw_control c;

	assert_ok(fw_control_limits(&c, belts, COUNT(belts), &error));
	assert_near(c.low, 23.8571, 5e-5);
	assert_near(c.mean, 24.0083, 5e-5);
	assert_near(c.high, 24.1596, 5e-5);
	assert_near(c.range, 0.056897, 5e-7);
	assert_near(c.range_high, 0.18585, 5e-6);
	assert_near(c.sd, 0.050423, 5e-7);
}

/* The tables' E2 = 2.660 and D4 = 3.267 for a moving range of two (ASTM E2587, ISO 7870-2: from
 * memory). */
static void test_factors(void **state)
{
	(void)state;
	static const double zigzag[] = {0, 1, 0, 1, 0, 1, 0, 1, 0, 1};
	struct fw_control c;

	assert_ok(fw_control_limits(&c, zigzag, COUNT(zigzag), &error));
	assert_near(c.range, 1, 1e-15); /* by hand */
	assert_near(c.mean, 0.5, 1e-15);
	assert_near(c.high - c.mean, 2.660, 0.002);
	assert_near(c.mean - c.low, 2.660, 0.002);
	assert_near(c.range_high, 3.267, 0.0006);
}

/* By hand, with limits of our own making. */
static void test_marks(void **state)
{
	(void)state;
	static const struct fw_control c = {
	    .count = 20, .mean = 10, .range = 1, .sd = 1, .low = 7, .high = 13, .range_high = 3};
	static const double x[] = {11, 11, 11, 11, 11, 11, 11, 11, 11, 10, 9,  9,
	                           9,  9,  9,  9,  9,  8,  13, 7,  7,  14, 6.9};
	static const unsigned wanted[] = {0, 0, 0, 0, 0, 0, 0, 4, 4, 0, 0, 0,
	                                  0, 0, 0, 0, 0, 4, 2, 2, 0, 3, 3};
	unsigned marks[COUNT(x)];

	assert_int_equal(COUNT(x), COUNT(wanted));
	fw_control_marks(marks, &c, x, COUNT(x));
	for (size_t i = 0; i < COUNT(x); i++)
		assert_int_equal(marks[i], wanted[i]);
	fw_control_marks(marks, &c, x, 0);
}

static void test_ends(void **state)
{
	(void)state;
	static const double equal[] = {0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1};
	double odd[COUNT(equal)];
	unsigned marks[COUNT(equal)];
	struct fw_control c = {.count = 7};

	assert_code(fw_control_limits(&c, equal, FW_CONTROL_LEAST - 1, &error), FW_ERR_RANGE);
	assert_code(fw_control_limits(&c, NULL, 12, &error), FW_ERR_ARGUMENT);
	assert_code(fw_control_limits(NULL, equal, 11, &error), FW_ERR_ARGUMENT);
	for (size_t i = 0; i < COUNT(odd); i++)
		odd[i] = i % 2 ? 1.7e308 : -1.7e308;
	assert_code(fw_control_limits(&c, odd, COUNT(odd), &error), FW_ERR_RANGE);
	odd[4] = NAN;
	assert_code(fw_control_limits(&c, odd, COUNT(odd), &error), FW_ERR_ARGUMENT);
	assert_int_equal(c.count, 7); /* untouched */

	/* Values that don't scatter are on their mean, and none stands out by rounding. */
	assert_ok(fw_control_limits(&c, equal, COUNT(equal), &error));
	assert_true(c.mean == 0.1 && c.low == 0.1 && c.high == 0.1 && c.range == 0);
	fw_control_marks(marks, &c, equal, COUNT(equal));
	for (size_t i = 0; i < COUNT(equal); i++)
		assert_int_equal(marks[i], 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_handbook), cmocka_unit_test(test_belts),
	    cmocka_unit_test(test_factors),  cmocka_unit_test(test_marks),
	    cmocka_unit_test(test_ends),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
