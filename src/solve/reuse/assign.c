/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/assign.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "solve/reuse/assign_internal.h"

/* Sums along a path of whole costs stay exact in a double while shorter side times largest cost is
 * below this: paths, prices and bids have 2^6 to spare. */
#define WHOLE_IN_DOUBLE ((int64_t)1 << 47)

/* What a look at all costs says. */
struct survey {
	double largest;
	bool complete;
};

static int check_size(const void *column, const void *cost, size_t rows, size_t columns,
                      struct fw_error *err)
{
	if (!column || !cost)
		return fw_fail(err, FW_ERR_ARGUMENT, "assignment: no costs, or no place for the result");
	if (rows == 0 || columns == 0) {
		fw_fail(err, FW_ERR_ARGUMENT, "assignment: no %s", rows == 0 ? "rows" : "columns");
		return FW_ERR_ARGUMENT;
	}
	if (rows > FW_ASSIGN_SIDE || columns > FW_ASSIGN_SIDE || rows > FW_ASSIGN_CELLS / columns)
		return fw_fail(err, FW_ERR_RANGE,
		               "assignment: %zu rows by %zu columns is more than can be dealt with", rows,
		               columns);
	return FW_OK;
}

static int survey_real(struct survey *out, const double *cost, size_t rows, size_t columns,
                       struct fw_error *err)
{
	double largest = 0.0;
	bool complete = true;

	for (size_t k = 0; k < rows * columns; k++) {
		double size = fabs(cost[k]);
		if (size <= FW_ASSIGN_LARGEST) {
			largest = size > largest ? size : largest;
			continue;
		}
		if (isnan(cost[k]) || cost[k] == -INFINITY)
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "assignment: the cost in row %zu, column %zu is %s", k / columns + 1,
			               k % columns + 1, isnan(cost[k]) ? "not a number" : "minus infinity");
		if (isfinite(cost[k]))
			return fw_fail(err, FW_ERR_RANGE,
			               "assignment: the cost in row %zu, column %zu is beyond 1e200",
			               k / columns + 1, k % columns + 1);
		complete = false;
	}
	*out = (struct survey){largest, complete};
	return FW_OK;
}

static int survey_whole(int64_t *largest, bool *complete, const int64_t *cost, size_t rows,
                        size_t columns, struct fw_error *err)
{
	int64_t most = FW_ASSIGN_WHOLE / (int64_t)((rows < columns ? rows : columns) + 1);

	*largest = 0;
	*complete = true;
	for (size_t k = 0; k < rows * columns; k++) {
		if (cost[k] == FW_ASSIGN_FORBIDDEN) {
			*complete = false;
			continue;
		}
		if (cost[k] > most || cost[k] < -most)
			return fw_fail(
			    err, FW_ERR_RANGE,
			    "assignment: the cost in row %zu, column %zu is beyond %lld, the most for "
			    "a problem of this size",
			    k / columns + 1, k % columns + 1, (long long)most);
		int64_t size = cost[k] < 0 ? -cost[k] : cost[k];
		*largest = size > *largest ? size : *largest;
	}
	return FW_OK;
}

static int tell_stuck(const struct fw_assign_stuck *stuck, bool turned, struct fw_error *err)
{
	const char *one = turned ? "column" : "row", *other = turned ? "row" : "column";
	size_t shown = stuck->rows < FW_ASSIGN_TELL ? stuck->rows : FW_ASSIGN_TELL;
	char list[FW_ASSIGN_TELL * 24] = "";
	size_t at = 0;

	if (stuck->rows == 1)
		return fw_fail(err, FW_ERR_RANGE, "assignment: %s %zu can't be served: no %s is allowed it",
		               one, stuck->row[0] + 1, other);
	for (size_t k = 0; k < shown; k++)
		at += (size_t)snprintf(list + at, sizeof list - at, "%s%zu", k > 0 ? ", " : "",
		                       stuck->row[k] + 1);
	return fw_fail(
	    err, FW_ERR_RANGE,
	    "assignment: %s %zu can't be served: %ss %s%s (%zu in all) may use only %zu %s%s "
	    "between them",
	    one, stuck->row[0] + 1, one, list, stuck->rows > shown ? " …" : "", stuck->rows,
	    stuck->rows - 1, other, stuck->rows == 2 ? "" : "s");
}

/* Cells of both types have one size, and are only moved here. */
_Static_assert(sizeof(double) == sizeof(int64_t), "one size of cell");
#define CELL_SIZE sizeof(double)

/* Columns as rows, in tiles that stay in the cache. */
static void turn(unsigned char *out, const unsigned char *in, size_t rows, size_t columns)
{
	const size_t tile = 16;

	for (size_t i0 = 0; i0 < rows; i0 += tile) {
		for (size_t j0 = 0; j0 < columns; j0 += tile) {
			for (size_t i = i0; i < rows && i < i0 + tile; i++) {
				for (size_t j = j0; j < columns && j < j0 + tile; j++)
					memcpy(out + (j * rows + i) * CELL_SIZE, in + (i * columns + j) * CELL_SIZE,
					       CELL_SIZE);
			}
		}
	}
}

/* A problem as the cores want it: `rows` is the shorter side. Owns all but `cost`. */
struct problem {
	bool turned;
	size_t rows, columns;
	const void *cost;
	void *turned_cost;
	size_t *column;
	void *u, *v;
};

