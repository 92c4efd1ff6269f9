/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Defect frequencies of rolling bearings, and frequencies of a pair of gears. */
#include <string.h>

#include "check.h"
#include "fitwright/gears.h"

#define PI   3.14159265358979323846
#define TURN (2.0 * PI)
#define INCH 0.0254
#define MM   1e-3
#define RPM  (PI / 30.0)

static struct fw_error error;

static struct fw_bearing bearing(unsigned count, double dia, double pitch, double degrees)
{
	return (struct fw_bearing){.kind = FW_BALL_BEARING,
	                           .elements = count,
	                           .rows = 1,
	                           .element_dia = dia,
	                           .pitch_dia = pitch,
	                           .contact_angle = degrees * PI / 180.0};
}

static struct fw_bearing_frequencies sounds(struct fw_bearing b, double inner, double outer)
{
	struct fw_bearing_frequencies f = {0};

	assert_ok(fw_bearing_sounds(&f, &b, inner, outer, &error));
	return f;
}

/* Multiples of shaft speed published with open vibration data, with the geometry given there: two
 * bearings of Case Western Reserve University's bearing data (9 balls 0.3126 in on 1.537 in; 8
 * balls 0.2656 in on 1.122 in), one of Curtin University's (9 balls 7.9375 mm on 38.50 mm).
 * "Rolling element" there is twice the spin. */
static void test_published_multiples(void **state)
{
	struct fw_bearing_frequencies f;
	(void)state;

	f = sounds(bearing(9, 0.3126 * INCH, 1.537 * INCH, 0), TURN, 0);
	assert_near(f.inner, 5.4152, 1e-4);
	assert_near(f.outer, 3.5848, 1e-4);
	assert_near(f.cage, 0.39828, 5e-5);
	assert_near(2.0 * f.spin, 4.7135, 1e-4);
	f = sounds(bearing(8, 0.2656 * INCH, 1.122 * INCH, 0), TURN, 0);
	assert_near(f.inner, 4.9469, 2e-4);
	assert_near(f.outer, 3.0530, 2e-4);
	assert_near(f.cage, 0.3817, 1e-4);
	assert_near(2.0 * f.spin, 3.9874, 3e-3);
	f = sounds(bearing(9, 7.9375 * MM, 38.50 * MM, 0), TURN, 0);
	assert_near(f.cage, 0.3969, 5e-5);
	assert_near(f.outer, 3.572, 5e-4);
	assert_near(f.inner, 5.428, 5e-4);
	assert_near(f.spin, 2.32, 5e-3);
}

/* The University of Cincinnati's run-to-failure data: 16 rollers 0.331 in on 2.815 in at 15.17°,
 * 2000 rpm (figures from memory). */
static void test_published_hertz(void **state)
{
	struct fw_bearing b = bearing(16, 0.331 * INCH, 2.815 * INCH, 15.17);
	(void)state;

	b.kind = FW_ROLLER_BEARING;
	struct fw_bearing_frequencies f = sounds(b, 2000 * RPM, 0);
	assert_near(f.outer, 236.4, 0.05);
	assert_near(f.inner, 296.9, 0.1);
	assert_near(f.spin, 139.9, 0.1);
	assert_near(f.cage, 14.77, 0.02);
}

/* What passes, counted. Both rings turn; the balls' centres move with the mean of the two raceways'
 * surface speeds (rolling without slip); each time a ball comes over a mark on a ring is counted.
 */
struct count {
	double outer, inner, cage, spin;
};

static struct count count_passes(const struct fw_bearing *b, double inner, double outer,
                                 double seconds)
{
	double reach = b->element_dia * cos(b->contact_angle);
	double ri = (b->pitch_dia - reach) / 2.0, ro = (b->pitch_dia + reach) / 2.0;
	double centre = (inner * ri + outer * ro) / 2.0 / (b->pitch_dia / 2.0);
	/* seen from the cage the inner raceway drives the ball's surface */
	double spin = (inner - centre) * ri / (b->element_dia / 2.0);
	double space = TURN / b->elements;
	struct count n = {0, 0, 0, 0};
	double step = seconds / 200000.0;

	for (int i = 1; i <= 200000; i++) {
		double before = (i - 1) * step, after = i * step;
		n.outer += fabs(floor((centre - outer) * after / space) -
		                floor((centre - outer) * before / space));
		n.inner += fabs(floor((centre - inner) * after / space) -
		                floor((centre - inner) * before / space));
		n.cage +=
		    fabs(floor((centre - outer) * after / TURN) - floor((centre - outer) * before / TURN));
		n.spin += fabs(floor(spin * after / TURN) - floor(spin * before / TURN));
	}
	return n;
}

