/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "check.h"
#include "fitwright/fit.h"

#define MM       1e-3
#define UM       1e-6
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static struct fw_fit_text parse(const char *text)
{
	struct fw_fit_text fit;

	assert_ok(fw_fit_parse(&fit, text, &error));
	return fit;
}

static struct fw_fit_zone zone(const char *text)
{
	struct fw_fit_text fit = parse(text);
	struct fw_fit_zone out;

	assert_ok(fw_fit_zone(&out, fit.size, fit.has_hole ? &fit.hole : &fit.shaft, &error));
	return out;
}

static struct fw_fit pair(const char *text)
{
	struct fw_fit_text fit = parse(text);
	struct fw_fit out;

	assert_true(fit.has_hole && fit.has_shaft);
	assert_ok(fw_fit_pair(&out, fit.size, &fit.hole, &fit.shaft, &error));
	return out;
}

/* Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th edition, example 7-7: loose
 * running fit of 34 mm. The instructor's solutions of the 8th edition, 3-64 and 3-66: 40 mm H7/s6
 * and H7/u6. */
static void test_textbook_limits(void **state)
{
	static const struct {
		const char *text;
		double hole_max, hole_min, shaft_max, shaft_min;
	} row[] = {{"34 H11/c11", 34.160, 34.000, 33.880, 33.720},
	           {"40 H7/s6", 40.025, 40.000, 40.059, 40.043},
	           {"40 H7/u6", 40.025, 40.000, 40.076, 40.060}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_fit fit = pair(row[i].text);
		assert_near(fit.hole.max / MM, row[i].hole_max, 1e-9);
		assert_near(fit.hole.min / MM, row[i].hole_min, 1e-9);
		assert_near(fit.shaft.max / MM, row[i].shaft_max, 1e-9);
		assert_near(fit.shaft.min / MM, row[i].shaft_min, 1e-9);
	}
}

/* ES, EI, es, ei, µm, by hand from tables printed in handbooks. Published as whole fits: 25 H7/g6
 * (clearances 0.007 and 0.041 mm), 50 H8/f7 (25 and 89 µm, the encyclopaedia article "Engineering
 * fit"), 10 H7/h6, 29 H7/h8 (0 and 54). 20 and 50 H7/s6: Bhandari, Design of Machine Elements,
 * examples 3.2 and 3.3, in the Scilab companion. */
static void test_worked_fits(void **state)
{
	static const struct {
		const char *text;
		double es_hole, ei_hole, es, ei;
		enum fw_fit_kind kind;
	} row[] = {
	    {"25 H7/g6", 21, 0, -7, -20, FW_FIT_CLEARANCE},
	    {"25 H7/h6", 21, 0, 0, -13, FW_FIT_CLEARANCE},
	    {"25 H7/k6", 21, 0, 15, 2, FW_FIT_TRANSITION},
	    {"25 H7/n6", 21, 0, 28, 15, FW_FIT_TRANSITION},
	    {"25 H7/p6", 21, 0, 35, 22, FW_FIT_INTERFERENCE},
	    {"40 H7/g6", 25, 0, -9, -25, FW_FIT_CLEARANCE},
	    {"50 H8/f7", 39, 0, -25, -50, FW_FIT_CLEARANCE},
	    {"50 H7/k6", 25, 0, 18, 2, FW_FIT_TRANSITION},
	    {"50 H7/n6", 25, 0, 33, 17, FW_FIT_TRANSITION},
	    {"50 H7/m6", 25, 0, 25, 9, FW_FIT_TRANSITION},
	    {"80 H7/h6", 30, 0, 0, -19, FW_FIT_CLEARANCE},
	    {"80 H7/p6", 30, 0, 51, 32, FW_FIT_INTERFERENCE},
	    {"16 H7/p6", 18, 0, 29, 18, FW_FIT_INTERFERENCE},
	    {"10 H7/h6", 15, 0, 0, -9, FW_FIT_CLEARANCE},
	    {"29 H7/h8", 21, 0, 0, -33, FW_FIT_CLEARANCE},
	    {"20 H7/s6", 21, 0, 48, 35, FW_FIT_INTERFERENCE},
	    {"50 H7/s6", 25, 0, 59, 43, FW_FIT_INTERFERENCE},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_fit fit = pair(row[i].text);
		assert_near(fit.hole.upper / UM, row[i].es_hole, 1e-9);
		assert_near(fit.hole.lower / UM, row[i].ei_hole, 1e-9);
		assert_near(fit.shaft.upper / UM, row[i].es, 1e-9);
		assert_near(fit.shaft.lower / UM, row[i].ei, 1e-9);
		assert_near(fit.clearance_min / UM, row[i].ei_hole - row[i].es, 1e-9);
		assert_near(fit.clearance_max / UM, row[i].es_hole - row[i].ei, 1e-9);
		assert_string_equal(fw_fit_kind_name(fit.kind), fw_fit_kind_name(row[i].kind));
	}
	assert_true(pair("18 H7/h6").clearance_min == 0.0); /* and not 3e-21 */
}

