/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench calculators of fits: what is typed, what comes out, what is refused. */
#include <stdlib.h>
#include <string.h>

#include "calc_typed.h"

#define MM       1e-3
#define UM       1e-6
#define INCH     0.0254
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static int work(struct fw_calc_out **out, const char *name, const char *const *typed)
{
	return calc_typed(out, name, typed, &error);
}

static struct fw_calc_out *run(const char *calculator, const char *const *typed)
{
	struct fw_calc_out *out = NULL;

	assert_ok(work(&out, calculator, typed));
	assert_true(fw_calc_lines(out) > 0);
	return out;
}

/* A result by name; in a table by its row, where `row` is not negative. */
static const struct fw_calc_result *result(const struct fw_calc_out *out, const char *name, int row)
{
	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *r = fw_calc_result(out, i);
		if (strcmp(r->name, name) == 0 && (row < 0 ? !r->table : r->table && r->row == (size_t)row))
			return r;
	}
	fail_msg("no result %s", name);
	return NULL;
}

static double value(const struct fw_calc_out *out, const char *name, int row)
{
	return result(out, name, row)->quantity.value;
}

static const char *text(const struct fw_calc_out *out, const char *name, int row)
{
	return result(out, name, row)->text;
}

#define TYPED(...)                                                                                 \
	(const char *const[])                                                                          \
	{                                                                                              \
		__VA_ARGS__, NULL                                                                          \
	}

static void refuse(const char *calculator, const char *const *typed, const char *says)
{
	struct fw_calc_out *out = NULL;

	fw_error_clear(&error);
	assert_int_not_equal(work(&out, calculator, typed), FW_OK);
	assert_null(out);
	assert_contains(error.text, says);
}

/* 25 H7/g6: published clearances 0.007 and 0.041 mm. */
static void test_fit(void **state)
{
	struct fw_calc_out *out =
	    run("fit", TYPED("fit", "25 H7/g6", "measured-hole", "25.021", "measured-shaft", "24.98"));
	(void)state;

	assert_near(value(out, "clearance-min", -1), 7 * UM, 1e-12);
	assert_near(value(out, "clearance-max", -1), 41 * UM, 1e-12);
	assert_near(value(out, "clearance", -1), 41 * UM, 1e-12);
	assert_string_equal(text(out, "kind", -1), "clearance");
	assert_string_equal(text(out, "verdict", 0), "within"); /* both on their limits */
	assert_string_equal(text(out, "verdict", 1), "within");
	assert_near(value(out, "max", 0), 25.021 * MM, 1e-12);
	assert_near(value(out, "min", 1), 24.980 * MM, 1e-12);
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);
}

/* One inch is 25.4 mm; the same classes in three ways. */
static void test_fit_in_parts(void **state)
{
	const char *const *const ways[] = {
	    TYPED("fit", "25.4 H7/p6"), TYPED("fit", "H7/p6", "size", "1 in"),
	    TYPED("hole", "H7", "shaft", "p6", "size", "25.4"), TYPED("fit", "25.4 H7", "shaft", "p6"),
	    TYPED("fit", "25.4 H7/p6", "size", "1 in")};
	(void)state;

	for (size_t i = 0; i < COUNT(ways); i++) {
		struct fw_calc_out *out = run("fit", ways[i]);
		assert_near(value(out, "clearance-min", -1), -35 * UM, 1e-12);
		assert_string_equal(text(out, "kind", -1), "interference");
		fw_calc_free(out);
	}
}

/* A micrometer good for ±4 µm (k = 2), a shaft 1 µm inside its limit: nobody knows. */
static void test_fit_uncertain(void **state)
{
	struct fw_calc_out *out = run("fit", TYPED("fit", "25 H7/g6", "measured-hole", "25.010 ± 0.003",
	                                           "measured-shaft", "24.981 ± 0.004"));
	(void)state;

	assert_string_equal(text(out, "verdict", 0), "within");
	assert_string_equal(text(out, "verdict", 1), "doubtful");
	assert_int_equal(fw_calc_warnings(out), 1);
	/* The root of the sum of the squares of 3 and 4 is 5. */
	assert_near(2.0 * fw_quantity_u(&result(out, "clearance", -1)->quantity), 5 * UM, 1e-9);
	fw_calc_free(out);

	out = run("fit", TYPED("fit", "25 g6", "measured-shaft", "24.979"));
	assert_string_equal(text(out, "verdict", 0), "outside");
	assert_int_equal(fw_calc_warnings(out), 1);
	fw_calc_free(out);
}

