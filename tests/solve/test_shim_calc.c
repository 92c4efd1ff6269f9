/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calculators of one shimmed place, fed as a person types, against manuals and figures by hand.
 */
#include "calc_typed.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define MM       1e-3
#define THOU     25.4e-6
#define INCH     25.4e-3
#define LBF_FT   1.3558179483314004
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static int work(struct fw_calc_out **out, const char *calculator, const struct typed *typed)
{
	return calc_list(out, calculator, typed, &error);
}

static double value_of(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *r = fw_calc_result_find(out, name);

	return r ? r->quantity.value : NAN;
}

static const char *text_of(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *r = fw_calc_result_find(out, name);

	return r && r->text ? r->text : "";
}

static bool says(const struct fw_calc_out *out, const char *part)
{
	for (size_t i = 0; i < fw_calc_lines(out); i++)
		if (strstr(fw_calc_line_text(out, i), part))
			return true;
	for (size_t i = 0; i < fw_calc_warnings(out); i++)
		if (strstr(fw_calc_warning_text(out, i), part))
			return true;
	return false;
}

#define KIT_THOU                                                                                   \
	{"kit", "20 thou, count=3"}, {"kit", "10 thou, count=3"}, {"kit", "3 thou, count=2"},          \
	    {"min", "5 thou"},                                                                         \
	{                                                                                              \
		"max", "25 thou"                                                                           \
	}

/* A job at the bench, common practice, no source: 55 thou over 31, then 2.5 over 63 where the
 * difference says 23. */
static void test_surprise(void **state)
{
	const struct typed typed[] = {{"trial", "31 thou, play=55 thou"},
	                              {"trial", "63 thou, play=2.5 thou"},
	                              {"gauge", "2 thou"},
	                              KIT_THOU,
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "shim", typed));
	assert_near(value_of(out, "datum") / THOU, 65.5, 1e-9);
	assert_near(value_of(out, "datum-u") / THOU, 1.0, 1e-9);
	assert_near(value_of(out, "surprises"), 1.0, 0.0);
	assert_string_equal(text_of(out, "fit"), "2 × 20 thou + 10 thou");
	assert_near(value_of(out, "thickness") / THOU, 50.0, 1e-9);
	assert_near(value_of(out, "play") / THOU, 15.5, 1e-9);
	assert_near(value_of(out, "wanted") / THOU, 50.5, 1e-9);
	assert_near(value_of(out, "chance"), 1.0, 1e-12); /* 9.5 and 10.5 u to the limits */
	assert_true(says(out, "predicted = datum - stack = 86 thou - 63 thou = 23 thou"));
	assert_true(says(out, "trial 2 is a surprise, -20.5 thou off"));
	fw_calc_free(out);
}

/* Off by 4 thou where 1.414 is u: 2.83 u. By Bayes' rule with 1 in 20 and a spread of 8:
 * 0.05/0.95/8·exp(0.5·8·63/64) = 0.3375 to 1, so p = 0.2523; half becomes 0.5 + 0.2523·0.5 =
 * 0.6262, and 86 + 4·0.6262 = 88.505. By hand. */
static void test_doubt(void **state)
{
	const struct typed typed[] = {{"trial", "31 thou, play=55 thou ± 2 thou"},
	                              {"trial", "66 thou, play=24 thou ± 2 thou"},
	                              KIT_THOU,
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "shim", typed));
	assert_near(value_of(out, "datum") / THOU, 88.505, 0.001);
	assert_near(value_of(out, "surprises"), 0.0, 0.0);
	assert_true(says(out, "its share of 0.5 becomes 0.5 + 0.25"));
	assert_true(says(out, "further off than usual"));
	fw_calc_free(out);
}

/* 5.42 mm wanted, sizes of 1 and 2: an answer that says what to get, no failure. */
static void test_nothing_serves(void **state)
{
	const struct typed typed[] = {{"trial", "3 mm, play=2.8 mm"},
	                              {"kit", "1 mm, count=3"},
	                              {"kit", "2, count=2"},
	                              {"min", "0.3"},
	                              {"max", "0.46"},
	                              {"gauge", "0.02"},
	                              {"most", "3"},
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "shim", typed));
	assert_near(value_of(out, "wanted") / MM, 5.42, 1e-9);
	assert_near(value_of(out, "add") / MM, 1.42, 1e-9);
	assert_string_equal(text_of(out, "with"), "2 × 2 mm");
	assert_null(fw_calc_result_find(out, "fit"));
	assert_true(says(out, "or one of 1.42 mm (0.0559 in) to go with 2 of 2.00 mm"));
	fw_calc_free(out);
}

