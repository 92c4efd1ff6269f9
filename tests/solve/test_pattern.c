/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "fitwright/pattern.h"

#define PI       3.14159265358979323846
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static void assert_order(const unsigned *order, const unsigned *wanted, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (order[i] != wanted[i])
			fail_msg("place %zu: bolt %u, wanted %u", i + 1, order[i], wanted[i]);
}

static void check_permutation(const unsigned *order, size_t count)
{
	bool seen[FW_BOLTS_MOST + 1] = {false};

	for (size_t i = 0; i < count; i++) {
		assert_in_range(order[i], 1, count);
		assert_false(seen[order[i]]);
		seen[order[i]] = true;
	}
}

/* A cylinder head of two rows of five, numbered along the rows: the middle two first, then the four
 * beside them, then the ends, each time crosswise. Written on the head, the turns read 7 3 1 5 9 10
 * 6 2 4 8 Common practice, no source. */
static void test_cylinder_head(void **state)
{
	static const unsigned wanted[] = {3, 8, 2, 9, 4, 7, 1, 10, 5, 6};
	unsigned order[10];
	(void)state;

	assert_ok(fw_grid_order(order, 2, 5, &error));
	assert_order(order, wanted, 10);
}

/* One row is tightened from the middle to both ends in turn. Common practice, no source. */
static void test_one_row(void **state)
{
	static const unsigned five[] = {3, 2, 4, 1, 5}, six[] = {3, 4, 2, 5, 1, 6}, one[] = {1};
	unsigned order[6];
	(void)state;

	assert_ok(fw_grid_order(order, 1, 5, &error));
	assert_order(order, five, 5);
	assert_ok(fw_grid_order(order, 5, 1, &error));
	assert_order(order, five, 5);
	assert_ok(fw_grid_order(order, 1, 6, &error));
	assert_order(order, six, 6);
	assert_ok(fw_grid_order(order, 1, 1, &error));
	assert_order(order, one, 1);
}

/* Four and eight bolts given as points on a circle come out as ASME PCC-1 has them (legacy
 * cross-pattern). */
static void test_circles_as_points(void **state)
{
	static const unsigned four[] = {1, 3, 2, 4}, eight[] = {1, 5, 3, 7, 2, 6, 4, 8};
	static const unsigned *const wanted[] = {four, eight};
	(void)state;

	for (size_t n = 4; n <= 8; n += 4) {
		struct fw_point p[8];
		unsigned order[8];
		for (size_t i = 0; i < n; i++)
			p[i] = (struct fw_point){50.0 + 40.0 * sin(2 * PI * (double)i / (double)n),
			                         -20.0 + 40.0 * cos(2 * PI * (double)i / (double)n)};
		assert_ok(fw_points_order(order, p, n, &error));
		assert_order(order, wanted[n / 4 - 1], n);
	}
}

static void grid(struct fw_point *p, size_t rows, size_t columns)
{
	for (size_t i = 0; i < rows * columns; i++)
		p[i] = (struct fw_point){(double)(i % columns), (double)(i / columns)};
}

static double imbalance(const unsigned *order, const struct fw_point *p, size_t n)
{
	double out = 0.0;

	assert_ok(fw_order_imbalance(&out, order, p, n, &error));
	return out;
}

/* Grids of all shapes: each bolt once; never more than one bolt out of balance; each bolt that
 * isn't in the middle is followed by its opposite. Row by row, from eight bolts up, is off balance
 * by at least 1.4 bolts. */
static void test_every_grid(void **state)
{
	unsigned naive[FW_BOLTS_MOST];
	(void)state;

	for (unsigned i = 0; i < FW_BOLTS_MOST; i++)
		naive[i] = i + 1;
	/* up to 120 bolts each one, and the largest: a square, and single rows */
	for (size_t rows = 1; rows <= FW_BOLTS_MOST; rows++)
		for (size_t columns = 1; rows * columns <= FW_BOLTS_MOST; columns++) {
			if (rows * columns > 120 && rows * columns != FW_BOLTS_MOST)
				continue;
			struct fw_point p[FW_BOLTS_MOST];
			unsigned order[FW_BOLTS_MOST + 1];
			unsigned n = (unsigned)(rows * columns);
			order[n] = 0xBEEFU;
			assert_ok(fw_grid_order(order, rows, columns, &error));
			assert_int_equal(order[n], 0xBEEFU);
			check_permutation(order, n);
			grid(p, rows, columns);
			assert_true(imbalance(order, p, n) <= 1.0 + 1e-9);
			if (n >= 8)
				assert_true(imbalance(naive, p, n) > 1.4);
			for (unsigned i = n % 2; i < n; i += 2)
				assert_int_equal(order[i] + order[i + 1], n + 1);
		}
}

/* From the middle outwards: no bolt is taken while a loose one lies nearer by more than half the
 * greatest distance. */
