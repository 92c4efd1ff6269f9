/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The frame around the calculators, with small ones made for the purpose. */
#include "check.h"

#include <stdio.h>
#include <string.h>

#include "fitwright/calc.h"

static struct fw_error error;

/* z = a·b, d = a - b, and a table of the parts with their sum. */
static int run_pair(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	double a = fw_calc_value(in, "a"), b = fw_calc_value(in, "b"), sum = 0;
	char left[48], right[48];

	if (b > 1.0)
		return fw_fail(err, FW_ERR_RANGE, "b is beyond 1 m");
	fw_calc_line(out, "d = a - b = %s - %s",
	             fw_calc_figure(a, fw_calc_unit(in, "a"), left, sizeof left),
	             fw_calc_figure(b, fw_calc_unit(in, "b"), right, sizeof right));
	if (fw_calc_flag(in, "loud"))
		fw_calc_warn(out, "loud");
	fw_calc_put(out, "difference", "difference", a - b, fw_unit_find("mm", 2));
	fw_calc_put_number(out, "ratio", "ratio", a / b);
	fw_calc_put_text(out, "shape", "shape", fw_calc_text(in, "shape"));
	for (size_t i = 0; i < fw_calc_count(in, "parts"); i++) {
		const struct fw_calc_values *part = fw_calc_record(in, "parts", i);
		double size = fw_calc_value(part, "size") * fw_calc_value(part, "count");
		fw_calc_row(out, "parts", "Parts");
		fw_calc_put_text(out, "name", "name", fw_calc_text(part, "name"));
		fw_calc_put(out, "total", "total", size, fw_unit_find("mm", 2));
		fw_calc_row_end(out);
		sum += size;
	}
	fw_calc_put(out, "sum", "sum of the parts", sum, fw_unit_find("mm", 2));
	double most = -INFINITY, least = INFINITY;
	for (size_t i = 0; i < fw_calc_count(in, "list"); i++) {
		most = fmax(most, fw_calc_item(in, "list", i));
		least = fmin(least, fw_calc_item(in, "list", i));
	}
	fw_calc_put(out, "range", "greatest less least", most - least, fw_unit_find("mm", 2));
	fw_calc_put(out, "most", "greatest of the list", most, fw_unit_find("mm", 2));
	fw_calc_put_number(out, "share", "share", fw_calc_value(in, "share"));
	if (a > b)
		fw_calc_put(out, "more", "a over b", a - b, fw_unit_find("mm", 2));
	fw_calc_put_flag(out, "a-over-b", "whether a is over b", a > b);
	return FW_OK;
}

static const struct fw_calc_input part_fields[] = {
    {"name", FW_CALC_TEXT, NULL, FW_CALC_ANY, true, NULL, NULL, NULL, "what it is"},
    {"size", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL, "its size"},
    {"count", FW_CALC_WHOLE, NULL, FW_CALC_POSITIVE, false, "1", NULL, NULL, "how many"},
    {NULL, FW_CALC_FLAG, NULL, FW_CALC_ANY, false, NULL, NULL, NULL, NULL}};

static const struct fw_calc_input pair_inputs[] = {
    {"a", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, true, NULL, NULL, NULL, "one length"},
    {"b", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL, "another"},
    {"heat", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, false, "20 °C", NULL, NULL, "a temperature"},
    {"rise", FW_CALC_QUANTITY, "K", FW_CALC_ANY, false, NULL, NULL, NULL, "a difference of them"},
    {"share", FW_CALC_NUMBER, NULL, FW_CALC_NOT_NEGATIVE, false, "4 %", NULL, NULL, "a share"},
    {"list", FW_CALC_QUANTITIES, "mm", FW_CALC_ANY, false, NULL, NULL, NULL, "lengths"},
    {"any", FW_CALC_QUANTITY, "*", FW_CALC_ANY, false, NULL, NULL, NULL, "whatever"},
    {"bare", FW_CALC_QUANTITY, "*mm", FW_CALC_ANY, false, NULL, NULL, NULL, "whatever"},
    {"like", FW_CALC_QUANTITY, "=any", FW_CALC_ANY, false, NULL, NULL, NULL, "the same"},
    {"off", FW_CALC_QUANTITIES, "~any", FW_CALC_ANY, false, NULL, NULL, NULL, "a difference"},
    {"shape", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, "round", "round|square", NULL, "a shape"},
    {"loud", FW_CALC_FLAG, NULL, FW_CALC_ANY, false, NULL, NULL, NULL, "warn"},
    {"parts", FW_CALC_RECORDS, NULL, FW_CALC_ANY, false, NULL, NULL, part_fields, "parts"},
    {NULL, FW_CALC_FLAG, NULL, FW_CALC_ANY, false, NULL, NULL, NULL, NULL}};

