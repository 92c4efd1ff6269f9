/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assign_proof.h"
#include "fitwright/assign.h"

#define MOST 400

static struct fw_error error;

/* Least cost over all assignments of rows from `row` on, columns in `used` taken; INT64_MAX: none.
 */
static int64_t by_force(const int64_t *cost, size_t rows, size_t columns, size_t row, unsigned used)
{
	int64_t best = INT64_MAX;

	if (row == rows)
		return 0;
	for (size_t j = 0; j < columns; j++) {
		if ((used >> j & 1U) != 0U || cost[row * columns + j] == FW_ASSIGN_FORBIDDEN)
			continue;
		int64_t rest = by_force(cost, rows, columns, row + 1, used | 1U << j);
		if (rest != INT64_MAX && cost[row * columns + j] + rest < best)
			best = cost[row * columns + j] + rest;
	}
	return best;
}

/* The same, whichever side is the shorter. */
static int64_t least(const int64_t *cost, size_t rows, size_t columns)
{
	int64_t turned[64];

	if (rows <= columns)
		return by_force(cost, rows, columns, 0, 0);
	for (size_t i = 0; i < rows; i++)
		for (size_t j = 0; j < columns; j++)
			turned[j * rows + i] = cost[i * columns + j];
	return by_force(turned, columns, rows, 0, 0);
}

/* Solves whole costs, proves the answer, returns its cost. */
static int64_t solve_whole(size_t *column, const int64_t *cost, size_t rows, size_t columns)
{
	int64_t *u = malloc(rows * sizeof *u), *v = malloc(columns * sizeof *v);

	assert_true(u && v);
	assert_ok(fw_assign_whole(column, u, v, cost, rows, columns, &error));
	int64_t total = prove_whole(column, u, v, cost, rows, columns);
	free(u);
	free(v);
	return total;
}

static double solve_real(size_t *column, const double *cost, size_t rows, size_t columns,
                         double slack)
{
	double *u = malloc(rows * sizeof *u), *v = malloc(columns * sizeof *v);

	assert_true(u && v);
	assert_ok(fw_assign(column, u, v, cost, rows, columns, &error));
	double total = prove_real(column, u, v, cost, rows, columns, slack);
	free(u);
	free(v);
	return total;
}

/* The example in the documentation of scipy.optimize.linear_sum_assignment: 5, columns 1, 0, 2. */
static void test_scipy_example(void **state)
{
	static const int64_t cost[] = {4, 1, 3, 2, 0, 5, 3, 2, 2};
	size_t column[3];
	(void)state;

	assert_int_equal(solve_whole(column, cost, 3, 3), 5);
	assert_int_equal(column[0], 1);
	assert_int_equal(column[1], 0);
	assert_int_equal(column[2], 2);
}

/* examples/assign.mod of GLPK 5.0 (Debian: glpk-utils), whose comment says "the optimal solution is
 * 76"; the data are from N. Christofides, Graph Theory: An Algorithmic Approach, 1975. */
static void test_glpk_example(void **state)
{
	static const int64_t cost[] = {13, 21, 20, 12, 8,  26, 22, 11, 12, 36, 25, 41, 40, 11, 4,  8,
	                               35, 32, 13, 36, 26, 21, 13, 37, 34, 54, 7,  8,  12, 22, 11, 40,
	                               21, 6,  45, 18, 24, 34, 12, 48, 42, 19, 39, 15, 14, 16, 28, 46,
	                               16, 34, 38, 3,  34, 40, 22, 24, 26, 20, 5,  17, 45, 31, 37, 43};
	static const size_t chosen[] = {0, 7, 6, 4, 1, 5, 3, 2};
	size_t column[8];
	(void)state;

	assert_int_equal(solve_whole(column, cost, 8, 8), 76);
	assert_memory_equal(column, chosen, sizeof chosen);
	assert_int_equal(least(cost, 8, 8), 76);
}

/* assign100 of OR-Library (tests/solve/data/assign100.md): its optimum is 305 (from memory), and
 * that is what scipy finds; the sum of the least cost of each row, 254, checks the copy. */
static void test_or_library(void **state)
{
	enum { N = 100 };
	static int64_t cost[N * N];
	size_t column[N];
	int64_t bound = 0;
	int number = 0;
	(void)state;

	FILE *file = fopen(FW_TEST_SOURCE "/tests/solve/data/assign100.txt", "r");
	assert_non_null(file);
	assert_int_equal(fscanf(file, "%d", &number), 1);
	assert_int_equal(number, N);
	for (size_t i = 0; i < N; i++) {
		int64_t least_cost = INT64_MAX;
		for (size_t j = 0; j < N; j++) {
			assert_int_equal(fscanf(file, "%d", &number), 1);
			cost[i * N + j] = number;
			least_cost = number < least_cost ? number : least_cost;
		}
		bound += least_cost;
	}
	fclose(file);
	assert_int_equal(bound, 254);
	assert_int_equal(solve_whole(column, cost, N, N), 305);
}

