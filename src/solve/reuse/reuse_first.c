/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of all best assignments the first.
 *
 * An assignment is best exactly when it uses only tight pairs (cost = u + v) and leaves no column
 * with a price below 0 (complementary slackness). A row may therefore move to another tight column
 * if those displaced can move along tight pairs until the column it left is taken again, or that
 * column has price 0 and may stay empty. Row by row the first such column is taken; a row once done
 * stays.
 */
#include <stdlib.h>
#include <string.h>

#include "fitwright/assign.h"
#include "solve/reuse/reuse_internal.h"

#define WORD   64
#define NOBODY SIZE_MAX

struct ties {
	size_t rows, columns, words;
	const int64_t *v;
	size_t *column; /* of each row */
	size_t *row_of;
	uint64_t *tight; /* for each column: the rows that are tight with it */
	uint64_t *open;  /* rows not yet done, nor reached */
	size_t *next;    /* of a row that is reached: the column it would move to */
	size_t *queue;   /* columns reached */
	bool *reached;   /* ditto */
	size_t emptied; /* the column that would become empty, if an empty one is taken; NOBODY: none */
};

static bool is_tight(const struct ties *t, size_t row, size_t column)
{
	return (t->tight[column * t->words + row / WORD] >> row % WORD & 1U) != 0;
}

static bool ties_make(struct ties *t, const int64_t *u, const int64_t *cost)
{
	t->row_of = malloc(t->columns * sizeof *t->row_of);
	t->tight = calloc(t->columns * t->words, sizeof *t->tight);
	t->open = calloc(2 * t->words, sizeof *t->open);
	t->next = malloc(t->rows * sizeof *t->next);
	t->queue = malloc(t->columns * sizeof *t->queue);
	t->reached = malloc(t->columns * sizeof *t->reached);
	if (!t->row_of || !t->tight || !t->open || !t->next || !t->queue || !t->reached)
		return false;
	for (size_t j = 0; j < t->columns; j++)
		t->row_of[j] = NOBODY;
	for (size_t i = 0; i < t->rows; i++) {
		t->row_of[t->column[i]] = i;
		for (size_t j = 0; j < t->columns; j++) {
			if (cost[i * t->columns + j] == u[i] + t->v[j])
				t->tight[j * t->words + i / WORD] |= (uint64_t)1 << i % WORD;
		}
	}
	return true;
}

static void ties_free(struct ties *t)
{
	free(t->row_of);
	free(t->tight);
	free(t->open);
	free(t->next);
	free(t->queue);
	free(t->reached);
}

static void reach(struct ties *t, size_t column, size_t *count)
{
	if (!t->reached[column]) {
		t->reached[column] = true;
		t->queue[(*count)++] = column;
	}
}

/* All rows open and tight with `column` would move there, which sets their columns free. */
static void reach_rows(struct ties *t, uint64_t *open, size_t column, size_t *count)
{
	for (size_t k = 0; k < t->words; k++) {
		uint64_t some = t->tight[column * t->words + k] & open[k];
		open[k] &= ~some;
		for (size_t bit = 0; some != 0; bit++, some >>= 1) {
			if ((some & 1U) == 0)
				continue;
			size_t row = k * WORD + bit;
			t->next[row] = column;
			reach(t, t->column[row], count);
		}
	}
}

/* Which columns `row` could move to, were they tight with it. */
static void spread(struct ties *t, size_t row)
{
	size_t count = 0;
	uint64_t *open = t->open + t->words;

	memcpy(open, t->open, t->words * sizeof *open);
	memset(t->reached, 0, t->columns * sizeof *t->reached);
	t->emptied = NOBODY;
	reach(t, t->column[row], &count);
	for (size_t k = 0; k < count; k++) {
		size_t column = t->queue[k];
		if (t->v[column] == 0 && t->emptied == NOBODY) { /* any empty one may be taken instead */
			t->emptied = column;
			for (size_t j = 0; j < t->columns; j++) {
				if (t->row_of[j] == NOBODY)
					reach(t, j, &count);
			}
		}
		reach_rows(t, open, column, &count);
	}
}

/* `row` moves to `column`, those displaced along their ways. */
static void move(struct ties *t, size_t row, size_t column)
{
	size_t left = t->column[row], at = column;

	for (;;) {
		size_t displaced = t->row_of[at];
		t->row_of[at] = row;
		t->column[row] = at;
		if (at == left)
			return;
		if (displaced == NOBODY) { /* so another is emptied */
			at = t->emptied;
			if (at == left) {
				t->row_of[at] = NOBODY;
				return;
			}
			displaced = t->row_of[at];
			t->row_of[at] = NOBODY;
		}
		row = displaced;
		at = t->next[row];
	}
}

/* The column that comes at place `k` for that taste, its favourite aside. */
static size_t column_at(const struct fw_taste *taste, size_t k)
{
	if (k < taste->turn || k > taste->late || taste->late == SIZE_MAX)
		return k;
	return k == taste->turn ? taste->late : k - 1;
}

/* The favourite if it is open to `row`, else the first column before its own that is; else its own.
 */
static size_t first_choice(struct ties *t, size_t row, const struct fw_taste *taste)
{
	size_t own = t->column[row], favourite = taste->favourite;
	bool any = favourite < t->columns && favourite != own && is_tight(t, row, favourite);

	if (own == favourite)
		return own;
	for (size_t k = 0; column_at(taste, k) != own && !any; k++)
		any = is_tight(t, row, column_at(taste, k));
	if (!any)
		return own;
	spread(t, row);
	if (favourite < t->columns && t->reached[favourite] && is_tight(t, row, favourite))
		return favourite;
	for (size_t k = 0; column_at(taste, k) != own; k++) {
		size_t j = column_at(taste, k);
		if (t->reached[j] && is_tight(t, row, j))
			return j;
	}
	return own;
}

int fw_assign_first(size_t *column, const int64_t *u, const int64_t *v, const int64_t *cost,
                    size_t rows, size_t columns, const struct fw_taste *taste, struct fw_error *err)
{
	struct ties t = {.rows = rows,
	                 .columns = columns,
	                 .words = (rows + WORD - 1) / WORD,
	                 .v = v,
	                 .column = column};

	if (!ties_make(&t, u, cost)) {
		ties_free(&t);
		return fw_fail(err, FW_ERR_MEMORY, "assignment: out of memory");
	}
	for (size_t i = 0; i < rows; i++)
		t.open[i / WORD] |= (uint64_t)1 << i % WORD;
	for (size_t i = 0; i < rows; i++) {
		t.open[i / WORD] &= ~((uint64_t)1 << i % WORD);
		size_t choice = first_choice(&t, i, &taste[i]);
		if (choice != column[i])
			move(&t, i, choice);
	}
	ties_free(&t);
	return FW_OK;
}