static const struct fw_calculator pair = {.name = "pair",
                                          .summary = "two lengths",
                                          .about = "Two lengths.",
                                          .source = "none",
                                          .example = "",
                                          .inputs = pair_inputs,
                                          .run = run_pair};

static struct fw_calc_values *fresh(void)
{
	struct fw_calc_values *values = NULL;

	assert_ok(fw_calc_values_new(&values, pair_inputs, &error));
	return values;
}

/* Values of "a" and "b" as typed. */
static struct fw_calc_values *typed(const char *a, const char *b)
{
	struct fw_calc_values *values = fresh();

	assert_ok(fw_calc_type(values, "a", a, &error));
	assert_ok(fw_calc_type(values, "b", b, &error));
	return values;
}

static struct fw_quantity result_of(struct fw_calc_values *values, const char *name)
{
	struct fw_calc_out *out = NULL;

	assert_ok(fw_calculate(&out, &pair, values, &error));
	const struct fw_calc_result *result = fw_calc_result_find(out, name);
	assert_non_null(result);
	struct fw_quantity q = result->quantity;
	fw_calc_free(out);
	return q;
}

static void test_results(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("12.5", "1/2 in");
	struct fw_calc_out *out = NULL;

	assert_ok(fw_calc_type(values, "parts", "shim, size=0,25 mm, count=3", &error));
	assert_ok(fw_calc_type(values, "parts", "size = 16 thou,name=gasket, thin", &error));
	assert_ok(fw_calc_set_flag(values, "loud", true, &error));
	assert_ok(fw_calculate(&out, &pair, values, &error));
	assert_near(fw_calc_result_find(out, "difference")->quantity.value, -0.0002, 1e-15);
	assert_near(fw_calc_result_find(out, "sum")->quantity.value, 0.75e-3 + 0.4064e-3, 1e-15);
	assert_string_equal(fw_calc_result_find(out, "shape")->text, "round");
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_string_equal(fw_calc_line_text(out, 0), "d = a - b = 12.5 mm - 0.5 in");
	assert_null(fw_calc_line_text(out, 1));
	assert_null(fw_calc_result_find(out, "total")); /* in rows */
	const struct fw_calc_result *last = fw_calc_result(out, 6);
	assert_string_equal(last->table, "parts");
	assert_int_equal(last->row, 1);
	assert_string_equal(fw_calc_result(out, 5)->text, "gasket, thin");
	fw_calc_free(out);
	fw_calc_values_free(values);
}

/* ± is twice the standard uncertainty; independent contributions add in squares (JCGM
 * 100:2008, 5.1.2). */
static void test_uncertainty_independent(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("10 mm ± 0.06 mm", "4 mm +- 2 %");
	struct fw_quantity d = result_of(values, "difference");
	struct fw_quantity r = result_of(values, "ratio");

	assert_near(fw_quantity_u(&d), hypot(0.03e-3, 0.04e-3), 1e-12);
	/* relative: 0.3 % and 1 %; the halved difference of 1/x is exact to u² */
	assert_near(fw_quantity_u(&r) / r.value, hypot(0.003, 0.01), 2e-6);
	fw_calc_values_free(values);
}

