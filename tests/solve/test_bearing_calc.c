/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calculators of bearings and gears, from what is typed to what comes out. Figures by hand, as
 * in the tests of the solvers. */
#include <string.h>

#include "calc/bearing/common.h"
#include "calc_typed.h"

static struct fw_error error;

static int calculate(struct fw_calc_out **out, const char *name, const char *const *typed)
{
	return calc_typed(out, name, typed, &error);
}

static struct fw_calc_out *good(const char *name, const char *const *typed)
{
	struct fw_calc_out *out;

	if (calculate(&out, name, typed) != FW_OK)
		fail_msg("%s: %s", name, error.text);
	assert_true(fw_calc_lines(out) > 0);
	return out;
}

static void bad(const char *name, const char *const *typed, const char *says)
{
	struct fw_calc_out *out;

	assert_true(calculate(&out, name, typed) < 0);
	assert_null(out);
	assert_contains(error.text, says);
}

#define TYPED(...) ((const char *const[]){__VA_ARGS__, NULL})

static double number(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *r = fw_calc_result_find(out, name);

	assert_non_null(r);
	return r->quantity.value;
}

/* A cell: the row of `table` in which some result reads `key`, its result `name`. */
static const struct fw_calc_result *cell(const struct fw_calc_out *out, const char *table,
                                         const char *key, const char *name)
{
	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *r = fw_calc_result(out, i);
		if (!r->table || strcmp(r->table, table) != 0 || !r->text || strcmp(r->text, key) != 0)
			continue;
		for (size_t j = 0; j < fw_calc_results(out); j++) {
			const struct fw_calc_result *c = fw_calc_result(out, j);
			if (c->table && strcmp(c->table, table) == 0 && c->row == r->row &&
			    strcmp(c->name, name) == 0)
				return c;
		}
	}
	fail_msg("no %s of %s in %s", name, key, table);
	return NULL;
}

static void test_twelve_against_eight(void **state)
{
	struct fw_calc_out *out =
	    good("bearing",
	         TYPED("bearing", "eight, balls=8, dia=10, pitch=44", "bearing",
	               "twelve, balls=12, dia=10 mm, pitch=44", "radial", "2000", "speed", "1500"));
	(void)state;

	assert_near(cell(out, "against", "twelve", "dynamic")->quantity.value, 1.31037, 1e-5);
	assert_near(cell(out, "against", "twelve", "life")->quantity.value, 2.25, 1e-9);
	assert_string_equal(fw_calc_result_find(out, "best")->text, "twelve");
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);

	out = good("bearing", TYPED("bearing", "eight, balls=8, dia=12, pitch=50", "bearing",
	                            "twelve, balls=12, dia=8, pitch=50"));
	assert_near(cell(out, "against", "twelve", "dynamic")->quantity.value, 0.638, 1e-4);
	assert_string_equal(fw_calc_result_find(out, "best")->text, "eight");
	fw_calc_free(out);

	out = good("bearing", TYPED("bearing", "b, balls=9, dia=7.938, pitch=39.04", "radial", "9000"));
	assert_int_equal(fw_calc_warnings(out), 2); /* above C/2 and above C0 */
	fw_calc_free(out);
	bad("bearing", TYPED("bearing", "b, balls=12, dia=12, pitch=44"), "bearing 1: ");
	bad("bearing", TYPED("bearing", "b, balls=0, dia=12, pitch=44"), "balls");
	bad("bearing", TYPED("bearing", "b, balls=9, dia=8, pitch=44, rows=0"), "rows");
	bad("bearing", TYPED("bearing", "b, balls=9e15, dia=8, pitch=44"), "balls");
	bad("bearing",
	    TYPED("bearing", "b, balls=9, dia=8, pitch=44", "radial", "1", "reliability", "80 %"),
	    "reliability");
}

