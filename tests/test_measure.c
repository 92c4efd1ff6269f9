/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings combined into measurements, by the worked examples of JCGM 100:2008; typical gauges. */
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "fitwright/measure.h"

static struct fw_quantity make(double value, const char *unit)
{
	struct fw_error error = {0};
	struct fw_quantity q = {0};
	assert_ok(fw_quantity_make(&q, value, fw_unit_find(unit, strlen(unit)), &error));
	return q;
}

static struct fw_gauge gauge_of(double resolution, double limit, const char *unit)
{
	return (struct fw_gauge){.name = "test gauge",
	                         .resolution = resolution,
	                         .error = limit,
	                         .dimension = fw_unit_find(unit, strlen(unit))->dimension,
	                         .source = "invented"};
}

/* JCGM 100:2008, 4.4.3 and table 1: printed mean 100.14 °C (100.145), s 1.49, s of the mean 0.33.
 */
static void twenty_temperatures_of_the_guide(void **state)
{
	(void)state;
	static const double t[] = {96.90,  98.18,  98.25,  98.61,  99.03,  99.49,  99.56,
	                           99.74,  99.89,  100.07, 100.33, 100.42, 100.68, 100.95,
	                           101.11, 101.20, 101.57, 101.84, 102.36, 102.72};
	struct fw_error error;
	struct fw_quantity readings[20];
	struct fw_quantity mean;

	for (size_t i = 0; i < 20; i++)
		readings[i] = make(t[i], "°C");
	assert_ok(fw_measure_combine(&mean, readings, 20, NULL, "table 1", &error));
	assert_near(fw_quantity_in(&mean, mean.unit), 100.145, 1e-9);
	assert_near(fw_quantity_u(&mean), 0.333, 0.0005);
	assert_near(fw_quantity_u(&mean) * sqrt(20), 1.489, 0.0005);
	assert_near(fw_quantity_freedom(&mean), 19, 1e-9);
	assert_string_equal(mean.unit->symbol, "°C");
}

/* JCGM 100:2008: 4.4.5, bounds ±4 °C give u = 2.3 °C; 4.3.7, example 1, bounds ±0.40e-6 give
 * u = 0.23e-6; F.2.2.1, resolution d gives u = 0.29 d. */
static void rectangles_of_the_guide(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity reading = make(100, "°C");
	struct fw_quantity m;

	struct fw_gauge gauge = gauge_of(1e-12, 4, "K");
	assert_ok(fw_measure_combine(&m, &reading, 1, &gauge, "a", &error));
	assert_near(fw_quantity_u(&m), 2.3, 0.05);
	assert_near(fw_quantity_freedom(&m), INFINITY, 0);

	reading = make(16.52e-6, "1");
	gauge = gauge_of(1e-18, 0.40e-6, "1");
	assert_ok(fw_measure_combine(&m, &reading, 1, &gauge, "b", &error));
	assert_near(fw_quantity_u(&m), 0.23e-6, 0.005e-6);

	reading = make(3, "mm");
	gauge = gauge_of(0.01e-3, 0, "mm");
	assert_ok(fw_measure_combine(&m, &reading, 1, &gauge, "c", &error));
	assert_near(fw_quantity_u(&m), 0.29 * 0.01e-3, 0.005 * 0.01e-3);
	assert_int_equal(m.count, 1);
}

/* JCGM 100:2008, 4.3.7, example 2, with 5.1.5: 12 µV of scatter and ±15 µV of the meter combine to
 * 15 µV (14.8). Counted here as plain numbers. */
static void scatter_and_meter_of_the_guide(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity readings[2] = {make(0.928571 - 12e-6, "1"), make(0.928571 + 12e-6, "1")};
	struct fw_gauge gauge = gauge_of(1e-15, 15e-6, "1");
	struct fw_quantity m;

	/* two readings ±a about their mean have s/√2 = a */
	assert_ok(fw_measure_combine(&m, readings, 2, &gauge, "volts", &error));
	assert_near(m.value, 0.928571, 1e-12);
	assert_near(fw_quantity_u(&m), 14.8e-6, 0.05e-6);
}

