/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calculators of joints, as a person types them. */
#include "calc_typed.h"

#include <string.h>

static struct fw_error error;

static int give(struct fw_calc_out **out, const char *name, const char *const *typed)
{
	return calc_typed(out, name, typed, &error);
}

#define GIVE(...) ((const char *const[]){__VA_ARGS__, NULL})

static struct fw_calc_out *works(const char *name, const char *const *given)
{
	struct fw_calc_out *out = NULL;

	assert_ok(give(&out, name, given));
	return out;
}

static void refuses(const char *name, const char *const *given, const char *says)
{
	struct fw_calc_out *out = NULL;

	fw_error_clear(&error);
	assert_true(give(&out, name, given) != FW_OK);
	assert_null(out);
	assert_contains(error.text, says);
}

static double value(const struct fw_calc_out *out, const char *name)
{
	const struct fw_calc_result *result = fw_calc_result_find(out, name);

	if (!result)
		fail_msg("no result \"%s\"", name);
	return result->quantity.value;
}

/* VDI 2230:2001, M8x1 of 8.8 with friction 0.12: 20.2 kN at 26.1 N·m, 90 % of yield (as reprinted;
 * face and hole by ISO 4014 and ISO 273, from memory). */
static void test_torque(void **state)
{
	struct fw_calc_out *out =
	    works("torque", GIVE("thread", "M8x1", "torque", "26.1", "mu", "0.12", "face", "11.63",
	                         "hole", "9", "class", "8.8", "wrench", "0"));
	(void)state;

	assert_near(value(out, "preload-usual"), 20.2e3, 150.0);
	assert_near(value(out, "preload-low"), value(out, "preload-high"), 1e-6);
	assert_near(value(out, "yield-share"), 0.9, 0.007);
	assert_int_equal(fw_calc_warnings(out), 0);
	fw_calc_free(out);

	out = works("torque", GIVE("thread", "M8x1", "preload", "20.2", "mu", "0.12", "face", "11.63",
	                           "hole", "9"));
	assert_near(value(out, "torque"), 26.1, 0.2);
	assert_null(fw_calc_result_find(out, "share"));
	fw_calc_free(out);

	/* past its proof load, and in soft metal: both are said */
	out = works("torque", GIVE("thread", "M8", "torque", "40", "class", "8.8", "parent",
	                           "cast magnesium", "engagement", "8 mm"));
	assert_int_equal(fw_calc_warnings(out), 2);
	assert_contains(fw_calc_warning_text(out, 0), "proof load");
	assert_contains(fw_calc_warning_text(out, 1), "parent's thread can strip");
	fw_calc_free(out);

	refuses("torque", GIVE("thread", "M8", "torque", "20", "friction", "oiled", "mu", "0.12"),
	        "friction and mu: give one of them");
	refuses("torque", GIVE("thread", "M8"), "torque is missing");
	refuses("torque", GIVE("thread", "M8", "torque", "20", "preload", "20"), "torque and preload");
	refuses("torque", GIVE("thread", "M8", "torque", "20", "face", "12"), "hole is missing");
	refuses("torque", GIVE("thread", "M8", "torque", "20", "parent", "brass"), "engagement");
	refuses("torque", GIVE("thread", "M8", "torque", "20", "mu", "0.1;0.2"), "three");
	refuses("torque", GIVE("thread", "M8", "torque", "20", "mu", "0.3;0.2;0.1"), "friction");
	refuses("torque", GIVE("thread", "M8", "torque", "20", "prevailing", "20"), "prevailing");
	refuses("torque", GIVE("thread", "M8", "torque", "20 mm"), "torque");
	refuses("torque", GIVE("thread", "W8", "torque", "20"), "thread");
	refuses("torque", GIVE("thread", "M8", "torque", "-20"), "torque");
}

/* The ± of a torque widens the range as a fixed error does, straight; that of one coefficient makes
 * its ends. */
static void test_torque_doubts(void **state)
{
	struct fw_calc_out *out = works("torque", GIVE("thread", "M8", "torque", "22 ± 2", "mu", "0.12",
	                                               "prevailing", "3 ± 0.4", "wrench", "4 %"));
	double usual = value(out, "preload-usual");
	(void)state;

	assert_near(value(out, "preload-low"), usual * (22 * 0.96 - 2 - 0.4 - 3) / 19, 1e-6);
	assert_near(value(out, "preload-high"), usual * (22 * 1.04 + 2 + 0.4 - 3) / 19, 1e-6);
	fw_calc_free(out);

	static const char *const mu[] = {"0.12 ± 0.02", "0.10;0.12;0.14"};
	struct fw_calc_out *pair[2];
	for (size_t i = 0; i < 2; i++)
		pair[i] =
		    works("torque", GIVE("thread", "M8", "torque", "22", "mu", mu[i], "head-mu", "0.15"));
	assert_near(value(pair[0], "preload-low"), value(pair[1], "preload-low"), 1e-6);
	assert_near(value(pair[0], "preload-high"), value(pair[1], "preload-high"), 1e-6);
	assert_true(value(pair[0], "preload-high") > 1.1 * value(pair[0], "preload-low"));
	fw_calc_free(pair[0]);
	fw_calc_free(pair[1]);
	refuses("torque", GIVE("thread", "M8", "torque", "20", "mu", "0.1 ± 0.1"), "friction");
}