/* ISO 5753-1, 30 mm: C3 13 to 28 µm, C4 23 to 41 µm. */
static void test_clearance_class(void **state)
{
	struct fw_calc_out *out = good("clearance-class", TYPED("bore", "30", "clearance", "25 µm"));
	(void)state;

	assert_string_equal(fw_calc_result_find(out, "fits")->text, "C3 C4");
	fw_calc_free(out);
	out = good("clearance-class", TYPED("bore", "30", "clearance", "13 µm ± 2 µm"));
	assert_string_equal(cell(out, "groups", "C3", "verdict")->text, "doubtful");
	assert_string_equal(cell(out, "groups", "CN", "verdict")->text, "within");
	assert_string_equal(cell(out, "groups", "C5", "verdict")->text, "outside");
	fw_calc_free(out);
	out = good("clearance-class", TYPED("bore", "30", "clearance", "0.2 mm"));
	assert_string_equal(fw_calc_result_find(out, "fits")->text, "none");
	assert_int_equal(fw_calc_warnings(out), 1);
	fw_calc_free(out);
	bad("clearance-class", TYPED("bore", "300"), "200 mm");
	bad("clearance-class", TYPED("bore", "30", "clearance", "1e308 mm"), "clearance");
}

/* Solid steel shaft, ring of practice: 0.8 of the grip. With the ring by Lamé 30/36.5 of it, but
 * for the 0.3e-6/K between shaft and ring, which doesn't count at 20 °C. Warm, the expansions are
 * those of the one table of materials: rings 12.0e-6, steel 11.7e-6, aluminium castings 21.5e-6/K.
 */
static void test_bearing_fit(void **state)
{
	struct fw_calc_out *out =
	    good("bearing-fit", TYPED("clearance", "20", "bore", "30", "outside", "62", "shaft-grip",
	                              "10", "share", "practice"));
	(void)state;

	assert_near(number(out, "clearance"), 12e-6, 1e-12);
	fw_calc_free(out);
	out = good("bearing-fit", TYPED("clearance", "20", "bore", "30", "outside", "62", "inner-race",
	                                "36.5", "shaft-grip", "10"));
	assert_near(number(out, "shaft-loss"), 10e-6 * 30.0 / 36.5, 1e-12);
	fw_calc_free(out);
	out = good("bearing-fit", TYPED("clearance", "5", "bore", "30", "outside", "62", "shaft-grip",
	                                "15", "housing-grip", "5", "outer-temp", "90 °C", "inner-temp",
	                                "90 °C", "housing", "aluminium"));
	assert_int_equal(fw_calc_warnings(out), 2); /* preloaded, and loose in its housing */
	fw_calc_free(out);
	out = good("bearing-fit", TYPED("clearance", "50", "bore", "30", "outside", "62", "outer-race",
	                                "55.5", "shaft-grip", "15", "housing-grip", "50", "outer-temp",
	                                "60 °C", "inner-temp", "70 °C", "housing", "cast-aluminium"));
	assert_near(number(out, "warm-loss"), 12.0e-6 * 10 * 55.5e-3, 1e-12);
	assert_near(number(out, "shaft-grip"), 15e-6 - 0.3e-6 * 50 * 30e-3, 1e-12);
	assert_near(number(out, "housing-grip"), 50e-6 - 9.5e-6 * 40 * 62e-3, 1e-12);
	fw_calc_free(out);
	bad("bearing-fit", TYPED("clearance", "20", "bore", "62", "outside", "30"), "rise");
	bad("bearing-fit",
	    TYPED("clearance", "20", "bore", "30", "outside", "62", "housing-outside", "1e160 mm"),
	    "housing must be");
	bad("bearing-fit",
	    TYPED("clearance", "20", "bore", "30", "outside", "62", "inner-temp", "400 °C"), "300");
	out = good("bearing-fit", TYPED("clearance", "20", "bore", "30", "outside", "62", "shaft-grip",
	                                "15", "shaft-bore", "1e-160 mm"));
	assert_true(isfinite(number(out, "clearance")));
	fw_calc_free(out);
}