static void test_outwards(void **state)
{
	(void)state;
	for (size_t rows = 1; rows <= 8; rows++)
		for (size_t columns = 1; columns <= 16; columns++) {
			unsigned order[FW_BOLTS_MOST];
			size_t n = rows * columns;
			double most = hypot(((double)rows - 1) / 2, ((double)columns - 1) / 2), latest = 0.0;
			assert_ok(fw_grid_order(order, rows, columns, &error));
			for (size_t i = 0; i < n; i++) {
				double x = (double)((order[i] - 1) % columns) - ((double)columns - 1) / 2;
				double y = (double)((order[i] - 1) / columns) - ((double)rows - 1) / 2;
				assert_true(hypot(x, y) >= latest - 0.5 * most - 1e-9);
				latest = fmax(latest, hypot(x, y));
			}
		}
}

/* A numbers game with a fixed start (Numerical Recipes' quick and dirty generator): no clock, no
 * seed. */
static double scatter(uint32_t *state)
{
	*state = *state * 1664525U + 1013904223U;
	return (double)(*state >> 8) / 16777216.0;
}

/* Bolts anywhere: still each once, and better balanced than in the order they were written down. */
static void test_bolts_anywhere(void **state)
{
	uint32_t seed = 7;
	double worst = 0.0, sum = 0.0, naive_sum = 0.0;
	(void)state;

	for (int round = 0; round < 300; round++) {
		struct fw_point p[40];
		unsigned order[40], naive[40];
		size_t n = 4 + (size_t)round % 37;
		for (unsigned i = 0; i < n; i++) {
			p[i] = (struct fw_point){300.0 * scatter(&seed), 200.0 * scatter(&seed)};
			naive[i] = i + 1;
		}
		assert_ok(fw_points_order(order, p, n, &error));
		check_permutation(order, n);
		double own = imbalance(order, p, n);
		worst = fmax(worst, own);
		sum += own / 300.0;
		naive_sum += imbalance(naive, p, n) / 300.0;
	}
	print_message(
	    "imbalance of bolts anywhere: %.2f on average, %.2f at worst; as written down %.2f\n", sum,
	    worst, naive_sum);
	assert_true(worst < 1.5);
	assert_true(sum < 0.5 * naive_sum);
}

/* The unit and where its zero lies change nothing; nor does a turn by half. */
static void test_no_unit_matters(void **state)
{
	uint32_t seed = 3;
	struct fw_point p[17], q[17];
	unsigned order[17], again[17];
	(void)state;

	for (size_t i = 0; i < 17; i++) {
		p[i] = (struct fw_point){scatter(&seed), scatter(&seed)};
		q[i] = (struct fw_point){1000.0 - 25.4 * p[i].x, -500.0 - 25.4 * p[i].y};
	}
	assert_ok(fw_points_order(order, p, 17, &error));
	assert_ok(fw_points_order(again, q, 17, &error));
	assert_order(again, order, 17);
}

static void test_refused(void **state)
{
	struct fw_point p[FW_BOLTS_MOST + 1] = {{0, 0}, {1, 0}, {0, 1}, {1, 0}};
	unsigned order[FW_BOLTS_MOST + 1] = {1, 2, 2};
	double x = 0.0;
	(void)state;

	assert_ok(fw_points_order(order, p, 3, &error));
	assert_code(fw_points_order(order, p, 4, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "bolt 4: it is in the same place as bolt 2");
	p[1].y = NAN;
	assert_code(fw_points_order(order, p, 3, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "bolt 2");
	p[1].y = INFINITY;
	assert_code(fw_points_order(order, p, 3, &error), FW_ERR_ARGUMENT);
	p[1].y = 1e300;
	assert_code(fw_points_order(order, p, 3, &error), FW_ERR_ARGUMENT);
	p[1].y = 1e149;
	assert_ok(fw_points_order(order, p, 3, &error));
	check_permutation(order, 3);
	assert_code(fw_points_order(order, p, 0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_points_order(order, p, FW_BOLTS_MOST + 1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_points_order(order, p, SIZE_MAX, &error), FW_ERR_ARGUMENT);
	assert_code(fw_points_order(NULL, p, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_points_order(order, NULL, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grid_order(order, 0, 5, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grid_order(order, 5, 0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grid_order(order, 16, 17, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "16 rows of 17");
	assert_code(fw_grid_order(order, SIZE_MAX / 2, 4, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grid_order(order, SIZE_MAX, SIZE_MAX, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grid_order(NULL, 2, 2, &error), FW_ERR_ARGUMENT);
	p[1].y = 0;
	static const unsigned twice[] = {1, 2, 2}, none[] = {0, 1, 2}, far[] = {1, 2, 4};
	assert_code(fw_order_imbalance(&x, twice, p, 3, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "turn 3");
	assert_code(fw_order_imbalance(&x, none, p, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_order_imbalance(&x, far, p, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_order_imbalance(NULL, twice, p, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_order_imbalance(&x, NULL, p, 3, &error), FW_ERR_ARGUMENT);
	static const unsigned one[] = {1};
	assert_ok(fw_order_imbalance(&x, one, p, 1, &error));
	assert_near(x, 0.0, 0.0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_cylinder_head),     cmocka_unit_test(test_one_row),
	    cmocka_unit_test(test_circles_as_points), cmocka_unit_test(test_every_grid),
	    cmocka_unit_test(test_outwards),          cmocka_unit_test(test_bolts_anywhere),
	    cmocka_unit_test(test_no_unit_matters),   cmocka_unit_test(test_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
