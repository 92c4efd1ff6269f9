/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "check.h"
#include "fitwright/bore.h"

#define INCH     0.0254
#define MM       1e-3
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static struct fw_roundness one(double size)
{
	struct fw_plane plane = {size, NAN};
	struct fw_roundness out;

	assert_ok(fw_roundness(&out, &plane, 1, "part", &error));
	return out;
}

static struct fw_roundness span(double small, double large)
{
	struct fw_plane planes[] = {{small, NAN}, {large, NAN}};
	struct fw_roundness out;

	assert_ok(fw_roundness(&out, planes, 2, "part", &error));
	return out;
}

static struct fw_running running(const struct fw_roundness *bore, double shell,
                                 const struct fw_roundness *inner)
{
	struct fw_running out;

	assert_ok(fw_running_clearance(&out, bore, shell, inner, &error));
	return out;
}

/* US Army TM 55-1905-219-14-4, table of specifications, and TM 55-1905-220-14-4, page 3-859 (the
 * same engine): cylinder liner 4.2495 to 4.2511 in, piston at the skirt 4.2428 to 4.2450 in,
 * clearance of skirt to liner 0.0045 to 0.0083 in. */
static void test_army_piston_clearance(void **state)
{
	struct fw_roundness liner = span(4.2495 * INCH, 4.2511 * INCH);
	struct fw_roundness skirt = span(4.2428 * INCH, 4.2450 * INCH);
	struct fw_running out = running(&liner, 0.0, &skirt);
	(void)state;

	assert_near(out.min / INCH, 0.0045, 1e-9);
	assert_near(out.max / INCH, 0.0083, 1e-9);
	assert_near(out.mean / INCH, (0.0045 + 0.0083) / 2.0, 1e-9);
	/* The rule of the trade for cast pistons, about 0.001 to 0.002 in for each inch. */
	assert_true(out.ratio > 0.001 && out.ratio < 0.002);
}

/* The rule (0.001 in for each inch, three quarters to half as much again) against clearances of
 * Army manuals: TM 55-1905-219-14-4 and -220-14-4, main journal 4.4990 to 4.5000 in, clearance with
 * new parts 0.0016 to 0.0050 in, limit 0.0060; TM 5-3895-346-14, rod bearing of 2.5 in, 0.0015 to
 * 0.0045 in, limit 0.0060. The rule must fall inside what is new, and its upper end short of worn
 * out by a diesel's limit plus a tenth. */
static void test_army_oil_clearances(void **state)
{
	static const struct {
		double journal, low, high, limit;
	} row[] = {{4.4995, 0.0016, 0.0050, 0.0060}, {2.4995, 0.0015, 0.0045, 0.0060}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		double usual = FW_RUNNING_RULE * row[i].journal;
		assert_true(usual > row[i].low && usual < row[i].high);
		assert_true(FW_RUNNING_RULE_LOW * row[i].journal > row[i].low);
		assert_true(FW_RUNNING_RULE_HIGH * row[i].journal < 1.13 * row[i].limit);
	}
}

/* TM 5-3895-346-14: rod bearing 2.5015 to 2.5035 in inside, 0.0015 to 0.0045 in on its journal,
 * which leaves 2.4990 to 2.5000 in for that. The same bore miked without shells of 0.1250 in. */
static void test_shells(void **state)
{
	struct fw_roundness lined = span(2.5015 * INCH, 2.5035 * INCH);
	struct fw_roundness bare = span(2.7515 * INCH, 2.7535 * INCH);
	struct fw_roundness journal = span(2.4990 * INCH, 2.5000 * INCH);
	struct fw_running a = running(&lined, 0.0, &journal);
	struct fw_running b = running(&bare, 0.1250 * INCH, &journal);
	(void)state;

	assert_near(a.min / INCH, 0.0015, 1e-9);
	assert_near(a.max / INCH, 0.0045, 1e-9);
	assert_near(a.min, b.min, 1e-12);
	assert_near(a.max, b.max, 1e-12);
	assert_near(a.mean, b.mean, 1e-12);
}

