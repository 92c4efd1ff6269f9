/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/reuse.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fitwright/assign.h"
#include "solve/reuse/reuse_internal.h"

/* Columns: the old parts, the pieces on the shelf by size, one for each place of its own (an
 * endless grade, or to be left out). */
struct table {
	const struct fw_reuse *reuse;
	struct fw_shelf shelf;
	size_t *first_piece; /* of each rank, one more at the end: pieces are numbered by rank */
	size_t pieces, columns;
	int64_t *cost; /* first deviations, then weighed */
	int64_t most;  /* largest deviation */
	int64_t bought, left_out;
	size_t *column;
	struct fw_taste *taste;
	int64_t *u, *v;
};

static void table_free(struct table *t)
{
	fw_shelf_free(&t->shelf);
	free(t->first_piece);
	free(t->cost);
	free(t->column);
	free(t->taste);
	free(t->u);
	free(t->v);
}

static int no_memory(struct fw_error *err)
{
	fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	return FW_ERR_MEMORY;
}

static size_t places(const struct table *t)
{
	return t->reuse->places;
}

static int64_t *cell(struct table *t, size_t place, size_t column)
{
	return &t->cost[place * t->columns + column];
}

static size_t piece_column(const struct table *t, size_t piece)
{
	return t->reuse->parts + piece;
}

static size_t own_column(const struct table *t, size_t place)
{
	return t->reuse->parts + t->pieces + place;
}

/* Of a grade no more pieces than places that consider it. */
static int number_pieces(struct table *t, struct fw_error *err)
{
	const struct fw_shelf *shelf = &t->shelf;

	t->first_piece = malloc((shelf->grades + 1) * sizeof *t->first_piece);
	if (!t->first_piece)
		return no_memory(err);
	for (size_t rank = 0; rank < shelf->grades; rank++) {
		size_t wanted = shelf->wanted[rank], count = shelf->grade[rank].count;
		t->first_piece[rank] = t->pieces;
		t->pieces += wanted < count ? wanted : count;
	}
	t->first_piece[shelf->grades] = t->pieces;
	return FW_OK;
}

static int table_make(struct table *t, struct fw_error *err)
{
	size_t n = places(t);

	t->columns = t->reuse->parts + t->pieces + n;
	if (t->columns > FW_REUSE_PAIRS / n) /* never, as pieces were counted as they were offered */
		return fw_reuse_check_pairs(n, t->reuse->parts, t->pieces, err);
	t->cost = malloc(n * t->columns * sizeof *t->cost);
	t->column = malloc(n * sizeof *t->column);
	t->taste = malloc(n * sizeof *t->taste);
	t->u = malloc(n * sizeof *t->u);
	t->v = malloc(t->columns * sizeof *t->v);
	if (!t->cost || !t->column || !t->taste || !t->u || !t->v)
		return no_memory(err);
	for (size_t k = 0; k < n * t->columns; k++)
		t->cost[k] = FW_ASSIGN_FORBIDDEN;
	return FW_OK;
}

static void put_deviation(struct table *t, size_t place, size_t column, double clearance)
{
	int64_t deviation = fw_reuse_deviation(&t->reuse->place[place], clearance);

	*cell(t, place, column) = deviation;
	t->most = deviation > t->most ? deviation : t->most;
}

/* Uncertainty of the clearance with an old part in: at its own place nothing is changed. */
static double part_u(const struct fw_reuse *reuse, const struct fw_place *place, size_t part)
{
	return part == place->own ? place->u : fw_reuse_u(reuse, place, reuse->part[part].u);
}

static void put_old_parts(struct table *t)
{
	const struct fw_reuse *reuse = t->reuse;

	for (size_t i = 0; i < places(t); i++) {
		const struct fw_place *place = &reuse->place[i];
		t->taste[i] = (struct fw_taste){place->own, SIZE_MAX, SIZE_MAX};
		for (size_t j = 0; j < reuse->parts; j++) {
			double clearance = fw_reuse_clearance(reuse, place, reuse->part[j].size);
			if (fw_reuse_serves(place, clearance, part_u(reuse, place, j), reuse->asked))
				put_deviation(t, i, j, clearance);
		}
	}
}

