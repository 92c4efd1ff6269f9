/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solve/shim/stack.h"

/* One size as it counts in the search, thickest first. */
struct piece {
	double thickness; /* clamped, m */
	double own;       /* variance of each piece on its own, m² */
	double common;    /* variance one piece adds that all pieces of the size share, m² */
	unsigned count;
	size_t kit;     /* index in the caller's kit */
	double nominal; /* before it is crushed */
	double crush;
	double thickest; /* thickest clamped from here to the end of the list */
};

struct path {
	size_t count;
	size_t at[FW_STACK_MOST]; /* indices into piece[], never falling */
};

struct search {
	const struct fw_stack_task *task;
	struct piece *piece;
	struct fw_spread spread;
	double aim;
	struct fw_window window; /* plays still worth a look in this pass */
	double chance;           /* pass 1: best so far; then the least that counts as best */
	double distance;         /* pass 2: nearest so far; pass 3: the most that counts as nearest */
	size_t deepest;          /* most pieces still worth a look */
	struct path now, best;
	bool found, done; /* done: nothing better is possible */
	void (*visit)(struct search *search, double play, double u);
};

static int compare_pieces(const void *a, const void *b)
{
	const struct piece *x = a, *y = b;

	if (x->nominal != y->nominal)
		return x->nominal > y->nominal ? -1 : 1;
	return x->crush < y->crush ? -1 : x->crush > y->crush;
}

static void load_pieces(struct piece *piece, const struct fw_stack_task *task)
{
	for (size_t i = 0; i < task->sizes; i++) {
		const struct fw_shim *shim = &task->kit[i];
		double left = 1.0 - shim->crush;
		double lost = shim->thickness * shim->crush_u;
		piece[i] = (struct piece){.thickness = shim->thickness * left,
		                          .own = left * left * shim->u * shim->u,
		                          .common = lost * lost,
		                          .count = shim->count,
		                          .kit = i,
		                          .nominal = shim->thickness,
		                          .crush = shim->crush};
	}
	qsort(piece, task->sizes, sizeof *piece, compare_pieces);

	double thickest = 0.0;
	for (size_t i = task->sizes; i-- > 0;) {
		thickest = fmax(thickest, piece[i].thickness);
		piece[i].thickest = thickest;
	}
}

static struct fw_spread spread_of(const struct piece *piece, const struct fw_stack_task *task)
{
	double own = 0.0, common = 0.0, most = (double)task->most;

	for (size_t i = 0; i < task->sizes; i++) {
		own = fmax(own, piece[i].own);
		common = fmax(common, piece[i].common);
	}
	return (struct fw_spread){.least = sqrt(task->variance),
	                          .most = sqrt(task->variance + most * own + most * most * common)};
}

/* Stacks grow by a piece no thicker than their last, so that each comes up once. What a branch can
 * still reach is an interval of plays: from the stack as it is to the stack filled up with the
 * thickest piece left. If that misses the window, nothing in the branch can be the answer. */
static void walk(struct search *s, size_t first, size_t used, double sum, double variance)
{
	const struct fw_stack_task *task = s->task;
	double play = task->datum - sum;

	if ((s->now.count > 0 || task->may_be_empty) && play >= s->window.low && play <= s->window.high)
		s->visit(s, play, sqrt(task->variance + variance));
	if (s->now.count >= s->deepest)
		return;

	double room = (double)(s->deepest - s->now.count);
	for (size_t i = first; i < task->sizes && !s->done; i++) {
		const struct piece *p = &s->piece[i];
		size_t n = i == first ? used : 0;
		if (n >= p->count)
			continue;
		if (play - room * p->thickest > s->window.high)
			return; /* what follows is thinner still */
		if (play - p->thickness < s->window.low)
			continue;
		s->now.at[s->now.count++] = i;
		walk(s, i, n + 1, sum + p->thickness,
		     variance + p->own + (2.0 * (double)n + 1.0) * p->common);
		s->now.count--;
	}
}

static void run(struct search *s, void (*visit)(struct search *, double, double))
{
	s->visit = visit;
	s->now.count = 0;
	s->deepest = s->task->most;
	s->done = false;
	walk(s, 0, 0, 0.0, 0.0);
}

