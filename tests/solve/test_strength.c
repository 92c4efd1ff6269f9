/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <string.h>

#include "fitwright/joint.h"

#define MM       1e-3
#define MPA      1e6
#define INCH     0.0254
#define KSI      6894757.293168361 /* NIST SP 811 */
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static struct fw_strength strength(const char *property_class, double diameter)
{
	struct fw_strength s = {0, 0, 0};

	assert_ok(fw_class_strength(&s, property_class, diameter, &error));
	return s;
}

/* ISO 898-1:2013, table 3, as reprinted by two fastener suppliers: proof stress, yield, least
 * tensile strength, MPa. */
static void test_iso_898_1(void **state)
{
	static const struct {
		const char *name;
		double diameter, proof, yield, tensile;
	} row[] = {
	    {"4.6", 8, 225, 240, 400},    {"4.8", 8, 310, 340, 420},    {"5.6", 8, 280, 300, 500},
	    {"5.8", 8, 380, 420, 520},    {"6.8", 8, 440, 480, 600},    {"8.8", 16, 580, 640, 800},
	    {"8.8", 18, 600, 660, 830},   {"9.8", 16, 650, 720, 900},   {"10.9", 8, 830, 940, 1040},
	    {"10.9", 39, 830, 940, 1040}, {"12.9", 8, 970, 1100, 1220},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_strength s = strength(row[i].name, row[i].diameter * MM);
		assert_near(s.proof / MPA, row[i].proof, 1e-9);
		assert_near(s.yield / MPA, row[i].yield, 1e-9);
		assert_near(s.tensile / MPA, row[i].tensile, 1e-9);
	}
}

/* The same table's ratio of proof stress to yield, printed to two figures: a second route to both.
 */
static void test_iso_898_1_ratios(void **state)
{
	static const struct {
		const char *name;
		double diameter, ratio;
	} row[] = {{"4.6", 8, 0.94},  {"4.8", 8, 0.91}, {"5.6", 8, 0.93},  {"5.8", 8, 0.90},
	           {"6.8", 8, 0.92},  {"8.8", 8, 0.91}, {"8.8", 20, 0.91}, {"9.8", 8, 0.90},
	           {"10.9", 8, 0.88}, {"12.9", 8, 0.88}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_strength s = strength(row[i].name, row[i].diameter * MM);
		assert_near(s.proof / s.yield, row[i].ratio, 0.0051);
	}
}

/* ISO 898-1, least ultimate tensile loads, N, coarse threads: printed to three or four figures,
 * worked out from stress areas of three. */
static void test_tensile_loads(void **state)
{
	static const struct {
		const char *thread;
		double load[3];
	} row[] = {
	    {"M3", {4020, 5230, 6140}},        {"M4", {7020, 9130, 10700}},
	    {"M5", {11350, 14800, 17300}},     {"M6", {16100, 20900, 24500}},
	    {"M8", {29200, 38100, 44600}},     {"M10", {46400, 60300, 70800}},
	    {"M12", {67400, 87700, 103000}},   {"M14", {92000, 120000, 140000}},
	    {"M16", {125000, 163000, 192000}}, {"M18", {159000, 200000, 234000}},
	    {"M20", {203000, 255000, 299000}}, {"M24", {293000, 367000, 431000}},
	};
	static const char *const name[] = {"8.8", "10.9", "12.9"};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++)
		for (size_t j = 0; j < 3; j++) {
			struct fw_thread t;
			assert_ok(fw_thread_parse(&t, row[i].thread, &error));
			double load = strength(name[j], t.diameter).tensile * t.stress_area;
			assert_near(load, row[i].load[j], 0.006 * row[i].load[j]);
		}
}

/* SAE J429, ksi, as tabled by Shigley and Mischke, Mechanical Engineering Design, 5th edition. */
static void test_sae_j429(void **state)
{
	static const struct {
		const char *name;
		double inches, proof, yield, tensile;
	} row[] = {
	    {"SAE 1", 0.5, 33, 36, 60},     {"SAE 2", 0.75, 55, 57, 74},
	    {"SAE 2", 0.875, 33, 36, 60},   {"SAE 4", 1.5, 65, 100, 115},
	    {"SAE 5", 1.0, 85, 92, 120},    {"SAE 5", 1.125, 74, 81, 105},
	    {"SAE 5.2", 1.0, 85, 92, 120},  {"SAE 7", 0.25, 105, 115, 133},
	    {"SAE 8", 0.25, 120, 130, 150}, {"SAE 8.2", 1.0, 120, 130, 150},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_strength s = strength(row[i].name, row[i].inches * INCH);
		assert_near(s.proof / KSI, row[i].proof, 1e-9);
		assert_near(s.yield / KSI, row[i].yield, 1e-9);
		assert_near(s.tensile / KSI, row[i].tensile, 1e-9);
	}
}

static void test_refused(void **state)
{
	struct fw_strength s;
	(void)state;

	assert_code(fw_class_strength(&s, "9.8", 18 * MM, &error), FW_ERR_RANGE);
	assert_code(fw_class_strength(&s, "SAE 8.2", 1.25 * INCH, &error), FW_ERR_RANGE);
	assert_code(fw_class_strength(&s, "8.8", 42 * MM, &error), FW_ERR_RANGE);
	assert_code(fw_class_strength(&s, "8.8", 1.4 * MM, &error), FW_ERR_RANGE);
	assert_code(fw_class_strength(&s, "14.9", 8 * MM, &error), FW_ERR_INPUT);
	assert_contains(error.text, "SAE 1, 2, 4, 5");
	assert_code(fw_class_strength(&s, "SAE", 8 * MM, &error), FW_ERR_INPUT);
	assert_code(fw_class_strength(&s, "8.8", NAN, &error), FW_ERR_ARGUMENT);
	assert_code(fw_class_strength(&s, "8.8", INFINITY, &error), FW_ERR_ARGUMENT);
	assert_code(fw_class_strength(&s, "8.8", -8 * MM, &error), FW_ERR_ARGUMENT);
	assert_code(fw_class_strength(NULL, "8.8", 8 * MM, &error), FW_ERR_ARGUMENT);
	assert_code(fw_class_strength(&s, NULL, 8 * MM, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_iso_898_1),     cmocka_unit_test(test_iso_898_1_ratios),
	    cmocka_unit_test(test_tensile_loads), cmocka_unit_test(test_sae_j429),
	    cmocka_unit_test(test_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