static void test_fit_refuses(void **state)
{
	(void)state;

	refuse("fit", TYPED("size", "25"), "is missing");
	refuse("fit", TYPED("fit", "H7/g6"), "size");
	refuse("fit", TYPED("fit", "25 H7/H7"), "both are holes");
	refuse("fit", TYPED("fit", "25 q9"), "no such letter");
	refuse("fit", TYPED("fit", "hz6"), "no such letter");
	refuse("fit", TYPED("fit", "25 H7/g6", "hole", "H8"), "given twice");
	refuse("fit", TYPED("fit", "25 H7/g6", "size", "26"), "differ");
	refuse("fit", TYPED("size", "25", "hole", "g6"), "capital");
	refuse("fit", TYPED("size", "25", "shaft", "H7"), "small");
	refuse("fit", TYPED("fit", "501 H7"), "beyond 500 mm");
	refuse("fit", TYPED("fit", "12 cd7"), "cd7");
	refuse("fit", TYPED("fit", "H7", "size", "25 N·m"), "size");
	refuse("fit", TYPED("fit", "H7", "size", "-25"), "size");
	refuse("fit", TYPED("fit", "25 H7", "measured-hole", "25.01 in"), "unit");
}

/* TM 55-1905-219-14-4: liner 4.2495 to 4.2511 in, skirt 4.2428 to 4.2450 in, 0.0045 to 0.0083 in.
 */
static void test_piston(void **state)
{
	struct fw_calc_out *out = run("piston", TYPED("bore", "4.2495 in", "bore", "4.2511 in",
	                                              "piston", "4.2428 in, across=4.2450 in"));
	(void)state;

	assert_near(value(out, "clearance-min", -1) / INCH, 0.0045, 1e-9);
	assert_near(value(out, "clearance-max", -1) / INCH, 0.0083, 1e-9);
	assert_near(value(out, "bore-taper", -1) / INCH, 0.0016, 1e-9);
	assert_near(value(out, "piston-out-of-round", -1) / INCH, 0.0022, 1e-9);
	fw_calc_free(out);
	refuse("piston", TYPED("bore", "86", "piston", "68"), "tenth");
	refuse("piston", TYPED("bore", "86", "bore", "3.4", "piston", "86"), "bore");
}

/* Bore miked bare, two shells: the wall's uncertainty counts twice. */
static void test_oil_clearance(void **state)
{
	struct fw_calc_out *out =
	    run("oil-clearance", TYPED("bore", "2.7525 in", "shell", "0.1250 in ± 0.0002 in", "journal",
	                               "2.4995 in ± 0.0003 in"));
	(void)state;

	assert_near(value(out, "clearance", -1) / INCH, 0.0030, 1e-9);
	assert_near(2.0 * fw_quantity_u(&result(out, "clearance", -1)->quantity) / INCH, 0.0005, 1e-8);
	assert_near(value(out, "rule", -1) / INCH, 0.0024995, 1e-9);
	assert_string_equal(text(out, "against-rule", -1), "as usual");
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);

	out = run("oil-clearance", TYPED("bore", "50.01", "journal", "50.02"));
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_string_equal(text(out, "against-rule", -1), "below it");
	fw_calc_free(out);
	refuse("oil-clearance", TYPED("bore", "53", "journal", "52.9", "shell", "20"), "shell");
	refuse("oil-clearance", TYPED("bore", "53"), "journal");
	refuse("oil-clearance", TYPED("bore", "0", "journal", "50"), "size");
}

/* "Ring gap will increase .003 inch for each .001 inch": TM 5-3805-261-34. */
static void test_ring_gap(void **state)
{
	struct fw_calc_out *out =
	    run("ring-gap", TYPED("bore", "4.030 in", "share", "0.0045", "gap", "0.018 in", "other",
	                          "4.031 in", "other", "4.010 in", "groove", "2.00", "width", "1.95"));
	(void)state;

	assert_near(value(out, "rule", -1) / INCH, 0.018, 0.0005);
	assert_near(value(out, "change", 0) / INCH, 0.003, 0.0005);
	assert_true(value(out, "gap", 1) < 0.0);
	assert_near(value(out, "side", -1), 0.05 * MM, 1e-12);
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "butt");
	fw_calc_free(out);
	refuse("ring-gap", TYPED("bore", "86", "other", "86.1"), "gap");
	refuse("ring-gap", TYPED("bore", "86", "groove", "2"), "width");
	refuse("ring-gap", TYPED("bore", "86", "gap", "0.3", "other", "96"), "twentieth");
	refuse("ring-gap", TYPED("bore", "86", "share", "3.5"), "0.0035");
}

/* Shigley, instructor's solutions of the 8th edition, 3-64 (40 H7/s6, collar of 80 mm, 207
 * GPa): 34.9 and 114.5 MPa. 3-69: a solid steel shaft of 1.002 in in a hub of cast iron, 1.000 and
 * 2 in: 13 064 psi. */
static void test_press_fit(void **state)
{
	struct fw_calc_out *out = run(
	    "press-fit", TYPED("fit", "40 H7/s6", "outer", "80", "length", "40", "hub-yield", "370"));
	(void)state;

	assert_near(value(out, "pressure", 0) / 1e6, 34.9, 0.05);
	assert_near(value(out, "pressure", 1) / 1e6, 114.5, 0.05);
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);

	out = run("press-fit", TYPED("shaft", "1.002 in", "bore", "1.000 in", "outer", "2 in", "length",
	                             "1 in", "hub-modulus", "14500 ksi", "hub-poisson", "0.211",
	                             "shaft-modulus", "30000 ksi", "shaft-poisson", "0.292"));
	assert_near(value(out, "pressure", -1) / 6894.757, 13064, 2.0);
	assert_near(value(out, "hub-hoop", -1) / 6894.757, 21770, 5.0);
	assert_near(value(out, "torque-high", -1) / value(out, "torque-low", -1), 2.5, 1e-9);
	fw_calc_free(out);
}

