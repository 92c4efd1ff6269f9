/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <stdio.h>
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

static struct fw_thread_limits limits(const char *text)
{
	struct fw_thread t = thread(text);
	struct fw_thread_limits l;

	assert_ok(fw_thread_limits(&l, &t, &error));
	return l;
}

/* ISO 965-2, limits of size of bolt threads 6g and nut threads 6H, mm, as reprinted in two public
 * charts of metric threads (one of them machine readable, for a library of 3D models). The solver
 * works from the tolerances of ISO 965-1, so this is another table. From 11 mm the machine-readable
 * one has bolts to 0.01 mm only; theirs are from the other up to M12x1.25, and above it to 0.01 mm.
 */
static void test_metric_limits(void **state)
{
	static const struct {
		const char *thread;
		double d_max, d_min, d2_max, d2_min, D1_max, D2_max, slack;
	} row[] = {
	    {"M1.6", 1.581, 1.496, 1.354, 1.291, 1.321, 1.458, 0.001},
	    {"M2", 1.981, 1.886, 1.721, 1.654, 1.679, 1.830, 0.001},
	    {"M2.5", 2.480, 2.380, 2.188, 2.117, 2.138, 2.303, 0.001},
	    {"M3", 2.980, 2.874, 2.655, 2.580, 2.599, 2.775, 0.001},
	    {"M3.5", 3.479, 3.354, 3.089, 3.004, 3.010, 3.222, 0.001},
	    {"M4", 3.978, 3.838, 3.523, 3.433, 3.422, 3.663, 0.001},
	    {"M4.5", 4.478, 4.338, 3.991, 3.901, 3.878, 4.131, 0.001},
	    {"M5", 4.976, 4.826, 4.456, 4.361, 4.334, 4.605, 0.001},
	    {"M6", 5.974, 5.794, 5.324, 5.212, 5.153, 5.500, 0.001},
	    {"M8", 7.972, 7.760, 7.160, 7.042, 6.912, 7.348, 0.001},
	    {"M8x1", 7.974, 7.794, 7.324, 7.212, 7.153, 7.500, 0.001},
	    {"M8x0.75", 7.978, 7.838, 7.491, 7.391, 7.378, 7.645, 0.001},
	    {"M10", 9.968, 9.732, 8.994, 8.862, 8.676, 9.206, 0.001},
	    {"M10x1.25", 9.972, 9.760, 9.160, 9.042, 8.912, 9.348, 0.001},
	    {"M12x1.25", 11.972, 11.760, 11.160, 11.028, 10.912, 11.368, 0.001},
	    {"M12x1", 11.974, 11.794, 11.324, 11.206, 11.153, 11.510, 0.001},
	    {"M12", 11.97, 11.70, 10.83, 10.68, 10.441, 11.063, 0.006},
	    {"M14x1.5", 13.97, 13.73, 12.99, 12.85, 12.676, 13.216, 0.006},
	    {"M16", 15.96, 15.68, 14.66, 14.50, 14.210, 14.913, 0.006},
	    {"M20", 19.96, 19.62, 18.33, 18.16, 17.744, 18.600, 0.006},
	    {"M24", 23.95, 23.58, 22.00, 21.80, 21.252, 22.316, 0.006},
	    {"M24x1", 23.97, 23.79, 23.32, 23.20, 23.153, 23.520, 0.006},
	    {"M27x2", 26.96, 26.68, 25.66, 25.49, 25.210, 25.925, 0.006},
	    {"M30", 29.95, 29.52, 27.67, 27.46, 26.771, 28.007, 0.006},
	    {"M36", 35.94, 35.47, 33.34, 33.12, 32.270, 33.702, 0.006},
	    {"M42", 41.94, 41.44, 39.01, 38.78, 37.799, 39.392, 0.006},
	    {"M48", 47.93, 47.40, 44.68, 44.43, 43.297, 45.087, 0.006},
	    {"M56", 55.93, 55.37, 52.35, 52.09, 50.796, 52.783, 0.006},
	    {"M64", 63.92, 63.32, 60.02, 59.74, 58.305, 60.478, 0.006},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_thread_limits l = limits(row[i].thread);
		assert_string_equal(l.classes, "6g/6H");
		assert_near(l.bolt_outer_max / MM, row[i].d_max, row[i].slack);
		assert_near(l.bolt_outer_min / MM, row[i].d_min, row[i].slack);
		assert_near(l.bolt_pitch_max / MM, row[i].d2_max, row[i].slack);
		assert_near(l.bolt_pitch_min / MM, row[i].d2_min, row[i].slack);
		assert_near(l.nut_inner_max / MM, row[i].D1_max, 0.001);
		assert_near(l.nut_pitch_max / MM, row[i].D2_max, 0.002); /* M18, M20: 0.6 or 0.601 */
		assert_near(l.nut_inner_min, thread(row[i].thread).inner_dia, 1e-12);
		assert_near(l.nut_pitch_min, thread(row[i].thread).pitch_dia, 1e-12);
	}
}

