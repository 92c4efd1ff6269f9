/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Against scipy.optimize.linear_sum_assignment (Debian: python3-scipy), which assign_scipy.py runs.
 */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assign_proof.h"
#include "fitwright/assign.h"

#define SIDE 40
#define WORD 40

static struct fw_error error;

struct problem {
	size_t rows, columns;
	char optimum[WORD];
	double cost[SIDE * SIDE];
	double largest;
};

/* strtod reads the point as decimal sign in the C locale, which a test program is in. */
static int problem_read(struct problem *out, FILE *from)
{
	char word[WORD];

	if (fscanf(from, "%zu %zu %39s", &out->rows, &out->columns, out->optimum) != 3)
		return 0;
	assert_true(out->rows <= SIDE && out->columns <= SIDE);
	out->largest = 0.0;
	for (size_t k = 0; k < out->rows * out->columns; k++) {
		assert_int_equal(fscanf(from, "%39s", word), 1);
		out->cost[k] = strtod(word, NULL);
		if (isfinite(out->cost[k]) && fabs(out->cost[k]) > out->largest)
			out->largest = fabs(out->cost[k]);
	}
	return 1;
}

static void problem_check(const struct problem *p)
{
	size_t column[SIDE];
	double u[SIDE], v[SIDE];

	if (strcmp(p->optimum, "none") == 0) {
		assert_code(fw_assign(column, u, v, p->cost, p->rows, p->columns, &error), FW_ERR_RANGE);
		return;
	}
	double expected = strtod(p->optimum, NULL), slack = 1e-13 * p->largest;
	assert_ok(fw_assign(column, u, v, p->cost, p->rows, p->columns, &error));
	double total = prove_real(column, u, v, p->cost, p->rows, p->columns, slack);
	assert_near(total, expected, slack * SIDE);
}

static void test_scipy(void **state)
{
	static struct problem problem;
	int solved = 0, none = 0;
	(void)state;

	FILE *from = popen("/usr/bin/python3 -B " FW_TEST_SOURCE "/tests/solve/assign_scipy.py", "r");
	assert_non_null(from);
	while (problem_read(&problem, from)) {
		problem_check(&problem);
		none += strcmp(problem.optimum, "none") == 0;
		solved++;
	}
	if (pclose(from) != 0)
		fail_msg("assign_scipy.py failed: is python3-scipy installed?");
	assert_int_equal(solved, 420);
	assert_in_range(none, 5, 100);
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(test_scipy)};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