static void put_shelf(struct table *t)
{
	const struct fw_shelf *shelf = &t->shelf;

	for (size_t k = 0; k < shelf->offers; k++) {
		struct fw_offer offer = shelf->offer[k];
		double clearance = fw_reuse_clearance(t->reuse, &t->reuse->place[offer.place],
		                                      shelf->grade[offer.rank].size);
		for (size_t p = t->first_piece[offer.rank]; p < t->first_piece[offer.rank + 1]; p++)
			put_deviation(t, offer.place, piece_column(t, p), clearance);
	}
	for (size_t i = 0; i < places(t); i++) {
		size_t rank = shelf->endless[i];
		if (rank == SIZE_MAX)
			continue;
		put_deviation(t, i, own_column(t, i),
		              fw_reuse_clearance(t->reuse, &t->reuse->place[i], shelf->grade[rank].size));
		/* It stands last, but takes its turn by size. */
		t->taste[i].late = own_column(t, i);
		t->taste[i].turn = piece_column(t, t->first_piece[rank]);
	}
}

/* The weights of reuse.h. */
static int weigh(struct table *t, struct fw_error *err)
{
	int64_t n = (int64_t)places(t);

	if (t->most > (FW_ASSIGN_WHOLE / (n + 1) / (n + 1) - 1) / n)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "reuse: with %zu places no clearance may be further than %lld µm from its aim, "
		    "and one is: %lld µm",
		    places(t), (long long)((FW_ASSIGN_WHOLE / (n + 1) / (n + 1) - 1) / n / 1000),
		    (long long)(t->most / 1000));
	t->bought = n * t->most + 1;
	t->left_out = (n + 1) * t->bought;
	for (size_t i = 0; i < places(t); i++) {
		for (size_t j = t->reuse->parts; j < t->columns; j++) {
			if (*cell(t, i, j) != FW_ASSIGN_FORBIDDEN)
				*cell(t, i, j) += t->bought;
		}
		if (*cell(t, i, own_column(t, i)) == FW_ASSIGN_FORBIDDEN)
			*cell(t, i, own_column(t, i)) = t->left_out;
	}
	return FW_OK;
}

static size_t rank_of_piece(const struct table *t, size_t piece)
{
	size_t low = 0, high = t->shelf.grades;

	while (high - low > 1) {
		size_t middle = low + (high - low) / 2;
		if (t->first_piece[middle] <= piece)
			low = middle;
		else
			high = middle;
	}
	return low;
}

static void fit_part(struct fw_fitting *out, const struct table *t, size_t place, size_t part)
{
	const struct fw_place *at = &t->reuse->place[place];

	out->from = part == at->own ? FW_FROM_OWN : FW_FROM_OLD;
	out->index = part;
	out->size = t->reuse->part[part].size;
	out->u = part_u(t->reuse, at, part);
}

static void fit_grade(struct fw_fitting *out, const struct table *t, size_t place, size_t rank)
{
	out->from = FW_FROM_SHELF;
	out->index = t->shelf.grade[rank].index;
	out->size = t->shelf.grade[rank].size;
	out->u = fw_reuse_u(t->reuse, &t->reuse->place[place], t->reuse->grade_u);
}

/* No size serves where not even the likeliest clearance does, with nothing but the uncertainty of
 * what was found, and of the part that was in. */
static bool is_uncertain(const struct table *t, const struct fw_place *place)
{
	const struct fw_limits *l = &place->limits;

	if (isinf(l->min) || isinf(l->max))
		return false;
	return !fw_reuse_serves(place, l->min + (l->max - l->min) / 2.0,
	                        fw_reuse_u(t->reuse, place, 0.0), t->reuse->asked);
}

