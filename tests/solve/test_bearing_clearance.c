/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Internal clearance of rolling bearings: groups, and what mounting and warmth leave. */
#include <string.h>

#include <gsl/gsl_linalg.h>

#include "check.h"
#include "fitwright/bearing.h"

#define MM     1e-3
#define MICRON 1e-6

static struct fw_error error;

/* ISO 5753-1 for deep groove bearings as reprinted by four suppliers up to 100 mm (two of them with
 * the same two misprints), by one of them up to 180 mm without C5; bores in the middle of each
 * range and at its end. */
static void test_deep_groove_groups(void **state)
{
	static const struct {
		double middle, end;
		double c2[2], cn[2], c3[2], c4[2], c5[2];
	} row[] = {
	    {8, 10, {0, 7}, {2, 13}, {8, 23}, {14, 29}, {20, 37}},
	    {15, 18, {0, 9}, {3, 18}, {11, 25}, {18, 33}, {25, 45}},
	    {20, 24, {0, 10}, {5, 20}, {13, 28}, {20, 36}, {28, 48}},
	    {25, 30, {1, 11}, {5, 20}, {13, 28}, {23, 41}, {30, 53}},
	    {35, 40, {1, 11}, {6, 20}, {15, 33}, {28, 46}, {40, 64}},
	    {45, 50, {1, 11}, {6, 23}, {18, 36}, {30, 51}, {45, 73}},
	    {55, 65, {1, 15}, {8, 28}, {23, 43}, {38, 61}, {55, 90}},
	    {70, 80, {1, 15}, {10, 30}, {25, 51}, {46, 71}, {65, 105}},
	    {90, 100, {1, 18}, {12, 36}, {30, 58}, {53, 84}, {75, 120}},
	    {110, 120, {2, 20}, {15, 41}, {36, 66}, {61, 97}, {0, 0}},
	    {130, 140, {2, 23}, {18, 48}, {41, 81}, {71, 114}, {0, 0}},
	    {150, 160, {2, 23}, {18, 53}, {46, 91}, {81, 130}, {0, 0}},
	    {170, 180, {2, 25}, {20, 61}, {53, 102}, {91, 147}, {0, 0}},
	};
	struct fw_clearance_range r[FW_CLEARANCE_GROUPS];
	(void)state;

	for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
		for (int end = 0; end < 2; end++) {
			const double *group[] = {row[i].c2, row[i].cn, row[i].c3, row[i].c4, row[i].c5};
			double bore = end ? row[i].end : row[i].middle;
			assert_ok(fw_bearing_clearances(r, FW_CLEARANCE_DEEP_GROOVE, bore * MM, &error));
			for (size_t g = 0; g < FW_CLEARANCE_GROUPS; g++) {
				if (group[g][1] == 0)
					continue; /* not in that copy */
				assert_near(r[g].min / MICRON, group[g][0], 1e-9);
				assert_near(r[g].max / MICRON, group[g][1], 1e-9);
			}
		}
	}
	assert_string_equal(fw_clearance_group_name(FW_GROUP_N), "CN");
	assert_string_equal(fw_clearance_group_name(FW_GROUP_5), "C5");
}

/* What every table of clearances keeps to: groups rise and overlap, larger bores have no less, C5
 * too. It is the check of what no copy was found for. */
static void test_groups_are_in_order(void **state)
{
	static const double bores[] = {8, 15, 20, 25, 35, 45, 55, 70, 90, 110, 130, 150, 170, 190};
	(void)state;

	for (int t = FW_CLEARANCE_DEEP_GROOVE; t <= FW_CLEARANCE_CYLINDRICAL; t++) {
		struct fw_clearance_range r[FW_CLEARANCE_GROUPS], last[FW_CLEARANCE_GROUPS] = {{0, 0}};
		for (size_t i = 0; i < sizeof bores / sizeof bores[0]; i++) {
			assert_ok(fw_bearing_clearances(r, (enum fw_clearance_table)t, bores[i] * MM, &error));
			for (size_t g = 0; g < FW_CLEARANCE_GROUPS; g++) {
				assert_true(r[g].min < r[g].max && r[g].min >= last[g].min &&
				            r[g].max >= last[g].max);
				assert_true(r[g].max <= 1.65 * last[g].max || i == 0);
				if (g > 0)
					assert_true(r[g].min > r[g - 1].min && r[g].max > r[g - 1].max);
				last[g] = r[g];
			}
		}
	}
}

/* ISO 5753-1, cylindrical rollers, as one page reprints it; C2, CN, C3, C4, C5 for 24, 40, 65, 100
 * and 200 mm. */
