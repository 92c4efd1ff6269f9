/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <string.h>

#include "fitwright/joint.h"

#define MM       1e-3
#define INCH     0.0254
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static struct fw_thread thread(const char *text)
{
	struct fw_thread t;

	assert_ok(fw_thread_parse(&t, text, &error));
	return t;
}

/* ISO 898-1, nominal stress areas As, mm², as printed (three figures). */
static void test_iso_898_1_stress_areas(void **state)
{
	static const struct {
		const char *thread;
		double area, half_digit;
	} row[] = {
	    {"M3", 5.03, 0.005},      {"M4", 8.78, 0.005},     {"M5", 14.2, 0.05},
	    {"M6", 20.1, 0.05},       {"M7", 28.9, 0.05},      {"M8", 36.6, 0.05},
	    {"M10", 58.0, 0.05},      {"M12", 84.3, 0.05},     {"M14", 115, 0.5},
	    {"M16", 157, 0.5},        {"M18", 192, 0.5},       {"M20", 245, 0.5},
	    {"M24", 353, 0.5},        {"M30", 561, 0.5},       {"M8x1", 39.2, 0.05},
	    {"M10x1.25", 61.2, 0.05}, {"M12x1.5", 88.1, 0.05}, {"M12x1.25", 92.1, 0.05},
	    {"M14x1.5", 125, 0.5},    {"M16x1.5", 167, 0.5},   {"M20x1.5", 272, 0.5},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++)
		assert_near(thread(row[i].thread).stress_area * 1e6, row[i].area, row[i].half_digit);
}

/* ISO 724: pitch diameters, and ISO 68-1's d3, mm, to the three decimals printed; from memory. */
static void test_iso_724_diameters(void **state)
{
	static const struct {
		const char *thread;
		double d2, d3;
	} row[] = {{"M6", 5.350, 4.773},
	           {"M8", 7.188, 6.466},
	           {"M10", 9.026, 8.160},
	           {"M12", 10.863, 9.853},
	           {"M16", 14.701, 13.546}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		assert_near(thread(row[i].thread).pitch_dia / MM, row[i].d2, 0.00055);
		assert_near(thread(row[i].thread).minor_dia / MM, row[i].d3, 0.00055);
		assert_false(thread(row[i].thread).inch);
	}
}

/* Tensile stress areas of Unified threads, in², as engineering handbooks print them, from memory;
 * the formula is equation 4 of NASA TM-106943 (1995). */
static void test_inch_stress_areas(void **state)
{
	static const struct {
		const char *thread;
		double area;
	} row[] = {{"1/4-20", 0.0318}, {"1/4-28", 0.0364},  {"5/16-18", 0.0524}, {"3/8-16", 0.0775},
	           {"3/8-24", 0.0878}, {"7/16-14", 0.1063}, {"1/2-13", 0.1419},  {"1/2-20", 0.1600}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		assert_near(thread(row[i].thread).stress_area / (INCH * INCH), row[i].area, 0.00006);
		assert_true(thread(row[i].thread).inch);
	}
}

/* ASME B1.1 sizes and pitches, ISO 261 coarse pitches, from memory; mm or threads per inch. */
static void test_ways_to_write_a_thread(void **state)
{
	static const struct {
		const char *text;
		double diameter, pitch; /* mm */
	} row[] = {
	    {"M8", 8, 1.25},
	    {"m8", 8, 1.25},
	    {" M 8 ", 8, 1.25},
	    {"M8x1", 8, 1},
	    {"M8X1", 8, 1},
	    {"M8*1", 8, 1},
	    {"M8 x 1.0", 8, 1},
	    {"M8\xC3\x97"
	     "1.25",
	     8, 1.25},
	    {"M8x1,25", 8, 1.25},
	    {"M1.6", 1.6, 0.35},
	    {"M2,5", 2.5, 0.45},
	    {"M33", 33, 3.5},
	    {"1/4-20", 6.35, 25.4 / 20},
	    {"5/16-18 UNC", 7.9375, 25.4 / 18},
	    {"3/8-24 UNF", 9.525, 25.4 / 24},
	    {"3/8-24unf", 9.525, 25.4 / 24},
	    {"3/8\"-16", 9.525, 25.4 / 16},
	    {"3/8 - 16", 9.525, 25.4 / 16},
	    {"#10-32", 4.826, 25.4 / 32},
	    {"#6-32 UNC", 3.5052, 25.4 / 32},
	    {"#0-80 UNF", 1.524, 25.4 / 80},
	    {"1-8", 25.4, 25.4 / 8},
	    {"1-8 UNC", 25.4, 25.4 / 8},
	    {"1-1/8-7", 28.575, 25.4 / 7},
	    {"1 1/8-12 UNF", 28.575, 25.4 / 12},
	    {"0.25-20", 6.35, 25.4 / 20},
	    {".5-13", 12.7, 25.4 / 13},
	    {"2-4.5 UNC", 50.8, 25.4 / 4.5},
	    {"1/4-32 UNEF", 6.35, 25.4 / 32},
	    {"1-20 UNEF", 25.4, 25.4 / 20},
	    {"1/4-32 UNS", 6.35, 25.4 / 32},
	    {"1/4-20 UNC-2A", 6.35, 25.4 / 20},
	    {"1/4-20 UNC - 2B", 6.35, 25.4 / 20},
	    {"1/4-20-2A", 6.35, 25.4 / 20},
	    {"M8-6g", 8, 1.25},
	    {"M8 6H", 8, 1.25},
	    {"M8x1-6H/6g", 8, 1},
	    {"2 1/4-4.5 UNC", 57.15, 25.4 / 4.5},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_thread t = thread(row[i].text);
		assert_near(t.diameter / MM, row[i].diameter, 1e-9);
		assert_near(t.pitch / MM, row[i].pitch, 1e-9);
	}
}

