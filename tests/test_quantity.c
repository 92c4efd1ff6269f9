/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Arithmetic of values and of uncertainty, and how a quantity is written. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "draws.h"
#include "fitwright/quantity.h"
#include "quantity/text.h"

static const struct fw_unit *unit_of(const char *spelling)
{
	const struct fw_unit *unit = fw_unit_find(spelling, strlen(spelling));
	if (!unit)
		fail_msg("no unit \"%s\"", spelling);
	return unit;
}

static struct fw_quantity make(double value, const char *unit)
{
	struct fw_error error = {0};
	struct fw_quantity q = {0};
	assert_ok(fw_quantity_make(&q, value, unit_of(unit), &error));
	return q;
}

/* As make(), with a standard uncertainty counted in the same unit. */
static struct fw_quantity make_u(double value, const char *unit, double u, const char *source,
                                 double freedom)
{
	struct fw_error error = {0};
	struct fw_quantity q = make(value, unit);
	assert_ok(fw_quantity_add_term(&q, fw_source_name(source), u * unit_of(unit)->factor, freedom,
	                               &error));
	return q;
}

static void making_refuses_what_is_no_number(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity q = make(7, "mm");

	assert_code(fw_quantity_make(&q, NAN, unit_of("mm"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, INFINITY, unit_of("mm"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, 1e308, unit_of("ksi"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, 5e-324, unit_of("mm"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, -273.16, unit_of("°C"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, 1, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_quantity_add_term(&q, 1, NAN, 1, &error), FW_ERR_RANGE);
	assert_code(fw_quantity_add_term(&q, 1, -1, 1, &error), FW_ERR_RANGE);
	assert_code(fw_quantity_add_term(&q, 1, 1, 0, &error), FW_ERR_RANGE);
	assert_near(q.value, 0.007, 1e-18); /* untouched */
	assert_int_equal(q.count, 0);
}

static void arithmetic_keeps_dimensions(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity a = make(55, "thou");
	struct fw_quantity b = make(0.4, "mm");
	struct fw_quantity r;
	int order;

	assert_ok(fw_quantity_sub(&r, &a, &b, &error));
	assert_near(r.value, 55 * 25.4e-6 - 0.4e-3, 1e-18); /* 1 in = 25.4 mm, exact by definition */
	assert_string_equal(r.unit->symbol, "thou");
	assert_ok(fw_quantity_compare(&order, &a, &b, &error));
	assert_int_equal(order, 1);
	assert_ok(fw_quantity_compare(&order, &b, &b, &error));
	assert_int_equal(order, 0);

	struct fw_quantity force = make(200, "N");
	struct fw_quantity arm = make(250, "mm");
	assert_ok(fw_quantity_mul(&r, &force, &arm, &error));
	assert_near(r.value, 50, 1e-12); /* force times arm */
	assert_string_equal(r.unit->symbol, "N·m");
	assert_ok(fw_quantity_div(&r, &r, &arm, &error)); /* out may be an operand */
	assert_near(r.value, 200, 1e-12);
	assert_true(fw_dimension_equal(r.dimension, force.dimension));
	assert_ok(fw_quantity_div(&r, &arm, &b, &error));
	assert_string_equal(r.unit->symbol, "1");
	assert_ok(fw_quantity_scale(&r, &b, -2.5, &error));
	assert_near(r.value, -1e-3, 1e-18);
	struct fw_quantity share = make(50, "%");
	assert_ok(fw_quantity_mul(&r, &share, &b, &error));
	assert_string_equal(r.unit->symbol, "mm");
	assert_near(r.value, 0.2e-3, 1e-18);
}

static void errors_of_dimension_name_both_sides(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity a = make(55, "thou");
	struct fw_quantity b = make(3, "N·m");
	struct fw_quantity r = make(1, "m");
	int order;

	assert_code(fw_quantity_sub(&r, &a, &b, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "55.0 thou");
	assert_contains(error.text, "length");
	assert_contains(error.text, "3.00 N·m");
	assert_contains(error.text, "torque");
	assert_code(fw_quantity_add(&r, &b, &a, &error), FW_ERR_DIMENSION);
	assert_code(fw_quantity_compare(&order, &a, &b, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "torque");
	/* a degree is no plain number */
	struct fw_quantity angle = make(90, "deg");
	struct fw_quantity plain = make(1.5, "1");
	assert_code(fw_quantity_add(&r, &angle, &plain, &error), FW_ERR_DIMENSION);

	struct fw_quantity zero = make(0, "mm");
	assert_code(fw_quantity_div(&r, &a, &zero, &error), FW_ERR_RANGE);
	struct fw_quantity huge = make(1e300, "m");
	assert_code(fw_quantity_mul(&r, &huge, &huge, &error), FW_ERR_RANGE);
	assert_code(fw_quantity_scale(&r, &a, NAN, &error), FW_ERR_RANGE);
	struct fw_quantity power = make(1, "m");
	for (int i = 1; i < 9; i++)
		assert_ok(fw_quantity_mul(&power, &power, &a, &error));
	assert_code(fw_quantity_mul(&r, &power, &a, &error), FW_ERR_DIMENSION);
	assert_near(r.value, 1, 0); /* untouched */
}

static void square_roots_halve_dimensions(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity side = make_u(3, "mm", 0.03, "gauge", 7);
	struct fw_quantity area;
	struct fw_quantity r = make(1, "m");

	assert_ok(fw_quantity_mul(&area, &side, &side, &error));
	assert_ok(fw_quantity_sqrt(&r, &area, &error));
	assert_near(r.value, 3e-3, 1e-18);
	assert_near(fw_quantity_u(&r), 0.03e-3, 1e-18);
	assert_near(fw_quantity_freedom(&r), 7, 1e-9);
	assert_string_equal(r.unit->symbol, "m");
	assert_code(fw_quantity_sqrt(&r, &side, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "length");
	struct fw_quantity zero = make(0, "%");
	assert_ok(fw_quantity_sqrt(&r, &zero, &error));
	assert_near(r.value, 0, 0);
	zero = make_u(0, "%", 1, "gauge", 7);
	assert_code(fw_quantity_sqrt(&r, &zero, &error), FW_ERR_RANGE);
	struct fw_quantity below = make(-4, "1");
	assert_code(fw_quantity_sqrt(&r, &below, &error), FW_ERR_RANGE);
	assert_contains(error.text, "-4.000");
	struct fw_quantity point = make(20, "°C");
	assert_code(fw_quantity_sqrt(&r, &point, &error), FW_ERR_DIMENSION);
	struct fw_quantity rise = make(4, "K"); /* K has an odd exponent too */
	assert_code(fw_quantity_sqrt(&r, &rise, &error), FW_ERR_DIMENSION);
	assert_near(r.value, 0, 0); /* untouched */
}

/* A Celsius temperature is a point, its difference from another kelvins (SI brochure, 2.3.1). */
static void temperatures_are_points_or_differences(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity cold = make(20, "°C");
	struct fw_quantity hot = make(212, "°F");
	struct fw_quantity rise = make(60, "K");
	struct fw_quantity r;

	assert_ok(fw_quantity_sub(&r, &hot, &cold, &error));
	assert_near(r.value, 80, 1e-10);
	assert_string_equal(r.unit->symbol, "K");
	assert_ok(fw_quantity_add(&r, &cold, &rise, &error));
	assert_near(fw_quantity_in(&r, unit_of("°C")), 80, 1e-10);
	assert_string_equal(r.unit->symbol, "°C");
	assert_ok(fw_quantity_add(&r, &rise, &cold, &error));
	assert_string_equal(r.unit->symbol, "°C");
	struct fw_quantity step = make(18, "Δ°F"); /* 18 °F of difference are 10 K */
	assert_ok(fw_quantity_sub(&r, &cold, &step, &error));
	assert_near(fw_quantity_in(&r, unit_of("°C")), 10, 1e-10);

	assert_code(fw_quantity_add(&r, &cold, &hot, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "20.0 °C");
	assert_contains(error.text, "212.0 °F");
	assert_code(fw_quantity_sub(&r, &rise, &cold, &error), FW_ERR_DIMENSION);
	assert_code(fw_quantity_scale(&r, &cold, 2, &error), FW_ERR_DIMENSION);
	assert_code(fw_quantity_mul(&r, &cold, &rise, &error), FW_ERR_DIMENSION);
	assert_code(fw_quantity_div(&r, &rise, &hot, &error), FW_ERR_DIMENSION);
	int order;
	assert_ok(fw_quantity_compare(&order, &cold, &hot, &error));
	assert_int_equal(order, -1);
	assert_code(fw_quantity_compare(&order, &cold, &rise, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "60.0 K");
	struct fw_quantity nothing =
	    make(-459.67, "°F"); /* absolute zero, NIST SP 811, B.8, from memory */
	assert_near(nothing.value, 0, 0);
	assert_code(fw_quantity_make(&nothing, -459.68, unit_of("°F"), &error), FW_ERR_RANGE);
	assert_contains(error.text, "-459.68 °F is below absolute zero");
	struct fw_quantity freeze = make(300, "K");
	assert_code(fw_quantity_sub(&r, &cold, &freeze, &error), FW_ERR_RANGE);
}

/* JCGM 100:2008, 5.1.2 (independent) and 5.2.2, note 1 (fully correlated: u adds linearly). */
static void sources_are_kept_apart(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity x = make_u(10, "mm", 0.03, "a", INFINITY);
	struct fw_quantity y = make_u(4, "mm", 0.04, "b", INFINITY);
	struct fw_quantity z = make_u(7, "mm", 0.03, "a", INFINITY);
	struct fw_quantity r;

	assert_ok(fw_quantity_add(&r, &x, &y, &error));
	assert_near(fw_quantity_u(&r), 0.05e-3, 1e-16); /* 3, 4, 5 */
	assert_ok(fw_quantity_sub(&r, &x, &y, &error));
	assert_near(fw_quantity_u(&r), 0.05e-3, 1e-16);
	assert_ok(fw_quantity_add(&r, &x, &z, &error));
	assert_near(fw_quantity_u(&r), 0.06e-3, 1e-16);
	assert_ok(fw_quantity_sub(&r, &x, &z, &error));
	assert_near(fw_quantity_u(&r), 0, 0);
	assert_near(r.value, 3e-3, 1e-16);
	assert_ok(fw_quantity_mul(&r, &x, &x, &error)); /* u(x²) = 2 x u(x) */
	assert_near(fw_quantity_u(&r), 2 * 10e-3 * 0.03e-3, 1e-18);
	assert_ok(fw_quantity_scale(&r, &x, -3, &error));
	assert_near(fw_quantity_u(&r), 0.09e-3, 1e-16);
	assert_ok(fw_quantity_add(&r, &r, &x, &error)); /* -3x + x */
	assert_near(fw_quantity_u(&r), 0.06e-3, 1e-16);
}

static void a_quantity_less_itself_is_certain(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity x = make_u(0.41, "mm", 0.012, "a", 4);
	struct fw_quantity y = make_u(1.7, "N", 0.3, "b", 9);
	struct fw_quantity r;
	char text[64];

	assert_ok(fw_quantity_sub(&r, &x, &x, &error));
	assert_near(r.value, 0, 0);
	assert_near(fw_quantity_u(&r), 0, 0);
	assert_int_equal(r.count, 0);
	assert_near(fw_quantity_freedom(&r), INFINITY, 0);
	assert_string_equal(fw_quantity_text(&r, true, text, sizeof text), "0.000 mm");
	assert_ok(fw_quantity_div(&r, &x, &x, &error));
	assert_near(r.value, 1, 0);
	assert_near(fw_quantity_u(&r), 0, 0);
	assert_ok(fw_quantity_mul(&r, &x, &y, &error)); /* x · y / y is x, with y's part gone */
	assert_ok(fw_quantity_div(&r, &r, &y, &error));
	assert_near(fw_quantity_u(&r), 0.012e-3, 1e-17);
	assert_int_equal(r.count, 1);
}

static void too_many_sources_are_refused(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity q = make(1, "mm");

	for (uint64_t i = 0; i < FW_TERMS; i++)
		assert_ok(fw_quantity_add_term(&q, (i * 7919) % 1000, 1e-6, INFINITY, &error));
	assert_int_equal(q.count, FW_TERMS);
	for (size_t i = 1; i < q.count; i++)
		assert_true(q.terms[i - 1].source < q.terms[i].source);
	assert_code(fw_quantity_add_term(&q, 5000, 1e-6, INFINITY, &error), FW_ERR_RANGE);
	assert_ok(fw_quantity_add_term(&q, 0, 1e-6, INFINITY, &error)); /* one that is there already */
	assert_near(fw_quantity_u(&q), 1e-6 * sqrt(31 + 4), 1e-17);
}

/* JCGM 100:2008, G.4.1, example: y = b·x1·x2·x3, relative u 0.25 %, 0.57 %, 0.82 % from n = 10, 5,
 * 15 readings; printed u_c/y = 1.03 %, effective freedom 19.0. */
static void welch_satterthwaite_example_of_the_guide(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity y = make_u(3, "mm", 3 * 0.0025, "x1", 9);
	struct fw_quantity x2 = make_u(2, "N", 2 * 0.0057, "x2", 4);
	struct fw_quantity x3 = make_u(5, "1", 5 * 0.0082, "x3", 14);

	assert_ok(fw_quantity_mul(&y, &y, &x2, &error));
	assert_ok(fw_quantity_mul(&y, &y, &x3, &error));
	assert_near(fw_quantity_u(&y) / y.value, 0.0103, 0.00005);
	assert_near(fw_quantity_freedom(&y), 19.0, 0.05);
}

/* JCGM 100:2008, H.1, end gauge: l = lS + d - lS (δα·θ + αS·δθ). Printed: l = 50.000838 mm,
 * u_c = 32 nm (u_c² = 1002 nm²), effective freedom 16.7; of d alone 9.7 nm and 25.6.
 * Given for d: s_p = 13 nm of 24 degrees of freedom, 5 readings; 0.01 µm / 2.57; 0.02 µm / 3. */
static void end_gauge_of_the_guide(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity standard = make_u(50.000623, "mm", 25e-6, "standard", 18);
	struct fw_quantity d = make_u(0.215, "µm", 0.013 / sqrt(5), "repeated readings", 24);
	struct fw_quantity one = make(1, "1");
	struct fw_quantity kelvin = make(1, "K");
	struct fw_quantity theta = make(-0.1, "K");
	struct fw_quantity delta_theta = make_u(0, "K", 0.05 / sqrt(3), "difference in temperature", 2);
	struct fw_quantity alpha = make(11.5e-6, "1");
	struct fw_quantity delta_alpha = make_u(0, "1", 1e-6 / sqrt(3), "difference in expansion", 50);
	struct fw_quantity l;
	struct fw_quantity part;

	assert_ok(
	    fw_quantity_add_term(&d, fw_source_name("comparator, random"), 0.01e-6 / 2.57, 5, &error));
	assert_ok(
	    fw_quantity_add_term(&d, fw_source_name("comparator, systematic"), 0.02e-6 / 3, 8, &error));
	assert_near(fw_quantity_u(&d), 9.7e-9, 0.05e-9);
	assert_near(fw_quantity_freedom(&d), 25.6, 0.05);

	assert_ok(fw_quantity_div(&one, &one, &kelvin, &error)); /* 1/K */
	assert_ok(fw_quantity_mul(&alpha, &alpha, &one, &error));
	assert_ok(fw_quantity_mul(&delta_alpha, &delta_alpha, &one, &error));
	assert_ok(fw_quantity_mul(&part, &delta_alpha, &theta, &error));
	assert_ok(fw_quantity_mul(&l, &alpha, &delta_theta, &error));
	assert_ok(fw_quantity_add(&part, &part, &l, &error));
	assert_ok(fw_quantity_mul(&part, &standard, &part, &error));
	assert_ok(fw_quantity_add(&l, &standard, &d, &error));
	assert_ok(fw_quantity_sub(&l, &l, &part, &error));

	assert_near(l.value, 50.000838e-3, 0.5e-9);
	assert_near(fw_quantity_u(&l) * fw_quantity_u(&l), 1002e-18, 0.5e-18);
	assert_near(fw_quantity_freedom(&l), 16.7, 0.05);
	assert_string_equal(l.unit->symbol, "mm");
}

static void text_is_rounded_to_the_step(void **state)
{
	(void)state;
	static const struct {
		double value;
		const char *unit, *text;
	} table[] = {
	    {0.4064, "mm", "0.406 mm"},    {16, "thou", "16.0 thou"},
	    {-0.0001, "mm", "0.000 mm"},   {-0.0, "mm", "0.000 mm"},
	    {-0.4, "mm", "-0.400 mm"},     {1.375, "in", "1.3750 in"},
	    {25, "lbf·ft", "25.0 lbf·ft"}, {-40, "°F", "-40.0 °F"},
	    {90, "deg", "90.00°"},         {15, "arcmin", "15.0 arcmin"},
	    {0.14, "1", "0.140"},          {12.5, "%", "12.5 %"},
	    {3000, "rpm", "3000 rpm"},     {9.9996, "mm", "10.000 mm"},
	    {1e300, "mm", "1e+300 mm"},    {-1.23456789e12, "Pa", "-1234570000000 Pa"},
	};
	char text[64];
	for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
		struct fw_quantity q = make(table[i].value, table[i].unit);
		assert_string_equal(fw_quantity_text(&q, false, text, sizeof text), table[i].text);
	}

	struct fw_quantity q = make_u(0.4064, "mm", 0.006, "a", INFINITY);
	assert_string_equal(fw_quantity_text(&q, true, text, sizeof text), "0.406 ± 0.012 mm");
	assert_string_equal(fw_quantity_text_in(&q, unit_of("thou"), true, text, sizeof text),
	                    "16.0 ± 0.5 thou");
	assert_string_equal(fw_quantity_text_in(&q, unit_of("N"), true, text, sizeof text),
	                    "0.406 ± 0.012 mm");
	q = make_u(0.4064, "mm", 1e-6, "a", INFINITY);
	assert_string_equal(fw_quantity_text(&q, true, text, sizeof text), "0.406 ± 0.001 mm");
	q = make_u(68, "°F", 0.9, "a", INFINITY);
	assert_string_equal(fw_quantity_text(&q, true, text, sizeof text), "68.0 ± 1.8 °F");
	q.unit = NULL;
	assert_string_equal(fw_quantity_text(&q, true, text, sizeof text), "293.1 ± 1.0 K");
}

static void text_fits_its_buffer(void **state)
{
	(void)state;
	struct fw_quantity q = {.value = -1.23456789e-300,
	                        .dimension = {-9, -9, -9, -9, -9},
	                        .count = 1,
	                        .terms = {{1, 1.23456789e300, 1}}};
	char text[128];
	char name[40];

	fw_quantity_text(&q, true, text, sizeof text);
	assert_true(strlen(text) < 64);
	assert_contains(text, "-1.23457e-300 ± 2.46914e+300 m^-9");
	fw_dimension_name(q.dimension, name, sizeof name);
	assert_string_equal(name, "m^-9·kg^-9·s^-9·K^-9·rad^-9");
}

/* Source: test vectors of FNV-1a, 64 bits (IETF draft-eastlake-fnv). */
static void source_names_are_fnv_1a(void **state)
{
	(void)state;
	assert_true(fw_source_name("") == 0xcbf29ce484222325U);
	assert_true(fw_source_name("a") == 0xaf63dc4c8601ec8cU);
	assert_true(fw_source_name("foobar") == 0x85944171f73967e8U);
}

/* ---- digits ---- */

static void assert_printed(double value, int decimals)
{
	char ours[64], printed[64];

	snprintf(printed, sizeof printed, "%.*f", decimals, value);
	const char *expected =
	    printed[0] == '-' && !strpbrk(printed, "123456789") ? printed + 1 : printed;
	if (strcmp(fw_number_fixed(value, decimals, ours, sizeof ours), expected) != 0)
		fail_msg("%.17g to %d places: %s, printf says %s", value, decimals, ours, expected);
}

/* Held against printf(), whose rounding is exact (ISO C 7.21.6.1; glibc), on halves and beside them
 * above all. */
static void digits_are_rounded_as_printf_does(void **state)
{
	uint64_t seed = 3;

	(void)state;
	for (int n = 0; n < 400000; n++) {
		int decimals = (int)(next(&seed) % 10);
		double value = (uniform(&seed) - 0.5) * pow(10.0, (double)(next(&seed) % 20) - 10.0);
		assert_printed(value, decimals);
		double half = ((double)(next(&seed) % 100000) + 0.5) /
		              pow(10.0, decimals); /* or as near as a double comes */
		assert_printed(half, decimals);
		assert_printed(nextafter(half, 0.0), decimals);
		assert_printed(-nextafter(half, INFINITY), decimals);
	}
	for (int n = 0; n < 4096; n++) /* exact ties */
		for (int decimals = 0; decimals < 6; decimals++)
			assert_printed(n / 64.0, decimals);
	assert_printed(0.0, 3);
	assert_printed(-0.0, 3);
	assert_printed(999999999.9999999, 9);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(making_refuses_what_is_no_number),
	    cmocka_unit_test(arithmetic_keeps_dimensions),
	    cmocka_unit_test(errors_of_dimension_name_both_sides),
	    cmocka_unit_test(square_roots_halve_dimensions),
	    cmocka_unit_test(temperatures_are_points_or_differences),
	    cmocka_unit_test(sources_are_kept_apart),
	    cmocka_unit_test(a_quantity_less_itself_is_certain),
	    cmocka_unit_test(too_many_sources_are_refused),
	    cmocka_unit_test(welch_satterthwaite_example_of_the_guide),
	    cmocka_unit_test(end_gauge_of_the_guide),
	    cmocka_unit_test(text_is_rounded_to_the_step),
	    cmocka_unit_test(text_fits_its_buffer),
	    cmocka_unit_test(source_names_are_fnv_1a),
	    cmocka_unit_test(digits_are_rounded_as_printf_does),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