/* ES, EI as in FreeCAD's older table of holes (TechDraw, TaskHoleShaftFit.py). */
static void test_hole_classes(void **state)
{
	static const struct {
		const char *text;
		double es, ei;
	} row[] = {{"24 D10", 149, 65}, {"36 D10", 180, 80}, {"60 D10", 220, 100}, {"24 E9", 92, 40},
	           {"36 E9", 112, 50},  {"24 F8", 53, 20},   {"36 F8", 64, 25},    {"60 F8", 76, 30},
	           {"24 G7", 28, 7},    {"36 G7", 34, 9},    {"60 G7", 40, 10},    {"24 K7", 6, -15},
	           {"36 K7", 7, -18},   {"60 K7", 9, -21},   {"24 N7", -7, -28},   {"36 N7", -8, -33},
	           {"60 N7", -9, -39},  {"24 R7", -20, -41}, {"24 S7", -27, -48}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		assert_near(zone(row[i].text).upper / UM, row[i].es, 1e-9);
		assert_near(zone(row[i].text).lower / UM, row[i].ei, 1e-9);
	}
}

/* "Over … up to and including" (ISO 286-1). A published web page takes 30 mm for the step above it
 * and prints H7 as 0/+25. */
static void test_step_boundaries(void **state)
{
	static const double ends[] = {3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400};
	char text[32];
	(void)state;

	assert_near(zone("30 H7").upper / UM, 21.0, 1e-9);
	assert_near(zone("30.001 H7").upper / UM, 25.0, 1e-9);
	assert_near(zone("30 g6").lower / UM, -20.0, 1e-9);
	for (size_t i = 0; i < COUNT(ends); i++) {
		double at = 0.0, below = 0.0, above = 0.0;
		assert_ok(fw_fit_tolerance(&at, ends[i] * MM, 7, &error));
		assert_ok(fw_fit_tolerance(&at, ends[i] / 1000.0, 7, &error)); /* another last bit */
		assert_ok(fw_fit_tolerance(&below, (ends[i] - 0.001) * MM, 7, &error));
		assert_ok(fw_fit_tolerance(&above, (ends[i] + 0.001) * MM, 7, &error));
		assert_near(at, below, 0.0);
		assert_true(above > at + 1e-6);
	}
	/* 1 in is 25.4 mm. */
	snprintf(text, sizeof text, "25.4 H7");
	assert_near(zone(text).upper / UM, 21.0, 1e-9);
	assert_near(zone("500 H7").upper / UM, 63.0, 1e-9);
}