/* Tiny problems of all shapes, few different costs so that ties abound, some pairs forbidden,
 * against all assignments one by one. */
static void test_by_force(void **state)
{
	uint64_t seed = 1;
	size_t none = 0;
	(void)state;

	for (int k = 0; k < 20000; k++) {
		size_t rows = 1 + test_random(&seed, 6), columns = 1 + test_random(&seed, 6);
		unsigned spread = 1 + test_random(&seed, 12), gaps = test_random(&seed, 3) * 25;
		int64_t cost[36];
		double real[36], u_real[6], v_real[6];
		int64_t u[6], v[6];
		size_t column[6], column_real[6];

		for (size_t c = 0; c < rows * columns; c++) {
			cost[c] = test_random(&seed, 100) < gaps ? FW_ASSIGN_FORBIDDEN
			                                         : (int64_t)test_random(&seed, spread) - 3;
			real[c] = cost[c] == FW_ASSIGN_FORBIDDEN ? INFINITY : (double)cost[c];
		}
		int64_t best = least(cost, rows, columns);
		if (best == INT64_MAX) {
			none++;
			assert_code(fw_assign_whole(column, u, v, cost, rows, columns, &error), FW_ERR_RANGE);
			assert_code(fw_assign(column_real, u_real, v_real, real, rows, columns, &error),
			            FW_ERR_RANGE);
			assert_contains(error.text, "can't be served");
			continue;
		}
		assert_ok(fw_assign_whole(column, u, v, cost, rows, columns, &error));
		assert_int_equal(prove_whole(column, u, v, cost, rows, columns), best);
		assert_ok(fw_assign(column_real, u_real, v_real, real, rows, columns, &error));
		assert_true(prove_real(column_real, u_real, v_real, real, rows, columns, 0.0) ==
		            (double)best);
	}
	assert_true(none > 1000);
}

/* Seven by seven, all 5040 assignments, costs of any size; the large ones go through the integer
 * core. */
static void test_seven(void **state)
{
	uint64_t seed = 7;
	(void)state;

	for (int k = 0; k < 60; k++) {
		int64_t cost[49], scaled[49];
		size_t column[7];
		for (size_t c = 0; c < 49; c++) {
			cost[c] = test_random(&seed, 1000);
			scaled[c] = cost[c] << 38;
		}
		int64_t best = least(cost, 7, 7);
		assert_int_equal(solve_whole(column, cost, 7, 7), best);
		assert_int_equal(solve_whole(column, scaled, 7, 7), best << 38);
	}
}

/* Rearrangement inequality (G. H. Hardy, J. E. Littlewood, G. Pólya, Inequalities, 10.2): with
 * costs i·j the least total pairs the largest with the smallest, n(n+1)(n+2)/6. Paths are long
 * here, so the auction takes part. */
static void test_products(void **state)
{
	static const size_t sizes[] = {1, 2, 7, 8, 9, 127, 128, 129, 200, MOST};
	int64_t *cost = malloc(MOST * MOST * sizeof *cost);
	double *real = malloc(MOST * MOST * sizeof *real);
	size_t column[MOST];
	(void)state;

	assert_true(cost && real);
	for (size_t s = 0; s < sizeof sizes / sizeof sizes[0]; s++) {
		size_t n = sizes[s];
		int64_t best = (int64_t)(n * (n + 1) * (n + 2) / 6);
		for (size_t i = 0; i < n; i++)
			for (size_t j = 0; j < n; j++) {
				cost[i * n + j] = (int64_t)((i + 1) * (j + 1));
				real[i * n + j] = (double)cost[i * n + j];
			}
		assert_int_equal(solve_whole(column, cost, n, n), best);
		for (size_t i = 0; i < n; i++)
			assert_int_equal(column[i], n - 1 - i);
		assert_true(solve_real(column, real, n, n, 0.0) == (double)best);
		if (n > 200)
			continue;
		for (size_t c = 0; c < n * n; c++)
			cost[c] <<= 24;
		assert_int_equal(solve_whole(column, cost, n, n), best << 24);
	}
	free(cost);
	free(real);
}

/* The same inequality: squares of distances between points on a line are least when both are
 * sorted. Also with more columns than rows and the other way round. */
