/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file assign_core.h
 * The assignment for one type of cost; see assign.h for the sources. Whoever includes it defines
 * CELL, CELL_FAR, CELL_DONE, CELL_FLOOR (no bid goes lower), CELL_STEP(range, k) (k-th step of the
 * auction, 0: no more) and CELL_CORE (the name of the function), and includes assign_kernel.h.
 *
 * v are the columns' prices. A row is content with a column if cost - v is least there. All stages
 * keep what the proof needs: each row assigned is content; a column without a row has price 0,
 * unless there are as many rows as columns.
 */
#ifndef FITWRIGHT_SOLVE_ASSIGN_CORE_H
#define FITWRIGHT_SOLVE_ASSIGN_CORE_H

#include "solve/reuse/assign_internal.h"
#include "solve/reuse/assign_work.h"

/* Rounds of augmenting row reduction; a row displaced in one is dealt with at once, at most so many
 * times the free rows, lest two rows outbid each other in tiny steps. */
#define REDUCTIONS      2
#define REDUCTION_STEPS 4
/* Searches that have looked at more rows than this call for the auction. Where paths are long they
 * look at a share of n·n rows, elsewhere at far fewer. */
#define SEARCH_ROWS(n) ((n) * (32 + (n) / 16))
/* The auction may make so many bids for each row that was looked at: one costs as much as the
 * other, so at the worst it has been tried in vain for about as long as the searches took anyway.
 */
#define AUCTION_BIDS 2

/* Column reduction: each column is priced at its least cost and goes to that row, if it is free
 * yet. */
static void reduce_columns(struct work *w, int64_t *who)
{
	for (size_t j = 0; j < w->columns; j++) {
		w->v[j] = CELL_FAR;
		who[j] = NOBODY;
	}
	for (size_t i = 0; i < w->rows; i++)
		least_rows(w->v, who, w->row[i], w->columns, (int64_t)i);
	for (size_t j = w->columns; j-- > 0;) {
		if (w->v[j] >= CELL_FAR)
			w->v[j] = 0;
		else if (w->column_of[who[j]] == NOBODY)
			assign_to(w, (int32_t)who[j], j);
	}
}

/* Reduction transfer: what a row would lose with any other column comes off its column's price. */
static void transfer(struct work *w)
{
	for (size_t i = 0; i < w->rows; i++) {
		if (w->column_of[i] == NOBODY)
			continue;
		struct two_least two = two_least(w->row[i], w->v, w->columns);
		if (two.second < CELL_FAR)
			w->v[w->column_of[i]] -= two.second - two.first;
	}
}

/* A free column among those tied with the least, else another one tied, else `column` itself. */
static size_t other_tied(const struct work *w, const CELL *cost, CELL least, size_t column)
{
	size_t found = column;

	for (size_t j = column + 1; j < w->columns; j++) {
		if (cost[j] - w->v[j] == least) {
			found = j;
			if (w->row_of[j] == NOBODY)
				break;
		}
	}
	return found;
}

/* Augmenting row reduction: an idle row takes the column it likes best, at the price at which it
 * would like the next one as well, from whomever has it. */
static void reduce_rows(struct work *w)
{
	size_t at = 0, end = w->idles, steps = REDUCTION_STEPS * w->idles;

	w->idles = 0;
	while (at < end) {
		int32_t row = w->idle[at++];
		const CELL *cost = w->row[row];
		struct two_least two = two_least(cost, w->v, w->columns);
		if (two.first >= CELL_FAR) { /* the search will say so */
			w->idle[w->idles++] = row;
			continue;
		}
		size_t column = two.column;
		CELL price = two.second < CELL_FAR ? w->v[column] - (two.second - two.first) : w->v[column];
		bool outbid = price < w->v[column] && price > CELL_FLOOR;
		if (outbid)
			w->v[column] = price;
		else if (w->row_of[column] != NOBODY)
			column = other_tied(w, cost, two.first, column);
		int32_t displaced = w->row_of[column];
		assign_to(w, row, column);
		if (displaced == NOBODY)
			continue;
		w->column_of[displaced] = NOBODY;
		if (outbid && steps > 0) {
			steps--;
			w->idle[--at] = displaced;
		} else {
			w->idle[w->idles++] = displaced;
		}
	}
}

static void list_idle(struct work *w)
{
	w->idles = 0;
	for (size_t i = 0; i < w->rows; i++) {
		if (w->column_of[i] == NOBODY)
			w->idle[w->idles++] = (int32_t)i;
	}
}

