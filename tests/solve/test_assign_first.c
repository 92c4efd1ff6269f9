/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of all best assignments the first: against all assignments one by one, in order. */
#include "check.h"

#include <string.h>

#include "assign_proof.h"
#include "fitwright/assign.h"
#include "solve/reuse/reuse_internal.h"

#define SIDE 6

static struct fw_error error;

struct force {
	size_t rows, columns;
	int64_t cost[SIDE * SIDE];
	struct fw_taste taste[SIDE];
	size_t now[SIDE], best[SIDE];
	int64_t least;
};

static void try_rows(struct force *f, size_t row, unsigned used, int64_t total);

static void try_column(struct force *f, size_t row, unsigned used, int64_t total, size_t column)
{
	int64_t cost = f->cost[row * f->columns + column];

	if ((used >> column & 1U) != 0U || cost == FW_ASSIGN_FORBIDDEN)
		return;
	f->now[row] = column;
	try_rows(f, row + 1, used | 1U << column, total + cost);
}

static void try_rows(struct force *f, size_t row, unsigned used, int64_t total)
{
	if (row == f->rows) {
		if (total < f->least) {
			f->least = total;
			memcpy(f->best, f->now, sizeof f->best);
		}
		return;
	}
	const struct fw_taste *taste = &f->taste[row];
	if (taste->favourite < f->columns)
		try_column(f, row, used, total, taste->favourite);
	for (size_t j = 0; j < f->columns; j++) {
		if (j == taste->turn && taste->late != taste->favourite)
			try_column(f, row, used, total, taste->late);
		if (j != taste->favourite && j != taste->late)
			try_column(f, row, used, total, j);
	}
}

static void test_by_force(void **state)
{
	uint64_t seed = 21;
	int changed = 0;
	(void)state;

	for (int k = 0; k < 20000; k++) {
		struct force f = {.least = INT64_MAX};
		size_t column[SIDE], before[SIDE];
		int64_t u[SIDE], v[SIDE];
		unsigned spread = 1 + test_random(&seed, 4), gaps = test_random(&seed, 3) * 15;

		f.rows = 1 + test_random(&seed, SIDE - 1);
		f.columns = f.rows + test_random(&seed, (unsigned)(SIDE - f.rows) + 1);
		for (size_t c = 0; c < f.rows * f.columns; c++)
			f.cost[c] = test_random(&seed, 100) < gaps ? FW_ASSIGN_FORBIDDEN
			                                           : (int64_t)test_random(&seed, spread);
		for (size_t i = 0; i < f.rows; i++) {
			f.taste[i] = (struct fw_taste){SIZE_MAX, SIZE_MAX, SIZE_MAX};
			if (test_random(&seed, 2))
				f.taste[i].favourite = test_random(&seed, SIDE);
			if (test_random(&seed, 2))
				continue;
			f.taste[i].late = test_random(&seed, (unsigned)f.columns);
			f.taste[i].turn = test_random(&seed, (unsigned)f.taste[i].late + 1);
		}
		try_rows(&f, 0, 0, 0);
		if (f.least == INT64_MAX)
			continue;
		assert_ok(fw_assign_whole(column, u, v, f.cost, f.rows, f.columns, &error));
		memcpy(before, column, sizeof before);
		assert_ok(fw_assign_first(column, u, v, f.cost, f.rows, f.columns, f.taste, &error));
		assert_int_equal(prove_whole(column, u, v, f.cost, f.rows, f.columns), f.least);
		for (size_t i = 0; i < f.rows; i++)
			assert_int_equal(column[i], f.best[i]);
		changed += memcmp(before, column, f.rows * sizeof column[0]) != 0;
	}
	assert_true(changed > 5000); /* it had something to do */
}

/* More rows than a word has bits: identity among equals, then the favourites, which are reversed.
 */
static void test_many(void **state)
{
	enum { N = 130, M = 140 };
	static int64_t cost[N * M], u[N], v[M];
	size_t column[N];
	struct fw_taste taste[N];
	(void)state;

	for (size_t i = 0; i < N; i++)
		taste[i] = (struct fw_taste){SIZE_MAX, SIZE_MAX, SIZE_MAX};
	assert_ok(fw_assign_whole(column, u, v, cost, N, M, &error));
	assert_ok(fw_assign_first(column, u, v, cost, N, M, taste, &error));
	for (size_t i = 0; i < N; i++)
		assert_int_equal(column[i], i);
	for (size_t i = 0; i < N; i++)
		taste[i].favourite = M - 1 - i;
	assert_ok(fw_assign_first(column, u, v, cost, N, M, taste, &error));
	for (size_t i = 0; i < N; i++)
		assert_int_equal(column[i], M - 1 - i);
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(test_by_force),
	                                   cmocka_unit_test(test_many)};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