/* Of 1.50 mm, good for 0.05: 1.25 leaves 0.25, 1 u and 3 u from the limits; 1.275 leaves 0.225, 1.5
 * and 2.5 u. Poor chances both, by the tables of the normal distribution. */
static void test_poor_chance(void **state)
{
	const struct typed typed[] = {{"trial", "1 mm, play=0.50 mm"},
	                              {"kit", "1.25 mm"},
	                              {"min", "0.10"},
	                              {"max", "0.30"},
	                              {"gauge", "0.1"},
	                              {NULL, NULL}};
	const struct typed nearer[] = {{"trial", "1 mm, play=0.50 mm"},
	                               {"kit", "1.275 mm"},
	                               {"min", "0.10"},
	                               {"max", "0.30"},
	                               {"gauge", "0.1"},
	                               {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "shim", typed));
	assert_near(value_of(out, "chance"), 0.8413 - 0.0013, 2e-4);
	assert_true(
	    says(out, "the chance of being within is only 83.9 %: better get a shim of 1.3 mm"));
	fw_calc_free(out);
	assert_ok(work(&out, "shim", nearer));
	assert_near(value_of(out, "chance"), 0.9332 - 0.0062, 2e-4);
	fw_calc_free(out);
}

static void refuse(const char *calculator, const char *name, const char *text, const char *part)
{
	struct typed shim[8] = {{"trial", "1 mm, play=0.50 mm"},
	                        {"kit", "1.25 mm"},
	                        {"min", "0.10"},
	                        {"max", "0.30"}},
	             gasket[8] = {
	                 {"gap", "0.50"}, {"kit", "0.5, crush=0.2"}, {"min", "0.05"}, {"max", "0.15"}};
	struct typed *typed = strcmp(calculator, "shim") == 0 ? shim : gasket;
	struct fw_calc_out *out;
	size_t at = 4;

	for (size_t i = 0; i < 4; i++)
		if (strcmp(typed[i].name, name) == 0 && strcmp(name, "kit") != 0)
			at = i;
	typed[at] = (struct typed){name, text};
	int rc = work(&out, calculator, typed);
	if (rc == FW_OK)
		fail_msg("%s: %s %s was taken", calculator, name, text);
	assert_null(out);
	assert_contains(error.text, part);
}

static void test_refused(void **state)
{
	(void)state;
	refuse("shim", "kit", "1 mm, count=0", "kit 2: count");
	refuse("shim", "kit", "1 mm, count=-3", "count");
	refuse("shim", "kit", "1 mm, count=9007199254740992", "kit 2: count");
	refuse("shim", "kit", "1.25 mm", "entry 2: the same size as entry 1");
	refuse("shim", "kit", "0 mm", "thickness");
	refuse("shim", "kit", "2000 mm", "thicker than 1 m");
	refuse("shim", "most", "0", "must be 1 to 8");
	refuse("shim", "most", "12", "most: 12 pieces in a stack, must be 1 to 8");
	refuse("shim", "most", "-1", "must be 1 to 8");
	refuse("shim", "min", "0.4", "swapped");
	refuse("shim", "aim", "0.4", "aim");
	refuse("shim", "trial", "1 mm, play=2 km", "play");
	refuse("shim", "gauge", "-0.1", "gauge");
	refuse("gasket", "kit", "0.6, crush=1", "crush");
	refuse("gasket", "kit", "0.6, crush=-0.1", "crush");
	refuse("gasket", "kit", "0.6, crush=120 %", "crush");
	refuse("gasket", "most", "9", "most: 9 pieces in a stack, must be 1 to 8");
	refuse("gasket", "gap", "0", "gap");
	refuse("gasket", "max", "0.01", "swapped");
}