/* Looks at a row that is `shift` further than its costs say. Returns the nearest open column's
 * distance. */
static CELL look_at(struct work *w, int32_t row, CELL shift)
{
	w->looked[w->looked_count] = row;
	w->shift[w->looked_count++] = shift;
	w->looked_total++;
	return relax(w->row[row], w->price, w->d, w->columns, shift, w->least);
}

/* Settles the open columns at `distance`, unless one is free: that is returned, else NOBODY. */
static int32_t settle(struct work *w, CELL distance)
{
	for (size_t from = 0, b = 0; from < w->columns; from += BLOCK, b++) {
		if (w->least[b] != distance)
			continue;
		size_t end = from + block_size(w->columns, from);
		for (size_t j = from; j < end; j++) {
			if (w->d[j] != distance)
				continue;
			if (w->row_of[j] == NOBODY)
				return (int32_t)j;
			w->waiting[w->waiting_count++] = (int32_t)w->settled_count;
			w->before[w->settled_count] = (int32_t)w->looked_count;
			w->distance[w->settled_count] = distance;
			w->settled[w->settled_count++] = (int32_t)j;
			w->d[j] = CELL_FAR;
			w->price[j] = CELL_DONE;
		}
	}
	return NOBODY;
}

/* The row, among the first `count` looked at, from which `column` got its distance: the same
 * figures give the same result, to the last bit. */
static int32_t came_from(const struct work *w, size_t column, CELL distance, size_t count)
{
	for (size_t k = count; k-- > 1;) {
		int32_t row = w->looked[k];
		if (w->row[row][column] - w->v[column] - w->shift[k] == distance)
			return row;
	}
	return w->looked[0];
}

/* Hands the columns along the path that ends at the free column `end`. `place` serves to find a
 * column among those settled. */
static void augment(struct work *w, int32_t end, CELL distance, int32_t *place)
{
	size_t count = w->looked_count;
	int32_t column = end;

	for (size_t k = 0; k < w->settled_count; k++)
		place[w->settled[k]] = (int32_t)k;
	for (;;) {
		int32_t row = came_from(w, (size_t)column, distance, count);
		int32_t next = w->column_of[row];
		assign_to(w, row, (size_t)column);
		if (row == w->looked[0])
			return;
		column = next;
		count = (size_t)w->before[place[column]];
		distance = w->distance[place[column]];
	}
}

/* The shortest path from an idle row to a free column; hands columns along it and brings the prices
 * up to date. False when there is no path: what was looked at says why. */
static bool search(struct work *w, int32_t start, int32_t *place)
{
	CELL distance = 0, shift = 0;
	int32_t row = start, end = NOBODY;

	w->looked_count = w->settled_count = w->waiting_count = 0;
	memcpy(w->price, w->v, w->columns * sizeof(CELL));
	for (size_t j = 0; j < w->columns; j++)
		w->d[j] = CELL_FAR;
	for (;;) {
		CELL nearest = look_at(w, row, shift);
		if (w->waiting_count == 0 || nearest == distance) {
			if (nearest >= CELL_FAR)
				return false;
			distance = nearest;
			end = settle(w, distance);
			if (end != NOBODY)
				break;
		}
		int32_t column = w->settled[w->waiting[--w->waiting_count]];
		row = w->row_of[column];
		shift = w->row[row][column] - w->v[column] - distance;
	}
	augment(w, end, distance, place);
	for (size_t k = 0; k < w->settled_count; k++)
		w->v[w->settled[k]] += w->distance[k] - distance;
	return true;
}

/* Makes it square with rows that cost nothing anywhere, so that all prices may move. */
static bool make_square(struct work *w)
{
	if (w->rows == w->columns)
		return true;
	w->zeros = calloc(w->columns, sizeof(CELL));
	if (!w->zeros)
		return false;
	for (; w->rows < w->columns; w->rows++)
		w->row[w->rows] = w->zeros;
	return true;
}

/* All rows bid at one step: each idle one takes the column it likes best, at a price by `step`
 * lower than the one at which it would like the next as well. Returns the bids left; 0: not
 * finished. */
