/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calculator for several shimmed places, fed as a person types. The units are invented, their
 * answers worked out by hand. */
#include "calc_typed.h"

#include <stdbool.h>
#include <string.h>

#define MM 1e-3

static struct fw_error error;

static double value_of(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *r = fw_calc_result_find(out, name);

	return r ? r->quantity.value : NAN;
}

/* The result of that name in row `row` of the table. */
static const struct fw_calc_result *cell(const struct fw_calc_out *out, const char *table,
                                         size_t row, const char *name)
{
	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *r = fw_calc_result(out, i);
		if (r->table && strcmp(r->table, table) == 0 && r->row == row && strcmp(r->name, name) == 0)
			return r;
	}
	fail_msg("%s, row %zu, has no %s", table, row, name);
	return NULL;
}

static void assert_says(const struct fw_calc_out *out, const char *part)
{
	for (size_t i = 0; i < fw_calc_lines(out); i++)
		if (strstr(fw_calc_line_text(out, i), part))
			return;
	for (size_t i = 0; i < fw_calc_warnings(out); i++)
		if (strstr(fw_calc_warning_text(out, i), part))
			return;
	fail_msg("nowhere: %s", part);
}

#define SHAFT                                                                                      \
	{"place", "left"}, {"place", "right"}, {"found", "left, stack=0.5 mm"},                        \
	    {"found", "right, stack=0.3 mm"}, {"moves", "end float, place=left, by=-1"},               \
	    {"moves", "end float, place=right, by=-1"}, {"moves", "offset, place=left, by=0.5"},       \
	    {"moves", "offset, place=right, by=-0.5"},                                                 \
	    {"response", "offset, read=0.2 mm, min=-0.05 mm, max=0.05 mm"},                            \
	{                                                                                              \
		"gauge", "0.01 mm"                                                                         \
	}
#define FLOAT                                                                                      \
	{                                                                                              \
		"response", "end float, read=0.55 mm, min=0.1 mm, max=0.2 mm"                              \
	}

/* Float 0.15 wants 0.80 + 0.40 in all, offset 0 wants 0.40 less on the left than it was: 0.50 and
 * 0.70. Each reading has u = 0.005 mm, the 0.2 shim 0.003: √(5² + 3²) and √(5² + 1.5²) µm. */