static void test_cylindrical_groups(void **state)
{
	static const struct {
		double bore, limit[10];
	} row[] = {
	    {24, {0, 25, 20, 45, 35, 60, 50, 75, 65, 90}},
	    {40, {5, 30, 25, 50, 45, 70, 60, 85, 80, 105}},
	    {65, {10, 40, 40, 70, 60, 90, 80, 110, 110, 140}},
	    {100, {15, 50, 50, 85, 75, 110, 105, 140, 155, 190}},
	    {200, {35, 90, 90, 145, 140, 195, 195, 250, 275, 330}},
	};
	struct fw_clearance_range r[FW_CLEARANCE_GROUPS];
	(void)state;

	for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
		assert_ok(fw_bearing_clearances(r, FW_CLEARANCE_CYLINDRICAL, row[i].bore * MM, &error));
		for (size_t g = 0; g < FW_CLEARANCE_GROUPS; g++) {
			assert_near(r[g].min / MICRON, row[i].limit[2 * g], 1e-9);
			assert_near(r[g].max / MICRON, row[i].limit[2 * g + 1], 1e-9);
		}
	}
}

static void test_bad_bores(void **state)
{
	struct fw_clearance_range r[FW_CLEARANCE_GROUPS];
	(void)state;

	assert_code(fw_bearing_clearances(r, FW_CLEARANCE_DEEP_GROOVE, 2.5 * MM, &error), FW_ERR_RANGE);
	assert_code(fw_bearing_clearances(r, FW_CLEARANCE_DEEP_GROOVE, 200.1 * MM, &error),
	            FW_ERR_RANGE);
	assert_code(fw_bearing_clearances(r, FW_CLEARANCE_CYLINDRICAL, 200.1 * MM, &error),
	            FW_ERR_RANGE);
	assert_code(fw_bearing_clearances(r, FW_CLEARANCE_DEEP_GROOVE, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bearing_clearances(r, FW_CLEARANCE_DEEP_GROOVE, NAN, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bearing_clearances(r, (enum fw_clearance_table)7, 0.02, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_bearing_clearances(NULL, FW_CLEARANCE_DEEP_GROOVE, 0.02, &error),
	            FW_ERR_ARGUMENT);
	/* the smallest bores have no C4 and C5 */
	assert_ok(fw_bearing_clearances(r, FW_CLEARANCE_DEEP_GROOVE, 5.0 * MM, &error));
	assert_true(isnan(r[FW_GROUP_4].min) && isnan(r[FW_GROUP_5].max));
	assert_near(r[FW_GROUP_3].max / MICRON, 23.0, 1e-9);
}

/* An invented bearing 30 x 62 on a solid shaft, all of steel, housing very thick. */
static struct fw_bearing_mount steel(void)
{
	return (struct fw_bearing_mount){
	    .clearance = 20 * MICRON,
	    .bore = 30 * MM,
	    .outside = 62 * MM,
	    .inner_race = 36.5 * MM,
	    .outer_race = 55.5 * MM,
	    .ring_modulus = 206e9,
	    .ring_poisson = 0.3,
	    .ring_expansion = 12.5e-6,
	    .shaft_modulus = 206e9,
	    .shaft_poisson = 0.3,
	    .shaft_expansion = 12.5e-6,
	    .housing_modulus = 206e9,
	    .housing_poisson = 0.3,
	    .housing_expansion = 12.5e-6,
	    .shaft_share = NAN,
	    .housing_share = NAN,
	};
}

static struct fw_bearing_mounted mounted(struct fw_bearing_mount m)
{
	struct fw_bearing_mounted r = {0};

	assert_ok(fw_bearing_mount(&r, &m, &error));
	return r;
}

/* On a solid shaft of the ring's own steel the raceway grows by d/F of the interference; in an
 * endless housing the outer one shrinks by E/D (Harris, Rolling Bearing Analysis, from memory). For
 * the usual rings that is the 0.8 and 0.9 of practice. */
static void test_solid_steel(void **state)
{
	struct fw_bearing_mount m = steel();
	(void)state;

	m.shaft_interference = 12 * MICRON;
	m.housing_interference = 10 * MICRON;
	struct fw_bearing_mounted r = mounted(m);
	assert_near(r.shaft_share, 30.0 / 36.5, 1e-12);
	assert_near(r.housing_share, 55.5 / 62.0, 1e-12);
	assert_near(r.inner_growth / MICRON, 9.863, 1e-3);
	assert_near(r.outer_shrink / MICRON, 8.952, 1e-3);
	assert_near(r.clearance / MICRON, 20 - 9.863 - 8.952, 2e-3);
	m.shaft_interference = -5 * MICRON; /* loose: nothing happens */
	m.housing_interference = 0.0;
	assert_near(mounted(m).clearance / MICRON, 20.0, 1e-9);
	m.shaft_interference = 10 * MICRON;
	m.shaft_share = 0.8; /* common practice, no source */
	assert_near(mounted(m).clearance / MICRON, 12.0, 1e-9);
}

/* A ring of E, ν between radii: radial displacement A·r + B/r, radial stress
 * E/(1 - ν²)·[(1 + ν)·A - (1 - ν)·B/r²]. Writes the stress at r into a row. */
static void stress_row(double *row, size_t at, double sign, double modulus, double poisson,
                       double r)
{
	double factor = sign * modulus / (1.0 - poisson * poisson);

	row[at] = factor * (1.0 + poisson);
	row[at + 1] = -factor * (1.0 - poisson) / (r * r);
}

struct tube {
	double inner, outer, modulus, poisson;
};

/* Two tubes with interference `u` (diametral) where `in` ends and `on` begins: four conditions
 * (free faces, equal stress, step of displacement) for the constants of both. Gives the growth in
 * diameter of `on` at its outside, or of `in` at its inside. */
static double shrink_fit(struct tube in, struct tube on, double u, bool outside)
{
	double a[16] = {0}, b[4] = {0, 0, 0, u / 2.0}, r = in.outer / 2.0, x[4];
	int sign;

	stress_row(&a[0], 0, 1.0 / in.modulus, in.modulus, in.poisson, in.inner / 2.0);
	stress_row(&a[4], 2, 1.0 / on.modulus, on.modulus, on.poisson, on.outer / 2.0);
	stress_row(&a[8], 0, 1.0 / in.modulus, in.modulus, in.poisson, r);
	stress_row(&a[8], 2, -1.0 / in.modulus, on.modulus, on.poisson, r);
	a[12] = -r;
	a[13] = -1.0 / r;
	a[14] = r;
	a[15] = 1.0 / r;
	gsl_matrix_view m = gsl_matrix_view_array(a, 4, 4);
	gsl_vector_view right = gsl_vector_view_array(b, 4), solution = gsl_vector_view_array(x, 4);
	gsl_permutation *p = gsl_permutation_alloc(4);
	gsl_linalg_LU_decomp(&m.matrix, p, &sign);
	gsl_linalg_LU_solve(&m.matrix, p, &right.vector, &solution.vector);
	gsl_permutation_free(p);
	double at = outside ? on.outer / 2.0 : in.inner / 2.0;
	size_t k = outside ? 2 : 0;
	return 2.0 * (x[k] * at + x[k + 1] / at);
}

/* Hollow steel shaft, thin aluminium housing: against the equations of the two tubes solved as
 * such. */
static void test_lame_second_route(void **state)
{
	static const double hollow[] = {5, 15, 25}, wall[] = {66, 75, 120};
	(void)state;

	for (size_t i = 0; i < 3; i++) {
		struct fw_bearing_mount m = steel();
		m.shaft_bore = hollow[i] * MM;
		m.housing_outside = wall[i] * MM;
		m.housing_modulus = 71e9;
		m.housing_poisson = 0.33;
		m.shaft_interference = 15 * MICRON;
		m.housing_interference = 11 * MICRON;
		struct fw_bearing_mounted r = mounted(m);
		struct tube shaft = {m.shaft_bore, m.bore, m.shaft_modulus, m.shaft_poisson},
		            inner = {m.bore, m.inner_race, m.ring_modulus, m.ring_poisson},
		            outer = {m.outer_race, m.outside, m.ring_modulus, m.ring_poisson},
		            housing = {m.outside, m.housing_outside, m.housing_modulus, m.housing_poisson};
		assert_near(r.inner_growth / MICRON,
		            shrink_fit(shaft, inner, m.shaft_interference, true) / MICRON, 1e-6);
		assert_near(r.outer_shrink / MICRON,
		            -shrink_fit(outer, housing, m.housing_interference, false) / MICRON, 1e-6);
	}
}

/* A hole in the shaft that is next to nothing is none, and a wall a thousand times as wide as the
 * bearing is an endless one, to a millionth; wider than 1 km is a slip of units. */
static void test_far_from_usual_sizes(void **state)
{
	struct fw_bearing_mount m = steel();
	struct fw_bearing_mounted r;
	(void)state;

	m.shaft_interference = 12 * MICRON;
	m.housing_interference = 10 * MICRON;
	struct fw_bearing_mounted solid = mounted(m);
	m.shaft_bore = 1e-163;
	m.housing_outside = 62.0;
	r = mounted(m);
	assert_near(r.shaft_share, solid.shaft_share, 1e-15);
	assert_near(r.clearance / MICRON, solid.clearance / MICRON, 1e-5);
	m.housing_outside = 1e157;
	assert_code(fw_bearing_mount(&r, &m, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "housing");
	m = steel();
	m.outside = 1e157;
	assert_code(fw_bearing_mount(&r, &m, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "outside");
	m = steel();
	m.bore = 1e-160;
	m.clearance = 0.0;
	assert_code(fw_bearing_mount(&r, &m, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "bore");
	/* rings as thin as can be told from none still give a share of 0..1 */
	m = steel();
	m.inner_race = nextafter(m.bore, 1.0);
	m.shaft_interference = 12 * MICRON;
	r = mounted(m);
	assert_near(r.shaft_share, 1.0, 1e-6);
}

/* By hand: inner ring 10 K warmer than the outer: 12.5e-6·10·55.5 mm = 6.94 µm less. And an
 * aluminium case (23e-6) at 100 °C: the seat of 62 mm grows by 10.5e-6·80·62 mm = 52.1 µm more than
 * the ring, so a fit of 20 µm is loose, and its squeeze gone. */
static void test_warmth(void **state)
{
	struct fw_bearing_mount m = steel();
	(void)state;

	m.inner_temperature = 60;
	m.outer_temperature = 50;
	assert_near(mounted(m).clearance / MICRON, 20 - 6.9375, 1e-6);

	m = steel();
	m.housing_expansion = 23e-6;
	m.housing_interference = 20 * MICRON;
	assert_near(mounted(m).outer_shrink / MICRON, 20 * 55.5 / 62.0, 1e-6);
	m.inner_temperature = m.outer_temperature = 80;
	struct fw_bearing_mounted r = mounted(m);
	assert_near(r.housing_interference / MICRON, 20 - 52.08, 1e-6);
	assert_true(r.outer_shrink == 0.0);
	assert_near(r.clearance / MICRON, 20.0, 1e-6);
}

static void refuse(struct fw_bearing_mount m, const char *says)
{
	struct fw_bearing_mounted r = {.clearance = -7};

	assert_code(fw_bearing_mount(&r, &m, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_true(r.clearance == -7);
}

static void test_bad_mounts(void **state)
{
	struct fw_bearing_mount good = steel(), m = good;
	struct fw_bearing_mounted r;
	(void)state;

	mounted(good);
	m.clearance = NAN;
	refuse(m, "clearance");
	m.clearance = 20.0; /* µm typed as metres */
	refuse(m, "clearance");
	m = good;
	m.bore = 0;
	refuse(m, "bore");
	m = good;
	m.inner_race = 29 * MM;
	refuse(m, "rise");
	m = good;
	m.outer_race = 63 * MM;
	refuse(m, "rise");
	m = good;
	m.shaft_bore = 30 * MM;
	refuse(m, "hole in the shaft");
	m = good;
	m.housing_outside = 62 * MM;
	refuse(m, "housing");
	m = good;
	m.shaft_interference = 1 * MM; /* a slip of units */
	refuse(m, "on the shaft");
	m = good;
	m.housing_interference = NAN;
	refuse(m, "in the housing");
	m = good;
	m.ring_modulus = 0;
	refuse(m, "rings");
	m = good;
	m.shaft_poisson = 0.6;
	refuse(m, "shaft");
	m = good;
	m.housing_expansion = NAN;
	refuse(m, "housing");
	m = good;
	m.inner_temperature = INFINITY;
	refuse(m, "inner temperature");
	m = good;
	m.outer_temperature = NAN;
	refuse(m, "outer temperature");
	m = good;
	m.shaft_share = 1.2;
	refuse(m, "share");
	assert_code(fw_bearing_mount(&r, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bearing_mount(NULL, &good, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_deep_groove_groups),   cmocka_unit_test(test_groups_are_in_order),
	    cmocka_unit_test(test_cylindrical_groups),   cmocka_unit_test(test_bad_bores),
	    cmocka_unit_test(test_solid_steel),          cmocka_unit_test(test_lame_second_route),
	    cmocka_unit_test(test_far_from_usual_sizes), cmocka_unit_test(test_warmth),
	    cmocka_unit_test(test_bad_mounts),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
