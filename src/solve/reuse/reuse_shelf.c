/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solve/reuse/reuse_internal.h"

static int by_size(const void *a, const void *b)
{
	const struct fw_ranked *x = a, *y = b;

	if (x->nm != y->nm)
		return x->nm < y->nm ? -1 : 1;
	return x->index < y->index ? -1 : x->index > y->index;
}

/* In order of size; two grades of one size are refused; those of which there is none are dropped.
 */
static int put_in_order(struct fw_shelf *shelf, const struct fw_reuse *reuse, struct fw_error *err)
{
	size_t kept = 0;

	for (size_t g = 0; g < reuse->grades; g++) {
		double size = reuse->grade[g].size;
		shelf->grade[g] =
		    (struct fw_ranked){size, (int64_t)llround(size * 1e9), g, reuse->grade[g].count};
	}
	if (reuse->grades > 0)
		qsort(shelf->grade, reuse->grades, sizeof shelf->grade[0], by_size);
	for (size_t g = 1; g < reuse->grades; g++) {
		if (shelf->grade[g].nm == shelf->grade[g - 1].nm)
			return fw_fail(err, FW_ERR_ARGUMENT, "reuse: grades %zu and %zu are of one size",
			               shelf->grade[g - 1].index + 1, shelf->grade[g].index + 1);
	}
	for (size_t g = 0; g < reuse->grades; g++) {
		if (shelf->grade[g].count > 0)
			shelf->grade[kept++] = shelf->grade[g];
	}
	shelf->grades = kept;
	return FW_OK;
}

/* A place as the shelf sees it. */
struct view {
	const struct fw_reuse *reuse;
	const struct fw_place *place;
	const struct fw_shelf *shelf;
	double u;
};

static double clearance_at(const struct view *view, size_t rank)
{
	return fw_reuse_clearance(view->reuse, view->place, view->shelf->grade[rank].size);
}

static bool serves(const struct view *view, size_t rank)
{
	return fw_reuse_serves(view->place, clearance_at(view, rank), view->u, view->reuse->asked);
}

/* The first rank whose clearance is below `clearance`; clearance falls with rank. */
static size_t first_below(const struct view *view, double clearance)
{
	size_t low = 0, high = view->shelf->grades;

	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (clearance_at(view, middle) < clearance)
			high = middle;
		else
			low = middle + 1;
	}
	return low;
}

/* The grade most likely to be within: the nearest to the middle, or the last towards the open side.
 */
static size_t likeliest(const struct view *view)
{
	const struct fw_limits *limits = &view->place->limits;

	if (isinf(limits->min))
		return view->shelf->grades - 1;
	if (isinf(limits->max))
		return 0;
	double middle = limits->min + (limits->max - limits->min) / 2.0;
	size_t below = first_below(view, middle);
	if (below == view->shelf->grades)
		return below - 1;
	if (below == 0)
		return 0;
	return clearance_at(view, below - 1) - middle <= middle - clearance_at(view, below) ? below - 1
	                                                                                    : below;
}

/* Ranks that serve a place: from..end, empty when from == end. The probability falls to both sides
 * of the likeliest grade, so both ends are found by halving. */
struct span {
	size_t from, end;
};

static struct span span_of(const struct view *view)
{
	if (view->shelf->grades == 0)
		return (struct span){0, 0};
	size_t best = likeliest(view);
	if (!serves(view, best))
		return (struct span){best, best};

	size_t low = 0, high = best;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (serves(view, middle))
			high = middle;
		else
			low = middle + 1;
	}
	size_t from = low;
	low = best + 1;
	high = view->shelf->grades;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (serves(view, middle))
			low = middle + 1;
		else
			high = middle;
	}
	return (struct span){from, low};
}

/* What is considered for one place. */
struct list {
	struct fw_shelf *shelf;
	const struct view *view;
	size_t place;
	uint64_t pieces; /* of what was offered so far */
	size_t rivals;
	bool done;
};