static void test_shaft(void **state)
{
	const struct typed typed[] = {SHAFT,
	                              FLOAT,
	                              {"kit", "0.1 mm, count=2"},
	                              {"kit", "0.2 mm ± 0.006 mm, count=2"},
	                              {"kit", "0.5 mm, count=2"},
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(calc_list(&out, "shims-together", typed, &error));
	assert_int_equal(fw_calc_warnings(out), 0);
	assert_string_equal(cell(out, "stacks", 0, "fit")->text, "0.5 mm");
	assert_string_equal(cell(out, "stacks", 1, "fit")->text, "0.5 mm + 0.2 mm");
	assert_near(cell(out, "stacks", 1, "thickness")->quantity.value / MM, 0.7, 1e-9);
	assert_string_equal(cell(out, "responses", 0, "response")->text, "offset");
	assert_near(cell(out, "responses", 0, "value")->quantity.value / MM, 0.0, 1e-9);
	assert_near(cell(out, "responses", 0, "u")->quantity.value, 1e-6 * sqrt(25.0 + 2.25), 1e-12);
	assert_near(cell(out, "responses", 1, "value")->quantity.value / MM, 0.15, 1e-9);
	assert_near(cell(out, "responses", 1, "u")->quantity.value, 1e-6 * sqrt(25.0 + 9.0), 1e-12);
	assert_near(value_of(out, "distance"), 0.0, 1e-9);
	assert_near(value_of(out, "chance"), 1.0, 1e-9);
	assert_says(out, "end float = 1.35 mm - 1·0.5 mm - 1·0.7 mm = 0.15 mm");
	assert_says(out, "offset with no shims = read - what they do = 0.2 mm - 0.5·0.5 mm + "
	                 "0.5·0.3 mm = 0.1 mm");
	fw_calc_free(out);
}

/* 0.5 goes to the right alone; fewest shims, wherever in limits twice as wide. */
static void test_kit_of_a_place(void **state)
{
	const struct typed typed[] = {SHAFT,
	                              FLOAT,
	                              {"kit", "0.2 mm, count=3"},
	                              {"kit", "0.3 mm, count=1"},
	                              {"kit", "0.5 mm, count=2, place=right"},
	                              {NULL, NULL}};
	const struct typed fewest[] = {SHAFT,
	                               {"response", "end float, read=0.55 mm, min=0 mm, max=0.4 mm"},
	                               {"kit", "0.2 mm, count=3"},
	                               {"kit", "0.5 mm, count=2"},
	                               {"fewest", "yes"},
	                               {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(calc_list(&out, "shims-together", typed, &error));
	assert_string_equal(cell(out, "stacks", 0, "fit")->text, "0.3 mm + 0.2 mm");
	assert_string_equal(cell(out, "stacks", 1, "fit")->text, "0.5 mm + 0.2 mm");
	fw_calc_free(out);

	/* Offset within ±0.05 of 0.1 + (left - right)/2 needs 0.1 to 0.3 more on the right, float 0.95
	 * to 1.35 in all: 0.5 left, 0.5 and 0.2 right. One and two are the fewest. */
	assert_ok(calc_list(&out, "shims-together", fewest, &error));
	assert_near(cell(out, "stacks", 0, "count")->quantity.value +
	                cell(out, "stacks", 1, "count")->quantity.value,
	            3.0, 0.0);
	fw_calc_free(out);
}

static void test_nothing_serves(void **state)
{
	const struct typed typed[] = {SHAFT, FLOAT, {"kit", "0.1 mm, count=2"}, {NULL, NULL}};
	const struct typed piece[] = {
	    SHAFT, FLOAT, {"kit", "0.2 mm, count=2"}, {"kit", "0.3 mm"}, {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(calc_list(&out, "shims-together", typed, &error));
	assert_says(out, "get stacks of 0.50 mm");
	assert_near(cell(out, "wanted", 0, "thickness")->quantity.value / MM, 0.5, 1e-6);
	assert_near(cell(out, "wanted", 1, "thickness")->quantity.value / MM, 0.7, 1e-6);
	fw_calc_free(out);

	/* 0.2 + 0.3 left, so 0.7 right, or 0.7 of these right and 0.5 left. */
	assert_ok(calc_list(&out, "shims-together", piece, &error));
	assert_says(out, "get one piece of");
	bool left = strcmp(fw_calc_result_find(out, "piece-place")->text, "left") == 0;
	assert_near(value_of(out, "piece") / MM, left ? 0.5 : 0.7, 1e-6);
	fw_calc_free(out);
}

static void refuses(const char *name, const char *text, const char *says)
{
	const struct typed typed[] = {
	    SHAFT, FLOAT, {"kit", "0.2 mm, count=2"}, {name, text}, {NULL, NULL}};
	struct fw_calc_out *out;

	assert_code(calc_list(&out, "shims-together", typed, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
}

static void test_refused(void **state)
{
	(void)state;
	refuses("place", "left", "'left' is there twice");
	refuses("place", "middle", "middle: moves none of the responses");
	refuses("place", "middle, most=9", "place 3: most: 9 pieces in a stack, must be 1 to 8");
	refuses("place", "middle, least=2", "least: 0 or 1");
	refuses("response", "offset, read=1, min=0", "'offset' is there twice");
	refuses("response", "lash, read=1, min=0", "lash: no place moves it");
	refuses("response", "lash, read=1", "response 'lash': min and max are both missing");
	refuses("moves", "lash, place=left, by=1", "there is no response 'lash'");
	refuses("moves", "offset, place=top, by=1", "there is no place 'top'");
	refuses("moves", "offset, place=left, by=1", "is there twice");
	refuses("found", "top, stack=1", "there is no place 'top'");
	refuses("found", "left, stack=1", "found: 'left' is there twice");
	refuses("kit", "0.3 mm, place=top", "there is no place 'top'");
	refuses("kit", "0.3 mm, count=0", "count: from 1");
	refuses("kit", "0.2 mm", "the same size as entry 1");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_shaft),
	    cmocka_unit_test(test_kit_of_a_place),
	    cmocka_unit_test(test_nothing_serves),
	    cmocka_unit_test(test_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
