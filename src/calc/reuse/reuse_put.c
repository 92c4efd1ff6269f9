/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "calc/reuse/reuse.h"

/* Room for where a part comes from: a name and a few words. */
#define ORIGIN 160

/* "own part", "from exhaust 2", "spare 1", "new", "left out". A long name is cut. */
static const char *origin(const struct fw_bench *b, const struct fw_fitting *f, char out[ORIGIN])
{
	if (f->from != FW_FROM_OLD)
		snprintf(out, ORIGIN, "%s", fw_source_text(f->from));
	else if (b->owner[f->index] == SIZE_MAX)
		snprintf(out, ORIGIN, "spare %zu", f->index - b->spares_from + 1);
	else
		snprintf(out, ORIGIN, "from %.100s", fw_bench_name(b, b->owner[f->index]));
	return out;
}

static void show_clearance(struct fw_calc_out *out, const struct fw_bench *b, size_t i,
                           const struct fw_fitting *f)
{
	const struct fw_place *place = &b->place[i];
	char found[FW_FIGURE], was[FW_FIGURE], now[FW_FIGURE], sum[FW_FIGURE], off[FW_FIGURE];
	const char *times = place->factor > 1.0 ? "2·" : "";

	fw_calc_figure(place->found, b->unit, found, sizeof found);
	fw_calc_figure(f->size, b->unit, now, sizeof now);
	fw_calc_figure(f->clearance, b->unit, sum, sizeof sum);
	double nm = round(fabs(f->clearance - fw_limits_aim(&place->limits)) * 1e9); /* as summed */
	fw_calc_figure(nm * 1e-9, b->unit, off, sizeof off);
	if (place->own == FW_PLACE_BARE) {
		fw_calc_line(out, "%s: %s - %s%s = %s, off the aim by %s", fw_bench_name(b, i), found,
		             times, now, sum, off);
		return;
	}
	fw_calc_figure(b->part[place->own].size, b->unit, was, sizeof was);
	fw_calc_line(out, "%s: %s + %s(%s - %s) = %s, off the aim by %s", fw_bench_name(b, i), found,
	             times, was, now, sum, off);
}

static double size_u(const struct fw_bench *b, const struct fw_fitting *f)
{
	return f->from == FW_FROM_SHELF ? b->reuse.grade_u : b->part[f->index].u;
}

static void show_u(struct fw_calc_out *out, const struct fw_bench *b, size_t i,
                   const struct fw_fitting *f)
{
	const struct fw_place *place = &b->place[i];
	char found[FW_FIGURE], was[FW_FIGURE], now[FW_FIGURE], u[FW_FIGURE];
	const char *times = place->factor > 1.0 ? "(2·" : "", *end = place->factor > 1.0 ? ")²" : "²";

	fw_calc_figure(place->u, b->fine, found, sizeof found);
	fw_calc_figure(f->u, b->fine, u, sizeof u);
	if (f->from == FW_FROM_OWN) {
		fw_calc_line(out, "%s: u = %s: a part that stays adds none", fw_bench_name(b, i), u);
		return;
	}
	fw_calc_figure(size_u(b, f), b->fine, now, sizeof now);
	if (place->own == FW_PLACE_BARE) {
		fw_calc_line(out, "%s: u = √(%s² + %s%s%s) = %s", fw_bench_name(b, i), found, times, now,
		             end, u);
		return;
	}
	fw_calc_figure(b->part[place->own].u, b->fine, was, sizeof was);
	fw_calc_line(out, "%s: u = √(%s² + %s%s%s + %s%s%s) = %s", fw_bench_name(b, i), found, times,
	             was, end, times, now, end, u);
}

static void warn_left_out(struct fw_calc_out *out, const struct fw_bench *b, size_t i,
                          const struct fw_fitting *f)
{
	char wanted[FW_FIGURE];

	if (f->uncertain)
		fw_calc_warn(out,
		             "%s is left out: what was measured there is too uncertain for its limits, "
		             "whatever goes in",
		             fw_bench_name(b, i));
	else if (f->wanted > 0.0)
		fw_calc_warn(out, "%s is left out: nothing here serves; %s would give the aim",
		             fw_bench_name(b, i),
		             fw_calc_figure(f->wanted, b->unit, wanted, sizeof wanted));
	else
		fw_calc_warn(out, "%s is left out: no size can serve, it has too little clearance bare",
		             fw_bench_name(b, i));
}