static void problem_free(struct problem *p)
{
	free(p->turned_cost);
	free(p->column);
	free(p->u);
	free(p->v);
}

static bool problem_make(struct problem *p, const void *cost, size_t rows, size_t columns)
{
	*p = (struct problem){.turned = rows > columns, .rows = rows, .columns = columns, .cost = cost};
	if (p->turned) {
		p->rows = columns;
		p->columns = rows;
		p->cost = p->turned_cost = malloc(rows * columns * CELL_SIZE);
		if (!p->turned_cost)
			return false;
		turn(p->turned_cost, cost, rows, columns);
	}
	p->column = malloc(p->rows * sizeof *p->column);
	p->u = malloc(p->rows * CELL_SIZE);
	p->v = malloc(p->columns * CELL_SIZE);
	return p->column && p->u && p->v;
}

static void put_out(size_t *column, void *u, void *v, const struct problem *p)
{
	if (p->turned) {
		for (size_t i = 0; i < p->columns; i++)
			column[i] = FW_ASSIGN_NONE;
		for (size_t k = 0; k < p->rows; k++)
			column[p->column[k]] = k;
	} else {
		memcpy(column, p->column, p->rows * sizeof *column);
	}
	void *short_prices = p->turned ? v : u, *long_prices = p->turned ? u : v;
	if (short_prices)
		memcpy(short_prices, p->u, p->rows * CELL_SIZE);
	if (long_prices)
		memcpy(long_prices, p->v, p->columns * CELL_SIZE);
}

static int finish(int rc, const struct problem *p, const struct fw_assign_stuck *stuck,
                  struct fw_error *err)
{
	if (rc == FW_ERR_RANGE)
		return tell_stuck(stuck, p->turned, err);
	if (rc != FW_OK)
		return fw_fail(err, rc, "assignment: out of memory");
	return FW_OK;
}

int fw_assign(size_t *column, double *u, double *v, const double *cost, size_t rows, size_t columns,
              struct fw_error *err)
{
	struct survey survey = {0.0, true};
	struct fw_assign_stuck stuck = {0};
	struct problem p;

	int rc = check_size(column, cost, rows, columns, err);
	if (rc == FW_OK)
		rc = survey_real(&survey, cost, rows, columns, err);
	if (rc != FW_OK)
		return rc;

	rc = FW_ERR_MEMORY;
	if (problem_make(&p, cost, rows, columns))
		rc = fw_assign_core_real(p.column, p.u, p.v, p.cost, p.rows, p.columns, survey.largest,
		                         survey.complete, &stuck);
	if (rc == FW_OK)
		put_out(column, u, v, &p);
	rc = finish(rc, &p, &stuck, err);
	problem_free(&p);
	return rc;
}

/* Whole costs that doubles hold exactly go through the faster core. Its auction may leave prices
 * with fractions, exact ones. Rounding the short side down and the other up keeps the proof: with
 * u = a + f and v = b - g (a, b whole; f, g in [0, 1)), u + v <= c gives a + b < c + 1, so a + b <=
 * c as all three are whole; u + v = c gives f = g, so a + b = c. A price not above 0 stays so. */
static int core_in_doubles(struct problem *p, int64_t largest, bool complete,
                           struct fw_assign_stuck *stuck)
{
	size_t cells = p->rows * p->columns;
	const int64_t *cost = p->cost;
	double *real = malloc(cells * sizeof *real);
	double *u = malloc(p->rows * sizeof *u), *v = malloc(p->columns * sizeof *v);
	int rc = FW_ERR_MEMORY;

	if (real && u && v) {
		for (size_t k = 0; k < cells; k++)
			real[k] = cost[k] == FW_ASSIGN_FORBIDDEN ? INFINITY : (double)cost[k];
		rc = fw_assign_core_real(p->column, u, v, real, p->rows, p->columns, (double)largest,
		                         complete, stuck);
	}
	if (rc == FW_OK) {
		int64_t *whole_u = p->u, *whole_v = p->v;
		for (size_t i = 0; i < p->rows; i++)
			whole_u[i] = (int64_t)floor(u[i]);
		for (size_t j = 0; j < p->columns; j++)
			whole_v[j] = (int64_t)ceil(v[j]);
	}
	free(real);
	free(u);
	free(v);
	return rc;
}

int fw_assign_whole(size_t *column, int64_t *u, int64_t *v, const int64_t *cost, size_t rows,
                    size_t columns, struct fw_error *err)
{
	int64_t largest = 0;
	bool complete = true;
	struct fw_assign_stuck stuck = {0};
	struct problem p;

	int rc = check_size(column, cost, rows, columns, err);
	if (rc == FW_OK)
		rc = survey_whole(&largest, &complete, cost, rows, columns, err);
	if (rc != FW_OK)
		return rc;

	rc = FW_ERR_MEMORY;
	if (problem_make(&p, cost, rows, columns)) {
		if (largest <= WHOLE_IN_DOUBLE / (int64_t)(p.rows + 1))
			rc = core_in_doubles(&p, largest, complete, &stuck);
		else
			rc = fw_assign_core_whole(p.column, p.u, p.v, p.cost, p.rows, p.columns, largest,
			                          complete, &stuck);
	}
	if (rc == FW_OK)
		put_out(column, u, v, &p);
	rc = finish(rc, &p, &stuck, err);
	problem_free(&p);
	return rc;
}
