/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to get, or what is wrong, when nothing in the kit serves. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "solve/length_text.h"
#include "solve/shim/together_internal.h"

/* Steps spent on finding a piece for each place. */
#define STEPS 500000.0
#define TEXT  480

struct advice {
	struct fw_together_choice *out;
	const struct fw_tg_task *task;
	struct fw_tg_walk *walk;
	size_t place; /* that gets the new piece */
	double thickness, distance;
	bool kept;  /* there were enough pieces for the stacks of the other places */
	bool spent; /* not all that could have taken a new piece was tried */
};

static void limits_as_windows(struct fw_tg_windows *out, const struct fw_tg_task *task)
{
	for (size_t i = 0; i < task->responses; i++)
		out->of[i] = (struct fw_window){task->fit->response[i].limits.min,
		                                task->fit->response[i].limits.max};
}

static struct fw_tg_view open_view(double low)
{
	return (struct fw_tg_view){.open = true, .low = low, .high = FW_SHIM_THICKEST};
}

/* One new piece. */

static bool keep_piece(struct fw_tg_walk *walk)
{
	struct advice *a = walk->context;

	walk->reach = a->distance;
	walk->version++;
	a->out->end = FW_TOGETHER_PIECE;
	a->out->piece_place = a->place;
	a->out->piece = a->thickness;
	a->kept = true;
	return true;
}

/* The walk has room for rounding, limits have none. Moves the piece to where all responses are
 * within, the stacks of the other places being what they are; false when it can't. */
static bool fit_piece(struct fw_tg_walk *walk, size_t place)
{
	const struct fw_tg_task *task = walk->task;
	double *r = walk->r[task->places], s = walk->sum[place];
	double low = walk->view[place].low, high = walk->view[place].high;

	for (size_t i = 0; i < task->responses; i++) {
		const struct fw_window *w = &walk->windows.of[i];
		double per = task->per[i][place], without = r[i] - per * s;
		if (per == 0.0)
			continue;
		low = fmax(low, ((per > 0.0 ? w->low : w->high) - without) / per);
		high = fmin(high, ((per > 0.0 ? w->high : w->low) - without) / per);
	}
	double to = low > high ? low + (high - low) / 2.0 : fmin(fmax(s, low), high);
	for (size_t i = 0; i < task->responses; i++) {
		const struct fw_limits *limits = &task->fit->response[i].limits;
		r[i] = fw_limits_snap(r[i] + task->per[i][place] * (to - s), limits);
		if (!(r[i] >= limits->min && r[i] <= limits->max))
			return false;
	}
	walk->sum[place] = to;
	return to >= walk->view[place].low && to <= walk->view[place].high;
}

static enum fw_tg_step leaf_piece(struct fw_tg_walk *walk)
{
	struct advice *a = walk->context;

	if (!fit_piece(walk, a->place))
		return FW_TG_GO_ON;
	double distance = fw_tg_distance(walk->task, walk->r[walk->task->places]);
	if (distance < a->distance) {
		double before = a->distance;
		a->thickness = walk->sum[a->place];
		a->distance = distance;
		a->kept = false;
		fw_tg_combine(walk);
		if (!a->kept)
			a->distance = before;
	}
	return FW_TG_GO_ON;
}

static void find_piece(struct advice *a, size_t place)
{
	struct fw_tg_walk *walk = a->walk;
	size_t at = 0;

	for (size_t j = 0; j < a->task->places; j++) {
		walk->view[j] = a->task->list[j]->all;
		if (j != place)
			walk->order[at++] = j;
	}
	walk->order[at] = place;
	walk->view[place] = open_view(FW_TOGETHER_THINNEST);
	walk->ordered = false;
	walk->reach = a->distance;
	walk->budget = walk->work + STEPS;
	walk->leaf = leaf_piece;
	walk->combination = keep_piece;
	walk->context = a;
	a->place = place;
	if (!fw_tg_walk_run(walk))
		a->spent = true;
}

/* Messages. */

static void add(char *text, const char *more)
{
	size_t used = strlen(text);

	snprintf(text + used, TEXT - used, "%s", more);
}

static void add_limits(char *text, const struct fw_limits *limits)
{
	char length[FW_LENGTH_TEXT];

	if (isinf(limits->min))
		add(text, "at most ");
	else
		add(text, isinf(limits->max) ? "at least " : "");
	if (isfinite(limits->min))
		add(text, fw_length_text(limits->min, length, sizeof length));
	if (isfinite(limits->min) && isfinite(limits->max))
		add(text, " to ");
	if (isfinite(limits->max))
		add(text, fw_length_text(limits->max, length, sizeof length));
}

static int say_coarse(const struct advice *a, size_t i, struct fw_error *err)
{
	char name[FW_TG_NAME], length[FW_LENGTH_TEXT];

	a->out->end = FW_TOGETHER_COARSE;
	a->out->clashing[i] = true;
	return fw_fail(
	    err, FW_ERR_RANGE,
	    "%s is known only to within %s (twice its standard uncertainty), too coarse for "
	    "its limits: no stacks can be trusted to serve; measure again with a finer gauge",
	    fw_tg_response_name(a->task->fit, i, name),
	    fw_length_text(2.0 * sqrt(a->task->variance[i]), length, sizeof length));
}