/* 4.2.3 with one reading or equal ones: no scatter is known, only the gauge counts. */
static void one_reading_has_no_scatter(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity readings[3] = {make(0.41, "mm"), make(0.41, "mm"), make(0.41, "mm")};
	struct fw_quantity m;

	assert_ok(fw_measure_combine(&m, readings, 1, NULL, "a", &error));
	assert_int_equal(m.count, 0);
	assert_near(m.value, 0.41e-3, 0);
	assert_ok(fw_measure_combine(&m, readings, 3, NULL, "a", &error));
	assert_near(fw_quantity_u(&m), 0, 0);
	assert_near(m.value, 0.41e-3, 0);
	assert_ok(fw_measure_combine(&m, readings, 3, fw_gauge_typical("dial indicator"), "a", &error));
	assert_int_equal(m.count, 2);
}

/* One gauge read twice errs alike, two gauges don't; JCGM 100:2008, 5.2.2 and F.1.2.3. */
static void the_gauges_error_cancels_in_a_difference(void **state)
{
	(void)state;
	struct fw_error error;
	const struct fw_gauge *dial = fw_gauge_typical("dial indicator");
	const struct fw_gauge *mike = fw_gauge_typical("micrometer");
	struct fw_quantity in = make(0.10, "mm");
	struct fw_quantity out = make(0.51, "mm");
	struct fw_quantity a;
	struct fw_quantity b;
	struct fw_quantity c;
	struct fw_quantity r;

	assert_ok(fw_measure_combine(&a, &in, 1, dial, "in", &error));
	assert_ok(fw_measure_combine(&b, &out, 1, dial, "out", &error));
	assert_ok(fw_measure_combine(&c, &out, 1, mike, "out", &error));
	assert_ok(fw_quantity_sub(&r, &b, &a, &error));
	assert_near(r.value, 0.41e-3, 1e-18);
	assert_near(fw_quantity_u(&r), dial->resolution / sqrt(6), 1e-18); /* √2 · d/√12 */

	assert_ok(fw_quantity_sub(&r, &c, &a, &error));
	double expected =
	    sqrt((dial->error * dial->error + mike->error * mike->error) / 3 +
	         (dial->resolution * dial->resolution + mike->resolution * mike->resolution) / 12);
	assert_near(fw_quantity_u(&r), expected, 1e-18);
	assert_ok(fw_quantity_add(&r, &a, &b, &error)); /* in a sum it counts twice */
	assert_near(fw_quantity_u(&r),
	            sqrt(4 * dial->error * dial->error / 3 + dial->resolution * dial->resolution / 6),
	            1e-18);
}

static void mixed_units_are_one_dimension(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity readings[2] = {make(16, "thou"), make(0.4064, "mm")};
	struct fw_quantity m;

	assert_ok(fw_measure_combine(&m, readings, 2, NULL, "a", &error));
	assert_near(m.value, 0.4064e-3, 1e-18); /* 1 in = 25.4 mm */
	assert_string_equal(m.unit->symbol, "thou");
	/* what the readings carry goes on, by its share: fully correlated here */
	assert_ok(fw_quantity_add_term(&readings[0], 7, 3e-6, INFINITY, &error));
	assert_ok(fw_quantity_add_term(&readings[1], 7, 1e-6, INFINITY, &error));
	assert_ok(fw_measure_combine(&m, readings, 2, NULL, "a", &error));
	assert_near(fw_quantity_u(&m), 2e-6, 1e-12);
}