/* ISO 965-1, section 13, the formulas behind its tables (µm, mm; from memory): es = 15 + 11P, Td2 =
 * 90·P^0.4·d^0.1 with the geometric mean of the span of diameters, TD2 = 1.32·Td2, Td = 180·P^(2/3)
 * - 3.15/sqrt(P), TD1 = 230·P^0.7 from 1 mm up, below it 433·P - 190·P^1.22. The tables are rounded
 * to the series R40, whose steps are 6 %, so 7 % is allowed for; es is rounded to whole µm. */
static void test_metric_formulas(void **state)
{
	static const double span[] = {1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0};
	static const double pitch[] = {0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1.0, 1.25, 1.5,
	                               1.75, 2.0, 2.5,  3.0, 3.5, 4.0, 4.5,  5.0, 5.5, 6.0,  8.0};
	size_t found = 0;
	(void)state;

	for (size_t s = 0; s + 1 < COUNT(span); s++)
		for (size_t i = 0; i < COUNT(pitch); i++) {
			double p = pitch[i], d = sqrt(span[s] * span[s + 1]);
			char text[64];
			struct fw_thread_limits l;
			snprintf(text, sizeof text, "M%.4fx%g", span[s + 1], p);
			struct fw_thread t;
			if (fw_thread_parse(&t, text, &error) != FW_OK ||
			    fw_thread_limits(&l, &t, &error) != FW_OK)
				continue;
			found++;
			double td2 = 90.0 * pow(p, 0.4) * pow(d, 0.1);
			double td1 = p >= 1.0 ? 230.0 * pow(p, 0.7) : 433.0 * p - 190.0 * pow(p, 1.22);
			double td = 180.0 * pow(p, 2.0 / 3.0) - 3.15 / sqrt(p);
			assert_near((t.diameter - l.bolt_outer_max) * 1e6, 15.0 + 11.0 * p, 3.1);
			assert_near((l.bolt_pitch_max - l.bolt_pitch_min) * 1e6, td2, 0.07 * td2);
			assert_near((l.nut_pitch_max - l.nut_pitch_min) * 1e6, 1.32 * td2, 0.07 * 1.32 * td2);
			assert_near((l.bolt_outer_max - l.bolt_outer_min) * 1e6, td, 0.07 * td);
			assert_near((l.nut_inner_max - l.nut_inner_min) * 1e6, td1, 0.07 * td1);
		}
	assert_int_equal(found, 38); /* the rows of tables 5 and 6 for grade 6, up to 180 mm */
}

/* ASME B1.1, limits of classes 2A and 2B, in: the small ones as reprinted in a public table of the
 * standard, 1/4-20 in a second; the others from memory. */