/* M10 in aluminium of 138 MPa, by hand from the printed limits: see test_strip.c. */
static void test_strip(void **state)
{
	struct fw_calc_out *out =
	    works("strip", GIVE("thread", "M10", "engagement", "15", "parent-shear", "138", "class",
	                        "8.8", "preload", "40 kN"));
	(void)state;

	assert_near(value(out, "strip-load"), 44457.0, 10.0);
	assert_near(value(out, "engagement-needed"), 15.66e-3, 0.02e-3);
	assert_near(value(out, "strip-margin"), 44457.0 / 40000.0, 0.001);
	assert_int_equal(fw_calc_warnings(out), 1);
	assert_contains(fw_calc_warning_text(out, 0), "1.25");
	fw_calc_free(out);
	refuses("strip", GIVE("thread", "M10", "engagement", "15"), "parent is missing");
	refuses("strip", GIVE("thread", "M10", "engagement", "15", "parent", "tin"), "cast aluminium");
	refuses("strip", GIVE("thread", "M10", "engagement", "40", "parent", "brass"), "diameters");
}

/* TM 9-254 (US Army), figure 45: 12 in and 2 in, set to 60 in·lb gives 70. */
static void test_adapter(void **state)
{
	struct fw_calc_out *out =
	    works("adapter", GIVE("torque", "70 lbf·in", "length", "12 in", "extension", "2 in"));
	(void)state;

	assert_near(value(out, "setting") / 0.1129848290276167, 60.0, 1e-9);
	fw_calc_free(out);
	out = works("adapter", GIVE("setting", "60 lbf·in", "length", "12 in", "extension", "2 in",
	                            "wrench", "4 %"));
	assert_near(value(out, "torque") / 0.1129848290276167, 70.0, 1e-9);
	assert_near(value(out, "torque-high") / 0.1129848290276167, 72.8, 1e-9);
	fw_calc_free(out);
	/* AC 43.13-1B, 7-40: the drag of the nut is added first */
	out = works("adapter", GIVE("torque", "60 lbf·in", "prevailing", "10 lbf·in", "length", "12 in",
	                            "extension", "2 in"));
	assert_near(value(out, "setting") / 0.1129848290276167, 60.0, 1e-9);
	fw_calc_free(out);
	refuses("adapter", GIVE("length", "300", "extension", "50"), "torque is missing");
	refuses("adapter", GIVE("torque", "20", "length", "300", "extension", "290", "angle", "180"),
	        "90");
}

/* Shigley: 466.8 and 1379 MN/m. A sleeve of the same book, 1.657e6 lbf/in, from memory. */
static void test_angle(void **state)
{
	struct fw_calc_out *out =
	    works("angle", GIVE("thread", "M12", "angle", "30", "shank", "30", "threaded", "15",
	                        "modulus", "207000 MPa", "layers", "20 mm, modulus=207000 MPa",
	                        "layers", "25 mm, modulus=100000 MPa"));
	(void)state;

	assert_near(value(out, "bolt-stiffness"), 466.8e6, 2.3e6);
	assert_near(value(out, "parts-stiffness"), 1379e6, 2e6);
	/* a twelfth of 1.75 mm on 1/466.8 + 1/1379 m/GN: 50.86 kN */
	assert_near(value(out, "preload"), 50.86e3, 0.2e3);
	fw_calc_free(out);
	out = works("angle", GIVE("thread", "3/4-16", "angle", "120", "shank", "9 in", "threaded",
	                          "1 in", "layers", "10 in", "outer", "1.125 in"));
	assert_near(value(out, "parts-stiffness") / (206e9 / 6894.757293168361 / 30e6) /
	                (1e6 * 4.4482216152605 / 0.0254),
	            1.657, 0.001);
	fw_calc_free(out);
	refuses("angle", GIVE("thread", "M8", "angle", "90", "shank", "20"), "layers is missing");
	refuses("angle", GIVE("thread", "M8", "shank", "20"), "angle is missing");
}

static void test_order_and_thread(void **state)
{
	struct fw_calc_out *out = works("order", GIVE("bolts", "8"));
	(void)state;

	/* ASME PCC-1, legacy cross-pattern */
	assert_contains(fw_calc_line_text(out, 0), "1, 5, 3, 7, 2, 6, 4, 8");
	fw_calc_free(out);
	out = works("order", GIVE("rows", "1", "columns", "5"));
	assert_contains(fw_calc_line_text(out, 0), "3, 2, 4, 1, 5");
	fw_calc_free(out);
	out = works("order", GIVE("points", "0, y=0 mm", "points", "10, y=0 mm", "points",
	                          "10, y=10 mm", "points", "0, y=10 mm"));
	assert_contains(fw_calc_line_text(out, 0), "1, 3, 2, 4");
	fw_calc_free(out);
	refuses("order", GIVE("rows", "4"), "columns is missing");
	refuses("order", GIVE("rows", "4", "columns", "2", "bolts", "8"), "one of");
	refuses("order", GIVE("bolts", "9007199254740992"), "256");
	refuses("order", GIVE("rows", "9007199254740992", "columns", "9007199254740992"), "256");

	out = works("thread", GIVE("thread", "M10-LH", "class", "10.9")); /* ISO 898-1: 48 100 N */
	assert_near(value(out, "proof-load"), 48100.0, 60.0);
	assert_contains(fw_calc_result_find(out, "hand")->text, "anticlockwise");
	fw_calc_free(out);
	refuses("thread", GIVE("thread", "M10", "class", "11.9"), "10.9");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_torque), cmocka_unit_test(test_torque_doubts),
	    cmocka_unit_test(test_strip),  cmocka_unit_test(test_adapter),
	    cmocka_unit_test(test_angle),  cmocka_unit_test(test_order_and_thread),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