static void test_ways_of_writing(void **state)
{
	static const char *const same[] = {"25 H7/g6",   "25H7/g6",     "25 H7 / g6", "  25\tH7/g6  ",
	                                   "25.0 H7/g6", "25,0 H7/g6",  "25mm H7/g6", "25 mm H7/g6",
	                                   "Ø25 H7/g6",  "⌀ 25 H7/ g6", "025 H7/g6"};
	(void)state;

	for (size_t i = 0; i < COUNT(same); i++) {
		struct fw_fit_text fit = parse(same[i]);
		assert_near(fit.size, 0.025, 1e-15);
		assert_true(fit.has_hole && fit.has_shaft);
		assert_string_equal(fit.hole.letter, "H");
		assert_string_equal(fit.shaft.letter, "g");
		assert_int_equal(fit.hole.grade, 7);
		assert_int_equal(fit.shaft.grade, 6);
	}
	assert_true(isnan(parse("H7/g6").size));
	assert_true(parse("H7").has_hole && !parse("H7").has_shaft);
	assert_true(parse("js6").has_shaft && !parse("js6").has_hole);
	assert_int_equal(parse("h01").shaft.grade, FW_FIT_IT01);
	assert_int_equal(parse("h0").shaft.grade, 0);
	assert_int_equal(parse("ZC18").hole.grade, 18);
	assert_near(parse("25e8").size, 0.025, 1e-15); /* class e8, not 25e8 */
	assert_string_equal(parse("25e8").shaft.letter, "e");
	assert_string_equal(parse("4 m6").shaft.letter, "m");
	assert_near(parse("0,406 h6").size, 0.406e-3, 1e-15);
}

static void refuse(const char *text, const char *says)
{
	struct fw_fit_text fit;

	assert_code(fw_fit_parse(&fit, text, &error), FW_ERR_INPUT);
	assert_contains(error.text, says);
}

