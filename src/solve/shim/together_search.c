/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The three rules one after another, on a small budget first: the greatest chance and the least
 * distance are then known only to lie between two bounds. The fewest shims among all that may be
 * good enough are the answer if they are good enough for certain. If not, again with a larger
 * budget, in the end until everything is known. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solve/shim/together_search.h"

/* Steps of the first round for each rule, and by how much the next has more. */
#define FIRST 200000.0
#define MORE  8.0
/* Up to so many places each plan has an order of its own. */
#define OWN_ORDER 4

static void keep(struct fw_tg_answer *out, const struct fw_tg_walk *walk, double chance)
{
	out->found = true;
	out->chance = chance;
	out->distance = fw_tg_distance(walk->task, walk->r[walk->task->places]);
	memcpy(out->stack, walk->stack, sizeof out->stack);
}

/* The place with the fewest stacks first: where nothing confines it, that one is gone through. */
static void set_order(struct fw_tg_walk *walk)
{
	size_t p = walk->task->places, order[PLACES] = {0};

	for (size_t k = 0; k < p; k++) {
		size_t at = k;
		while (at > 0 && p <= OWN_ORDER &&
		       walk->view[order[at - 1]].groups > walk->view[k].groups) {
			order[at] = order[at - 1];
			at--;
		}
		order[at] = k;
	}
	if (walk->ordered && memcmp(order, walk->order, p * sizeof order[0]) == 0)
		return;
	memcpy(walk->order, order, p * sizeof order[0]);
	walk->ordered = false;
}

bool fw_tg_run(struct fw_tg_search *s, double allowance,
               enum fw_tg_step (*leaf)(struct fw_tg_walk *walk),
               bool (*combination)(struct fw_tg_walk *walk))
{
	struct fw_tg_walk *walk = s->walk;

	walk->budget = fmin(FW_TOGETHER_WORK, walk->work + allowance);
	walk->leaf = leaf;
	walk->combination = combination;
	walk->context = s;
	set_order(walk);
	return fw_tg_walk_run(walk);
}

void fw_tg_view_all(struct fw_tg_walk *walk)
{
	for (size_t j = 0; j < walk->task->places; j++)
		walk->view[j] = walk->task->list[j]->all;
}

void fw_tg_view_plan(struct fw_tg_walk *walk, const struct fw_tg_plan *plan)
{
	for (size_t j = 0; j < walk->task->places; j++)
		walk->view[j] = walk->task->list[j]->of[plan->count[j]];
}

void fw_tg_set_windows(struct fw_tg_search *s, double floor)
{
	fw_tg_windows_for(&s->walk->windows, s->task, s->walk->view, floor);
	s->walk->work += FW_TG_WINDOW * (double)s->task->responses;
}

/* Rule 2. */

static bool nearer(struct fw_tg_walk *walk)
{
	struct fw_tg_search *s = walk->context;
	double chance = fw_tg_chance(walk, s->maybe);
	double distance = fw_tg_distance(s->task, walk->r[s->task->places]);

	walk->work += FW_TG_CHANCE * (double)s->task->responses;
	if (chance < s->maybe)
		return false;
	if (chance > s->chance) {
		s->found = true;
		s->chance = chance;
	}
	s->distance_least = fmin(s->distance_least, distance);
	if (chance < s->sure)
		return false;
	s->distance = distance;
	walk->reach = distance;
	walk->version++;
	return true;
}

static enum fw_tg_step leaf_distance(struct fw_tg_walk *walk)
{
	struct fw_tg_search *s = walk->context;

	if (fw_tg_distance(s->task, walk->r[s->task->places]) >= s->distance)
		return FW_TG_GO_ON;
	walk->work += FW_TG_CHANCE * (double)s->task->responses;
	if (fw_tg_chance_most(walk, s->maybe) >= s->maybe)
		fw_tg_combine(walk);
	return FW_TG_GO_ON;
}

