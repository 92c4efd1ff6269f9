/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <string.h>

#include "fitwright/turn.h"

#define MM       1e-3
#define GPA      1e9
#define MN_M     1e6 /* meganewtons a metre */
#define INCH     0.0254
#define LBF      4.4482216152605   /* NIST SP 811, appendix B */
#define PSI      6894.757293168361 /* ditto */
#define PI       3.14159265358979323846
#define DEGREE   (PI / 180.0)
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static double bolt(const char *text, double shank, double threaded, double modulus, bool ends)
{
	struct fw_bolt_spring b = {
	    .shank = shank, .threaded = threaded, .modulus = modulus, .ends = ends};
	double k = 0.0;

	assert_ok(fw_thread_parse(&b.thread, text, &error));
	assert_ok(fw_bolt_stiffness(&k, &b, &error));
	return k;
}

static double plates(const struct fw_layer *layer, size_t count, double face, double hole)
{
	double k = 0.0;

	assert_ok(fw_plates_stiffness(&k, layer, count, face, hole, &error));
	return k;
}

/* Shigley's Mechanical Engineering Design, chapter 8, worked problems as published in its solutions
 * and in a tutor's: M14x2 through two plates of 15 mm, steel of 207 GPa: 874.62 and 3116.45 MN/m.
 * M12 through 20 mm of steel and 25 mm of cast iron (100 GPa), plain for 30 mm: 466.8 and 1379
 * MN/m. M12 cap screw, plain for 10 mm, threaded for 16: 744 MN/m. Faces are 1.5·d, the stress
 * areas rounded to 115 and 84.3 mm²: half a percent. */
static void test_shigley(void **state)
{
	static const struct fw_layer steel[] = {{15 * MM, 207 * GPA}, {15 * MM, 207 * GPA}};
	static const struct fw_layer mixed[] = {{20 * MM, 207 * GPA}, {25 * MM, 100 * GPA}};
	static const struct fw_layer turned[] = {{25 * MM, 100 * GPA}, {20 * MM, 207 * GPA}};
	(void)state;

	assert_near(bolt("M14", 11 * MM, 19 * MM, 207 * GPA, false) / MN_M, 874.62, 4.4);
	assert_near(plates(steel, 2, 21 * MM, 14 * MM) / MN_M, 3116.45, 1.0);
	assert_near(bolt("M12", 30 * MM, 15 * MM, 207 * GPA, false) / MN_M, 466.8, 2.3);
	assert_near(plates(mixed, 2, 18 * MM, 12 * MM) / MN_M, 1379.0, 2.0);
	assert_near(bolt("M12", 10 * MM, 16 * MM, 207 * GPA, false) / MN_M, 744.0, 3.7);
	/* which side is up doesn't matter, nor how a plate is cut up */
	assert_near(plates(turned, 2, 18 * MM, 12 * MM) / plates(mixed, 2, 18 * MM, 12 * MM), 1.0,
	            1e-12);
	assert_near(plates(&(struct fw_layer){30 * MM, 207 * GPA}, 1, 21 * MM, 14 * MM) /
	                plates(steel, 2, 21 * MM, 14 * MM),
	            1.0, 1e-12);
}

/* The same book, from memory: a bolt 3/4-16 UNF in a steel tube 10 in long, 1.125 in on 0.75 in, E
 * = 30e6 psi; snug and a third of a turn: the tube is 1.657e6 lbf/in, the bolt 1.30e6, the preload
 * about 15 150 lbf. */
static void test_tube_and_a_third_of_a_turn(void **state)
{
	double tube = 0.0, preload = 0.0, angle = 0.0;
	struct fw_turn turn = {.pitch = INCH / 16.0};
	(void)state;

	assert_ok(fw_sleeve_stiffness(&tube, 1.125 * INCH, 0.75 * INCH, 10 * INCH, 30e6 * PSI, &error));
	assert_near(tube / (1e6 * LBF / INCH), 1.657, 0.0006);
	turn.bolt = bolt("3/4-16 UNF", 9.0 * INCH, 1.0 * INCH, 30e6 * PSI, false);
	assert_near(turn.bolt / (1e6 * LBF / INCH), 1.30, 0.006);
	turn.parts = tube;
	assert_ok(fw_turn_preload(&preload, &turn, 120 * DEGREE, &error));
	assert_near(preload / LBF, 15150, 80);
	assert_ok(fw_turn_angle(&angle, &turn, preload, &error));
	assert_near(angle / DEGREE, 120.0, 1e-9);
}