static void test_threads_refused(void **state)
{
	static const struct {
		const char *text, *says;
	} row[] = {
	    {"", "nothing written"},
	    {"   ", "nothing written"},
	    {"M", "no diameter"},
	    {"M13", "no coarse pitch"},
	    {"M8x", "no pitch after"},
	    {"M8x0", "no such pitch"},
	    {"M0x1", "diameter"},
	    {"M8x5", "no such pitch"},
	    {"M8y1", "expected x"},
	    {"M8x1 RH", "left over"},
	    {"M8x1 LH LH", "left over"},
	    {"M8x1-", "left over"},
	    {"M8x1LH", "left over"},
	    {"M8-6e", "left over"},
	    {"M8-6h", "left over"},
	    {"M8-4g6g", "left over"},
	    {"M8-2A", "left over"},
	    {"1/4-20 UNC-3A", "UNC"},
	    {"1/4-20 UNC-6g", "UNC"},
	    {"1/4-28 UNEF", "not those of the series"},
	    {"M-8", "no diameter"},
	    {"M9999x1", "diameter"},
	    {"Mnan", "no diameter"},
	    {"M1e1", "expected x"},
	    {"M8x1.25.3", "left over"},
	    {"8", "expected -"},
	    {"1/4", "threads per inch"},
	    {"1/4-", "threads per inch"},
	    {"1/4-0", "threads per inch"},
	    {"1/0-20", "expected -"},
	    {"1/4-20 UNX", "UNC"},
	    {"1/4-28 UNC", "not those of the series"},
	    {"1/4-20 UNF", "not those of the series"},
	    {"#7-32", "size"},
	    {"#99-32", "size"},
	    {"#10", "expected -"},
	    {"hello", "size"},
	    {"1/4-2", "no such pitch"},
	    {"M99999999999999999999", "no diameter"},
	};
	struct fw_thread t;
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		assert_code(fw_thread_parse(&t, row[i].text, &error), FW_ERR_INPUT);
		assert_contains(error.text, row[i].says);
		assert_contains(error.text, "M8x1");
	}
	assert_code(fw_thread_parse(&t, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thread_parse(NULL, "M8", &error), FW_ERR_ARGUMENT);
}

/* ISO 965-1 and ASME B1.1 end the designation of a left-hand thread in LH. */
static void test_left_hand(void **state)
{
	static const char *const left[] = {"M8-LH",     "M8x1 LH",      "M8x1-6g-LH",
	                                   "M8 lh",     "1/4-20 LH",    "1/4-20 UNC-2A-LH",
	                                   "1-8-2B LH", "#10-32 UNF LH"};
	static const char *const right[] = {"M8", "M8x1-6g", "1/4-20 UNC", "1/4-20 UNC-2A"};
	(void)state;

	for (size_t i = 0; i < COUNT(left); i++)
		assert_true(thread(left[i]).left_hand);
	for (size_t i = 0; i < COUNT(right); i++)
		assert_false(thread(right[i]).left_hand);
}

/* A message is one line of whole characters, whatever was typed. */
static void test_message_stays_whole(void **state)
{
	struct fw_thread t;
	(void)state;

	assert_code(fw_thread_parse(&t, "bolt\nof the cover", &error), FW_ERR_INPUT);
	assert_null(strchr(error.text, '\n'));
	assert_code(fw_thread_parse(&t,
	                            "0123456789012345678901234567890123456789"
	                            "\xC3\xA4",
	                            &error),
	            FW_ERR_INPUT);
	assert_null(strchr(error.text, '\xC3'));
	assert_code(fw_thread_parse(&t,
	                            "012345678901234567890123456789012345678"
	                            "\xC3\xA4\xC3\xA4",
	                            &error),
	            FW_ERR_INPUT);
	assert_null(strchr(error.text, '\xC3'));
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_iso_898_1_stress_areas),
	    cmocka_unit_test(test_iso_724_diameters),
	    cmocka_unit_test(test_inch_stress_areas),
	    cmocka_unit_test(test_ways_to_write_a_thread),
	    cmocka_unit_test(test_threads_refused),
	    cmocka_unit_test(test_left_hand),
	    cmocka_unit_test(test_message_stays_whole),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