static size_t auction_round(struct work *w, CELL step, size_t bids)
{
	for (size_t j = 0; j < w->columns; j++)
		w->row_of[j] = NOBODY;
	for (size_t i = 0; i < w->rows; i++)
		w->idle[i] = (int32_t)(w->rows - 1 - i);
	for (w->idles = w->rows; w->idles > 0 && bids > 0; bids--) {
		int32_t row = w->idle[--w->idles];
		struct two_least two = two_least(w->row[row], w->v, w->columns);
		w->v[two.column] -= step;
		if (two.second < CELL_FAR) /* more than one column */
			w->v[two.column] -= two.second - two.first;
		if (w->row_of[two.column] != NOBODY)
			w->idle[w->idles++] = w->row_of[two.column];
		w->row_of[two.column] = row;
	}
	return bids;
}

/* Auction with falling steps, all pairs being allowed: leaves prices near the best ones, and nobody
 * assigned. Where it takes too many bids, prices and columns are as they were. */
static bool auction(struct work *w, CELL range, size_t bids)
{
	CELL *v = malloc(w->columns * sizeof *v);
	int32_t *row_of = malloc(w->columns * sizeof *row_of);
	CELL step;

	if (!v || !row_of) {
		free(v);
		free(row_of);
		return false;
	}
	memcpy(v, w->v, w->columns * sizeof *v);
	memcpy(row_of, w->row_of, w->columns * sizeof *row_of);
	for (int k = 0; bids > 0 && (step = CELL_STEP(range, k)) > 0; k++)
		bids = auction_round(w, step, bids);
	if (bids == 0)
		memcpy(w->v, v, w->columns * sizeof *v);
	for (size_t j = 0; j < w->columns; j++) {
		w->row_of[j] = bids == 0 ? row_of[j] : NOBODY;
		if (bids > 0)
			w->column_of[j] = NOBODY;
	}
	free(v);
	free(row_of);
	return true;
}

static void reduce(struct work *w)
{
	list_idle(w);
	for (int i = 0; i < REDUCTIONS && w->idles > 0; i++)
		reduce_rows(w);
}

/* Searches for each idle row. With `may_stop`, stops early where that takes long: 1. Stuck: -1. */
static int search_all(struct work *w, int32_t *place, bool may_stop)
{
	for (size_t k = 0; k < w->idles; k++) {
		if (may_stop && w->looked_total > SEARCH_ROWS(w->rows))
			return 1;
		if (!search(w, w->idle[k], place))
			return -1;
	}
	return 0;
}

static int solve(struct work *w, CELL largest, bool complete, int32_t *place, int64_t *who,
                 struct fw_assign_stuck *stuck)
{
	if (w->rows == w->columns) {
		reduce_columns(w, who);
		transfer(w);
	}
	reduce(w);
	int rc = search_all(w, place, complete && w->columns <= 2 * w->rows);
	if (rc == 1) {
		size_t bids = AUCTION_BIDS * w->looked_total;
		if (!make_square(w) || !auction(w, 2 * largest, bids))
			return FW_ERR_MEMORY;
		reduce(w);
		rc = search_all(w, place, false);
	}
	if (rc == 0)
		return FW_OK;
	stuck->rows = w->looked_count;
	for (size_t k = 0; k < w->looked_count && k < FW_ASSIGN_TELL; k++)
		stuck->row[k] = (size_t)w->looked[k];
	return FW_ERR_RANGE;
}

/* Where rows were added, all columns they got have the highest price: that becomes 0. */
static void put_out(size_t *column, CELL *u, CELL *v, const struct work *w, size_t rows)
{
	CELL top = 0;

	for (size_t i = rows; i < w->rows; i++) {
		CELL price = w->v[w->column_of[i]];
		top = i == rows || price > top ? price : top;
	}
	for (size_t j = 0; j < w->columns; j++)
		v[j] = (size_t)w->row_of[j] >= rows ? 0 : w->v[j] - top;
	for (size_t i = 0; i < rows; i++) {
		column[i] = (size_t)w->column_of[i];
		u[i] = w->row[i][column[i]] - v[column[i]];
	}
}

int CELL_CORE(size_t *column, CELL *u, CELL *v, const CELL *cost, size_t rows, size_t columns,
              CELL largest, bool complete, struct fw_assign_stuck *stuck)
{
	struct work w;
	int32_t *place = malloc(columns * sizeof *place);
	int64_t *who = malloc(columns * sizeof *who);
	int rc = FW_ERR_MEMORY;

	if (work_make(&w, cost, rows, columns) && place && who)
		rc = solve(&w, largest, complete, place, who, stuck);
	if (rc == FW_OK)
		put_out(column, u, v, &w, rows);
	work_free(&w);
	free(place);
	free(who);
	return rc;
}

#endif
