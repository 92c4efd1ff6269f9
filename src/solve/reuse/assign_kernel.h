/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file assign_kernel.h
 * The loops that the time goes into, for one type of cost. Whoever includes it defines
 * CELL (the type), CELL_FAR (greater than any sum that can be reached) and CELL_DONE (see below).
 *
 * Written so that a compiler can do several columns at once: eight lanes, no branches, no reduction
 * across lanes before the end of a block. A minimum is noted for each block, so that the column it
 * belongs to is looked for in one block only.
 *
 * A column already settled has CELL_DONE for its price, which puts it beyond any distance.
 */
#ifndef FITWRIGHT_SOLVE_ASSIGN_KERNEL_H
#define FITWRIGHT_SOLVE_ASSIGN_KERNEL_H

#include <stddef.h>
#include <stdint.h>

#define LANES 8
#define BLOCK 128

/* A row is read once and rarely twice in a row, so most of it comes from memory: ask for it ahead.
 */
#if defined(__GNUC__)
#define FETCH(address) __builtin_prefetch(address)
#else
#define FETCH(address) ((void)0)
#endif
#define FETCH_AHEAD ((size_t)2 * BLOCK)
#define FETCH_STEP  (64 / sizeof(CELL))

static void fetch_ahead(const CELL *cost, size_t from, size_t columns)
{
	if (from + FETCH_AHEAD + BLOCK > columns)
		return;
	for (size_t k = 0; k < BLOCK; k += FETCH_STEP)
		FETCH(cost + from + FETCH_AHEAD + k);
}

static size_t blocks_of(size_t columns)
{
	return (columns + BLOCK - 1) / BLOCK;
}

/* Columns in the block that begins at `from`. */
static size_t block_size(size_t columns, size_t from)
{
	return columns - from < BLOCK ? columns - from : BLOCK;
}

static CELL least_of(const CELL low[LANES])
{
	CELL least = low[0];

	for (int k = 1; k < LANES; k++)
		least = low[k] < least ? low[k] : least;
	return least;
}

/* d[j] = min(d[j], cost[j] - price[j] - shift) over a block; returns the least d. */
static CELL relax_block(const CELL *restrict cost, const CELL *restrict price, CELL *restrict d,
                        size_t count, CELL shift)
{
	CELL low[LANES];
	size_t whole = count - count % LANES;

	for (int k = 0; k < LANES; k++)
		low[k] = CELL_FAR;
	for (size_t j = 0; j < whole; j += LANES) {
		for (size_t k = 0; k < LANES; k++) {
			CELL now = cost[j + k] - price[j + k] - shift;
			CELL old = d[j + k];
			CELL best = now < old ? now : old;
			d[j + k] = best;
			low[k] = best < low[k] ? best : low[k];
		}
	}
	for (size_t j = whole; j < count; j++) {
		CELL now = cost[j] - price[j] - shift;
		d[j] = now < d[j] ? now : d[j];
		low[0] = d[j] < low[0] ? d[j] : low[0];
	}
	return least_of(low);
}

/* The same over a whole row; the least d of each block goes to `least`, the least of all is
 * returned. */
static CELL relax(const CELL *cost, const CELL *price, CELL *d, size_t columns, CELL shift,
                  CELL *least)
{
	CELL best = CELL_FAR;

	for (size_t from = 0, b = 0; from < columns; from += BLOCK, b++) {
		fetch_ahead(cost, from, columns);
		least[b] =
		    relax_block(cost + from, price + from, d + from, block_size(columns, from), shift);
		best = least[b] < best ? least[b] : best;
	}
	return best;
}

/* The two least of cost[j] - price[j] over a block. */
static void two_of_block(CELL out[2], const CELL *restrict cost, const CELL *restrict price,
                         size_t count)
{
	CELL first[LANES], second[LANES];
	size_t whole = count - count % LANES;

	for (int k = 0; k < LANES; k++)
		first[k] = second[k] = CELL_FAR;
	for (size_t j = 0; j < whole; j += LANES) {
		for (size_t k = 0; k < LANES; k++) {
			CELL now = cost[j + k] - price[j + k];
			CELL worse = now < first[k] ? first[k] : now;
			first[k] = now < first[k] ? now : first[k];
			second[k] = worse < second[k] ? worse : second[k];
		}
	}
	for (size_t j = whole; j < count; j++) {
		CELL now = cost[j] - price[j];
		CELL worse = now < first[0] ? first[0] : now;
		first[0] = now < first[0] ? now : first[0];
		second[0] = worse < second[0] ? worse : second[0];
	}
	out[0] = first[0];
	out[1] = second[0];
	for (int k = 1; k < LANES; k++) {
		CELL worse = first[k] < out[0] ? out[0] : first[k];
		out[0] = first[k] < out[0] ? first[k] : out[0];
		out[1] = worse < out[1] ? worse : out[1];
		out[1] = second[k] < out[1] ? second[k] : out[1];
	}
}

/* The two least of a row, and the first column that has the least. CELL_FAR and more: there is
 * none. */
struct two_least {
	CELL first, second;
	size_t column;
};

static struct two_least two_least(const CELL *cost, const CELL *price, size_t columns)
{
	struct two_least out = {CELL_FAR, CELL_FAR, 0};
	size_t block = 0;

	for (size_t from = 0; from < columns; from += BLOCK) {
		CELL two[2];
		fetch_ahead(cost, from, columns);
		two_of_block(two, cost + from, price + from, block_size(columns, from));
		if (two[0] < out.first) {
			out.second = two[1] < out.first ? two[1] : out.first;
			out.first = two[0];
			block = from;
		} else if (two[0] < out.second) {
			out.second = two[0];
		}
	}
	if (out.first >= CELL_FAR)
		return out;
	for (out.column = block; cost[out.column] - price[out.column] != out.first;)
		out.column++;
	return out;
}

/* best[j] = min(best[j], cost[j]), and which row it was. */
static void least_rows(CELL *restrict best, int64_t *restrict who, const CELL *restrict cost,
                       size_t columns, int64_t row)
{
	for (size_t j = 0; j < columns; j++) {
		CELL now = cost[j], old = best[j];
		who[j] = now < old ? row : who[j];
		best[j] = now < old ? now : old;
	}
}

#endif