/* One source in both inputs: it cancels in the difference (JCGM 100:2008, 5.2). */
static void test_uncertainty_shared(void **state)
{
	(void)state;
	struct fw_calc_values *values = fresh();
	struct fw_quantity a = fw_quantity_of(0.010, fw_unit_find("mm", 2));
	struct fw_quantity b = fw_quantity_of(0.004, fw_unit_find("mm", 2));

	assert_ok(fw_quantity_add_term(&a, fw_source_name("gauge"), 2e-6, 10, &error));
	assert_ok(fw_quantity_add_term(&b, fw_source_name("gauge"), 2e-6, 10, &error));
	assert_ok(fw_quantity_add_term(&b, fw_source_name("reading"), 1e-6, 4, &error));
	assert_ok(fw_calc_set_quantity(values, "a", &a, &error));
	assert_ok(fw_calc_set_quantity(values, "b", &b, &error));
	struct fw_quantity d = result_of(values, "difference");
	assert_near(fw_quantity_u(&d), 1e-6, 1e-15);
	assert_near(fw_quantity_freedom(&d), 4, 1e-6);
	fw_calc_values_free(values);
}

/* More sources than a quantity holds are merged, not lost. */
static void test_uncertainty_many(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("10", "4");
	char text[64];

	for (int i = 0; i < 100; i++) {
		snprintf(text, sizeof text, "part %d, size=1 mm ± 0.02 mm", i);
		assert_ok(fw_calc_type(values, "parts", text, &error));
	}
	struct fw_quantity sum = result_of(values, "sum");
	assert_near(fw_quantity_u(&sum), 0.1e-3, 1e-12);
	assert_true(isinf(fw_quantity_freedom(&sum)));
	fw_calc_values_free(values);
}

/* An input so uncertain that the working fails on one side must not give a small ±. */
static void test_uncertainty_beyond(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("10", "999 mm ± 4 mm");
	struct fw_calc_out *out = NULL;

	assert_ok(fw_calculate(&out, &pair, values, &error));
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "b is beyond 1 m");
	fw_calc_free(out);
	fw_calc_values_free(values);
}

/* What is typed wrong is refused, and says at which input. */
static void test_refused(void **state)
{
	static const struct {
		const char *name, *text;
		int code;
		const char *says;
	} rows[] = {
	    {"a", "", FW_ERR_INPUT, "a: "},
	    {"a", "nan", FW_ERR_INPUT, "a: "},
	    {"a", "inf mm", FW_ERR_INPUT, "a: "},
	    {"a", "1e400 mm", FW_ERR_INPUT, "a: "},
	    {"a", "3 N·m", FW_ERR_DIMENSION, "torque"},
	    {"a", "3 mm ± -1 mm", FW_ERR_INPUT, "never negative"},
	    {"a", "3 mm ± 1 N", FW_ERR_DIMENSION, "a: "},
	    {"b", "0", FW_ERR_ARGUMENT, "b: 0.000 mm is not above 0"},
	    {"b", "-2 mm", FW_ERR_ARGUMENT, "not above 0"},
	    {"share", "-4 %", FW_ERR_ARGUMENT, "share"},
	    {"share", "4 mm", FW_ERR_DIMENSION, "share"},
	    {"shape", "oval", FW_ERR_INPUT, "'oval' is none of round|square"},
	    {"shape", "round|square", FW_ERR_INPUT, "none of"},
	    {"shape", "", FW_ERR_INPUT, "shape"},
	    {"loud", "maybe", FW_ERR_INPUT, "yes or no"},
	    {"rise", "20 °C", FW_ERR_DIMENSION, "rise"},
	    {"list", "1;2;;3", FW_ERR_INPUT, "list: "},
	    {"parts", "shim, size=0", FW_ERR_ARGUMENT, "parts 1, size: "},
	    {"parts", "shim, size=1, count=1.5", FW_ERR_ARGUMENT, "whole number"},
	    {"parts", "shim, width=1", FW_ERR_NOT_FOUND, "'width'; there are: name, size, count"},
	    {"parts", "name=a, name=b", FW_ERR_ARGUMENT, "given twice"},
	    {"colour", "red", FW_ERR_NOT_FOUND, "there are: a, b, heat"},
	    {"a", "\xff", FW_ERR_INPUT, "UTF-8"},
	};
	(void)state;

	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		struct fw_calc_values *values = fresh();
		assert_code(fw_calc_type(values, rows[i].name, rows[i].text, &error), rows[i].code);
		assert_contains(error.text, rows[i].says);
		fw_calc_values_free(values);
	}
}