static void test_inch_limits(void **state)
{
	static const struct {
		const char *thread;
		double d_max, d_min, d2_max, d2_min, D1_max, D2_max;
	} row[] = {
	    {"#0-80", 0.0595, 0.0563, 0.0514, 0.0496, 0.0514, 0.0542},
	    {"#1-64", 0.0724, 0.0686, 0.0623, 0.0603, 0.0623, 0.0655},
	    {"#1-72", 0.0724, 0.0689, 0.0634, 0.0615, 0.0635, 0.0665},
	    {"#2-56", 0.0854, 0.0813, 0.0738, 0.0717, 0.0737, 0.0772},
	    {"#2-64", 0.0854, 0.0816, 0.0753, 0.0733, 0.0753, 0.0786},
	    {"1/4-20", 0.2489, 0.2408, 0.2164, 0.2127, 0.207, 0.2224},
	    {"5/16-18", 0.3113, 0.3026, 0.2752, 0.2712, 0.265, 0.2817},
	    {"3/8-16", 0.3737, 0.3643, 0.3331, 0.3287, 0.321, 0.3401},
	    {"1/2-13", 0.4985, 0.4876, 0.4485, 0.4435, 0.434, 0.4565},
	    {"1/2-20", 0.4987, 0.4906, 0.4662, 0.4619, 0.457, 0.4731},
	    {"5/8-11", 0.6234, 0.6113, 0.5644, 0.5589, 0.546, 0.5732},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_thread_limits l = limits(row[i].thread);
		bool big = row[i].d_max > 0.2; /* the bore is printed to 0.001 in there */
		assert_string_equal(l.classes, "2A/2B");
		assert_near(l.bolt_outer_max / INCH, row[i].d_max, 0.00011);
		assert_near(l.bolt_outer_min / INCH, row[i].d_min, 0.00011);
		assert_near(l.bolt_pitch_max / INCH, row[i].d2_max, 0.00011);
		assert_near(l.bolt_pitch_min / INCH, row[i].d2_min, 0.00011);
		assert_near(l.nut_inner_max / INCH, row[i].D1_max, big ? 0.001 : 0.00011);
		assert_near(l.nut_pitch_max / INCH, row[i].D2_max, 0.00011);
	}
}

/* ISO 724, D1, mm, from memory; ASME B1.1 basic minor diameter of 1/4-20, 0.1959 in, as reprinted.
 */
static void test_bore_of_the_nut(void **state)
{
	static const struct {
		const char *thread;
		double inner;
	} row[] = {{"M6", 4.917}, {"M8", 6.647}, {"M10", 8.376}, {"M16", 13.835}, {"M24", 20.752}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++)
		assert_near(thread(row[i].thread).inner_dia / MM, row[i].inner, 0.00055);
	assert_near(thread("1/4-20").inner_dia / INCH, 0.1959, 0.00006);
}

static void test_no_limits(void **state)
{
	static const char *const without[] = {"M8x0.9",  "M1.4", "M200x8", "M10x1.75",
	                                      "M2x0.25", "8-4",  "20-4"};
	struct fw_thread t, good = thread("M8");
	struct fw_thread_limits l;
	(void)state;

	for (size_t i = 0; i < COUNT(without); i++) {
		t = thread(without[i]);
		assert_code(fw_thread_limits(&l, &t, &error), FW_ERR_RANGE);
	}
	t = good;
	t.pitch = NAN;
	assert_code(fw_thread_limits(&l, &t, &error), FW_ERR_ARGUMENT);
	t = good;
	t.diameter = INFINITY;
	assert_code(fw_thread_limits(&l, &t, &error), FW_ERR_ARGUMENT);
	t = good;
	t.inner_dia = 0.0;
	assert_code(fw_thread_limits(&l, &t, &error), FW_ERR_ARGUMENT);
	t = good;
	t.pitch = -1.0;
	assert_code(fw_thread_limits(&l, &t, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thread_limits(NULL, &good, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thread_limits(&l, NULL, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_metric_limits), cmocka_unit_test(test_metric_formulas),
	    cmocka_unit_test(test_inch_limits),   cmocka_unit_test(test_bore_of_the_nut),
	    cmocka_unit_test(test_no_limits),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
