/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calculator that hands parts round, fed as a person types. All figures are invented. */
#include "calc_typed.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define MM       1e-3
#define UM       1e-6
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static int work(struct fw_calc_out **out, const struct typed *typed)
{
	return calc_list(out, "reuse", typed, &error);
}

/* A result of a row, of the whole where `table` is NULL; fails the test when there is none. */
static const struct fw_calc_result *result(const struct fw_calc_out *out, const char *table,
                                           size_t row, const char *name)
{
	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *r = fw_calc_result(out, i);
		bool there = table ? r->table && strcmp(r->table, table) == 0 && r->row == row : !r->table;
		if (there && strcmp(r->name, name) == 0)
			return r;
	}
	fail_msg("no result %s in %s", name, table ? table : "the whole");
	return NULL;
}

static double value(const struct fw_calc_out *out, const char *table, size_t row, const char *name)
{
	return result(out, table, row, name)->quantity.value;
}

static const char *words(const struct fw_calc_out *out, size_t row)
{
	return result(out, "places", row, "part")->text;
}

static size_t rows(const struct fw_calc_out *out, const char *table)
{
	size_t most = 0;

	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *r = fw_calc_result(out, i);
		if (r->table && strcmp(r->table, table) == 0 && r->row + 1 > most)
			most = r->row + 1;
	}
	return most;
}

static bool says(const struct fw_calc_out *out, const char *part)
{
	for (size_t i = 0; i < fw_calc_lines(out); i++)
		if (strstr(fw_calc_line_text(out, i), part))
			return true;
	return false;
}

static bool warns(const struct fw_calc_out *out, const char *part)
{
	for (size_t i = 0; i < fw_calc_warnings(out); i++)
		if (strstr(fw_calc_warning_text(out, i), part))
			return true;
	return false;
}

/* By hand, with new shim = old shim + found - aim (common practice, no source). Inlets 0.20 ± 0.03:
 * wanted 2.46 and 2.47; exhaust 0.30: wanted 2.51, and the first inlet's 2.50 gives 0.31. Nothing
 * old serves the inlets: 2.45 gives 0.21 (2.475: 0.185), 2.475 gives 0.195. Uncertainties are half
 * of what is typed: sqrt(10² + 2²) = 10.198, with a second old part sqrt(10² + 2² + 2²) = 10.392
 * µm. Chance of the third: (0.33 - 0.31)/0.010392 = 1.9245: tables of the normal distribution say
 * 0.9729 for 1.925. */
static void test_valves(void **state)
{
	const struct typed typed[] = {{"place", "inlet 1, found=0.16 mm, was=2.50 mm"},
	                              {"place", "inlet 2, found=0.27 mm, was=2.40 mm"},
	                              {"place", "exhaust 1, found=0.21, was=2.60, min=0.27, max=0.33"},
	                              {"min", "0.17 mm"},
	                              {"max", "0.23 mm"},
	                              {"gauge", "0.02 mm"},
	                              {"micrometer", "4 µm"},
	                              {"shelf-from", "2 mm"},
	                              {"shelf-to", "3 mm"},
	                              {"shelf-step", "0.025 mm"},
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, typed));
	assert_string_equal(words(out, 0), "new");
	assert_near(value(out, "places", 0, "size"), 2.45 * MM, 1e-12);
	assert_near(value(out, "places", 0, "clearance"), 0.21 * MM, 1e-12);
	assert_near(value(out, "places", 0, "u"), 10.198 * UM, 5e-10);
	assert_near(value(out, "places", 1, "size"), 2.475 * MM, 1e-12);
	assert_string_equal(words(out, 2), "from inlet 1");
	assert_near(value(out, "places", 2, "clearance"), 0.31 * MM, 1e-12);
	assert_near(value(out, "places", 2, "u"), 10.392 * UM, 5e-10);
	assert_near(value(out, "places", 2, "chance"), 0.9729, 2e-4);
	assert_int_equal(rows(out, "buy"), 2);
	assert_near(value(out, "buy", 0, "size"), 2.45 * MM, 1e-12);
	assert_near(value(out, "buy", 0, "pieces"), 1, 0);
	assert_int_equal(rows(out, "over"), 2);
	assert_string_equal(result(out, "over", 1, "part")->text, "from exhaust 1");
	assert_near(value(out, NULL, 0, "kept"), 0, 0);
	assert_near(value(out, NULL, 0, "moved"), 1, 0);
	assert_near(value(out, NULL, 0, "bought"), 2, 0);
	assert_near(value(out, NULL, 0, "left-out"), 0, 0);
	assert_near(value(out, NULL, 0, "deviation"), 0.025 * MM, 1e-12);
	assert_true(says(out, "exhaust 1: 0.21 mm + (2.6 mm - 2.5 mm) = 0.31 mm"));
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);
}