/* No stacks can be nearer than the ideal ones. */
static double least_distance(const struct fw_tg_task *task)
{
	double r[RESPONSES];

	for (size_t i = 0; i < task->responses; i++) {
		r[i] = task->r0[i];
		for (size_t j = 0; j < task->places; j++)
			r[i] += task->per[i][j] * task->ideal[j];
	}
	return fw_tg_distance(task, r);
}

static bool search_distance(struct fw_tg_search *s, double allowance)
{
	s->walk->middle = false;
	s->walk->reach = s->distance;
	s->distance_least = s->distance;
	fw_tg_view_all(s->walk);
	fw_tg_set_windows(s, s->maybe);
	return fw_tg_run(s, allowance, leaf_distance, nearer);
}

/* False when no distance is known. */
static bool find_distance(struct fw_tg_search *s, double allowance)
{
	if (isinf(s->near)) {
		s->distance = s->distance_least = INFINITY;
		return true;
	}
	if (!search_distance(s, allowance))
		s->distance_least = fmin(s->distance_least, least_distance(s->task) * (1.0 - 1e-9));
	return isfinite(s->distance);
}

/* Something near the aims to begin with: its chance rules much out. */
static void find_any(struct fw_tg_search *s)
{
	s->maybe = s->sure = s->chance;
	search_distance(s, 0.2 * FIRST);
	s->distance = INFINITY;
}

/* Rules 3 and 4. */

/* Rule 4 for one place: below zero where `x` comes first. */
static int compare_stacks(const struct fw_tg_stack *x, const struct fw_tg_stack *y)
{
	if (x->count != y->count)
		return x->count < y->count ? -1 : 1;
	for (size_t n = 0; n < x->count; n++)
		if (x->piece[n] != y->piece[n])
			return x->piece[n] > y->piece[n] ? -1 : 1;
	return 0;
}

static int compare_with_best(const struct fw_tg_search *s, size_t j, uint32_t stack)
{
	const struct fw_tg_stack *list = s->task->list[j]->stack;

	return compare_stacks(&list[stack], &list[s->best.stack[j]]);
}

static bool earlier(const struct fw_tg_search *s, const uint32_t *stack)
{
	int order = 0;

	for (size_t j = 0; j < s->task->places && order == 0; j++)
		order = compare_with_best(s, j, stack[j]);
	return order < 0;
}

/* The first stack of a group is its earliest. Where the first places can at best be as in the best
 * answer so far, and the next must come later, nothing beats that. */
static bool comes_later(const struct fw_tg_walk *walk, size_t level,
                        const struct fw_tg_group *group)
{
	const struct fw_tg_search *s = walk->context;

	for (size_t j = 0; s->best.found && j < s->task->places; j++) {
		size_t l = 0;
		while (l <= level && walk->order[l] != j)
			l++;
		if (l > level)
			return false; /* not chosen yet */
		int order = compare_with_best(s, j, l == level ? group->first : walk->at[j]->first);
		if (order != 0)
			return order > 0;
	}
	return false;
}

static bool fewest(struct fw_tg_walk *walk)
{
	struct fw_tg_search *s = walk->context;
	double chance = fw_tg_chance(walk, s->maybe);

	walk->work += FW_TG_CHANCE * (double)s->task->responses;
	if (chance < s->maybe)
		return false;
	if (!s->best.found || earlier(s, walk->stack))
		keep(&s->best, walk, chance);
	return true; /* combinations come in the order of rule 4 */
}

static enum fw_tg_step leaf_fewest(struct fw_tg_walk *walk)
{
	struct fw_tg_search *s = walk->context;

	if (fw_tg_distance(s->task, walk->r[s->task->places]) > walk->reach)
		return FW_TG_GO_ON;
	walk->work += FW_TG_CHANCE * (double)s->task->responses;
	if (fw_tg_chance_most(walk, s->maybe) >= s->maybe)
		fw_tg_combine(walk);
	return FW_TG_GO_ON;
}