static int fit(struct fw_fitting *out, const struct table *t, size_t place, struct fw_error *err)
{
	const struct fw_reuse *reuse = t->reuse;
	const struct fw_place *at = &reuse->place[place];
	size_t column = t->column[place];
	double was = at->own == FW_PLACE_BARE ? 0.0 : reuse->part[at->own].size;

	*out = (struct fw_fitting){.from = FW_FROM_NOWHERE,
	                           .index = SIZE_MAX,
	                           .size = NAN,
	                           .clearance = NAN,
	                           .u = NAN,
	                           .probability = NAN};
	out->wanted = was + (at->found - fw_limits_aim(&at->limits)) / at->factor;
	out->uncertain = is_uncertain(t, at);
	if (column < reuse->parts)
		fit_part(out, t, place, column);
	else if (column < reuse->parts + t->pieces)
		fit_grade(out, t, place, rank_of_piece(t, column - reuse->parts));
	else if (t->shelf.endless[place] != SIZE_MAX)
		fit_grade(out, t, place, t->shelf.endless[place]);
	else
		return FW_OK;
	out->clearance = fw_reuse_clearance(reuse, at, out->size);
	return fw_conform_probability(&out->probability, out->clearance, out->u, INFINITY, &at->limits,
	                              err);
}

static void add_up(struct fw_reuse_sum *sum, const struct table *t,
                   const struct fw_fitting *fitting)
{
	int64_t deviation = 0;

	memset(sum, 0, sizeof *sum);
	for (size_t i = 0; i < places(t); i++) {
		sum->kept += fitting[i].from == FW_FROM_OWN;
		sum->moved += fitting[i].from == FW_FROM_OLD;
		sum->bought += fitting[i].from == FW_FROM_SHELF;
		sum->left_out += fitting[i].from == FW_FROM_NOWHERE;
		if (fitting[i].from != FW_FROM_NOWHERE)
			deviation += fw_reuse_deviation(&t->reuse->place[i], fitting[i].clearance);
	}
	sum->deviation = (double)deviation * 1e-9;
}

static int solve(struct table *t, struct fw_error *err)
{
	int rc = fw_shelf_make(&t->shelf, t->reuse, err);

	if (rc == FW_OK)
		rc = number_pieces(t, err);
	if (rc == FW_OK)
		rc = table_make(t, err);
	if (rc != FW_OK)
		return rc;
	put_old_parts(t);
	put_shelf(t);
	rc = weigh(t, err);
	if (rc == FW_OK)
		rc = fw_assign_whole(t->column, t->u, t->v, t->cost, places(t), t->columns, err);
	if (rc == FW_OK)
		rc = fw_assign_first(t->column, t->u, t->v, t->cost, places(t), t->columns, t->taste, err);
	return rc;
}

/* All or nothing: `out` and `sum` are written at the end. */
static int put_out(struct fw_fitting *out, struct fw_reuse_sum *sum, const struct table *t,
                   struct fw_error *err)
{
	struct fw_fitting *fitting = calloc(places(t), sizeof *fitting);
	int rc = FW_OK;

	if (!fitting)
		return no_memory(err);
	for (size_t i = 0; i < places(t) && rc == FW_OK; i++)
		rc = fit(&fitting[i], t, i, err);
	if (rc == FW_OK) {
		memcpy(out, fitting, places(t) * sizeof *out);
		if (sum)
			add_up(sum, t, fitting);
	}
	free(fitting);
	return rc;
}

int fw_reuse(struct fw_fitting *out, struct fw_reuse_sum *sum, const struct fw_reuse *reuse,
             struct fw_error *err)
{
	struct table t = {.reuse = reuse};

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "reuse: no place for the result");
	int rc = fw_reuse_check(reuse, err);
	if (rc != FW_OK)
		return rc;

	rc = solve(&t, err);
	if (rc == FW_OK)
		rc = put_out(out, sum, &t, err);
	table_free(&t);
	return rc;
}

const char *fw_source_text(enum fw_source source)
{
	switch (source) {
	case FW_FROM_OWN:
		return "own part";
	case FW_FROM_OLD:
		return "old part";
	case FW_FROM_SHELF:
		return "new";
	case FW_FROM_NOWHERE:
		return "left out";
	}
	return "unknown";
}