/* Shells: bore - 2·shell - journal, plain geometry. Bare 52.040 - 47.990 = 4.050: shells of 2.000
 * leave 0.050, two pieces of one grade for two journals; with worn shells of 1.985 in, 0.080 was
 * found. */
static void test_shells(void **state)
{
	const struct typed typed[] = {{"place", "big end 1, found=4.050 mm ± 0.002 mm"},
	                              {"place", "big end 2, found=0.080 mm ± 0.004 mm, was=1.985 mm"},
	                              {"spare", "1.990 mm"},
	                              {"shelf", "1.995 mm"},
	                              {"shelf", "2.000 mm, count=2"},
	                              {"min", "0.035 mm"},
	                              {"max", "0.065 mm"},
	                              {"part", "shells"},
	                              {"shelf-error", "0.002 mm"},
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, typed));
	assert_near(value(out, "places", 0, "clearance"), 0.050 * MM, 1e-12);
	assert_near(value(out, "places", 0, "u"), sqrt(1.0 + 4.0) * UM, 1e-12); /* √(1² + (2·1)²) */
	assert_near(value(out, "places", 1, "clearance"), 0.050 * MM, 1e-12);
	assert_near(value(out, "places", 1, "u"), sqrt(4.0 + 4.0) * UM, 1e-12);
	assert_int_equal(rows(out, "buy"), 1);
	assert_near(value(out, "buy", 0, "pieces"), 2, 0);
	assert_string_equal(result(out, "over", 1, "part")->text, "spare 1");
	assert_true(says(out, "big end 1: 4.05 mm - 2·2 mm = 0.05 mm"));
	assert_true(says(out, "big end 2: 0.08 mm + 2·(1.985 mm - 2 mm) = 0.05 mm"));
	fw_calc_free(out);
}

static void test_left_out(void **state)
{
	const struct typed nothing[] = {{"place", "1, found=0.10 mm, was=2.50 mm"},
	                                {"place", "2, found=0.20 mm ± 0.2 mm, was=2.50 mm ± 0.2 mm"},
	                                {"place", "3, found=-0.10 mm"},
	                                {"min", "0.15 mm"},
	                                {"max", "0.25 mm"},
	                                {NULL, NULL}};
	const struct typed exact[] = {{"place", "1, found=0.20 mm, was=2.50 mm"},
	                              {"min", "0.15 mm"},
	                              {"max", "0.25 mm"},
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, nothing));
	assert_near(value(out, NULL, 0, "left-out"), 3, 0);
	assert_true(warns(out, "1 is left out: nothing here serves; 2.4 mm would give the aim"));
	assert_true(warns(out, "2 is left out: what was measured there is too uncertain"));
	assert_true(warns(out, "3 is left out: no size can serve"));
	assert_string_equal(words(out, 0), "left out");
	fw_calc_free(out);

	assert_ok(work(&out, exact));
	assert_string_equal(words(out, 0), "own part");
	assert_true(warns(out, "no uncertainty is given"));
	fw_calc_free(out);
}

