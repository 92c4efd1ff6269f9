/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file assign_work.h  What an assignment for one type of cost (CELL) works on; see assign_core.h.
 */
#ifndef FITWRIGHT_SOLVE_ASSIGN_WORK_H
#define FITWRIGHT_SOLVE_ASSIGN_WORK_H

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "solve/reuse/assign_kernel.h"

#define NOBODY (-1)

struct work {
	size_t rows, columns; /* rows: with those added to make it square */
	const CELL **row;     /* a row's costs */
	CELL *zeros;          /* those of an added row, or NULL */
	CELL *v;
	int32_t *row_of, *column_of;
	int32_t *idle; /* rows without a column */
	size_t idles;
	/* of one search */
	CELL *price;      /* v, or CELL_DONE */
	CELL *d;          /* shortest distance so far to each open column */
	CELL *least;      /* of d, in each block */
	CELL *distance;   /* of the columns settled, in their order */
	int32_t *settled; /* those columns */
	int32_t *before;  /* rows looked at before each was settled */
	int32_t *looked;  /* rows looked at */
	CELL *shift;      /* and what was taken off their costs */
	int32_t *waiting; /* places in `settled` of columns whose row is still to be looked at */
	size_t looked_count, settled_count, waiting_count;
	size_t looked_total;
};

static void work_free(struct work *w)
{
	void *all[] = {(void *)w->row, w->zeros,  w->v,      w->row_of, w->column_of,
	               w->idle,        w->price,  w->d,      w->least,  w->distance,
	               w->settled,     w->before, w->looked, w->shift,  w->waiting};

	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
		free(all[i]);
}

/* Everything has room for a square, as rows may be added. */
static bool work_make(struct work *w, const CELL *cost, size_t rows, size_t columns)
{
	memset(w, 0, sizeof *w);
	w->rows = rows;
	w->columns = columns;
	w->row = malloc(columns * sizeof *w->row);
	w->v = malloc(columns * sizeof(CELL));
	w->row_of = malloc(columns * sizeof(int32_t));
	w->column_of = malloc(columns * sizeof(int32_t));
	w->idle = malloc(columns * sizeof(int32_t));
	w->price = malloc(columns * sizeof(CELL));
	w->d = malloc(columns * sizeof(CELL));
	w->least = malloc(blocks_of(columns) * sizeof(CELL));
	w->distance = malloc(columns * sizeof(CELL));
	w->settled = malloc(columns * sizeof(int32_t));
	w->before = malloc(columns * sizeof(int32_t));
	w->looked = malloc((columns + 1) * sizeof(int32_t));
	w->shift = malloc((columns + 1) * sizeof(CELL));
	w->waiting = malloc(columns * sizeof(int32_t));
	if (!w->row || !w->v || !w->row_of || !w->column_of || !w->idle || !w->price || !w->d ||
	    !w->least || !w->distance || !w->settled || !w->before || !w->looked || !w->shift ||
	    !w->waiting)
		return false;
	for (size_t i = 0; i < rows; i++)
		w->row[i] = cost + i * columns;
	for (size_t j = 0; j < columns; j++) {
		w->v[j] = 0;
		w->row_of[j] = NOBODY;
	}
	for (size_t i = 0; i < columns; i++)
		w->column_of[i] = NOBODY;
	return true;
}

static void assign_to(struct work *w, int32_t row, size_t column)
{
	w->row_of[column] = row;
	w->column_of[row] = (int32_t)column;
}

#endif
