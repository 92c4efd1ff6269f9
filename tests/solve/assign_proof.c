/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assign_proof.h"

#include <stdbool.h>
#include <stdlib.h>

#include "fitwright/assign.h"

/* Marks in `taken` (columns) which columns have a row; fails on one taken twice and on a short
 * count. */
static void check_matching(bool *taken, const size_t *column, size_t rows, size_t columns)
{
	size_t served = 0;

	for (size_t i = 0; i < rows; i++) {
		if (column[i] == FW_ASSIGN_NONE)
			continue;
		assert_true(column[i] < columns);
		assert_false(taken[column[i]]);
		taken[column[i]] = true;
		served++;
	}
	assert_int_equal(served, rows < columns ? rows : columns);
}

int64_t prove_whole(const size_t *column, const int64_t *u, const int64_t *v, const int64_t *cost,
                    size_t rows, size_t columns)
{
	bool *taken = calloc(columns, sizeof *taken);
	int64_t total = 0, bound = 0;

	assert_non_null(taken);
	check_matching(taken, column, rows, columns);
	for (size_t i = 0; i < rows; i++) {
		bound += u[i];
		if (rows > columns)
			assert_true(u[i] <= 0);
		if (column[i] == FW_ASSIGN_NONE)
			assert_true(u[i] == 0);
		else
			total += cost[i * columns + column[i]];
		for (size_t j = 0; j < columns; j++) {
			int64_t slack = cost[i * columns + j] - u[i] - v[j];
			if (cost[i * columns + j] == FW_ASSIGN_FORBIDDEN)
				assert_true(column[i] != j);
			else if (slack < 0 || (column[i] == j && slack != 0))
				fail_msg("row %zu, column %zu: slack %lld", i, j, (long long)slack);
		}
	}
	for (size_t j = 0; j < columns; j++) {
		bound += v[j];
		if (columns > rows)
			assert_true(v[j] <= 0);
		if (!taken[j])
			assert_true(v[j] == 0);
	}
	assert_int_equal(bound, total);
	free(taken);
	return total;
}

double prove_real(const size_t *column, const double *u, const double *v, const double *cost,
                  size_t rows, size_t columns, double slack)
{
	bool *taken = calloc(columns, sizeof *taken);
	double total = 0.0, bound = 0.0;

	assert_non_null(taken);
	check_matching(taken, column, rows, columns);
	for (size_t i = 0; i < rows; i++) {
		bound += u[i];
		if (rows > columns)
			assert_true(u[i] <= slack);
		if (column[i] == FW_ASSIGN_NONE)
			assert_true(u[i] == 0.0);
		else
			total += cost[i * columns + column[i]];
		for (size_t j = 0; j < columns; j++) {
			double over = cost[i * columns + j] - u[i] - v[j];
			if (isinf(cost[i * columns + j]))
				assert_true(column[i] != j);
			else if (!(over >= -slack) || (column[i] == j && !(over <= slack)))
				fail_msg("row %zu, column %zu: slack %g", i, j, over);
		}
	}
	for (size_t j = 0; j < columns; j++) {
		bound += v[j];
		if (columns > rows)
			assert_true(v[j] <= slack);
		if (!taken[j])
			assert_true(v[j] == 0.0);
	}
	assert_near(bound, total, slack * (double)(rows + columns));
	free(taken);
	return total;
}

unsigned test_random(uint64_t *state, unsigned end)
{
	*state = *state * 6364136223846793005U + 1442695040888963407U;
	return (unsigned)((*state >> 33) % end);
}