/* What can't be used, and what the message must name. */
static void test_bad_input(void **state)
{
#define ONE                                                                                        \
	{                                                                                              \
		"place", "a, found=0.2 mm, was=2.5 mm"                                                     \
	}
#define MIN                                                                                        \
	{                                                                                              \
		"min", "0.1 mm"                                                                            \
	}
#define MAX                                                                                        \
	{                                                                                              \
		"max", "0.3 mm"                                                                            \
	}
	static const struct {
		struct typed typed[7];
		int code;
		const char *part;
	} bad[] = {
	    {{ONE}, FW_ERR_ARGUMENT, "place 1: min and max are both missing"},
	    {{ONE, ONE, MIN, MAX}, FW_ERR_ARGUMENT, "places 1 and 2 have one name"},
	    {{ONE, {"min", "0.3 mm"}, {"max", "0.1 mm"}},
	     FW_ERR_ARGUMENT,
	     "place 1: limits: min is not"},
	    {{ONE, MIN, MAX, {"aim", "0.4 mm"}}, FW_ERR_ARGUMENT, "place 1: limits: aim is above max"},
	    {{ONE, MIN, MAX, {"shelf-from", "2 mm"}}, FW_ERR_ARGUMENT, "one is missing"},
	    {{ONE, MIN, {"shelf-from", "3 mm"}, {"shelf-to", "2 mm"}, {"shelf-step", "1 mm"}},
	     FW_ERR_ARGUMENT,
	     "are they swapped?"},
	    {{ONE, MIN, {"shelf-from", "2 mm"}, {"shelf-to", "3 mm"}, {"shelf-step", "0.0005 um"}},
	     FW_ERR_RANGE,
	     "shelf-step: more than"},
	    {{ONE, MIN, {"shelf-from", "2 mm"}, {"shelf-to", "3 mm"}, {"shelf-step", "0"}},
	     FW_ERR_ARGUMENT,
	     "shelf-step"},
	    {{ONE, MIN, {"shelf", "2 mm"}, {"shelf", "2 mm"}}, FW_ERR_ARGUMENT, "grades 1 and 2"},
	    {{ONE, MIN, {"shelf", "2 mm, count=-1"}}, FW_ERR_ARGUMENT, "count"},
	    {{ONE, MIN, {"shelf", "2 mm, count=5000000000"}}, FW_ERR_ARGUMENT, "count"},
	    {{ONE, MIN, {"spare", "11 m"}}, FW_ERR_ARGUMENT, "old part 2: the size is beyond 10 m"},
	    {{ONE, MIN, {"spare", "-2 mm"}}, FW_ERR_ARGUMENT, "size"},
	    {{ONE, MIN, {"chance", "1"}}, FW_ERR_ARGUMENT, "between 0.5 and 1"},
	    {{ONE, MIN, {"part", "washer"}}, FW_ERR_INPUT, "shells"},
	    {{{"place", "a, found=0.2 N"}, MIN}, FW_ERR_DIMENSION, "found"},
	    {{{"place", "found=0.2 mm"}, MIN}, FW_ERR_ARGUMENT, "name"},
	    {{MIN, MAX}, FW_ERR_ARGUMENT, "place is missing"},
	};
	struct fw_calc_out *out;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		int rc = work(&out, bad[i].typed);
		if (rc != bad[i].code || !strstr(error.text, bad[i].part))
			fail_msg("case %zu: %d, \"%s\"; wanted %d, \"%s\"", i, rc, error.text, bad[i].code,
			         bad[i].part);
		assert_null(out);
	}
}

/* The ± of a new part is that of the shelf as a whole: one typed with a grade isn't used, which is
 * said. */
static void test_unused_error(void **state)
{
	const struct typed typed[] = {
	    {"place", "1, found=2.6 mm ± 0.01 mm"}, {"min", "0.1 mm"},          {"max", "0.2 mm"},
	    {"shelf", "2.45 mm ± 0.2 mm"},          {"shelf-error", "0.02 mm"}, {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, typed));
	assert_near(value(out, "places", 0, "u"), hypot(0.005, 0.01) * MM, 1e-12);
	assert_true(warns(out, "the ± of size in shelf isn't used"));
	assert_true(says(out, "= 0.15 mm, off the aim by 0 mm"));
	fw_calc_free(out);
}

/* A shelf of a million grades, and one place: the grade that gives the aim to the last place. */
static void test_million_grades(void **state)
{
	const struct typed typed[] = {{"place", "1, found=0.20 mm ± 0.01 mm, was=2.4567891 mm"},
	                              {"min", "0.25 mm"},
	                              {"max", "0.35 mm"},
	                              {"shelf-from", "2 mm"},
	                              {"shelf-to", "2.999999 mm"},
	                              {"shelf-step", "0.001 um"},
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, typed));
	assert_near(value(out, "places", 0, "size"), 2.356789 * MM, 1.1e-12 * 1000);
	assert_near(value(out, "places", 0, "clearance"), 0.30 * MM, 1.1e-12 * 1000);
	fw_calc_free(out);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_valves),         cmocka_unit_test(test_shells),
	    cmocka_unit_test(test_left_out),       cmocka_unit_test(test_bad_input),
	    cmocka_unit_test(test_million_grades), cmocka_unit_test(test_unused_error),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