static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

static void test_points_on_a_line(void **state)
{
	enum { N = 250 };
	static double x[N], y[N], cost[N * N];
	uint64_t seed = 3;
	size_t column[N];
	(void)state;

	for (size_t i = 0; i < N; i++) {
		x[i] = test_random(&seed, 1000000) * 1e-6;
		y[i] = test_random(&seed, 1000000) * 1e-6;
	}
	for (size_t i = 0; i < N; i++)
		for (size_t j = 0; j < N; j++)
			cost[i * N + j] = (x[i] - y[j]) * (x[i] - y[j]);
	double total = solve_real(column, cost, N, N, 1e-13);
	qsort(x, N, sizeof x[0], by_size);
	qsort(y, N, sizeof y[0], by_size);
	double sorted = 0.0;
	for (size_t i = 0; i < N; i++)
		sorted += (x[i] - y[i]) * (x[i] - y[i]);
	assert_near(total, sorted, 1e-12);
}

/* Larger problems of every family and shape; what is proved needs no second solver. */
static double family(unsigned kind, size_t i, size_t j, uint64_t *seed)
{
	double a = (double)(i * 7919 % 1009), b = (double)(j * 6007 % 1013);

	switch (kind) {
	case 0:
		return test_random(seed, 1000) + 1.0;
	case 1:
		return test_random(seed, 2000000000) * 1e-9;
	case 2:
		return (a - b) * (a - b);
	case 3:
		return (a + 1.0) * (b + 1.0);
	case 4:
		return fabs(a - b);
	case 5:
		return 5.0; /* all alike */
	default:
		return test_random(seed, 4) == 0 ? (double)test_random(seed, 50) : INFINITY;
	}
}

static void test_proofs(void **state)
{
	static const size_t shape[][2] = {{MOST, MOST}, {199, 203}, {203, 199}, {30, MOST},
	                                  {MOST, 30},   {1, MOST},  {MOST, 1},  {257, 300}};
	double *cost = malloc(MOST * MOST * sizeof *cost);
	uint64_t seed = 11;
	size_t column[MOST];
	(void)state;

	assert_non_null(cost);
	for (unsigned kind = 0; kind < 7; kind++)
		for (size_t s = 0; s < sizeof shape / sizeof shape[0]; s++) {
			size_t rows = shape[s][0], columns = shape[s][1];
			for (size_t i = 0; i < rows; i++)
				for (size_t j = 0; j < columns; j++)
					cost[i * columns + j] = family(kind, i, j, &seed);
			if (kind == 6 && (rows == 1 || columns == 1))
				cost[0] = 1.0;
			solve_real(column, cost, rows, columns, kind == 1 ? 1e-12 : 0.0);
		}
	free(cost);
}

/* Both cores are one method: where doubles are exact they must agree to the last place. */
static void test_cores_agree(void **state)
{
	enum { N = 90 };
	static int64_t cost[N * N], scaled[N * N];
	size_t column[N], column_scaled[N];
	uint64_t seed = 5;
	(void)state;

	for (int k = 0; k < 6; k++) {
		size_t rows = k % 2 ? N : N - 7, columns = k % 3 ? N : N - 11;
		for (size_t c = 0; c < rows * columns; c++) {
			cost[c] = (int64_t)test_random(&seed, 64);
			scaled[c] = cost[c] << 41;
		}
		int64_t total = solve_whole(column, cost, rows, columns);
		assert_int_equal(solve_whole(column_scaled, scaled, rows, columns), total << 41);
	}
}

/* Costs below 0 (gains, say), and of both signs, where paths are so long that the auction bids in
 * steps below 1: the proof must be whole, and hold, all the same. */
static void test_gains(void **state)
{
	int64_t *cost = malloc(MOST * MOST * sizeof *cost);
	uint64_t seed = 13;
	size_t column[MOST];
	(void)state;

	assert_non_null(cost);
	for (int k = 0; k < 12; k++) {
		size_t rows = 100 + test_random(&seed, MOST - 100);
		size_t columns = k % 3 ? rows + rows / 4 : rows;
		columns = columns < MOST ? columns : MOST;
		for (size_t i = 0; i < rows; i++)
			for (size_t j = 0; j < columns; j++) {
				int64_t product = (int64_t)((i * 7919 % 211 + 1) * (j * 6007 % 223 + 1));
				cost[i * columns + j] = -product - (int64_t)test_random(&seed, 50);
				if (k % 2)
					cost[i * columns + j] += 20000;
			}
		solve_whole(column, cost, rows, columns);
	}
	free(cost);
}