static void test_press_fit_warns(void **state)
{
	struct fw_calc_out *out =
	    run("press-fit", TYPED("fit", "40 H7/u6", "outer", "50", "length", "40", "hub-yield", "200",
	                           "shaft-yield", "40"));
	(void)state;

	assert_true(fw_calc_warnings(out) >= 2);
	assert_contains(fw_calc_warning_text(out, 0), "yields");
	fw_calc_free(out);

	/* A transition fit may be loose; so may rough seats. */
	out = run("press-fit", TYPED("fit", "40 H7/n6", "outer", "80", "length", "40"));
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "loose");
	assert_near(value(out, "torque-usual", 0), 0.0, 0.0);
	assert_true(value(out, "torque-usual", 1) > 0.0);
	fw_calc_free(out);

	out = run("press-fit", TYPED("shaft", "40.010", "bore", "40.000", "outer", "80", "length", "40",
	                             "hub-rz", "10", "shaft-rz", "6.3"));
	assert_near(value(out, "interference", -1), (10.0 - 0.8 * 16.3) * UM, 1e-12);
	assert_int_equal(fw_calc_warnings(out), 1);
	fw_calc_free(out);
}

/* What heat it takes to slip on is told of loose parts too, so that a ± on either side of touching
 * is worked through: d/1000 on 50 mm of steel is 50 µm / (11.7e-6/K · 50 mm) = 85.47 K. */
static void test_press_fit_barely(void **state)
{
	static const char *const shaft[] = {"50.000", "49.990", "49.900"};
	static const double warmer[] = {85.470, 68.376, 0.0};
	struct fw_calc_out *out;
	(void)state;

	for (size_t i = 0; i < 3; i++) {
		out =
		    run("press-fit", TYPED("shaft", shaft[i], "bore", "50", "outer", "80", "length", "40"));
		assert_near(value(out, "heat-hub", -1), warmer[i], 0.001);
		fw_calc_free(out);
	}
	out = run("press-fit",
	          TYPED("shaft", "50.001 ± 0.01", "bore", "50", "outer", "80", "length", "40"));
	const struct fw_calc_result *heat = fw_calc_result_find(out, "heat-hub");
	assert_non_null(heat);
	assert_near(fw_quantity_u(&heat->quantity), 8.547, 0.001); /* 5 µm of the 50 above */
	fw_calc_free(out);
}

static void test_press_fit_refuses(void **state)
{
	(void)state;

	refuse("press-fit", TYPED("outer", "80", "length", "40"), "either");
	refuse("press-fit", TYPED("shaft", "40.05", "outer", "80", "length", "40"), "either");
	refuse("press-fit", TYPED("fit", "40 H7/s6", "bore", "40", "outer", "80", "length", "40"),
	       "either");
	refuse("press-fit", TYPED("fit", "40 H7/g6", "outer", "80", "length", "40"), "clearance fit");
	refuse("press-fit", TYPED("fit", "H7/s6", "outer", "80", "length", "40"), "size");
	refuse("press-fit", TYPED("fit", "40 s6", "outer", "80", "length", "40"), "hole");
	refuse("press-fit", TYPED("fit", "40 H7/s6", "outer", "40", "length", "40"), "outside");
	refuse("press-fit", TYPED("fit", "40 H7/s6", "outer", "80", "length", "40", "shaft-bore", "40"),
	       "bore of the shaft");
	refuse("press-fit", TYPED("fit", "40 H7/s6", "outer", "80", "length", "0"), "length");
	refuse("press-fit", TYPED("shaft", "42", "bore", "40", "outer", "80", "length", "40"), "2 %");
	refuse("press-fit", TYPED("fit", "40 H7/s6", "outer", "80", "length", "40", "friction", "0.9"),
	       "friction");
	refuse("press-fit",
	       TYPED("fit", "40 H7/s6", "outer", "80", "length", "40", "hub-material", "cheese"),
	       "hub-material");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_fit),
	    cmocka_unit_test(test_fit_in_parts),
	    cmocka_unit_test(test_fit_uncertain),
	    cmocka_unit_test(test_fit_refuses),
	    cmocka_unit_test(test_piston),
	    cmocka_unit_test(test_oil_clearance),
	    cmocka_unit_test(test_ring_gap),
	    cmocka_unit_test(test_press_fit),
	    cmocka_unit_test(test_press_fit_warns),
	    cmocka_unit_test(test_press_fit_barely),
	    cmocka_unit_test(test_press_fit_refuses),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