/* Curtin University's multiples: 0.3969, 3.572 and 5.428 of shaft speed. */
static void test_frequencies(void **state)
{
	struct fw_calc_out *out = good(
	    "frequencies", TYPED("balls", "9", "dia", "7.9375", "pitch", "38.5", "speed", "6000 rpm"));
	(void)state;

	assert_near(number(out, "cage"), 39.69, 0.01);
	assert_near(number(out, "outer"), 357.2, 0.05);
	assert_near(number(out, "inner"), 542.8, 0.05);
	fw_calc_free(out);
	out = good("frequencies", TYPED("balls", "9", "dia", "7.9375", "pitch", "38.5", "speed",
	                                "3000 rpm", "outer-speed", "-3000 rpm"));
	assert_near(number(out, "outer"), 357.2, 0.05);
	fw_calc_free(out);
	out = good("gear-mesh", TYPED("teeth", "15", "mate", "20", "speed", "600"));
	assert_near(number(out, "mesh"), 150.0, 1e-9);
	assert_near(number(out, "hunting"), 2.5, 1e-9); /* 60 meshes until they meet again */
	assert_false(fw_calc_result_find(out, "hunts")->flag);
	fw_calc_free(out);
	bad("gear-mesh", TYPED("teeth", "10001", "mate", "20", "speed", "600"), "teeth");
	bad("frequencies", TYPED("balls", "9", "dia", "50", "pitch", "38.5", "speed", "1"), "fit");
}

/* A count that was shifted for its uncertainty, or is none at all, is no number to convert. */
static void test_counts(void **state)
{
	static const struct fw_calc_input inputs[] = {{.name = "n", .kind = FW_CALC_NUMBER},
	                                              {.name = NULL}};
	static const double refused[] = {-1.0, 0.0, 0.4, 20.6, 21.0, 4294967297.0, -1e300, 1e300};
	unsigned n = 7;
	(void)state;

	for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
		struct fw_calc_values *in;
		assert_ok(fw_calc_values_new(&in, inputs, &error));
		assert_ok(fw_calc_set_number(in, "n", refused[i], &error));
		assert_code(fw_bearing_whole(&n, in, "n", 20, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "n: must be 1 to 20");
		assert_int_equal(n, 7);
		fw_calc_values_free(in);
	}
	struct fw_calc_values *in;
	assert_ok(fw_calc_values_new(&in, inputs, &error));
	assert_code(fw_bearing_whole(&n, in, "n", 20, &error), FW_ERR_ARGUMENT); /* absent: NAN */
	assert_ok(fw_calc_set_number(in, "n", 19.999999, &error));
	assert_ok(fw_bearing_whole(&n, in, "n", 20, &error));
	assert_int_equal(n, 20);
	fw_calc_values_free(in);
}

#define BOX                                                                                        \
	"shaft", "input", "shaft", "lay", "shaft", "main", "shaft", "second gear", "shaft",            \
	    "third gear", "input", "input", "output", "main", "engine", "crank", "pair",               \
	    "constant, a=input, b=lay, teeth-a=21, teeth-b=38", "pair",                                \
	    "second, a=lay, b=second gear, teeth-a=25, teeth-b=29", "pair",                            \
	    "third, a=lay, b=third gear, teeth-a=32, teeth-b=24", "lock",                              \
	    "dog 2, a=second gear, b=main, gears=2nd", "lock",                                         \
	    "dog 3, a=third gear, b=main, gears=3rd", "lock", "dog 4, a=input, b=main, gears=top",     \
	    "bearing", "lay rear, inner=lay, balls=9, dia=9.5, pitch=46.5", "bearing",                 \
	    "pilot, inner=input, outer=crank", "bearing", "needles 2, inner=main, outer=second gear",  \
	    "bearing", "needles 3, inner=main, outer=third gear", "bearing", "front, inner=input"

/* 3800 rpm: layshaft 2100, second 1810.34; mesh 1330 Hz; layshaft bearing 125.32 Hz. */
static void test_noise_speeds(void **state)
{
	struct fw_calc_out *out = good(
	    "noise", TYPED(BOX, "speed", "3800", "gear", "2nd", "load", "overrun", "frequency", "126"));
	(void)state;

	assert_near(number(out, "ratio"), 38.0 / 21.0 * 29.0 / 25.0, 1e-9);
	assert_near(cell(out, "pairs", "constant", "mesh")->quantity.value, 1330.0, 1e-6);
	assert_string_equal(cell(out, "pairs", "second", "bears")->text, "overrun side");
	assert_string_equal(cell(out, "pairs", "third", "bears")->text, "idle");
	assert_string_equal(cell(out, "bearings", "needles 2", "state")->text, "at rest");
	assert_string_equal(cell(out, "bearings", "lay rear", "state")->text, "loaded");
	assert_near(cell(out, "bearings", "lay rear", "outer")->quantity.value, 125.32, 0.01);
	assert_near(cell(out, "near", "lay rear", "frequency")->quantity.value, 125.32, 0.01);
	assert_string_equal(cell(out, "near", "lay rear", "of")->text, "outer ring");
	fw_calc_free(out);

	out = good("noise", TYPED(BOX, "speed", "3800"));
	assert_near(cell(out, "shafts", "main", "speed")->quantity.value, 0.0, 0.0);
	assert_string_equal(cell(out, "pairs", "third", "bears")->text, "idle");
	fw_calc_free(out);
}