static void visit_likeliest(struct search *s, double play, double u)
{
	double chance = fw_stack_chance(play, u, s->task->limits);

	if (chance < s->chance || (s->found && chance == s->chance))
		return;
	s->found = true;
	s->chance = chance;
	s->done = chance >= 1.0;
	s->window = fw_window_for(fmin(chance, 1.0), s->spread, s->task->limits);
}

/* The window of the chance, cut down to what lies no further than `distance` from the aim. */
static struct fw_window near_aim(struct fw_window window, double aim, double distance)
{
	double room = distance + 1e-12; /* a picometre for rounding */

	window.low = fmax(window.low, aim - room);
	window.high = fmin(window.high, aim + room);
	return window;
}

static void visit_nearest(struct search *s, double play, double u)
{
	double distance = fabs(play - s->aim);

	if (distance >= s->distance || fw_stack_chance(play, u, s->task->limits) < s->chance)
		return;
	s->distance = distance;
	s->done = distance == 0.0;
	s->window = near_aim(s->window, s->aim, distance);
}

/* Fewer pieces; then the thinner first piece, second, and so on. */
static bool better(const struct path *a, const struct path *b)
{
	if (a->count != b->count)
		return a->count < b->count;
	for (size_t i = 0; i < a->count; i++)
		if (a->at[i] != b->at[i])
			return a->at[i] > b->at[i];
	return false;
}

static void visit_fewest(struct search *s, double play, double u)
{
	if (s->found && !better(&s->now, &s->best))
		return;
	if (fabs(play - s->aim) > s->distance)
		return;
	if (fw_stack_chance(play, u, s->task->limits) < s->chance)
		return;
	s->found = true;
	s->best = s->now;
	s->deepest = s->now.count; /* more can't be better */
}

static double tie_of(const struct fw_limits *limits)
{
	double width = limits->max - limits->min;

	return isfinite(width) ? FW_SHIM_TIE_AIM * width : FW_SHIM_TIE_OPEN;
}

/* Three passes, as what ties with the best is known only once the best is. Returns false when no
 * stack has a chance worth naming. */
static bool search_all(struct search *s)
{
	const struct fw_limits *limits = s->task->limits;

	s->chance = FW_SHIM_CHANCE;
	s->window = fw_window_for(s->chance, s->spread, limits);
	run(s, visit_likeliest);
	if (!s->found)
		return false;

	s->chance -= FW_SHIM_TIE_PROBABILITY;
	struct fw_window likely = fw_window_for(s->chance, s->spread, limits);
	s->window = likely;
	s->distance = INFINITY;
	run(s, visit_nearest);

	s->distance += tie_of(limits);
	s->window = near_aim(likely, s->aim, s->distance);
	s->found = false;
	run(s, visit_fewest);
	return s->found;
}

static void fill(struct fw_shim_choice *out, const struct search *s)
{
	double sum = 0.0, variance = 0.0;
	size_t n = 0;

	out->stack.count = s->best.count;
	for (size_t i = 0; i < s->best.count; i++) {
		const struct piece *p = &s->piece[s->best.at[i]];
		n = i > 0 && s->best.at[i] == s->best.at[i - 1] ? n + 1 : 0;
		out->stack.shim[i] = p->kit;
		sum += p->thickness;
		variance += p->own + (2.0 * (double)n + 1.0) * p->common;
	}
	out->stack.thickness = sum;
	out->stack.u = sqrt(variance);
	out->play = fw_limits_snap(s->task->datum - sum, s->task->limits);
	out->u = sqrt(s->task->variance + variance);
	out->probability = fw_stack_chance(out->play, out->u, s->task->limits);
}

int fw_stack_pick(struct fw_shim_choice *out, const struct fw_stack_task *task,
                  struct fw_error *err)
{
	struct search search = {.task = task, .aim = fw_limits_aim(task->limits)};
	search.piece = calloc(task->sizes, sizeof *search.piece);
	if (!search.piece)
		return fw_fail(err, FW_ERR_MEMORY, "stack: out of memory");
	load_pieces(search.piece, task);
	search.spread = spread_of(search.piece, task);

	*out = (struct fw_shim_choice){
	    .play = NAN, .u = NAN, .probability = 0.0, .wanted = task->datum - search.aim, .add = NAN};
	if (search_all(&search))
		fill(out, &search);
	free(search.piece);
	return FW_OK;
}