static void what_cannot_be_combined_is_refused(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity readings[2] = {make(16, "thou"), make(3, "N·m")};
	struct fw_quantity many[FW_READINGS_MOST + 1];
	struct fw_quantity m = make(1, "m");
	struct fw_gauge broken = gauge_of(0, 0, "mm");

	assert_code(fw_measure_combine(&m, readings, 2, NULL, "a", &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "16.0 thou");
	assert_contains(error.text, "3.00 N·m");
	assert_code(
	    fw_measure_combine(&m, readings + 1, 1, fw_gauge_typical("micrometer"), "a", &error),
	    FW_ERR_DIMENSION);
	assert_contains(error.text, "length");
	assert_contains(error.text, "torque");
	assert_code(fw_measure_combine(&m, readings, 0, NULL, "a", &error), FW_ERR_ARGUMENT);
	assert_code(fw_measure_combine(&m, NULL, 1, NULL, "a", &error), FW_ERR_ARGUMENT);
	assert_code(fw_measure_combine(&m, readings, 1, NULL, "", &error), FW_ERR_ARGUMENT);
	assert_code(fw_measure_combine(&m, readings, 1, NULL, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_measure_combine(&m, readings, 1, &broken, "a", &error), FW_ERR_ARGUMENT);
	broken = gauge_of(1e-5, NAN, "mm");
	assert_code(fw_measure_combine(&m, readings, 1, &broken, "a", &error), FW_ERR_ARGUMENT);

	for (size_t i = 0; i <= FW_READINGS_MOST; i++)
		many[i] = make(1 + 0.001 * (double)(i % 3), "mm");
	assert_code(fw_measure_combine(&m, many, FW_READINGS_MOST + 1, NULL, "a", &error),
	            FW_ERR_ARGUMENT);
	assert_ok(fw_measure_combine(&m, many, FW_READINGS_MOST, NULL, "a", &error));
	readings[0] = make(20, "°C");
	readings[1] = make(20, "K");
	assert_code(fw_measure_combine(&m, readings, 2, NULL, "a", &error), FW_ERR_DIMENSION);
}

/* A limit of error that grows with the reading is taken at the mean: half-width 0.5 + 0.04 · 50 at
 * 50, whatever its sign; u = e/sqrt(3) (JCGM 100:2008, 4.3.7). */
static void a_limit_that_grows(void **state)
{
	(void)state;
	struct fw_error error = {0};
	struct fw_quantity m, readings[2] = {make(49, "N·m"), make(51, "N·m")};
	struct fw_gauge gauge = gauge_of(1e-9, 0.5, "N·m");

	gauge.relative = 0.04;
	assert_near(fw_gauge_limit(&gauge, 50), 2.5, 1e-15);
	assert_near(fw_gauge_limit(&gauge, -50), 2.5, 1e-15);
	assert_near(fw_gauge_limit(&gauge, 0), 0.5, 0);
	assert_ok(fw_measure_combine(&m, readings, 2, &gauge, "a", &error));
	/* type A: s = sqrt(2), over sqrt(2) readings: 1 */
	assert_near(fw_quantity_u(&m), sqrt(1 + 2.5 * 2.5 / 3), 1e-12);
	gauge.relative = -0.1;
	assert_code(fw_measure_combine(&m, readings, 2, &gauge, "a", &error), FW_ERR_ARGUMENT);
	gauge.relative = NAN;
	assert_code(fw_measure_combine(&m, readings, 2, &gauge, "a", &error), FW_ERR_ARGUMENT);
}

/* Jobs of format 1 are worked out again with the figures that the release of that time had (commit
 * 54327b8): in SI, for the units that are SI there. */
static void figures_of_a_name_never_change(void **state)
{
	(void)state;
	static const struct {
		const char *name;
		double resolution, error;
	} then[] = {
	    {"micrometer", 1e-5, 4e-6},
	    {"depth micrometer", 1e-5, 5e-6},
	    {"vernier caliper", 2e-5, 3e-5},
	    {"digital caliper", 1e-5, 3e-5},
	    {"dial indicator", 1e-5, 1.5e-5},
	    {"thou dial indicator", 2.54e-5, 2.54e-5},
	    {"dial bore gauge", 1e-5, 1e-5},
	    {"telescopic gauge", 1e-5, 2e-5},
	    {"feeler gauge", 5e-5, 5e-6},
	    {"inch feeler gauge", 2.54e-5, 0.2 * 2.54e-5},
	    {"plastic gauge strip", 2.5e-5, 1.3e-5},
	    {"steel rule", 5e-4, 3e-4},
	    {"torque wrench", 1, 2},
	    {"small torque wrench", 0.1, 0.1},
	    {"spring scale", 0.5, 1},
	    {"bench scale", 1e-3, 2e-3},
	    {"pressure gauge", 1e4, 2e4},
	    {"thermometer", 1, 2},
	    {"burette", 1e-7, 2e-7},
	    {"stop watch", 0.1, 0.5},
	    {"inch micrometer", 0.1 * 2.54e-5, 0.2 * 2.54e-5},
	};

	for (size_t i = 0; i < sizeof then / sizeof *then; i++) {
		const struct fw_gauge *gauge = fw_gauge_typical(then[i].name);
		if (!gauge || gauge->resolution != then[i].resolution || gauge->error != then[i].error ||
		    gauge->relative != 0)
			fail_msg("%s", then[i].name);
	}
}

/* Figures are common practice, no source; here only that each is usable, and told apart. */
static void typical_gauges(void **state)
{
	(void)state;
	static const char *const wanted[] = {
	    "feeler gauge",          "micrometer",         "inch micrometer",
	    "vernier caliper",       "dial indicator",     "thou dial indicator",
	    "depth micrometer",      "telescopic gauge",   "plastic gauge strip",
	    "torque wrench",         "spring scale",       "thermometer",
	    "inside micrometer",     "depth gauge",        "fine dial indicator",
	    "dial test indicator",   "dial bore gauge",    "straightedge and feeler",
	    "setting torque wrench", "beam torque wrench", "inch-pound dial wrench",
	    "spring balance",        "spring tester",      "pressure gauge",
	};
	size_t count;
	const struct fw_gauge *gauges = fw_gauges_typical(&count);

	for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++)
		assert_non_null(fw_gauge_typical(wanted[i]));
	for (size_t i = 0; i < count; i++) {
		assert_true(gauges[i].resolution > 0 && gauges[i].error >= 0);
		assert_non_null(fw_unit_si(gauges[i].dimension));
		assert_contains(gauges[i].source, "common practice, no source");
		assert_ptr_equal(fw_gauge_typical(gauges[i].name), &gauges[i]);
	}
	assert_ptr_equal(fw_gauge_typical("Dial Indicator"), fw_gauge_typical("dial indicator"));
	assert_null(fw_gauge_typical("dial"));
	assert_null(fw_gauge_typical("dial indicators"));
	assert_null(fw_gauge_typical(NULL));
	/* a micrometer tells more than a caliper, a caliper more than a rule */
	assert_true(fw_gauge_typical("micrometer")->error < fw_gauge_typical("vernier caliper")->error);
	assert_true(fw_gauge_typical("vernier caliper")->error < fw_gauge_typical("steel rule")->error);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(twenty_temperatures_of_the_guide),
	    cmocka_unit_test(rectangles_of_the_guide),
	    cmocka_unit_test(scatter_and_meter_of_the_guide),
	    cmocka_unit_test(one_reading_has_no_scatter),
	    cmocka_unit_test(the_gauges_error_cancels_in_a_difference),
	    cmocka_unit_test(mixed_units_are_one_dimension),
	    cmocka_unit_test(what_cannot_be_combined_is_refused),
	    cmocka_unit_test(a_limit_that_grows),
	    cmocka_unit_test(figures_of_a_name_never_change),
	    cmocka_unit_test(typical_gauges),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