/* By hand, with the stiffnesses above: 50 kN on 1/874.62 + 1/3116.45 m/GN are 0.073211 mm, of a
 * pitch of 2 mm 13.178°. From 10 kN: four fifths of it. */
static void test_by_hand(void **state)
{
	struct fw_turn turn = {.pitch = 2 * MM, .bolt = 874.62 * MN_M, .parts = 3116.45 * MN_M};
	double angle = 0.0, preload = 0.0;
	(void)state;

	assert_ok(fw_turn_angle(&angle, &turn, 50e3, &error));
	assert_near(angle / DEGREE, 13.178, 0.001);
	turn.snug = 10e3;
	assert_ok(fw_turn_angle(&angle, &turn, 50e3, &error));
	assert_near(angle / DEGREE, 0.8 * 13.178, 0.001);
	assert_ok(fw_turn_angle(&angle, &turn, 10e3, &error));
	assert_near(angle, 0.0, 0.0);
	assert_ok(fw_turn_preload(&preload, &turn, 0.0, &error));
	assert_near(preload, 10e3, 0.0);
	/* parts that don't give: the bolt takes the whole pitch a turn */
	turn = (struct fw_turn){.pitch = 1 * MM, .bolt = 1e8, .parts = 1e20};
	assert_ok(fw_turn_preload(&preload, &turn, 2 * PI, &error));
	assert_near(preload, 1e5, 1e-3);
}

/* VDI 2230's head, engaged thread and nut, by hand: M8 (d3 = 6.466 mm), 20 mm plain and 10 mm
 * threaded, 205 GPa: 20/50.265 + 10/36.61 + 7.2/50.265 + 4/32.84 = 0.9361 /mm, so 205000/0.9361
 * N/mm. */
static void test_ends_of_the_bolt(void **state)
{
	double with = bolt("M8", 20 * MM, 10 * MM, 205 * GPA, true);
	double without = bolt("M8", 20 * MM, 10 * MM, 205 * GPA, false);
	(void)state;

	assert_near(with / 1e3, 205000.0 / 0.9361, 60.0);
	assert_true(with < without);
}

/* Cones in one thick layer against the same sum of many thin slices of plain sleeve: the integral
 * of dx/ (E·A(x)), by Simpson's rule. */
static void test_cones_against_an_integral(void **state)
{
	(void)state;
	for (double length = 10.0; length <= 60.0; length += 10.0) {
		struct fw_layer layer = {length * MM, 70 * GPA};
		double sum = 0.0, half = length / 2.0, step = half / 2000.0;
		for (int i = 0; i <= 2000; i++) {
			double wide = 18.0 + 2.0 * tan(30 * DEGREE) * i * step;
			double area = PI / 4.0 * (wide * wide - 12.0 * 12.0);
			sum += (i == 0 || i == 2000 ? 1.0 : i % 2 ? 4.0 : 2.0) / area;
		}
		double compliance = 2.0 * sum * step / 3.0 / 70e3; /* mm/N, both halves */
		assert_near(plates(&layer, 1, 18 * MM, 12 * MM) / 1e3 * compliance, 1.0, 1e-9);
	}
}