/* Figures invented, worked by hand. Top 80.05 and 80.02, middle 80.03 and 80.02, bottom 80.01 and
 * 80.00 mm. */
static void test_roundness(void **state)
{
	struct fw_plane planes[] = {
	    {80.05 * MM, 80.02 * MM}, {80.03 * MM, 80.02 * MM}, {80.01 * MM, 80.0 * MM}};
	struct fw_plane mixed[] = {{80.05 * MM, NAN}, {80.03 * MM, 80.02 * MM}};
	struct fw_roundness out;
	(void)state;

	assert_ok(fw_roundness(&out, planes, 3, "bore", &error));
	assert_near(out.out_of_round / MM, 0.03, 1e-9);
	assert_near(out.taper / MM, 0.04, 1e-9);
	assert_near(out.min / MM, 80.0, 1e-9);
	assert_near(out.max / MM, 80.05, 1e-9);
	assert_near(out.mean / MM, 80.0 + 0.13 / 6.0, 1e-9);
	assert_int_equal(out.readings, 6);

	assert_ok(fw_roundness(&out, mixed, 2, "bore", &error));
	assert_near(out.out_of_round / MM, 0.01, 1e-9);
	assert_near(out.taper / MM, 0.02, 1e-9);
	assert_int_equal(out.readings, 3);

	out = one(80.0 * MM);
	assert_true(isnan(out.out_of_round) && isnan(out.taper));
	assert_near(out.mean, out.min, 0.0);
}

/* Turning the part a quarter, or taking the planes from the bottom up, changes nothing. */
static void test_roundness_symmetry(void **state)
{
	struct fw_plane a[] = {{50.01, 50.04}, {50.02, 50.00}, {50.06, 50.03}};
	struct fw_plane b[] = {{50.03, 50.06}, {50.00, 50.02}, {50.04, 50.01}};
	struct fw_roundness x, y;
	(void)state;

	assert_ok(fw_roundness(&x, a, 3, NULL, &error));
	assert_ok(fw_roundness(&y, b, 3, NULL, &error));
	assert_near(x.out_of_round, y.out_of_round, 1e-12);
	assert_near(x.taper, y.taper, 1e-12);
	assert_near(x.mean, y.mean, 1e-12);
}

static void test_many_readings(void **state)
{
	enum { MANY = FW_PLANES_MOST };
	struct fw_plane *planes = test_malloc(sizeof *planes * (MANY + 1));
	struct fw_roundness out;
	(void)state;

	for (size_t i = 0; i <= MANY; i++)
		planes[i] = (struct fw_plane){0.1 + 1e-9 * (double)(i % 1000), NAN};
	assert_ok(fw_roundness(&out, planes, MANY, "bore", &error));
	assert_near(out.mean, 0.1 + 1e-9 * 499.5, 1e-15);
	assert_near(out.taper, 999e-9, 1e-15);
	assert_code(fw_roundness(&out, planes, MANY + 1, "bore", &error), FW_ERR_ARGUMENT);
	test_free(planes);
}

/* "Ring gap will increase .003 inch for each .001 inch of cylinder liner bore size": TM
 * 5-3805-261-34, piston and connecting rod, sheet 8. */
static void test_ring_gap_and_wear(void **state)
{
	double gap = 0.0;
	(void)state;

	assert_ok(fw_ring_gap_in(&gap, 0.015 * INCH, 4.0 * INCH, 4.001 * INCH, &error));
	assert_near((gap / INCH - 0.015), 0.003, 0.0005);
	/* Down a tapered bore, and back up: what it was. */
	assert_ok(fw_ring_gap_in(&gap, 0.4 * MM, 80.05 * MM, 80.0 * MM, &error));
	assert_true(gap < 0.4 * MM);
	assert_ok(fw_ring_gap_in(&gap, gap, 80.0 * MM, 80.05 * MM, &error));
	assert_near(gap, 0.4 * MM, 1e-15);
	/* A ring 0.010 in oversize in a standard bore: it overlaps. */
	assert_ok(fw_ring_gap_in(&gap, 0.012 * INCH, 3.010 * INCH, 3.0 * INCH, &error));
	assert_true(gap < 0.0);
}

