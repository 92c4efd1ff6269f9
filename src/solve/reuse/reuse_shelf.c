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

static bool offer(struct fw_shelf *shelf, size_t place, size_t rank)
{
	if (shelf->offers == shelf->room) {
		size_t room = shelf->room == 0 ? 256 : 2 * shelf->room;
		struct fw_offer *grown = realloc(shelf->offer, room * sizeof *grown);
		if (!grown)
			return false;
		shelf->offer = grown;
		shelf->room = room;
	}
	shelf->offer[shelf->offers++] = (struct fw_offer){place, rank};
	return true;
}

/* From the aim outwards, the nearer first, of two as near the smaller part. */
static bool consider(struct fw_shelf *shelf, const struct view *view, struct span span,
                     size_t place, size_t rivals)
{
	size_t up = first_below(view, fw_limits_aim(&view->place->limits));
	uint64_t pieces = 0;

	up = up < span.from ? span.from : up > span.end ? span.end : up;
	size_t down = up;
	while (pieces < rivals && (down > span.from || up < span.end)) {
		bool smaller = up == span.end;
		if (!smaller && down > span.from)
			smaller = fw_reuse_deviation(view->place, clearance_at(view, down - 1)) <=
			          fw_reuse_deviation(view->place, clearance_at(view, up));
		size_t rank = smaller ? --down : up++;
		if (shelf->grade[rank].count == FW_GRADE_ENDLESS) {
			shelf->endless[place] = rank;
			return true;
		}
		if (!offer(shelf, place, rank))
			return false;
		pieces += shelf->grade[rank].count;
	}
	return true;
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
	bool fine = span != NULL;

	memset(shelf, 0, sizeof *shelf);
	shelf->grade = malloc((reuse->grades + 1) * sizeof *shelf->grade);
	shelf->endless = malloc(reuse->places * sizeof *shelf->endless);
	if (!fine || !shelf->grade || !shelf->endless) {
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
	for (size_t i = 0; i < reuse->places && rc == FW_OK && fine; i++) {
		struct view view = {reuse, &reuse->place[i], shelf, 0.0};
		if (span[i].from < span[i].end)
			fine = consider(shelf, &view, span[i], i, count_rivals(span, reuse->places, i));
	}
	free(span);
	if (rc == FW_OK && !fine)
		rc = fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	return rc;
}

void fw_shelf_free(struct fw_shelf *shelf)
{
	free(shelf->grade);
	free(shelf->endless);
	free(shelf->offer);
}