static void test_noise_heard(void **state)
{
	struct fw_calc_out *out = good(
	    "noise", TYPED(BOX, "heard", "2nd, drive=no, float=no, overrun=no", "heard",
	                   "3rd, drive=no, float=no, overrun=yes", "heard", "top, drive=no, overrun=no",
	                   "heard", "neutral, float=no", "heard", "clutch-out, float=no"));
	(void)state;

	assert_string_equal(fw_calc_result_find(out, "first")->text, "third, overrun side");
	assert_string_equal(cell(out, "suspects", "third, overrun side", "verdict")->text, "fits");
	assert_string_equal(cell(out, "suspects", "needles 3", "verdict")->text, "out: heard at rest");
	fw_calc_free(out);
	/* heard where nothing but the crank turns, and where nothing turns against it */
	out =
	    good("noise", TYPED(BOX, "heard", "neutral, float=yes", "heard", "clutch-out, float=yes"));
	assert_int_equal(fw_calc_warnings(out), 1);
	fw_calc_free(out);
}

static void test_noise_refused(void **state)
{
	(void)state;

	bad("noise", TYPED(BOX), "speed or heard is missing");
	bad("noise", TYPED(BOX, "gear", "2nd", "heard", "2nd, drive=yes"), "speed is missing");
	bad("noise", TYPED(BOX, "speed", "1000", "gear", "5th"), "no gear '5th'; there are 2nd, 3rd");
	bad("noise", TYPED(BOX, "heard", "5th, drive=yes"), "heard 1: there is no gear '5th'");
	bad("noise", TYPED(BOX, "heard", "neutral, drive=yes"), "only float=");
	bad("noise", TYPED(BOX, "heard", "2nd"), "say drive=");
	bad("noise", TYPED(BOX, "heard", "2nd, drive=yes", "heard", "2nd, drive=no"), "same gear");
	bad("noise", TYPED(BOX, "speed", "0"), "not zero");
	bad("noise", TYPED(BOX, "pair", "p, a=lay, b=nowhere, teeth-a=20, teeth-b=30", "speed", "100"),
	    "pair 4: there is no shaft 'nowhere'");
	bad("noise", TYPED(BOX, "pair", "p, a=lay, b=main, teeth-a=20, teeth-b=0", "speed", "100"),
	    "teeth-b");
	bad("noise",
	    TYPED(BOX, "pair", "p, a=lay, b=main, teeth-a=20, teeth-b=30, gears=1st/", "speed", "100"),
	    "gear's name");
	bad("noise",
	    TYPED(BOX, "pair", "p, a=lay, b=main, teeth-a=20, teeth-b=30, gears=neutral", "speed",
	          "100"),
	    "no gear");
	bad("noise",
	    TYPED(BOX, "pair", "p, a=lay, b=main, teeth-a=20, teeth-b=30, gears=2nd", "speed", "100",
	          "gear", "2nd"),
	    "locks up");
	bad("noise", TYPED(BOX, "bearing", "b, inner=lay, balls=9", "speed", "100"), "together");
	bad("noise", TYPED(BOX, "shaft", "lay", "speed", "100"), "there already");
	bad("noise", TYPED(BOX, "shaft", "case", "speed", "100"), "there already");
	bad("noise", TYPED(BOX, "speed", "100", "frequency", "50", "harmonics", "21"), "harmonics");
	bad("noise", TYPED(BOX, "speed", "100", "frequency", "50", "within", "60 %"), "50 %");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_twelve_against_eight),
	    cmocka_unit_test(test_clearance_class),
	    cmocka_unit_test(test_bearing_fit),
	    cmocka_unit_test(test_frequencies),
	    cmocka_unit_test(test_counts),
	    cmocka_unit_test(test_noise_speeds),
	    cmocka_unit_test(test_noise_heard),
	    cmocka_unit_test(test_noise_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