static void test_bad_text(void **state)
{
	char longest[FW_FIT_TEXT + 2];
	struct fw_fit_text fit;
	struct fw_fit_class part;
	(void)state;

	refuse("", "letter");
	refuse("   ", "letter");
	refuse("25", "letter");
	refuse("H7/H7", "both are holes");
	refuse("25 H7/H7", "both are holes");
	refuse("g6/H7", "before the shaft");
	refuse("h6/h6", "before the shaft");
	refuse("25 q9", "no such letter");
	refuse("25 i7", "no such letter");
	refuse("25 W7", "no such letter");
	refuse("hz6", "no such letter");
	refuse("25 abc6", "no such letter");
	refuse("Js7", "both letters");
	refuse("zA7", "both letters");
	refuse("H", "no grade");
	refuse("H/g6", "no grade");
	refuse("H19", "no such grade");
	refuse("H007", "no such grade");
	refuse("H07", "no such grade");
	refuse("H99999999999", "no such grade");
	refuse("H-7", "no grade");
	refuse("H7.5", "left over");
	refuse("H7/", "letter");
	refuse("H7//g6", "letter");
	refuse("H7/g6/h6", "left over");
	refuse("25 H7 g6", "left over");
	refuse("-25 H7", "letter");
	refuse("+25 H7", "letter");
	refuse("25. H7", "decimal");
	refuse("1,000 H7", "thousands");
	refuse("25 in H7", "no such letter");
	refuse("1234567890123 H7", "too many digits");
	refuse("Ø H7", "diameter sign");
	refuse("２５ H7", "letter");
	refuse("25 Η7", "letter"); /* a Greek Eta */
	refuse("25 H7\xFF", "left over");
	refuse("nan H7", "no such letter");
	memset(longest, '1', sizeof longest - 1);
	longest[sizeof longest - 1] = '\0';
	refuse(longest, "too long");
	assert_code(fw_fit_parse(&fit, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_parse(NULL, "H7", &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_class_parse(NULL, "H7", &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_class_parse(&part, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_class_parse(&part, "25 H7", &error), FW_ERR_INPUT);
	assert_code(fw_fit_class_parse(&part, "H7/g6", &error), FW_ERR_INPUT);
}

static void undefined(const char *text, const char *says)
{
	struct fw_fit_text fit = parse(text);
	struct fw_fit_zone out = {.min = 42.0};

	assert_code(fw_fit_zone(&out, fit.size, fit.has_hole ? &fit.hole : &fit.shaft, &error),
	            FW_ERR_RANGE);
	assert_contains(error.text, says);
	assert_near(out.min, 42.0, 0.0);
}

static void test_undefined_classes(void **state)
{
	(void)state;

	undefined("500.001 H7", "beyond 500 mm");
	undefined("1000 h6", "beyond 500 mm");
	undefined("0 H7", "above zero");
	undefined("0.000 h6", "above zero");
	undefined("12 cd7", "cd7");
	undefined("12 CD7", "10 mm");
	undefined("10.001 ef7", "10 mm");
	undefined("50 FG7", "10 mm");
	undefined("24 t6", "above 24 mm");
	undefined("24 T7", "above 24 mm");
	undefined("14 v6", "above 14 mm");
	undefined("18 Y7", "above 18 mm");
	undefined("25 j8", "j8");
	undefined("25 j4", "j5, j6 and j7");
	undefined("25 J5", "J6, J7 and J8");
	undefined("25 J9", "J6, J7 and J8");
	undefined("25 K9", "IT8");
	undefined("25 K2", "IT3");
	undefined("25 P01", "P01");
	undefined("1 a9", "1 mm");
	undefined("1 B9", "1 mm");
	undefined("1 h14", "IT14");
	undefined("1 N9", "1 mm");
	undefined("0.5 zc18", "IT18");
	undefined("0.1 d13", "above zero"); /* would be a shaft of less than nothing */
	/* Their neighbours are defined. */
	zone("10 cd7");
	zone("25 t6");
	zone("15 v6");
	zone("19 Y7");
	zone("3 j8");
	zone("3 K9");
	zone("25 P9");
	zone("25 n01");
	zone("1.001 a9");
	zone("1 h13");
}

static void test_bad_arguments(void **state)
{
	struct fw_fit_class hole = {"H", 7, true}, shaft = {"g", 6, false}, odd = {"q", 6, false};
	struct fw_fit_zone z;
	struct fw_fit fit;
	double it = 0.0;
	(void)state;

	assert_code(fw_fit_zone(&z, NAN, &hole, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_zone(&z, INFINITY, &hole, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_zone(&z, -0.025, &hole, &error), FW_ERR_RANGE);
	assert_code(fw_fit_zone(&z, 0.025, &odd, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_zone(&z, 0.025, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_zone(NULL, 0.025, &hole, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_tolerance(&it, 0.025, 19, &error), FW_ERR_RANGE);
	assert_code(fw_fit_tolerance(&it, 0.025, -2, &error), FW_ERR_RANGE);
	assert_code(fw_fit_tolerance(&it, NAN, 7, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_tolerance(NULL, 0.025, 7, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_pair(&fit, 0.025, &shaft, &hole, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_pair(&fit, 0.025, &hole, &hole, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_pair(&fit, 0.025, &hole, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_pair(NULL, 0.025, &hole, &shaft, &error), FW_ERR_ARGUMENT);
	assert_code(fw_fit_pair(&fit, 1.0, &hole, &shaft, &error), FW_ERR_RANGE);
}

static uint32_t next(uint32_t *seed)
{
	*seed = *seed * 1664525U + 1013904223U;
	return *seed >> 8;
}

/* Whatever is read must write and read the same again, and have limits or a reason. */
static void hold(const char *text)
{
	struct fw_fit_text fit;
	struct fw_fit_zone out;

	fw_error_clear(&error);
	int rc = fw_fit_parse(&fit, text, &error);
	if (rc != FW_OK) {
		assert_int_equal(rc, FW_ERR_INPUT);
		assert_true(error.text[0] != '\0' && fw_utf8_check(error.text));
		assert_null(strpbrk(error.text, "\n\r\x1b"));
		return;
	}
	assert_true(fit.has_hole || fit.has_shaft);
	const struct fw_fit_class *part = fit.has_hole ? &fit.hole : &fit.shaft;
	fw_error_clear(&error);
	rc = fw_fit_zone(&out, fit.size, part, &error);
	if (rc == FW_OK)
		assert_true(out.upper > out.lower && out.min > 0.0 && out.max - out.min < 0.01);
	else
		assert_true(error.text[0] != '\0');
}

/* Texts changed at random, the same each time: one byte, a piece twice, a piece left out. */
static void test_mutated_text(void **state)
{
	static const char *const seeds[] = {"25 H7/g6", "Ø30.5 mm JS10/zc11", "H7",
	                                    "h01",      "499,99 ZA8/js12",    "\t1.2EF9 / fg4 "};
	static const char alphabet[] =
	    "0123456789.,/ -+eEhHgGjJsSzZabcmM\t\n\x1b\x80\xC3\x98\xE2\x8C\xFF";
	uint32_t seed = 20240229U;
	char text[2 * FW_FIT_TEXT];
	(void)state;

	for (int round = 0; round < 60000; round++) {
		snprintf(text, sizeof text, "%s", seeds[next(&seed) % COUNT(seeds)]);
		for (uint32_t change = next(&seed) % 4; change < 4; change++) {
			size_t length = strlen(text), at = length ? next(&seed) % length : 0;
			if (length == 0)
				break;
			switch (next(&seed) % 3) {
			case 0:
				text[at] = alphabet[next(&seed) % (sizeof alphabet - 1)];
				break;
			case 1:
				memmove(text + at, text + at + 1, length - at);
				break;
			default:
				if (length + 8 < sizeof text)
					memmove(text + at + 4, text + at, length - at + 1);
				break;
			}
		}
		hold(text);
	}
}

/* Each class at each size: limits or a reason, the zone as wide as its grade, clearance the
 * difference of the ends. */
static void test_all_classes(void **state)
{
	static const char *const letters[] = {"a", "b",  "c", "cd", "d", "e",  "ef", "f", "fg", "g",
	                                      "h", "js", "j", "k",  "m", "n",  "p",  "r", "s",  "t",
	                                      "u", "v",  "x", "y",  "z", "za", "zb", "zc"};
	int defined = 0;
	(void)state;

	for (size_t i = 0; i < COUNT(letters); i++)
		for (int grade = FW_FIT_IT01; grade <= 18; grade++)
			for (double mm = 0.3; mm < 501.0; mm *= 1.09)
				for (int hole = 0; hole < 2; hole++) {
					struct fw_fit_class part = {.grade = grade, .hole = hole == 1};
					struct fw_fit_zone z;
					double it = 0.0;
					for (size_t k = 0; letters[i][k]; k++)
						part.letter[k] = (char)(hole ? letters[i][k] - 'a' + 'A' : letters[i][k]);
					fw_error_clear(&error);
					int rc = fw_fit_zone(&z, mm * MM, &part, &error);
					assert_true(rc == FW_OK || rc == FW_ERR_RANGE);
					if (rc != FW_OK)
						continue;
					assert_ok(fw_fit_tolerance(&it, mm * MM, grade, &error));
					assert_near(z.upper - z.lower, it, 1e-12);
					assert_near(z.max - mm * MM, z.upper, 1e-12);
					assert_true(z.min > 0.0);
					defined++;
				}
	assert_true(defined > 50000);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_textbook_limits),   cmocka_unit_test(test_worked_fits),
	    cmocka_unit_test(test_hole_classes),      cmocka_unit_test(test_step_boundaries),
	    cmocka_unit_test(test_ways_of_writing),   cmocka_unit_test(test_bad_text),
	    cmocka_unit_test(test_undefined_classes), cmocka_unit_test(test_bad_arguments),
	    cmocka_unit_test(test_mutated_text),      cmocka_unit_test(test_all_classes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