/* All plans of `left` shims in all from place `j` on. */
static bool fewest_plans(struct fw_tg_search *s, struct fw_tg_plan *plan, size_t j, size_t left,
                         double until)
{
	size_t most = s->task->fit->place[j].most;

	if (j + 1 == s->task->places) {
		if (left > most)
			return true;
		plan->count[j] = (unsigned char)left;
		fw_tg_view_plan(s->walk, plan);
		return fw_tg_run(s, until - s->walk->work, leaf_fewest, fewest);
	}
	for (size_t n = 0; n <= most && n <= left; n++) {
		plan->count[j] = (unsigned char)n;
		if (s->task->list[j]->of[n].groups > 0 && !fewest_plans(s, plan, j + 1, left - n, until))
			return false;
	}
	return true;
}

static bool find_fewest(struct fw_tg_search *s, double allowance)
{
	double until = s->walk->work + allowance;
	size_t most = 0;
	bool done = true;

	for (size_t j = 0; j < s->task->places; j++)
		most += s->task->fit->place[j].most;
	s->best.found = false;
	s->walk->middle = false;
	s->walk->reach = s->distance + s->near;
	s->walk->skip = comes_later;
	fw_tg_view_all(s->walk);
	fw_tg_set_windows(s, s->maybe);
	for (size_t total = 0; total <= most && done && !s->best.found; total++) {
		struct fw_tg_plan plan = {.bound = 0.0};
		done = fewest_plans(s, &plan, 0, total, until);
	}
	s->walk->skip = NULL;
	return done;
}

static bool is_certain(const struct fw_tg_search *s)
{
	return s->best.found && s->best.chance >= s->sure &&
	       (isinf(s->near) || s->best.distance <= s->distance_least + s->near);
}

static int too_long(struct fw_error *err)
{
	return fw_fail(
	    err, FW_ERR_RANGE,
	    "shims: after %.0f million steps there are still stacks to be tried; allow fewer "
	    "shims at a place, or leave out sizes",
	    FW_TOGETHER_WORK / 1e6);
}

static int search_all(struct fw_tg_search *s, struct fw_error *err)
{
	double allowance = FIRST;

	find_any(s);
	for (;;) {
		if (!s->done)
			fw_tg_find_chance(s, allowance);
		if (s->done && !s->found)
			return FW_OK;
		if (s->found && find_distance(s, allowance) && find_fewest(s, 2.0 * allowance) &&
		    is_certain(s))
			return FW_OK;
		if (s->walk->work >= FW_TOGETHER_WORK)
			return too_long(err);
		allowance *= MORE;
	}
}

static int search_make(struct fw_tg_search *s, uint16_t **used, struct fw_error *err)
{
	size_t plans = fw_tg_plans(s->task);

	s->walk = calloc(1, sizeof *s->walk);
	*used = calloc(s->task->fit->sizes, sizeof **used);
	if (plans > 0)
		s->plan = calloc(plans, sizeof *s->plan);
	if (!s->walk || !*used || (plans > 0 && !s->plan)) {
		fw_fail(err, FW_ERR_MEMORY, "shims: out of memory");
		return FW_ERR_MEMORY;
	}
	s->walk->task = s->task;
	s->walk->used = *used;
	return FW_OK;
}

int fw_tg_search(struct fw_tg_answer *out, const struct fw_tg_task *task, double *work,
                 struct fw_error *err)
{
	struct fw_tg_search s = {.task = task,
	                         .near = task->fit->near > 0.0 ? task->fit->near : FW_SHIM_TIE_AIM,
	                         .chance = FW_SHIM_CHANCE,
	                         .distance = INFINITY};
	uint16_t *used = NULL;

	int rc = search_make(&s, &used, err);
	if (rc == FW_OK) {
		rc = search_all(&s, err);
		*work = s.walk->work;
		*out = s.best;
	}
	free(s.plan);
	free(used);
	free(s.walk);
	return rc;
}