static void test_refused(void **state)
{
	static const double bad[] = {0.0, -1.0, NAN, INFINITY};
	struct fw_bolt_spring good = {.shank = 0.02, .threaded = 0.01, .modulus = 2e11}, b;
	struct fw_turn fine = {.pitch = 1e-3, .bolt = 1e8, .parts = 1e9}, t;
	struct fw_layer layer = {0.01, 2e11}, l;
	double x = 0.0;
	(void)state;

	assert_ok(fw_thread_parse(&good.thread, "M8", &error));
	assert_ok(fw_bolt_stiffness(&x, &good, &error));
	for (size_t i = 0; i < COUNT(bad); i++) {
		b = good;
		b.modulus = bad[i];
		assert_code(fw_bolt_stiffness(&x, &b, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "modulus");
		b = good;
		b.thread.stress_area = bad[i];
		assert_code(fw_bolt_stiffness(&x, &b, &error), FW_ERR_ARGUMENT);
		b = good;
		b.shank = bad[i];
		if (bad[i] != 0.0)
			assert_code(fw_bolt_stiffness(&x, &b, &error), FW_ERR_ARGUMENT);
		assert_code(fw_sleeve_stiffness(&x, 0.02, 0.01, bad[i], 2e11, &error), FW_ERR_ARGUMENT);
		assert_code(fw_sleeve_stiffness(&x, 0.02, 0.01, 0.1, bad[i], &error), FW_ERR_ARGUMENT);
		assert_code(fw_sleeve_stiffness(&x, bad[i], 0.01, 0.1, 2e11, &error), FW_ERR_ARGUMENT);
		l = (struct fw_layer){bad[i], 2e11};
		assert_code(fw_plates_stiffness(&x, &l, 1, 0.02, 0.01, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "layer 1");
		l = (struct fw_layer){0.01, bad[i]};
		assert_code(fw_plates_stiffness(&x, &l, 1, 0.02, 0.01, &error), FW_ERR_ARGUMENT);
		assert_code(fw_plates_stiffness(&x, &layer, 1, bad[i], 0.01, &error), FW_ERR_ARGUMENT);
		assert_code(fw_plates_stiffness(&x, &layer, 1, 0.02, bad[i], &error), FW_ERR_ARGUMENT);
		t = fine;
		t.pitch = bad[i];
		assert_code(fw_turn_angle(&x, &t, 1e4, &error), FW_ERR_ARGUMENT);
		t = fine;
		t.bolt = bad[i];
		assert_code(fw_turn_preload(&x, &t, 1.0, &error), FW_ERR_ARGUMENT);
		t = fine;
		t.parts = bad[i];
		assert_code(fw_turn_preload(&x, &t, 1.0, &error), FW_ERR_ARGUMENT);
		assert_code(fw_turn_angle(&x, &fine, bad[i], &error), FW_ERR_ARGUMENT);
		t = fine;
		t.snug = bad[i];
		if (bad[i] != 0.0) {
			assert_code(fw_turn_angle(&x, &t, 1e4, &error), FW_ERR_ARGUMENT);
			assert_code(fw_turn_preload(&x, &fine, bad[i], &error), FW_ERR_ARGUMENT);
		}
	}
	b = good;
	b.shank = b.threaded = 0.0;
	assert_code(fw_bolt_stiffness(&x, &b, &error), FW_ERR_ARGUMENT);
	t = fine;
	t.snug = 2e4;
	assert_code(fw_turn_angle(&x, &t, 1e4, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "snug");
	assert_code(fw_turn_angle(&x, &fine, 1e12, &error), FW_ERR_RANGE);
	assert_code(fw_turn_preload(&x, &fine, 100.0, &error), FW_ERR_RANGE);
	assert_code(fw_plates_stiffness(&x, &layer, 0, 0.02, 0.01, &error), FW_ERR_ARGUMENT);
	assert_code(fw_plates_stiffness(&x, &layer, FW_LAYERS_MOST + 1, 0.02, 0.01, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_plates_stiffness(&x, NULL, 1, 0.02, 0.01, &error), FW_ERR_ARGUMENT);
	assert_code(fw_sleeve_stiffness(&x, 0.02, 0.02, 0.1, 2e11, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bolt_stiffness(&x, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_turn_angle(NULL, &fine, 1e4, &error), FW_ERR_ARGUMENT);
	assert_code(fw_turn_preload(&x, NULL, 1.0, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_shigley),
	    cmocka_unit_test(test_tube_and_a_third_of_a_turn),
	    cmocka_unit_test(test_by_hand),
	    cmocka_unit_test(test_ends_of_the_bolt),
	    cmocka_unit_test(test_cones_against_an_integral),
	    cmocka_unit_test(test_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