static void test_against_counting(void **state)
{
	static const double speeds[][2] = {{100, 0}, {0, 80}, {100, -60}, {100, 60}, {-90, 30}};
	(void)state;

	for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
		struct fw_bearing b = bearing(9 + (unsigned)i, 8.0 * MM, 46.0 * MM, 10.0 * (double)i);
		double seconds = 60.0;
		struct fw_bearing_frequencies f = sounds(b, speeds[i][0], speeds[i][1]);
		struct count n = count_passes(&b, speeds[i][0], speeds[i][1], seconds);
		assert_near(f.outer * seconds, n.outer, 1.01);
		assert_near(f.inner * seconds, n.inner, 1.01);
		assert_near(f.cage * seconds, n.cage, 1.01);
		assert_near(f.spin * seconds, n.spin, 1.01);
		/* each ball passes either ring as often as the rings pass each other */
		assert_near(f.outer + f.inner, b.elements * f.relative, 1e-9);
	}
	struct fw_bearing_frequencies f = sounds(bearing(9, 8.0 * MM, 46.0 * MM, 0), 50, 50);
	assert_true(f.outer == 0.0 && f.inner == 0.0 && f.spin == 0.0);
}

static void test_bad_sounds(void **state)
{
	struct fw_bearing_frequencies f = {.cage = -7};
	struct fw_bearing b = bearing(9, 8.0 * MM, 46.0 * MM, 0);
	(void)state;

	assert_code(fw_bearing_sounds(&f, &b, NAN, 0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "inner");
	assert_code(fw_bearing_sounds(&f, &b, 0, INFINITY, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "outer");
	struct fw_bearing many = bearing(100, 1.0 * MM, 46.0 * MM, 0);
	assert_code(fw_bearing_sounds(&f, &many, 1.7e308, 0, &error), FW_ERR_RANGE);
	assert_code(fw_bearing_sounds(&f, NULL, 1, 0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bearing_sounds(NULL, &b, 1, 0, &error), FW_ERR_ARGUMENT);
	b.elements = 0;
	assert_code(fw_bearing_sounds(&f, &b, 1, 0, &error), FW_ERR_ARGUMENT);
	b.elements = 20;
	assert_code(fw_bearing_sounds(&f, &b, 1, 0, &error), FW_ERR_ARGUMENT);
	b.elements = 9;
	b.contact_angle = PI / 2.0;
	assert_code(fw_bearing_sounds(&f, &b, 1, 0, &error), FW_ERR_ARGUMENT);
	assert_true(f.cage == -7);
}

/* Which teeth meet, tooth by tooth, until the first two meet again; and how many phases there are.
 */
static void test_hunting_tooth_by_counting(void **state)
{
	static const unsigned teeth[][2] = {{15, 20}, {17, 43}, {21, 38}, {32, 96}, {20, 20}, {1, 7}};
	(void)state;

	for (size_t i = 0; i < sizeof teeth / sizeof teeth[0]; i++) {
		unsigned za = teeth[i][0], zb = teeth[i][1], met = 1;
		struct fw_mesh m;
		assert_ok(fw_gear_mesh(&m, za, zb, -10.0 * TURN, &error));
		while (met % za != 0 || met % zb != 0)
			met++;
		assert_near(m.mesh, 10.0 * za, 1e-9);
		assert_near(m.turn_b, 10.0 * za / zb, 1e-9);
		assert_near(m.mesh / m.hunting, met, 1e-6);
		assert_near(m.phase * m.common, m.mesh, 1e-9);
		assert_true(za % m.common == 0 && zb % m.common == 0);
	}
}

static void test_bad_mesh(void **state)
{
	struct fw_mesh m;
	(void)state;

	assert_code(fw_gear_mesh(&m, 0, 20, 1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gear_mesh(&m, 20, 0, 1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gear_mesh(&m, 20, 10001, 1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gear_mesh(&m, 20, 30, NAN, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gear_mesh(&m, 20, 30, 1e306, &error), FW_ERR_ARGUMENT);
	assert_code(fw_gear_mesh(NULL, 20, 30, 1, &error), FW_ERR_ARGUMENT);
	assert_ok(fw_gear_mesh(&m, 20, 30, 0, &error));
	assert_true(m.mesh == 0.0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_published_multiples),       cmocka_unit_test(test_published_hertz),
	    cmocka_unit_test(test_against_counting),          cmocka_unit_test(test_bad_sounds),
	    cmocka_unit_test(test_hunting_tooth_by_counting), cmocka_unit_test(test_bad_mesh),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