static int offer(struct fw_shelf *shelf, const struct fw_reuse *reuse, size_t place, size_t rank,
                 struct fw_error *err)
{
	if (shelf->offers == shelf->room) {
		size_t room = shelf->room == 0 ? 256 : 2 * shelf->room;
		struct fw_offer *grown = realloc(shelf->offer, room * sizeof *grown);
		if (!grown)
			return fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
		shelf->offer = grown;
		shelf->room = room;
	}
	shelf->offer[shelf->offers++] = (struct fw_offer){(uint32_t)place, (uint32_t)rank};
	if (++shelf->wanted[rank] > shelf->grade[rank].count)
		return FW_OK;
	return fw_reuse_check_pairs(reuse->places, reuse->parts, ++shelf->pieces, err);
}

static int consider_rank(struct list *list, size_t rank, struct fw_error *err)
{
	struct fw_shelf *shelf = list->shelf;

	if (shelf->grade[rank].count == FW_GRADE_ENDLESS) {
		shelf->endless[list->place] = rank;
		list->done = true;
		return FW_OK;
	}
	int rc = offer(shelf, list->view->reuse, list->place, rank, err);
	list->pieces += shelf->grade[rank].count;
	list->done = rc != FW_OK || list->pieces >= list->rivals;
	return rc;
}

static int64_t deviation_at(const struct view *view, size_t rank)
{
	return fw_reuse_deviation(view->place, clearance_at(view, rank));
}

/* The first of the ranks from `from` that is no further than the one before `end`; towards the aim
 * none is further than the one before it. */
static size_t first_as_near(const struct view *view, size_t from, size_t end)
{
	int64_t deviation = deviation_at(view, end - 1);

	while (from + 1 < end) {
		size_t middle = from + (end - 1 - from) / 2;
		if (deviation_at(view, middle) > deviation)
			from = middle + 1;
		else
			end = middle + 1;
	}
	return end - 1;
}

/* From the aim outwards, the nearer first, of those as near the smaller part. */
static int consider(struct list *list, struct span span, struct fw_error *err)
{
	const struct view *view = list->view;
	size_t up = first_below(view, fw_limits_aim(&view->place->limits));
	int rc = FW_OK;

	up = up < span.from ? span.from : up > span.end ? span.end : up;
	size_t down = up;
	while (!list->done && (down > span.from || up < span.end)) {
		bool smaller = up == span.end ||
		               (down > span.from && deviation_at(view, down - 1) <= deviation_at(view, up));
		size_t from = smaller ? first_as_near(view, span.from, down) : up;
		size_t end = smaller ? down : up + 1;
		for (size_t rank = from; rank < end && !list->done; rank++)
			rc = consider_rank(list, rank, err);
		down = smaller ? from : down;
		up = smaller ? up : end;
	}
	return rc;
}

/* How many places, itself included, have a span that overlaps. */
static size_t count_rivals(const struct span *span, size_t places, size_t place)
{
	size_t rivals = 0;

	for (size_t i = 0; i < places; i++)
		rivals += span[i].from < span[place].end && span[place].from < span[i].end;
	return rivals;
}

int fw_shelf_make(struct fw_shelf *shelf, const struct fw_reuse *reuse, struct fw_error *err)
{
	struct span *span = calloc(reuse->places, sizeof *span);

	memset(shelf, 0, sizeof *shelf);
	shelf->grade = malloc((reuse->grades + 1) * sizeof *shelf->grade);
	shelf->endless = malloc(reuse->places * sizeof *shelf->endless);
	shelf->wanted = calloc(reuse->grades + 1, sizeof *shelf->wanted);
	if (!span || !shelf->grade || !shelf->endless || !shelf->wanted) {
		free(span);
		return fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	}
	int rc = put_in_order(shelf, reuse, err);
	for (size_t i = 0; i < reuse->places && rc == FW_OK; i++) {
		struct view view = {reuse, &reuse->place[i], shelf,
		                    fw_reuse_u(reuse, &reuse->place[i], reuse->grade_u)};
		shelf->endless[i] = SIZE_MAX;
		span[i] = span_of(&view);
	}
	for (size_t i = 0; i < reuse->places && rc == FW_OK; i++) {
		struct view view = {reuse, &reuse->place[i], shelf, 0.0};
		struct list list = {shelf, &view, i, 0, count_rivals(span, reuse->places, i), false};
		if (span[i].from < span[i].end)
			rc = consider(&list, span[i], err);
	}
	free(span);
	return rc;
}

void fw_shelf_free(struct fw_shelf *shelf)
{
	free(shelf->grade);
	free(shelf->endless);
	free(shelf->offer);
	free(shelf->wanted);
}