static void test_open_limits(void **state)
{
	const struct typed none[] = {{"trial", "1 mm, play=0.50 mm"}, {"kit", "1.25"}, {NULL, NULL}};
	const struct typed most[] = {
	    {"trial", "1 mm, play=0.50 mm ± 0.02 mm"}, {"kit", "1.25"}, {"max", "0.27"}, {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_code(work(&out, "shim", none), FW_ERR_ARGUMENT);
	assert_contains(error.text, "min and max are both missing");
	assert_ok(work(&out, "shim", most));
	assert_near(value_of(out, "chance"), 0.9772, 1e-4); /* 2 u, by the tables */
	assert_true(says(out, "- 0 = 0.97"));
	fw_calc_free(out);
}

/* U.S. Army TM 10-4320-307-24: a space of 0.060 in without shims, 0.008 to 0.013 of clearance,
 * 0.010 aimed at: 0.070 in of shims from 0.002, 0.005, 0.010 and 0.025. */
static void test_gear_cover(void **state)
{
	const struct typed typed[] = {{"gap", "0.060 in"},
	                              {"kit", "0.002 in, count=4"},
	                              {"kit", "0.005 in, count=4"},
	                              {"kit", "0.010 in, count=4"},
	                              {"kit", "0.025 in, count=4"},
	                              {"min", "-0.013 in"},
	                              {"max", "-0.008 in"},
	                              {"aim", "-0.010 in"},
	                              {"most", "8"},
	                              {"gauge", "0.0005 in"},
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "gasket", typed));
	assert_near(value_of(out, "thickness") / INCH, 0.070, 1e-9);
	assert_string_equal(text_of(out, "fit"), "2 × 0.025 in + 2 × 0.01 in");
	assert_near(value_of(out, "float-risk"), 1.0, 1e-12);
	fw_calc_free(out);
}

/* Readings of 0.50, 0.52 and 0.51: mean 0.51, standard deviation of the mean 0.01/√3; gauge ± 0.02.
 * 0.5 less a fifth leaves 0.11, u = √(0.01² + 0.01²/3 + 0.5²·0.02²). By hand; figures invented. */
static void test_gasket(void **state)
{
	const struct typed typed[] = {{"gap", "0.50; 0.52; 0.51"},
	                              {"kit", "0.40, crush=20 % ± 4 %"},
	                              {"kit", "0.50, crush=20 % ± 4 %"},
	                              {"kit", "0.80, crush=20 % ± 4 %"},
	                              {"min", "0.05"},
	                              {"max", "0.15"},
	                              {"gauge", "0.02"},
	                              {NULL, NULL}};
	const struct typed crooked[] = {{"gap", "0.40; 0.60"},
	                                {"kit", "0.5, crush=0.2"},
	                                {"min", "0.05"},
	                                {"max", "0.15"},
	                                {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "gasket", typed));
	assert_near(value_of(out, "gap") / MM, 0.51, 1e-9);
	assert_near(value_of(out, "crooked") / MM, 0.02, 1e-9);
	assert_near(value_of(out, "nip") / MM, 0.11, 1e-9);
	assert_near(value_of(out, "nip-u") / MM, sqrt(1e-4 + 1e-4 / 3 + 1e-4), 1e-9);
	assert_near(value_of(out, "wanted") / MM, 0.41, 1e-9);
	assert_near(value_of(out, "wanted-new") / MM, 0.41 / 0.8, 1e-9);
	assert_near(value_of(out, "chance") + value_of(out, "crush-risk"), 1.0, 1e-4);
	assert_true(value_of(out, "float-risk") < 1e-9);
	fw_calc_free(out);

	assert_ok(work(&out, "gasket", crooked));
	assert_true(says(out, "sits crooked"));
	fw_calc_free(out);
}

/* A reading with its ± counts with it: 0.51 ± 0.2, that is u 0.1; 0.41 leaves a nip of 0.1, one u
 * from 0 and one from 0.2: 68.27 % by the tables of the normal distribution. */
static void test_gap_with_its_error(void **state)
{
	const struct typed one[] = {
	    {"gap", "0.51 mm ± 0.2 mm"}, {"kit", "0.41"}, {"min", "0"}, {"max", "0.2"}, {NULL, NULL}};
	/* Both readings have u 0.1 of their own, the gauge is that of none: 0.1/√2. */
	const struct typed two[] = {{"gap", "0.51 mm ± 0.2 mm; 0.51 mm ± 0.2 mm"},
	                            {"kit", "0.41"},
	                            {"min", "0"},
	                            {"max", "0.2"},
	                            {"gauge", "0.4"},
	                            {NULL, NULL}};
	/* One is good for 0.1, the other has the gauge's 0.2: halves of them, √(0.05² + 0.1²). */
	const struct typed mixed[] = {{"gap", "0.51 mm ± 0.2 mm; 0.51"},
	                              {"kit", "0.41"},
	                              {"min", "0"},
	                              {"max", "0.2"},
	                              {"gauge", "0.4"},
	                              {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "gasket", one));
	assert_near(value_of(out, "nip-u") / MM, 0.1, 1e-9);
	assert_near(value_of(out, "chance"), 0.6827, 1e-4);
	assert_near(value_of(out, "float-risk"), 0.1587, 1e-4);
	assert_false(says(out, "no uncertainty is given"));
	fw_calc_free(out);
	assert_ok(work(&out, "gasket", two));
	assert_near(value_of(out, "nip-u") / MM, 0.1 / sqrt(2.0), 1e-9);
	fw_calc_free(out);
	assert_ok(work(&out, "gasket", mixed));
	assert_near(value_of(out, "nip-u") / MM, sqrt(0.0125), 1e-9);
	fw_calc_free(out);
}

/* Two readings off one gauge share its error: it doesn't average out (JCGM 100:2008, 5.2.2). */
static void test_gap_with_shared_error(void **state)
{
	const struct fw_calculator *c = fw_calculator_find("gasket");
	struct fw_quantity reading = fw_quantity_of(0.51 * MM, fw_unit_find("mm", 2));
	struct fw_calc_values *values;
	struct fw_calc_out *out;
	(void)state;

	assert_ok(fw_quantity_add_term(&reading, fw_source_name("gauge: feelers"), 0.1 * MM, INFINITY,
	                               &error));
	assert_ok(fw_calc_values_new(&values, c->inputs, &error));
	for (int k = 0; k < 4; k++)
		assert_ok(fw_calc_set_quantity(values, "gap", &reading, &error));
	assert_ok(fw_calc_type(values, "kit", "0.41", &error));
	assert_ok(fw_calc_type(values, "max", "0.2", &error));
	assert_ok(fw_calculate(&out, c, values, &error));
	assert_near(value_of(out, "nip-u") / MM, 0.1, 1e-9);
	fw_calc_free(out);
	fw_calc_values_free(values);
}

/* Three readings tell little of their scatter: t with 2 degrees of freedom, whose distribution has
 * a closed form, P(|T| < t) = t/√(2 + t²). Mean 0.51, u = 0.01/√3, nip 0.10, limits 0.012 away. */
static void test_few_readings(void **state)
{
	const struct typed typed[] = {{"gap", "0.50; 0.52; 0.51"},
	                              {"kit", "0.41"},
	                              {"min", "0.088"},
	                              {"max", "0.112"},
	                              {NULL, NULL}};
	double t = 0.012 / (0.01 / sqrt(3.0));
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "gasket", typed));
	assert_near(value_of(out, "chance"), t / sqrt(2.0 + t * t), 1e-9);
	assert_near(value_of(out, "chance"), 0.83, 0.005);
	assert_near(value_of(out, "crush-risk"), (1.0 - t / sqrt(2.0 + t * t)) / 2.0, 1e-9);
	assert_true(says(out, "F of Student's t with 2 degrees of freedom"));
	assert_true(says(out, "only 82.6 %, though the thickness is the one wanted"));
	fw_calc_free(out);
}

