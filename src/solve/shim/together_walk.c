/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A walk through the stacks of one place after another, nearest to the ideal first, each confined
 * to what the windows of all responses and the distance from the aims leave for it. */
#include <math.h>

#include "solve/shim/together_internal.h"

/* What a cut costs for each response, in steps. */
#define CUT 0.12
/* A diagonal below this pins nothing down. */
#define FLAT 1e-12

static enum fw_tg_step descend(struct fw_tg_walk *walk, size_t level, double square);

/* Where the distance from the aims would have this level, and how it grows beside it. */
struct pull {
	double to, slope, before; /* square = before + (slope · (s - to))² */
	bool none;
};

static struct pull pull_of(const struct fw_tg_walk *walk, size_t level, double square)
{
	double e = walk->y[level];

	for (size_t l = 0; l < level; l++)
		e -= walk->triangle[level][l] * walk->sum[walk->order[l]];
	double slope = walk->triangle[level][level];
	if (fabs(slope) * walk->view[walk->order[level]].high < FLAT)
		return (struct pull){
		    .to = walk->task->ideal[walk->order[level]], .before = square, .none = true};
	return (struct pull){.to = e / slope, .slope = slope, .before = square};
}

static double square_at(const struct pull *pull, double s)
{
	double part = pull->none ? 0.0 : pull->slope * (s - pull->to);

	return pull->before + part * part;
}

static bool beyond(const struct fw_tg_walk *walk, double square)
{
	double reach = walk->reach + walk->fuzz;

	return square > reach * reach;
}

static enum fw_tg_step enter(struct fw_tg_walk *walk, size_t level, double s, double square)
{
	const struct fw_tg_task *task = walk->task;
	size_t j = walk->order[level];

	walk->sum[j] = s;
	for (size_t i = 0; i < task->responses; i++)
		walk->r[level + 1][i] = walk->r[level][i] + task->per[i][j] * s;
	return descend(walk, level + 1, square);
}

/* First group that isn't below `s`. */
static size_t lower_bound(const struct fw_tg_view *view, double s)
{
	size_t low = 0, high = view->groups;

	while (low < high) {
		size_t half = low + (high - low) / 2;
		if (view->group[half].sum < s)
			low = half + 1;
		else
			high = half;
	}
	return low;
}

/* The next group, outwards from `to`; the view's number of groups when there is none. */
static size_t nearest(const struct fw_tg_view *view, size_t left, size_t right,
                      struct fw_window window, double to)
{
	bool down = left > 0 && view->group[left - 1].sum >= window.low;
	bool up = right < view->groups && view->group[right].sum <= window.high;

	if (down && up)
		up = view->group[right].sum - to < to - view->group[left - 1].sum;
	if (up)
		return right;
	return down ? left - 1 : view->groups;
}

/* Takes the pieces of a stack, or none when there aren't enough. */
static bool take(struct fw_tg_walk *walk, const struct fw_tg_stack *stack)
{
	for (size_t n = 0; n < stack->count; n++) {
		size_t piece = stack->piece[n];
		if (walk->used[piece] < walk->task->piece[piece].count) {
			walk->used[piece]++;
			continue;
		}
		while (n-- > 0)
			walk->used[stack->piece[n]]--;
		return false;
	}
	return true;
}

static void give_back(struct fw_tg_walk *walk, const struct fw_tg_stack *stack)
{
	for (size_t n = 0; n < stack->count; n++)
		walk->used[stack->piece[n]]--;
}

/* A group of one stack takes its pieces at once, so that what they rule out is never looked at. */
static enum fw_tg_step visit_group(struct fw_tg_walk *walk, size_t level,
                                   const struct fw_tg_group *group, double square)
{
	size_t j = walk->order[level];
	const struct fw_tg_stack *stack = &walk->task->list[j]->stack[group->first];

	walk->at[j] = group;
	if (group->stacks > 1)
		return enter(walk, level, group->sum, square);
	if (!take(walk, stack))
		return FW_TG_GO_ON;
	walk->stack[j] = group->first;
	enum fw_tg_step step = enter(walk, level, group->sum, square);
	give_back(walk, stack);
	return step;
}

static enum fw_tg_step visit_groups(struct fw_tg_walk *walk, size_t level, double square)
{
	const struct fw_tg_view *view = &walk->view[walk->order[level]];
	struct fw_window window = fw_tg_cuts_window(walk, level);
	struct pull pull = pull_of(walk, level, square);
	double to = fmin(fmax(pull.to, window.low), window.high);
	unsigned version = walk->version;

