/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calculators of clearance: what is typed reaches the solvers, and what they say comes out. */
#include "calc_typed.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "calc/clearance/common.h"

#define MM 1e-3

static struct fw_error error;

static int work(struct fw_calc_out **out, const char *name, const struct typed *typed)
{
	return calc_list(out, name, typed, &error);
}

static double result(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *r = fw_calc_result_find(out, name);

	assert_non_null(r);
	return r->quantity.value;
}

static void refused(const char *name, const struct typed *typed, int code, const char *what)
{
	struct fw_calc_out *out = NULL;

	assert_code(work(&out, name, typed), code);
	assert_contains(error.text, what);
	assert_null(out);
}

/* Spacer and ring in a bore, as in test_stackup.c. */
static void test_stack_up(void **state)
{
	static const struct typed typed[] = {
	    {"link", "bore, size=40 mm, tolerance=0.1 mm"},
	    {"link", "spacer, size=25, tolerance=0.05, factor=-1"},
	    {"link", "ring, size=2, upper=0.03, lower=-0.03, factor=-1"},
	    {"link", "hub, size=10, tolerance=0.05, factor=-1"},
	    {"min", "2.85"},
	    {"max", "3.15 mm"},
	    {"trials", "200000"},
	    {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_ok(work(&out, "stack-up", typed));
	assert_near(result(out, "mean"), 3 * MM, 1e-12);
	assert_near(result(out, "worst-min"), 2.77 * MM, 1e-12);
	assert_near(result(out, "worst-max"), 3.23 * MM, 1e-12);
	assert_near(result(out, "rss"), 0.126095 * MM, 1e-9);
	assert_near(result(out, "low"), 2.873905 * MM, 1e-9);
	/* 2·(1 - Φ(0.15/0.0420317)): 3.57 standard deviations, 0.00036 in any table. */
	assert_near(result(out, "outside"), 0.000359, 2e-6);
	assert_near(result(out, "cpk"), 0.15 / 0.126095, 1e-5);
	assert_near(result(out, "trials-outside"), 0.000359, 4 * result(out, "trials-outside-error"));
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "2.77 mm to 3.23 mm");
	fw_calc_free(out);
}

/* A size with ± behind it is a measurement (k = 2); a chain without limits or trials. */
static void test_stack_up_measured(void **state)
{
	static const struct typed typed[] = {
	    {"link", "case, size=50.1 mm ± 0.008 mm"},
	    {"link", "shaft, size=50 mm, upper=-7 µm, lower=-20 µm, factor=-1, shape=uniform"},
	    {"trials", "0"},
	    {"level", "2"},
	    {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_ok(work(&out, "stack-up", typed));
	double sd = hypot(0.004, 0.0065 / sqrt(3)) * MM;
	assert_near(result(out, "sd"), sd, 1e-12);
	assert_near(result(out, "mean"), 0.1135 * MM, 1e-12);
	assert_near(result(out, "high"), 0.1135 * MM + 2 * sd, 1e-12);
	assert_null(fw_calc_result_find(out, "trials-mean"));
	assert_null(fw_calc_result_find(out, "cpk"));
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);
}

static void test_stack_up_refused(void **state)
{
	static const struct typed
	    both[] = {{"link", "a, size=1, tolerance=0.1, upper=0.1"}, {NULL, NULL}},
	    measured[] = {{"link", "a, size=1 ± 0.1, tolerance=0.1"}, {NULL, NULL}},
	    swapped[] = {{"link", "a, size=1, upper=-0.1, lower=0.1"}, {NULL, NULL}},
	    nothing[] = {{"link", "a, size=1, factor=0"}, {NULL, NULL}},
	    crossed[] = {{"link", "a, size=1"}, {"min", "2"}, {"max", "1"}, {NULL, NULL}},
	    many[] = {{"link", "a, size=1"}, {"trials", "2000000000"}, {NULL, NULL}},
	    few[] = {{"link", "a, size=1, tolerance=0.1"}, {"trials", "5"}, {NULL, NULL}},
	    negative[] = {{"link", "a, size=1"}, {"seed", "-1"}, {NULL, NULL}};
	(void)state;

	refused("stack-up", both, FW_ERR_ARGUMENT, "not both");
	refused("stack-up", measured, FW_ERR_ARGUMENT, "measured");
	refused("stack-up", swapped, FW_ERR_ARGUMENT, "swapped");
	refused("stack-up", nothing, FW_ERR_ARGUMENT, "takes no part");
	refused("stack-up", crossed, FW_ERR_ARGUMENT, "swapped");
	refused("stack-up", many, FW_ERR_RANGE, "at most 1000000000");
	refused("stack-up", few, FW_ERR_ARGUMENT, "10000 to");
	refused("stack-up", negative, FW_ERR_ARGUMENT, "seed");
}

/* As in test_thermal.c, by hand. */
static void test_thermal(void **state)
{
	static const struct typed typed[] = {{"link", "case, length=100 mm, material=cast-aluminium"},
	                                     {"link", "shaft, length=100, factor=-1"},
	                                     {"gap", "0.1 mm ± 0.006 mm"},
	                                     {"hot", "80 °C ± 10 K"},
	                                     {"max", "0.15 mm"},
	                                     {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_ok(work(&out, "thermal", typed));
	assert_near(result(out, "hot"), 0.1588 * MM, 1e-12);
	double material = 0.1 * 60 * hypot(1.18275, 0.89945) / sqrt(3) * 1e-6;
	double u = sqrt(material * material + 9e-12 + pow(5 * 0.98e-6, 2));
	assert_near(result(out, "hot-u"), u, 1e-12);
	assert_string_equal(fw_calc_result_find(out, "way")->text, "opens");
	assert_string_equal(fw_calc_result_find(out, "verdict")->text, "doubtful");
	assert_int_equal(fw_calc_warnings(out), 1);
	fw_calc_free(out);
}

/* The shaft hotter than the case, from a coefficient typed in: it jams. 100·(60·21.5 - 80·12)/10⁶.
 */
static void test_thermal_jams(void **state)
{
	static const struct typed typed[] = {
	    {"link", "case, length=100 mm, expansion=10, hot=176 °F"},
	    {"link", "shaft, length=100, factor=-1, expansion=12 ± 1, hot=100 °C ± 6 K"},
	    {"gap", "0.02 mm"},
	    {"hot", "90"},
	    {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_ok(work(&out, "thermal", typed));
	assert_near(result(out, "hot"), (0.02 + 0.1 * (60 * 10 - 80 * 12) * 1e-3) * MM, 1e-12);
	assert_near(result(out, "hot-u"), hypot(0.1 * 80 * 0.5e-6, 0.1 * 12e-6 * 3), 1e-12);
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "jam");
	fw_calc_free(out);
}

static void test_thermal_refused(void **state)
{
	static const struct typed
	    hot[] = {{"link", "case, length=100"}, {"hot", "301 °C"}, {NULL, NULL}},
	    unit[] = {{"link", "case, length=100, expansion=0.0000117"}, {"hot", "80"}, {NULL, NULL}},
	    name[] = {{"link", "case, length=100, material=mud"}, {"hot", "80"}, {NULL, NULL}};
	(void)state;

	refused("thermal", hot, FW_ERR_RANGE, "hot temperature");
	refused("thermal", unit, FW_ERR_RANGE, "check the unit");
	refused("thermal", name, FW_ERR_INPUT, "material");
}

static void test_hot_fit(void **state)
{
	static const struct typed typed[] = {{"diameter", "62"},
	                                     {"interference", "0.012"},
	                                     {"inner-expansion", "12"},
	                                     {"outer-expansion", "23.4"},
	                                     {"hot", "80"},
	                                     {"inner-hot", "100"},
	                                     {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_ok(work(&out, "hot-fit", typed));
	assert_near(result(out, "hot"), (-0.030408 + 0.01488) * MM, 1e-12);
	assert_near(result(out, "even"), 273.15 + 36.98, 0.005);
	assert_int_equal(fw_calc_warnings(out), 1);
	fw_calc_free(out);
}

/* A textbook's ring: 112.3 °C. A bearing that would need more than it stands. */
static void test_heat_fit(void **state)
{
	static const struct typed ring[] = {{"bore", "2.5 in"},
	                                    {"interference", "3 thou"},
	                                    {"clearance", "0 mm"},
	                                    {"expansion", "13"},
	                                    {NULL, NULL}},
	                          bearing[] = {{"bore", "70"},        {"interference", "0.036"},
	                                       {"clearance", "0.05"}, {"expansion", "12"},
	                                       {"bearing", "yes"},    {NULL, NULL}},
	                          chilled[] = {{"bore", "70"},
	                                       {"interference", "0.036"},
	                                       {"expansion", "12"},
	                                       {"shaft-temp", "-18 °C"},
	                                       {"shaft-expansion", "11.7"},
	                                       {NULL, NULL}},
	                          beyond[] = {{"bore", "10"}, {"interference", "0.2"}, {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_ok(work(&out, "heat-fit", ring));
	assert_near(result(out, "ring"), 273.15 + 112.3, 0.05);
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);
	assert_ok(work(&out, "heat-fit", bearing));
	assert_near(result(out, "ring"), 273.15 + 122.38, 0.005);
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "120 °C");
	fw_calc_free(out);
	assert_ok(work(&out, "heat-fit", chilled)); /* a thousandth of 70 mm to slip it on */
	assert_near(result(out, "rise"), (36 + 70 - 31.138) / 0.84, 0.002);
	fw_calc_free(out);
	out = NULL;
	refused("heat-fit", beyond, FW_ERR_RANGE, "above 300 °C");
}

/* A tolerance zone that the parts fill exactly is kept: in binary 10.1 - 1.9 is beyond 8.2. A
 * nanometre less is not. */
static void test_stack_up_on_its_limits(void **state)
{
	struct fw_calc_out *out = NULL;
	char first[64], second[64], low[32], high[32];
	(void)state;

	for (int i = 0; i < 60; i++) {
		int ten = 93 + 7 * i, tolerance = 1 + i % 5, other = 11 + 3 * i;
		const struct typed typed[] = {{"link", first}, {"link", second}, {"min", low},
		                              {"max", high},   {"trials", "0"},  {NULL, NULL}};

		snprintf(first, sizeof first, "a, size=%d.%d, tolerance=0.%d", ten / 10, ten % 10,
		         tolerance);
		snprintf(second, sizeof second, "b, size=%d.%d, tolerance=0.%d, factor=-1", other / 10,
		         other % 10, tolerance);
		int least = ten - other - 2 * tolerance, most = ten - other + 2 * tolerance;
		snprintf(low, sizeof low, "%d.%d", least / 10, least % 10);
		snprintf(high, sizeof high, "%d.%d", most / 10, most % 10);
		assert_ok(work(&out, "stack-up", typed));
		assert_int_equal(fw_calc_warnings(out), 0);
		fw_calc_free(out);
		snprintf(low, sizeof low, "%d.%d00001", least / 10, least % 10);
		assert_ok(work(&out, "stack-up", typed));
		assert_int_equal(fw_calc_warnings(out), 1);
		fw_calc_free(out);
	}
	static const struct typed exact[] = {{"link", "a, size=0.3"},
	                                     {"link", "b, size=0.1, factor=-1"},
	                                     {"min", "0.2"},
	                                     {"trials", "10000"},
	                                     {NULL, NULL}};
	assert_ok(work(&out, "stack-up", exact));
	assert_near(result(out, "outside"), 0, 0);
	assert_near(result(out, "trials-outside"), 0, 0);
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);
}

/* A gap measured on its limit, and nothing that heat does to it. */
static void test_thermal_on_its_limit(void **state)
{
	static const struct typed typed[] = {{"link", "case, length=100"},
	                                     {"gap", "0.07 mm"},
	                                     {"hot", "20 °C"},
	                                     {"min", "70 µm"},
	                                     {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_ok(work(&out, "thermal", typed));
	assert_string_equal(fw_calc_result_find(out, "verdict")->text, "within");
	fw_calc_free(out);
}

static double doubt_of(const char *name, const struct typed *typed, const char *what)
{
	struct fw_calc_out *out = NULL;

	assert_ok(work(&out, name, typed));
	double u = result(out, what);
	fw_calc_free(out);
	return u;
}

/* What all links share is not theirs once they have their own; both ends of a rise count; so do
 * lengths, coefficients and the gap. */
static void test_thermal_own_doubts(void **state)
{
	static const struct typed
	    own_hot[] = {{"link", "a, length=100, expansion=12, hot=80"},
	                 {"link", "b, length=100, expansion=22, factor=-1, hot=80"},
	                 {"hot", "80 °C ± 40 K"},
	                 {NULL, NULL}},
	    own_cold[] = {{"link", "a, length=100, expansion=12, hot=80 ± 20 K, cold=20 ± 30 K"},
	                  {"link", "b, length=100, expansion=22, factor=-1, hot=80"},
	                  {"hot", "80 °C"},
	                  {NULL, NULL}},
	    mixed[] = {{"link", "a, length=100, expansion=12, hot=80 ± 20 K"},
	               {"link", "b, length=100, expansion=22, factor=-1"},
	               {"link", "c, length=50, expansion=12"},
	               {"hot", "80 °C ± 20 K"},
	               {"cold", "20 °C ± 10 K"},
	               {NULL, NULL}},
	    sizes[] = {{"link", "a, length=100 mm ± 2 mm, expansion=12"},
	               {"gap", "0.1 mm ± 0.002 mm"},
	               {"hot", "80 °C"},
	               {NULL, NULL}};
	(void)state;

	assert_near(doubt_of("thermal", own_hot, "hot-u"), 0, 1e-15);
	assert_near(doubt_of("thermal", own_cold, "hot-u"), 1.2e-6 * hypot(10, 15), 1e-12);
	/* hot of a alone: 10 K; hot of the rest: 10 K of 0.6 - 2.2 µm/K; cold of all: 5 K of
	 * 1.2 - 2.2 + 0.6. */
	assert_near(doubt_of("thermal", mixed, "hot-u"), 1e-6 * hypot(hypot(12, 16), 5 * 0.4), 1e-12);
	assert_near(doubt_of("thermal", sizes, "hot-u"), hypot(0.001 * 12e-6 * 60, 1e-6), 1e-12);
}

/* One reading of one thermometer for two equal parts cancels; two readings don't. */
static void test_thermal_one_source(void **state)
{
	const struct fw_calculator *calculator = fw_calculator_find("thermal");
	static const char *const link[] = {"a, length=100, expansion=12",
	                                   "b, length=100, expansion=12, factor=-1"};
	(void)state;

	for (uint64_t apart = 0; apart < 2; apart++) {
		struct fw_calc_values *values = NULL;
		struct fw_calc_out *out = NULL;

		assert_ok(fw_calc_values_new(&values, calculator->inputs, &error));
		for (size_t i = 0; i < 2; i++) {
			struct fw_quantity hot;

			assert_ok(fw_quantity_make(&hot, 80, fw_unit_find("°C", strlen("°C")), &error));
			assert_ok(fw_quantity_add_term(&hot, 7 + apart * i, 5, INFINITY, &error));
			assert_ok(fw_calc_type(values, "link", link[i], &error));
			assert_ok(fw_calc_set_quantity(
			    (struct fw_calc_values *)fw_calc_record(values, "link", i), "hot", &hot, &error));
		}
		assert_ok(fw_calc_type(values, "hot", "20 °C", &error));
		assert_ok(fw_calculate(&out, calculator, values, &error));
		assert_near(result(out, "hot-u"), apart ? 6e-6 * sqrt(2) : 0, 1e-12);
		fw_calc_free(out);
		fw_calc_values_free(values);
	}
}

/* Expected figures: the equation moved by each input in turn, by finite differences in Python. */
static void test_hot_fit_doubts(void **state)
{
	static const struct typed one[] = {{"diameter", "62 ± 0.02"},
	                                   {"interference", "0.03 ± 0.002"},
	                                   {"inner-expansion", "12"},
	                                   {"outer-expansion", "23.4 ± 0.6"},
	                                   {"hot", "40 °C ± 10 K"},
	                                   {"cold", "20 °C ± 2 K"},
	                                   {NULL, NULL}},
	                          two[] = {{"diameter", "62 ± 0.02"}, {"interference", "0.03 ± 0.002"},
	                                   {"inner-expansion", "12"}, {"outer-expansion", "23.4 ± 0.6"},
	                                   {"hot", "40 °C ± 10 K"},   {"inner-hot", "50 °C ± 4 K"},
	                                   {"cold", "20 °C ± 2 K"},   {NULL, NULL}},
	                          alike[] = {{"diameter", "62"}, {"interference", "0.03 ± 0.001"},
	                                     {"inner", "steel"}, {"outer", "steel"},
	                                     {"hot", "180"},     {NULL, NULL}},
	                          loose[] = {{"diameter", "62"},
	                                     {"interference", "0.03 ± 0.06"},
	                                     {"hot", "40"},
	                                     {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_near(doubt_of("hot-fit", one, "hot-u"), 3.7586 * 1e-6, 1e-11);
	assert_near(doubt_of("hot-fit", two, "hot-u"), 7.51483 * 1e-6, 1e-11);
	/* A bush and a rod of one steel grow by the same, whatever steel it is. */
	assert_near(doubt_of("hot-fit", alike, "hot-u"), 0.5e-6, 1e-12);
	assert_ok(work(&out, "hot-fit", loose));
	assert_near(result(out, "hot-u"), 30e-6, 0.1e-6);
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "may be loose");
	fw_calc_free(out);
}

/* As above; a ring of one coefficient, so that sizes and temperatures make all of the doubt. */
static void test_heat_fit_doubts(void **state)
{
	static const struct typed chilled[] = {{"bore", "70 ± 0.04"},
	                                       {"interference", "0.036 ± 0.01"},
	                                       {"clearance", "0.05 ± 0.008"},
	                                       {"expansion", "12"},
	                                       {"room", "20 °C ± 2 K"},
	                                       {"shaft-temp", "-18 °C ± 4 K"},
	                                       {"shaft-expansion", "11.7 ± 0.4"},
	                                       {NULL, NULL}},
	                          by_rule[] = {{"bore", "70 ± 0.04"},
	                                       {"interference", "0.036 ± 0.01"},
	                                       {"expansion", "12"},
	                                       {"room", "20 °C ± 2 K"},
	                                       {"shaft-temp", "-18 °C ± 4 K"},
	                                       {"shaft-expansion", "11.7 ± 0.4"},
	                                       {NULL, NULL}},
	                          bearing[] = {{"bore", "70 ± 0.04"},
	                                       {"interference", "0.036 ± 0.01"},
	                                       {"clearance", "0.05 ± 0.008"},
	                                       {"expansion", "12"},
	                                       {"room", "15 °C ± 2 K"},
	                                       {"bearing", "yes"},
	                                       {NULL, NULL}},
	                          both[] = {{"bore", "70"},
	                                    {"interference", "0.036 ± 0.01"},
	                                    {"clearance", "0.05"},
	                                    {"expansion", "12 ± 1"},
	                                    {NULL, NULL}};
	struct fw_calc_out *out = NULL;
	(void)state;

	assert_near(doubt_of("heat-fit", chilled, "at-most"), 273.15 + 101.0960, 1e-3);
	assert_near(doubt_of("heat-fit", by_rule, "at-most"), 273.15 + 121.7084, 1e-3);
	assert_ok(work(&out, "heat-fit", bearing)); /* 117 °C, were all exact */
	assert_near(result(out, "ring"), 273.15 + 117.38, 0.005);
	assert_near(result(out, "at-most"), 273.15 + 132.757, 1e-2);
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "may need more than the 120 °C");
	fw_calc_free(out);
	/* 86 µm / (11 or 12 µm/m/K · 70 mm): 9.307 K more; 10 µm are worth 11.905 K. */
	assert_near(doubt_of("heat-fit", both, "at-most"), 273.15 + 122.381 + hypot(9.307, 11.905),
	            0.002);
}

/* The choices that calculators offer are the table's names, in its order. */
static void test_choices(void **state)
{
	size_t count = 0, used = 0;
	const struct fw_material *table = fw_materials(&count);
	char names[1024] = "";
	(void)state;

	for (size_t i = 0; i < count; i++)
		used += (size_t)snprintf(names + used, sizeof names - used, "%s%s", i ? "|" : "",
		                         table[i].name);
	assert_string_equal(names, FW_MATERIAL_CHOICES);
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(test_stack_up),
	                                   cmocka_unit_test(test_stack_up_measured),
	                                   cmocka_unit_test(test_stack_up_refused),
	                                   cmocka_unit_test(test_thermal),
	                                   cmocka_unit_test(test_thermal_jams),
	                                   cmocka_unit_test(test_thermal_refused),
	                                   cmocka_unit_test(test_hot_fit),
	                                   cmocka_unit_test(test_heat_fit),
	                                   cmocka_unit_test(test_stack_up_on_its_limits),
	                                   cmocka_unit_test(test_thermal_on_its_limit),
	                                   cmocka_unit_test(test_thermal_own_doubts),
	                                   cmocka_unit_test(test_thermal_one_source),
	                                   cmocka_unit_test(test_hot_fit_doubts),
	                                   cmocka_unit_test(test_heat_fit_doubts),
	                                   cmocka_unit_test(test_choices)};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
