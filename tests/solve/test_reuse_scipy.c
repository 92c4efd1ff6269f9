/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Against mixed-integer programming (Debian: python3-scipy), which reuse_scipy.py runs. */
#include "check.h"

#include <stdio.h>

#include "fitwright/reuse.h"

#define UM      1e-6
#define PLACES  16
#define GRADES  60
#define ENGINES 60

static struct fw_error error;

static struct fw_place place[PLACES];
static struct fw_part part[PLACES];
static struct fw_grade grade[GRADES];

static int number(FILE *from)
{
	int value = 0;

	assert_int_equal(fscanf(from, "%d", &value), 1);
	return value;
}

/* One engine and its best: left out, bought, deviation in µm. False at the end. */
static int engine_read(struct fw_reuse *out, int best[3], FILE *from)
{
	size_t places = 0, parts = 0, grades = 0;

	if (fscanf(from, "%zu %zu %zu", &places, &parts, &grades) != 3)
		return 0;
	assert_true(places <= PLACES && parts <= PLACES && grades <= GRADES);
	for (int k = 0; k < 3; k++)
		best[k] = number(from);
	for (size_t i = 0; i < places; i++) {
		int found = number(from), own = number(from), factor = number(from);
		int min = number(from), max = number(from), aim = number(from);
		place[i] = (struct fw_place){found * UM,
		                             0.0,
		                             own < 0 ? FW_PLACE_BARE : (size_t)own,
		                             factor,
		                             {min * UM, max * UM, aim * UM}};
	}
	for (size_t j = 0; j < parts; j++)
		part[j] = (struct fw_part){number(from) * UM, 0.0};
	for (size_t g = 0; g < grades; g++) {
		int size = number(from), count = number(from);
		grade[g] = (struct fw_grade){size * UM, count < 0 ? FW_GRADE_ENDLESS : (uint32_t)count};
	}
	*out = (struct fw_reuse){place, places, part, parts, grade, grades, 0.0, FW_CONFORMANCE};
	return 1;
}

/* What the answer claims must be so: parts used once, pieces in stock, clearances within. */
static void plan_check(const struct fw_fitting *fitting, const struct fw_reuse *reuse)
{
	unsigned used[PLACES] = {0}, bought[GRADES] = {0};

	for (size_t i = 0; i < reuse->places; i++) {
		const struct fw_limits *limits = &reuse->place[i].limits;
		if (fitting[i].from == FW_FROM_NOWHERE)
			continue;
		assert_true(fitting[i].clearance >= limits->min && fitting[i].clearance <= limits->max);
		if (fitting[i].from == FW_FROM_SHELF)
			assert_true(++bought[fitting[i].index] <= reuse->grade[fitting[i].index].count);
		else
			assert_true(++used[fitting[i].index] == 1);
	}
}

static void test_milp(void **state)
{
	struct fw_reuse reuse;
	struct fw_fitting fitting[PLACES];
	struct fw_reuse_sum sum;
	int best[3], solved = 0;
	(void)state;

	FILE *from = popen("/usr/bin/python3 -B " FW_TEST_SOURCE "/tests/solve/reuse_scipy.py", "r");
	assert_non_null(from);
	for (; engine_read(&reuse, best, from); solved++) {
		assert_ok(fw_reuse(fitting, &sum, &reuse, &error));
		plan_check(fitting, &reuse);
		assert_int_equal(sum.left_out, best[0]);
		assert_int_equal(sum.bought, best[1]);
		assert_near(sum.deviation, best[2] * UM, 1e-12);
	}
	if (pclose(from) != 0)
		fail_msg("reuse_scipy.py failed: is python3-scipy installed?");
	assert_int_equal(solved, ENGINES);
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(test_milp)};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