	walk->work += CUT * (double)(walk->cuts[level] * walk->task->responses);
	if (!(window.low <= window.high))
		return FW_TG_GO_ON;
	if (walk->support.edge)
		to = fmin(fmax(walk->support.nearest[walk->order[level]], window.low), window.high);
	/* Where only the windows matter, from their middle. */
	if (walk->middle && isfinite(window.low) && isfinite(window.high))
		to = window.low + (window.high - window.low) / 2.0;
	size_t right = lower_bound(view, to), left = right;
	for (;;) {
		if (version != walk->version) {
			window = fw_tg_cuts_window(walk, level);
			version = walk->version;
		}
		size_t g = nearest(view, left, right, window, to);
		if (g == view->groups)
			return FW_TG_GO_ON;
		if (g < left)
			left = g;
		else
			right = g + 1;
		if (++walk->work > walk->budget)
			return FW_TG_STOP;
		double next = square_at(&pull, view->group[g].sum);
		if (beyond(walk, next)) {
			/* Outwards from where the distance is least it only grows. */
			if (view->group[g].sum <= pull.to)
				left = 0;
			if (view->group[g].sum >= pull.to)
				right = view->groups;
			continue;
		}
		if (walk->skip && walk->skip(walk, level, &view->group[g]))
			continue;
		if (visit_group(walk, level, &view->group[g], next) == FW_TG_STOP)
			return FW_TG_STOP;
	}
}

/* A piece yet to be made takes what thickness is best. */
static enum fw_tg_step visit_open(struct fw_tg_walk *walk, size_t level, double square)
{
	const struct fw_tg_view *view = &walk->view[walk->order[level]];
	struct fw_window window = fw_tg_cuts_window(walk, level);
	struct pull pull = pull_of(walk, level, square);

	window.low = fmax(window.low, view->low);
	window.high = fmin(window.high, view->high);
	if (++walk->work > walk->budget)
		return FW_TG_STOP;
	if (!(window.low <= window.high))
		return FW_TG_GO_ON;
	double s = fmin(fmax(pull.to, window.low), window.high);
	double next = square_at(&pull, s);
	return beyond(walk, next) ? FW_TG_GO_ON : enter(walk, level, s, next);
}

static enum fw_tg_step descend(struct fw_tg_walk *walk, size_t level, double square)
{
	if (level == walk->task->places)
		return walk->leaf(walk);
	if (walk->view[walk->order[level]].open)
		return visit_open(walk, level, square);
	return visit_groups(walk, level, square);
}

static bool is_empty(const struct fw_tg_windows *windows, size_t responses)
{
	for (size_t i = 0; i < responses; i++)
		if (!(windows->of[i].low <= windows->of[i].high))
			return true;
	return false;
}

bool fw_tg_walk_run(struct fw_tg_walk *walk)
{
	const struct fw_tg_task *task = walk->task;

	if (is_empty(&walk->windows, task->responses))
		return true;
	for (size_t j = 0; j < task->places; j++)
		if (walk->view[j].groups == 0 && !walk->view[j].open)
			return true;
	if (!walk->ordered)
		fw_tg_cuts_make(walk);
	for (size_t k = 0; k < task->places; k++)
		walk->work += 20.0 + (double)walk->cuts[k];
	fw_tg_support_make(walk);
	fw_tg_cuts_set(walk);
	for (size_t i = 0; i < task->responses; i++)
		walk->r[0][i] = task->r0[i];
	if (!beyond(walk, walk->rest))
		descend(walk, 0, walk->rest);
	return walk->work <= walk->budget;
}

static bool combine_from(struct fw_tg_walk *walk, size_t j)
{
	if (j == walk->task->places)
		return walk->combination(walk);
	if (walk->view[j].open || walk->at[j]->stacks == 1)
		return combine_from(walk, j + 1); /* has its pieces already */
	for (uint32_t k = 0; k < walk->at[j]->stacks; k++) {
		uint32_t index = walk->at[j]->first + k;
		const struct fw_tg_stack *stack = &walk->task->list[j]->stack[index];
		if (++walk->work > walk->budget)
			return true;
		if (!take(walk, stack))
			continue;
		walk->stack[j] = index;
		bool done = combine_from(walk, j + 1);
		give_back(walk, stack);
		if (done)
			return true;
	}
	return false;
}

void fw_tg_combine(struct fw_tg_walk *walk)
{
	combine_from(walk, 0);
}