/* Nothing uncertain, exactly the most nip allowed: within, so not beyond it. */
static void test_nip_on_its_limit(void **state)
{
	const struct typed typed[] = {
	    {"gap", "0.33"}, {"kit", "0.15"}, {"min", "0"}, {"max", "0.18"}, {NULL, NULL}};
	const struct typed none[] = {
	    {"gap", "0.33"}, {"kit", "0.33"}, {"min", "-0.1"}, {"max", "0.18"}, {NULL, NULL}};
	const struct typed play[] = {
	    {"trial", "0, play=0.33"}, {"kit", "0.15"}, {"min", "0.1"}, {"max", "0.18"}, {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "gasket", typed));
	assert_near(value_of(out, "chance"), 1.0, 0.0);
	assert_near(value_of(out, "crush-risk"), 0.0, 0.0);
	fw_calc_free(out);
	assert_ok(work(&out, "gasket", none));
	assert_near(value_of(out, "float-risk"), 0.0, 0.0);
	fw_calc_free(out);
	assert_ok(work(&out, "shim", play));
	assert_near(value_of(out, "chance"), 1.0, 0.0);
	assert_string_equal(text_of(out, "fit"), "0.15 mm");
	fw_calc_free(out);
}

/* U.S. Army TM 5-3895-346-14: 9 inches times 7 pounds, 5.25 pound feet. */
static void test_turning(void **state)
{
	const struct typed typed[] = {{"diameter", "18 in"}, {"pull", "7 lbf"}, {NULL, NULL}};
	const struct typed slack[] = {{"diameter", "100"}, {"pull", "10"}, {"min", "1"}, {NULL, NULL}};
	const struct typed limits[] = {
	    {"diameter", "16 5/8 in"}, {"min", "15 lbf·ft"}, {"max", "20 lbf·ft"}, {NULL, NULL}};
	const struct typed none[] = {{"diameter", "100"}, {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "turning-torque", typed));
	assert_near(value_of(out, "torque") / LBF_FT, 5.25, 1e-9);
	fw_calc_free(out);
	assert_ok(work(&out, "turning-torque", slack));
	assert_near(value_of(out, "torque"), 0.5, 1e-12);
	assert_near(value_of(out, "pull-min"), 20.0, 1e-9);
	assert_true(says(out, "too little preload"));
	fw_calc_free(out);
	/* TM 5-3805-257-14P: 21 to 28 lb, in whole pounds. */
	assert_ok(work(&out, "turning-torque", limits));
	assert_near(value_of(out, "pull-min") / 4.4482216152605, 21.0, 0.9);
	assert_near(value_of(out, "pull-max") / 4.4482216152605, 28.0, 0.9);
	fw_calc_free(out);
	assert_code(work(&out, "turning-torque", none), FW_ERR_ARGUMENT);
	assert_contains(error.text, "pull");
}