/* A trade magazine's example: 4.030 in bore, 0.0045 and 0.0050 in for each inch, 0.018 and 0.020
 * in. Army manuals: gaps of 0.018 to 0.043 in for rings of 4.25 in (TM 55-1905-219-14-4). */
static void test_ring_rule(void **state)
{
	double gap = 0.0;
	(void)state;

	assert_ok(fw_ring_rule(&gap, 4.030 * INCH, 0.0045, &error));
	assert_near(gap / INCH, 0.018, 0.0005);
	assert_ok(fw_ring_rule(&gap, 4.030 * INCH, 0.0050, &error));
	assert_near(gap / INCH, 0.020, 0.0005);
	assert_ok(fw_ring_rule(&gap, 4.25 * INCH, 0.0045, &error));
	assert_true(gap / INCH > 0.018 && gap / INCH < 0.043);
}

/* Subtraction, by hand; figures invented. */
static void test_ring_side(void **state)
{
	double side = 0.0;
	(void)state;

	assert_ok(fw_ring_side(&side, 0.097 * INCH, 0.0935 * INCH, &error));
	assert_near(side / INCH, 0.0035, 1e-9);
	assert_ok(fw_ring_side(&side, 2.0 * MM, 2.01 * MM, &error));
	assert_near(side / MM, -0.01, 1e-9);
}

static void test_no_clearance(void **state)
{
	struct fw_roundness bore = one(50.0 * MM), journal = one(50.02 * MM);
	struct fw_running out = running(&bore, 0.0, &journal);
	(void)state;

	assert_near(out.mean / MM, -0.02, 1e-9);
	assert_true(out.ratio < 0.0);
}

static void refuse_plane(double along, double across, const char *says)
{
	struct fw_plane planes[] = {{0.05, 0.05}, {along, across}};
	struct fw_roundness out = {.mean = 42.0};

	assert_code(fw_roundness(&out, planes, 2, "journal", &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "journal, plane 2");
	assert_contains(error.text, says);
	assert_near(out.mean, 42.0, 0.0);
}

static void test_bad_readings(void **state)
{
	static const double bad[] = {0.0, -0.05, INFINITY, -INFINITY};
	struct fw_plane planes[] = {{0.05, NAN}, {50.0, NAN}};
	struct fw_roundness out;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		refuse_plane(bad[i], 0.05, "size");
		refuse_plane(0.05, bad[i], "across");
	}
	refuse_plane(NAN, 0.05, "size");
	assert_code(fw_roundness(&out, planes, 2, "bore", &error), FW_ERR_RANGE);
	assert_contains(error.text, "unit");
	assert_code(fw_roundness(&out, planes, 0, "bore", &error), FW_ERR_ARGUMENT);
	assert_code(fw_roundness(&out, NULL, 2, "bore", &error), FW_ERR_ARGUMENT);
	assert_code(fw_roundness(NULL, planes, 1, "bore", &error), FW_ERR_ARGUMENT);
	planes[0].along = 1e308;
	planes[1].along = 0.95e308;
	planes[0].across = planes[1].across = 1e308;
	int rc = fw_roundness(&out, planes, 2, "bore", &error);
	assert_true(rc != FW_OK || isfinite(out.mean));
}

