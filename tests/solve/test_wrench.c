/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <string.h>

#include "fitwright/wrench.h"

#define DEGREE   0.017453292519943295
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

/* Published examples; any unit will do as long as it is the same throughout. TM 9-254 (US Army),
 * figure 45: a wrench of 12 in with an adapter of 2 in, set to 60 in·lb, gives 70. An aircraft's
 * maintenance manual, standard practices: 135 in·lb with 10 in and 1.5 in, 117.39 in line and
 * 158.82 pointing back. A workshop forum: 50 lb·ft, 18 in and 6 in, 37.5. The last three are
 * arithmetic of the same rule. */
static void test_published_examples(void **state)
{
	static const struct {
		double length, extension, degrees, torque, setting, half_digit;
	} row[] = {
	    {12, 2, 0, 70, 60, 1e-9},           {10, 1.5, 0, 135, 117.39, 0.005},
	    {10, 1.5, 180, 135, 158.82, 0.005}, {18, 6, 0, 50, 37.5, 1e-9},
	    {12, 2, 90, 70, 70, 1e-9},          {12, 2, -90, 70, 70, 1e-9},
	    {12, 2, 60, 65, 60, 1e-9}, /* half the adapter's length counts */
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_adapter a = {row[i].length, row[i].extension, row[i].degrees * DEGREE};
		double setting = 0.0, torque = 0.0;
		assert_ok(fw_adapter_setting(&setting, &a, row[i].torque, &error));
		assert_near(setting, row[i].setting, row[i].half_digit);
		assert_ok(fw_adapter_torque(&torque, &a, setting, &error));
		assert_near(torque, row[i].torque, 1e-9);
	}
}

/* A moment about the bolt, worked out another way: hand force F = setting/L, square to the handle,
 * at the grip's position as seen from the bolt; the torque at the bolt is the cross product of the
 * two. */
static void test_against_the_cross_product(void **state)
{
	(void)state;
	for (int degrees = -180; degrees <= 180; degrees += 15)
		for (double extension = 0.0; extension < 0.25; extension += 0.05) {
			struct fw_adapter a = {0.3, extension, degrees * DEGREE};
			/* square at the origin, handle along -x, bolt at the adapter's end */
			double bolt_x = extension * cos(a.angle), bolt_y = extension * sin(a.angle);
			double setting = 0.0, arm_x = -0.3 - bolt_x, arm_y = 0.0 - bolt_y;
			double force = 1.0; /* along -y, which is clockwise about the square by 0.3 N·m */
			double moment = arm_x * -force - arm_y * 0.0;
			assert_ok(fw_adapter_setting(&setting, &a, moment, &error));
			assert_near(setting, 0.3 * force, 1e-12);
		}
}

/* ISO 6789 type II: 4 % of the setting (from memory). 40 N·m: 38.4 to 41.6. */
static void test_range(void **state)
{
	double low = 0.0, high = 0.0;
	(void)state;

	assert_ok(fw_wrench_range(&low, &high, 40.0, 0.04, 0.0, &error));
	assert_near(low, 38.4, 1e-12);
	assert_near(high, 41.6, 1e-12);
	assert_ok(fw_wrench_range(&low, &high, 40.0, 0.04, 0.5, &error));
	assert_near(low, 37.9, 1e-12);
	assert_near(high, 42.1, 1e-12);
	assert_ok(fw_wrench_range(&low, &high, 0.4, 0.04, 0.5, &error));
	assert_near(low, 0.0, 0.0);
}

static void refuse(struct fw_adapter a, double torque, int code, const char *says)
{
	double x = 0.0;

	assert_code(fw_adapter_setting(&x, &a, torque, &error), code);
	assert_contains(error.text, says);
	assert_code(fw_adapter_torque(&x, &a, torque, &error), code);
}

static void test_refused(void **state)
{
	static const double bad[] = {0.0, -1.0, NAN, INFINITY};
	const struct fw_adapter good = {0.3, 0.05, 0.0};
	double x = 0.0, y = 0.0;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		refuse((struct fw_adapter){bad[i], 0.05, 0.0}, 20.0, FW_ERR_ARGUMENT,
		       "length of the wrench");
		if (bad[i] != 0.0) {
			refuse((struct fw_adapter){0.3, bad[i], 0.0}, 20.0, FW_ERR_ARGUMENT, "its length");
			assert_code(fw_wrench_range(&x, &y, 20.0, bad[i], 0.0, &error), FW_ERR_ARGUMENT);
			assert_code(fw_wrench_range(&x, &y, 20.0, 0.0, bad[i], &error), FW_ERR_ARGUMENT);
		}
		refuse(good, bad[i], FW_ERR_ARGUMENT, "above zero");
		assert_code(fw_wrench_range(&x, &y, bad[i], 0.04, 0.0, &error), FW_ERR_ARGUMENT);
	}
	refuse((struct fw_adapter){0.3, 0.05, NAN}, 20.0, FW_ERR_ARGUMENT, "angle");
	refuse((struct fw_adapter){0.3, 0.05, 90.0}, 20.0, FW_ERR_ARGUMENT,
	       "angle"); /* degrees as rad */
	refuse((struct fw_adapter){0.3, 0.28, 180 * DEGREE}, 20.0, FW_ERR_RANGE, "90°");
	refuse((struct fw_adapter){0.3, 0.30, 180 * DEGREE}, 20.0, FW_ERR_RANGE, "90°");
	refuse((struct fw_adapter){0.3, 0.90, 180 * DEGREE}, 20.0, FW_ERR_RANGE, "90°");
	refuse((struct fw_adapter){1e-300, 1e300, 0.0}, 20.0, FW_ERR_RANGE, "back");
	assert_code(fw_adapter_setting(NULL, &good, 20.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_adapter_torque(NULL, &good, 20.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_adapter_setting(&x, NULL, 20.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_adapter_factor(NULL, &good, &error), FW_ERR_ARGUMENT);
	assert_code(fw_wrench_range(&x, &y, 20.0, 1.0, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_wrench_range(NULL, &y, 20.0, 0.0, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_wrench_range(&x, &y, 1.7e308, 0.5, 0.0, &error), FW_ERR_RANGE);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_published_examples),
	    cmocka_unit_test(test_against_the_cross_product),
	    cmocka_unit_test(test_range),
	    cmocka_unit_test(test_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