static void test_bad_input(void **state)
{
	double cost[] = {1, 2, 3, 4, 5, 6}, u[3] = {9, 9, 9}, v[3] = {9, 9, 9};
	size_t column[3] = {77, 77, 77};
	(void)state;

	assert_code(fw_assign(NULL, u, v, cost, 2, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_assign(column, u, v, NULL, 2, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_assign(column, u, v, cost, 0, 3, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "no rows");
	assert_code(fw_assign(column, u, v, cost, 2, 0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "no columns");
	assert_code(fw_assign(column, u, v, cost, SIZE_MAX, 2, &error), FW_ERR_RANGE);
	assert_code(fw_assign(column, u, v, cost, 1000000, 1000000, &error), FW_ERR_RANGE);
	assert_code(fw_assign(column, u, v, cost, SIZE_MAX / 8 + 2, 8, &error), FW_ERR_RANGE);

	static const double bad[] = {NAN, -INFINITY, 1e201, -1e201};
	static const int code[] = {FW_ERR_ARGUMENT, FW_ERR_ARGUMENT, FW_ERR_RANGE, FW_ERR_RANGE};
	for (size_t k = 0; k < 4; k++) {
		double spoilt[] = {1, 2, 3, 4, bad[k], 6};
		assert_code(fw_assign(column, u, v, spoilt, 2, 3, &error), code[k]);
		assert_contains(error.text, "row 2, column 2");
	}
	int64_t large[] = {0, (int64_t)1 << 54, 1, 1}, nu[2], nv[2];
	assert_code(fw_assign_whole(column, nu, nv, large, 2, 2, &error), FW_ERR_RANGE);
	assert_contains(error.text, "row 1, column 2");
	large[1] = INT64_MIN;
	assert_code(fw_assign_whole(column, nu, nv, large, 2, 2, &error), FW_ERR_RANGE);
	assert_int_equal(column[0], 77); /* nothing written */
	assert_near(u[0], 9, 0);
	assert_near(v[2], 9, 0);

	/* prices are not obligatory */
	assert_ok(fw_assign(column, NULL, NULL, cost, 2, 3, &error));
}

/* Who can't be served, and with whom it contends. */
static void test_no_assignment(void **state)
{
	const double no = INFINITY;
	const double nothing[] = {1, 2, no, no};
	const double contend[] = {1, 2, 3, 4, 5, no, no, no, 7, no, no, no, 8, no, no, no};
	double turned[16];
	size_t column[4];
	(void)state;

	assert_code(fw_assign(column, NULL, NULL, nothing, 2, 2, &error), FW_ERR_RANGE);
	assert_contains(error.text, "row 2 can't be served: no column is allowed it");
	assert_code(fw_assign(column, NULL, NULL, contend, 4, 4, &error), FW_ERR_RANGE);
	assert_contains(error.text, "may use only 1 column between them");
	assert_null(strstr(error.text, "row 1 "));

	/* Hall's condition fails for rows 2 and 3 with more columns than rows as well. */
	const double wide[] = {1, 2, 3, 4, no, no, 5, no, no, no, no, 6, no, no, no};
	assert_code(fw_assign(column, NULL, NULL, wide, 3, 5, &error), FW_ERR_RANGE);
	assert_contains(
	    error.text,
	    "row 3 can't be served: rows 3, 2 (2 in all) may use only 1 column between them");
	for (size_t i = 0; i < 3; i++)
		for (size_t j = 0; j < 5; j++)
			turned[j * 3 + i] = wide[i * 5 + j];
	size_t five[5];
	const double tall[] = {1, 2, no, 3, 4, no, 5, 6, no, no, no, no, 7, 8, no};
	assert_code(fw_assign(five, NULL, NULL, tall, 5, 3, &error), FW_ERR_RANGE);
	assert_contains(error.text, "column 3 can't be served");
	assert_code(fw_assign(five, NULL, NULL, turned, 5, 3, &error), FW_ERR_RANGE);
	assert_contains(error.text, "column");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_scipy_example),
	    cmocka_unit_test(test_glpk_example),
	    cmocka_unit_test(test_or_library),
	    cmocka_unit_test(test_by_force),
	    cmocka_unit_test(test_seven),
	    cmocka_unit_test(test_products),
	    cmocka_unit_test(test_points_on_a_line),
	    cmocka_unit_test(test_proofs),
	    cmocka_unit_test(test_cores_agree),
	    cmocka_unit_test(test_gains),
	    cmocka_unit_test(test_bad_input),
	    cmocka_unit_test(test_no_assignment),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