static int say_clash(const struct advice *a, struct fw_error *err)
{
	const struct fw_together *fit = a->task->fit;
	char text[TEXT] = "", name[FW_TG_NAME], length[FW_LENGTH_TEXT];
	size_t count = 0, last = 0;

	a->out->end = FW_TOGETHER_CONTRADICTED;
	for (size_t i = 0; i < fit->responses; i++) {
		if (!a->out->clashing[i])
			continue;
		add(text, count++ ? ", " : "");
		add(text, fw_tg_response_name(fit, i, name));
		add(text, " (");
		add_limits(text, &fit->response[i].limits);
		add(text, ")");
		last = i;
	}
	if (count == 1)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "no shims at all leave the %s at %s, and no stacks bring it within: look for "
		    "what else takes up the room",
		    text, fw_length_text(a->task->r0[last], length, sizeof length));
	return fw_fail(err, FW_ERR_RANGE,
	               "whatever the stacks, these can't all be within their limits: %s; check the "
	               "readings, the limits, and how each stack moves them",
	               text);
}

/* The share of its thickness that every size of the kit loses, or 0 when they differ. */
static double common_crush(const struct fw_together *fit)
{
	for (size_t i = 1; i < fit->sizes; i++)
		if (fabs(fit->kit[i].crush - fit->kit[0].crush) > 1e-9)
			return 0.0;
	return fit->kit[0].crush;
}

static void add_length(char *text, const struct fw_together *fit, double clamped)
{
	char length[FW_LENGTH_TEXT];
	double crush = common_crush(fit);

	if (crush > 0.0) {
		add(text, fw_length_text(clamped / (1.0 - crush), length, sizeof length));
		add(text, " new, ");
	}
	add(text, fw_length_text(clamped, length, sizeof length));
	add(text, crush > 0.0 ? " clamped" : "");
}

static int say_what_to_get(const struct advice *a, struct fw_error *err)
{
	const struct fw_together *fit = a->task->fit;
	char text[TEXT] = "", name[FW_TG_NAME];

	if (a->out->end == FW_TOGETHER_PIECE) {
		add_length(text, fit, a->out->piece);
		add(text, " as the whole stack at ");
		add(text, fw_tg_place_name(fit, a->out->piece_place, name));
		return fw_fail(err, FW_ERR_RANGE,
		               "no stacks from the kit bring all within their limits: get one piece of %s",
		               text);
	}
	a->out->end = FW_TOGETHER_STACKS;
	for (size_t j = 0; j < fit->places; j++) {
		add(text, j ? ", " : "");
		add_length(text, fit, a->out->wanted[j]);
		add(text, " at ");
		add(text, fw_tg_place_name(fit, j, name));
	}
	return fw_fail(err, FW_ERR_RANGE,
	               "no stacks from the kit bring all within their limits, %s: get stacks of %s",
	               a->spent
	                   ? "nor was one piece more found that would, though not all could be tried"
	                   : "nor does any one piece more",
	               text);
}

static int advise(struct advice *a, struct fw_error *err)
{
	const struct fw_tg_task *task = a->task;

	for (size_t i = 0; i < task->responses; i++) {
		const struct fw_limits *limits = &task->fit->response[i].limits;
		double middle = limits->min + (limits->max - limits->min) / 2.0;
		if (isfinite(middle) &&
		    fw_stack_chance(middle, sqrt(task->variance[i]), limits) < FW_SHIM_CHANCE)
			return say_coarse(a, i, err);
	}
	limits_as_windows(&a->walk->windows, task);
	if (fw_tg_clash(a->out->clashing, task, &a->walk->windows))
		return say_clash(a, err);
	if (!fw_tg_wanted(a->out->wanted, task)) {
		for (size_t i = 0; i < task->responses; i++)
			a->out->clashing[i] = true;
		return say_clash(a, err);
	}
	for (size_t j = 0; j < task->places; j++)
		find_piece(a, j);
	return say_what_to_get(a, err);
}

int fw_tg_advise(struct fw_together_choice *out, const struct fw_tg_task *task,
                 struct fw_error *err)
{
	struct advice a = {.out = out, .task = task, .distance = INFINITY};
	int rc;

	out->end = FW_TOGETHER_STACKS;
	a.walk = calloc(1, sizeof *a.walk);
	uint16_t *used = calloc(task->fit->sizes, sizeof *used);
	if (!a.walk || !used) {
		rc = fw_fail(err, FW_ERR_MEMORY, "shims: out of memory");
	} else {
		a.walk->task = task;
		a.walk->used = used;
		rc = advise(&a, err);
	}
	free(used);
	free(a.walk);
	return rc;
}