/* 25 N·m a millimetre: drawn by hand. */
static void test_preload_stack(void **state)
{
	const struct typed typed[] = {{"reading", "1.60, torque=1.0 ± 0.2 N·m"},
	                              {"reading", "1.66, torque=2.5 ± 0.2 N·m"},
	                              {"min", "1.5"},
	                              {"max", "2.5"},
	                              {NULL, NULL}};
	const struct typed one[] = {
	    {"reading", "1.60, torque=1.0"}, {"min", "1.5"}, {"max", "2.5"}, {NULL, NULL}};
	struct fw_calc_out *out;
	(void)state;

	assert_ok(work(&out, "preload-stack", typed));
	assert_near(value_of(out, "stack") / MM, 1.64, 1e-9);
	assert_near(value_of(out, "stack-min") / MM, 1.62, 1e-9);
	assert_near(value_of(out, "stack-max") / MM, 1.66, 1e-9);
	assert_near(value_of(out, "slope"), 25.0, 1e-9);
	assert_near(value_of(out, "stack-u") / MM, sqrt(1.0 + 4.0) / 3.0 * 0.1 / 25.0, 1e-9);
	fw_calc_free(out);
	assert_code(work(&out, "preload-stack", one), FW_ERR_ARGUMENT);
	assert_contains(error.text, "give two");

	const struct typed far[] = {{"reading", "0.10, torque=1.0"},
	                            {"reading", "0.16, torque=2.5"},
	                            {"min", "0"},
	                            {"max", "40"},
	                            {"aim", "2"},
	                            {NULL, NULL}};
	assert_ok(work(&out, "preload-stack", far));
	assert_near(value_of(out, "stack-max") / MM, 0.22, 1e-9); /* 0.16 and as far again */
	assert_string_equal(fw_calc_result_find(out, "stack-max")->label, "within at least up to");
	assert_true(says(out, "thicker than 0.22 mm the line is not trusted"));
	fw_calc_free(out);
	const struct typed below[] = {{"reading", "0.10, torque=1.0"},
	                              {"reading", "0.16, torque=2.5"},
	                              {"min", "-5"},
	                              {"max", "3"},
	                              {NULL, NULL}};
	assert_code(work(&out, "preload-stack", below), FW_ERR_ARGUMENT);
	assert_contains(error.text, "min");
}

/* More sizes than can be handled are refused by their number. */
static void test_many_sizes(void **state)
{
	const struct fw_calculator *c = fw_calculator_find("shim");
	struct fw_calc_values *values;
	struct fw_calc_out *out = NULL;
	char text[64];
	(void)state;

	assert_ok(fw_calc_values_new(&values, c->inputs, &error));
	assert_ok(fw_calc_type(values, "trial", "1 mm, play=0.5 mm", &error));
	assert_ok(fw_calc_type(values, "max", "0.3 mm", &error));
	for (unsigned i = 0; i < 1025; i++) {
		snprintf(text, sizeof text, "%u um", 100 + i);
		assert_ok(fw_calc_type(values, "kit", text, &error));
	}
	assert_code(fw_calculate(&out, c, values, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "1025 sizes, at most 1024");
	fw_calc_values_free(values);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_surprise),
	    cmocka_unit_test(test_doubt),
	    cmocka_unit_test(test_nothing_serves),
	    cmocka_unit_test(test_poor_chance),
	    cmocka_unit_test(test_refused),
	    cmocka_unit_test(test_open_limits),
	    cmocka_unit_test(test_gear_cover),
	    cmocka_unit_test(test_gasket),
	    cmocka_unit_test(test_gap_with_its_error),
	    cmocka_unit_test(test_gap_with_shared_error),
	    cmocka_unit_test(test_few_readings),
	    cmocka_unit_test(test_nip_on_its_limit),
	    cmocka_unit_test(test_turning),
	    cmocka_unit_test(test_preload_stack),
	    cmocka_unit_test(test_many_sizes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