static void test_refused_values(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("1", "1");
	struct fw_calc_out *out = NULL;

	assert_code(fw_calc_type(values, "a", "2", &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "a: given twice");
	assert_code(fw_calc_set_number(values, "share", NAN, &error), FW_ERR_ARGUMENT);
	assert_code(fw_calc_set_number(values, "heat", 20, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "the unit is missing");
	assert_code(fw_calc_set_text(values, "share", "x", &error), FW_ERR_ARGUMENT);
	assert_code(fw_calc_set_flag(values, "share", true, &error), FW_ERR_ARGUMENT);
	fw_calc_values_free(values);

	values = fresh();
	assert_code(fw_calculate(&out, &pair, values, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "a is missing: one length");
	assert_null(out);
	fw_calc_values_free(values);
}

/* Equal readings: their greatest is as uncertain as one of them, however many there are. */
static void test_uncertainty_tie(void **state)
{
	(void)state;
	for (int n = 1; n <= 40; n += 13) {
		struct fw_calc_values *values = typed("10", "4");
		for (int i = 0; i < n; i++)
			assert_ok(fw_calc_type(values, "list", "7 mm ± 0.02 mm", &error));
		struct fw_quantity most = result_of(values, "most");
		assert_near(fw_quantity_u(&most), 0.01e-3, 1e-12);
		fw_calc_values_free(values);
	}
}

/* At its least a range moves the same way whichever way a reading does: it isn't certain for that.
 */
static void test_uncertainty_least(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("10", "4");
	assert_ok(fw_calc_type(values, "list", "7 mm ± 0.02 mm; 7 mm ± 0.02 mm", &error));
	struct fw_quantity range = result_of(values, "range");
	assert_near(range.value, 0, 0);
	assert_near(fw_quantity_u(&range), sqrt(2) * 0.01e-3, 1e-9);
	fw_calc_values_free(values);
}

/* A result that vanishes on one side takes nothing from the others, and is told. */
static void test_uncertainty_vanishing(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("10.001 mm ± 0.004 mm", "10");
	struct fw_calc_out *out = NULL;

	assert_ok(fw_calculate(&out, &pair, values, &error));
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "another verdict, or other results");
	assert_near(fw_quantity_u(&fw_calc_result_find(out, "difference")->quantity), 2e-6, 1e-12);
	fw_calc_free(out);
	fw_calc_values_free(values);
}

/* Rounding is no uncertainty: a gauge's error that two inputs share is gone from their difference,
 * whichever way the last bits fall. */
static void test_uncertainty_rounding(void **state)
{
	(void)state;
	for (int i = 0; i < 200; i++) {
		struct fw_calc_values *values = fresh();
		struct fw_quantity a = fw_quantity_of(0.125 + 1e-6 * i, fw_unit_find("mm", 2));
		struct fw_quantity b = fw_quantity_of(0.12494 + 1e-6 * i, fw_unit_find("mm", 2));
		assert_ok(fw_quantity_add_term(&a, fw_source_name("gauge"), 2e-6, 10, &error));
		assert_ok(fw_quantity_add_term(&b, fw_source_name("gauge"), 2e-6, 10, &error));
		assert_ok(fw_calc_set_quantity(values, "a", &a, &error));
		assert_ok(fw_calc_set_quantity(values, "b", &b, &error));
		struct fw_quantity d = result_of(values, "difference");
		assert_int_equal(d.count, 0);
		fw_calc_values_free(values);
	}
}

/* What is merged bears no real source's name, so it correlates with nothing. */
static void test_uncertainty_merged(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("10", "4");
	struct fw_quantity part = fw_quantity_of(0.001, fw_unit_find("mm", 2)), both;
	char text[64];

	for (int i = 0; i < 60; i++) {
		snprintf(text, sizeof text, "part %d, size=1 mm ± 0.02 mm", i);
		assert_ok(fw_calc_type(values, "parts", text, &error));
	}
	struct fw_quantity sum = result_of(values, "sum");
	fw_calc_values_free(values);
	size_t own = 0;
	for (int i = 0; i < 60; i++) {
		snprintf(text, sizeof text, "typed: parts %d, size 0", i + 1);
		part.count = 0;
		assert_ok(fw_quantity_add_term(&part, fw_source_name(text), 0.01e-3, INFINITY, &error));
		assert_ok(fw_quantity_add(&both, &sum, &part, &error));
		/* 60 equal parts, one of them twice: it stands out or is lost in the tail, never more */
		double u = fw_quantity_u(&both) / 0.01e-3;
		own += fabs(u - sqrt(59.0 + 4.0)) < 1e-6;
		assert_true(fabs(u - sqrt(63.0)) < 1e-6 || fabs(u - sqrt(61.0)) < 1e-6);
	}
	assert_int_equal(own, FW_TERMS / 2 - 1);
}

/* "± 10 %" of a plain number is of that number; of a share in per cent it is per cent. */
static void test_percent(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("10", "4");
	assert_ok(fw_calc_type(values, "share", "0.12 ± 10 %", &error));
	struct fw_quantity share = result_of(values, "share");
	assert_near(fw_quantity_u(&share), 0.006, 1e-12);
	fw_calc_values_free(values);

	values = typed("10", "4");
	assert_ok(fw_calc_type(values, "share", "12 % ± 1 %", &error));
	share = result_of(values, "share");
	assert_near(fw_quantity_u(&share), 0.005, 1e-12);
	fw_calc_values_free(values);

	values = typed("10", "4");
	assert_code(fw_calc_type(values, "share", "12", &error), FW_ERR_INPUT);
	assert_contains(error.text, "type 12 %");
	assert_code(fw_calc_type(values, "heat", "70 °C ± 5 %", &error), FW_ERR_INPUT);
	assert_ok(fw_calc_type(values, "heat", "70 °C ± 10 °C", &error));
	assert_near(fw_quantity_u(fw_calc_quantity(values, "heat")), 5, 1e-12);
	fw_calc_values_free(values);
}

/* A calculator that is plain and never asks for a ± says so; a record that can't be read leaves
 * nothing behind; a count has no ±; results are bounded. */
static void test_edges(void **state)
{
	(void)state;
	struct fw_calculator plain = pair;
	struct fw_calc_values *values = typed("10 mm ± 1 mm", "4");
	struct fw_calc_out *out = NULL;

	plain.plain = true;
	assert_ok(fw_calc_type(values, "parts", "x, size=1 mm ± 0.1 mm", &error));
	assert_ok(fw_calculate(&out, &plain, values, &error));
	assert_int_equal(fw_calc_warnings(out), 2);
	assert_contains(fw_calc_warning_text(out, 0), "the ± of a isn't used");
	assert_contains(fw_calc_warning_text(out, 1), "the ± of size in parts isn't used");
	fw_calc_free(out);
	fw_calc_values_free(values);

	values = typed("10", "4");
	assert_code(fw_calc_type(values, "parts", "y, size=0", &error), FW_ERR_ARGUMENT);
	assert_int_equal(fw_calc_count(values, "parts"), 0);
	assert_code(fw_calc_type(values, "parts", "y, size=1, count=3 ± 1", &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "a count has no ±");
	for (size_t i = 0; i < FW_CALC_RESULTS_MOST / 2; i++)
		assert_ok(fw_calc_type(values, "parts", "z, size=1", &error));
	assert_code(fw_calculate(&out, &pair, values, &error), FW_ERR_RANGE);
	assert_contains(error.text, "50000 results");
	fw_calc_values_free(values);
}

/* One input of the dimension of another, whichever comes first. */
static void test_alike(void **state)
{
	(void)state;
	struct fw_calc_values *values = typed("1", "1");
	struct fw_calc_out *out = NULL;

	assert_code(fw_calc_type(values, "like", "3", &error), FW_ERR_INPUT);
	assert_ok(fw_calc_type(values, "like", "3 °C", &error));
	assert_code(fw_calc_type(values, "off", "2 °C", &error), FW_ERR_DIMENSION);
	assert_code(fw_calc_type(values, "any", "2", &error), FW_ERR_INPUT);
	assert_ok(fw_calc_type(values, "any", "20 °C ± 1 K", &error));
	assert_ok(fw_calc_type(values, "off", "2", &error));
	assert_near(fw_calc_value(values, "off"), 2, 0);
	assert_ok(fw_calc_type(values, "bare", "2", &error));
	assert_near(fw_calc_value(values, "bare"), 0.002, 1e-18);
	assert_code(fw_calc_type(values, "off", "2 mm", &error), FW_ERR_DIMENSION);
	assert_ok(fw_calculate(&out, &pair, values, &error));
	fw_calc_free(out);
	fw_calc_values_free(values);

	values = typed("1", "1");
	assert_ok(fw_calc_type(values, "like", "3 N·m", &error));
	assert_ok(fw_calc_type(values, "any", "20 mm", &error));
	assert_code(fw_calculate(&out, &pair, values, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "like: a length in mm is asked for, not a torque");
	fw_calc_values_free(values);
}

/* The named calculators: each has what the help and the reference need, names that options and Lua
 * can take, and defaults that its own inputs accept. */
static void check_inputs(const struct fw_calculator *calculator, const struct fw_calc_input *inputs)
{
	struct fw_calc_values *values = NULL;

	assert_ok(fw_calc_values_new(&values, inputs, &error));
	for (const struct fw_calc_input *input = inputs; input->name; input++) {
		if (strspn(input->name, "abcdefghijklmnopqrstuvwxyz0123456789-") != strlen(input->name) ||
		    strlen(input->name) > 30 || !input->doc || !input->doc[0])
			fail_msg("%s: input '%s'", calculator->name, input->name);
		if (strcmp(input->name, "json") == 0 || strcmp(input->name, "help") == 0 ||
		    strcmp(input->name, "id") == 0 || strcmp(input->name, "trail") == 0 ||
		    strcmp(input->name, "color") == 0)
			fail_msg("%s: '%s' is taken", calculator->name, input->name);
		if (input->unit && !strchr("*=~", input->unit[0]) &&
		    !fw_unit_find(input->unit, strlen(input->unit)))
			fail_msg("%s: %s: unit '%s'", calculator->name, input->name, input->unit);
		if ((input->kind == FW_CALC_CHOICE) != (input->choices != NULL) ||
		    (input->kind == FW_CALC_RECORDS) != (input->fields != NULL))
			fail_msg("%s: %s: its kind and its table don't agree", calculator->name, input->name);
		if (input->fallback)
			assert_ok(fw_calc_type(values, input->name, input->fallback, &error));
		if (input->fields)
			check_inputs(calculator, input->fields);
	}
	fw_calc_values_free(values);
}

static void test_tables(void **state)
{
	const struct fw_calculator *calculator;
	(void)state;

	for (size_t i = 0; (calculator = fw_calculator_at(i)) != NULL; i++) {
		assert_ptr_equal(fw_calculator_find(calculator->name), calculator);
		if (!calculator->summary[0] || !calculator->about[0] || !calculator->source[0] ||
		    !calculator->example[0])
			fail_msg("%s: something isn't said", calculator->name);
		check_inputs(calculator, calculator->inputs);
	}
	assert_true(fw_calculator_at(0) != NULL);
	assert_null(fw_calculator_find("nothing"));
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_results),
	    cmocka_unit_test(test_uncertainty_independent),
	    cmocka_unit_test(test_uncertainty_shared),
	    cmocka_unit_test(test_uncertainty_many),
	    cmocka_unit_test(test_uncertainty_beyond),
	    cmocka_unit_test(test_uncertainty_tie),
	    cmocka_unit_test(test_uncertainty_least),
	    cmocka_unit_test(test_uncertainty_vanishing),
	    cmocka_unit_test(test_uncertainty_rounding),
	    cmocka_unit_test(test_uncertainty_merged),
	    cmocka_unit_test(test_percent),
	    cmocka_unit_test(test_edges),
	    cmocka_unit_test(test_refused),
	    cmocka_unit_test(test_refused_values),
	    cmocka_unit_test(test_alike),
	    cmocka_unit_test(test_tables),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