static void test_bad_clearances(void **state)
{
	struct fw_roundness bore = one(0.05), inner = one(0.0499), far = one(0.03), none = {0};
	struct fw_running out;
	(void)state;

	assert_code(fw_running_clearance(&out, &bore, 0.0, &far, &error), FW_ERR_RANGE);
	assert_code(fw_running_clearance(&out, &far, 0.0, &bore, &error), FW_ERR_RANGE);
	assert_code(fw_running_clearance(&out, &bore, 0.02, &inner, &error), FW_ERR_RANGE);
	assert_contains(error.text, "shell");
	assert_code(fw_running_clearance(&out, &bore, -0.001, &inner, &error), FW_ERR_ARGUMENT);
	assert_code(fw_running_clearance(&out, &bore, NAN, &inner, &error), FW_ERR_ARGUMENT);
	assert_code(fw_running_clearance(&out, &none, 0.0, &inner, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "bore");
	assert_code(fw_running_clearance(&out, &bore, 0.0, &none, &error), FW_ERR_ARGUMENT);
	assert_code(fw_running_clearance(&out, NULL, 0.0, &inner, &error), FW_ERR_ARGUMENT);
	assert_code(fw_running_clearance(&out, &bore, 0.0, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_running_clearance(NULL, &bore, 0.0, &inner, &error), FW_ERR_ARGUMENT);
}

static void test_bad_rings(void **state)
{
	static const double bad[] = {0.0, -1.0, NAN, INFINITY};
	double out = 42.0;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		assert_code(fw_ring_rule(&out, bad[i], 0.004, &error), FW_ERR_ARGUMENT);
		assert_code(fw_ring_rule(&out, 0.08, bad[i], &error), FW_ERR_ARGUMENT);
		assert_code(fw_ring_gap_in(&out, 4e-4, bad[i], 0.08, &error), FW_ERR_ARGUMENT);
		assert_code(fw_ring_gap_in(&out, 4e-4, 0.08, bad[i], &error), FW_ERR_ARGUMENT);
		assert_code(fw_ring_side(&out, bad[i], 0.002, &error), FW_ERR_ARGUMENT);
		assert_code(fw_ring_side(&out, 0.002, bad[i], &error), FW_ERR_ARGUMENT);
		if (bad[i] != 0.0)
			assert_code(fw_ring_gap_in(&out, bad[i], 0.08, 0.08, &error), FW_ERR_ARGUMENT);
	}
	assert_code(fw_ring_rule(&out, 0.08, 3.5, &error), FW_ERR_RANGE);
	assert_contains(error.text, "0.0035");
	assert_code(fw_ring_gap_in(&out, 4e-4, 0.08, 0.09, &error), FW_ERR_RANGE);
	assert_code(fw_ring_gap_in(&out, 0.4, 0.08, 0.08, &error), FW_ERR_RANGE);
	assert_code(fw_ring_side(&out, 0.002, 0.05, &error), FW_ERR_RANGE);
	assert_code(fw_ring_rule(NULL, 0.08, 0.004, &error), FW_ERR_ARGUMENT);
	assert_code(fw_ring_gap_in(NULL, 4e-4, 0.08, 0.08, &error), FW_ERR_ARGUMENT);
	assert_code(fw_ring_side(NULL, 0.002, 0.002, &error), FW_ERR_ARGUMENT);
	assert_near(out, 42.0, 0.0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_army_piston_clearance),
	    cmocka_unit_test(test_army_oil_clearances),
	    cmocka_unit_test(test_shells),
	    cmocka_unit_test(test_roundness),
	    cmocka_unit_test(test_roundness_symmetry),
	    cmocka_unit_test(test_many_readings),
	    cmocka_unit_test(test_ring_gap_and_wear),
	    cmocka_unit_test(test_ring_rule),
	    cmocka_unit_test(test_ring_side),
	    cmocka_unit_test(test_no_clearance),
	    cmocka_unit_test(test_bad_readings),
	    cmocka_unit_test(test_bad_clearances),
	    cmocka_unit_test(test_bad_rings),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