static void put_place(struct fw_calc_out *out, const struct fw_bench *b, size_t i,
                      const struct fw_fitting *f)
{
	char from[ORIGIN];

	fw_calc_row(out, "places", "Places");
	fw_calc_put_text(out, "place", "place", fw_bench_name(b, i));
	fw_calc_put_text(out, "part", "part", origin(b, f, from));
	fw_calc_put(out, "size", "size", f->size, b->unit);
	fw_calc_put_known(out, "clearance", "clearance", f->clearance, f->u, INFINITY, b->unit);
	fw_calc_put(out, "u", "u", f->u, b->fine);
	fw_calc_put_chance(out, "chance", "chance", f->probability);
	fw_calc_row_end(out);
}

/* Grades bought, in the order of the shelf. */
static void put_bought(struct fw_calc_out *out, const struct fw_bench *b, const size_t *pieces)
{
	for (size_t g = 0; g < b->reuse.grades; g++) {
		if (pieces[g] == 0)
			continue;
		fw_calc_row(out, "buy", "To buy");
		fw_calc_put(out, "size", "size", b->grade[g].size, b->unit);
		fw_calc_put_number(out, "pieces", "pieces", (double)pieces[g]);
		fw_calc_row_end(out);
	}
}

static void put_left_over(struct fw_calc_out *out, const struct fw_bench *b, const bool *used)
{
	char from[ORIGIN];

	for (size_t j = 0; j < b->reuse.parts; j++) {
		if (used[j])
			continue;
		struct fw_fitting old = {.from = FW_FROM_OLD, .index = j};
		fw_calc_row(out, "over", "Left over");
		fw_calc_put_text(out, "part", "part", origin(b, &old, from));
		fw_calc_put(out, "size", "size", b->part[j].size, b->unit);
		fw_calc_row_end(out);
	}
}

static void put_sum(struct fw_calc_out *out, const struct fw_bench *b,
                    const struct fw_reuse_sum *sum)
{
	fw_calc_put_number(out, "kept", "stay at their place", (double)sum->kept);
	fw_calc_put_number(out, "moved", "old parts that move", (double)sum->moved);
	fw_calc_put_number(out, "bought", "new parts", (double)sum->bought);
	fw_calc_put_number(out, "left-out", "places left out", (double)sum->left_out);
	fw_calc_put(out, "deviation", "sum of what they are off the aim", sum->deviation, b->unit);
}

static void put_fitting(struct fw_calc_out *out, const struct fw_bench *b,
                        const struct fw_fitting *fitting)
{
	fw_calc_line(out, b->place[0].factor > 1.0
	                      ? "clearance = found + 2·(shell that was in - shell that goes in), bare: "
	                        "found - 2·shell"
	                      : "clearance = found + (size that was in - size that goes in), bare: "
	                        "found - size");
	if (!b->exact)
		fw_calc_line(out, "chance = Φ((max - clearance)/u) - Φ((min - clearance)/u)");
	for (size_t i = 0; i < b->reuse.places; i++) {
		if (fitting[i].from == FW_FROM_NOWHERE) {
			warn_left_out(out, b, i, &fitting[i]);
		} else {
			show_clearance(out, b, i, &fitting[i]);
			if (!b->exact)
				show_u(out, b, i, &fitting[i]);
		}
		put_place(out, b, i, &fitting[i]);
	}
	if (b->exact)
		fw_calc_warn(out, "no uncertainty is given: the chances are those of the numbers, not of "
		                  "the parts; type readings with their ±, or give gauge and micrometer");
}

int fw_bench_put(struct fw_calc_out *out, const struct fw_bench *bench,
                 const struct fw_fitting *fitting, const struct fw_reuse_sum *sum,
                 struct fw_error *err)
{
	size_t *pieces = calloc(bench->reuse.grades + 1, sizeof *pieces);
	bool *used = calloc(bench->reuse.parts + 1, sizeof *used);

	if (!pieces || !used) {
		free(pieces);
		free(used);
		return fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	}
	for (size_t i = 0; i < bench->reuse.places; i++) {
		if (fitting[i].from == FW_FROM_SHELF)
			pieces[fitting[i].index]++;
		else if (fitting[i].from != FW_FROM_NOWHERE)
			used[fitting[i].index] = true;
	}
	put_fitting(out, bench, fitting);
	put_bought(out, bench, pieces);
	put_left_over(out, bench, used);
	put_sum(out, bench, sum);
	free(pieces);
	free(used);
	return FW_OK;
}
