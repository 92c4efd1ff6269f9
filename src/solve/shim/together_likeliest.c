/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The greatest chance: in a walk through all stacks, and if that doesn't settle it, through those
 * of so many shims at each place, where the uncertainty of the pieces is known better. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solve/shim/together_search.h"

/* Most choices of numbers of shims that are listed. */
#define PLANS 20000

static bool likelier(struct fw_tg_walk *walk)
{
	struct fw_tg_search *s = walk->context;
	double chance = fw_tg_chance(walk, s->chance);

	walk->work += FW_TG_CHANCE * (double)s->task->responses;
	if (chance < s->chance || (s->found && chance <= s->chance))
		return false;
	s->found = true;
	s->chance = chance;
	fw_tg_set_windows(s, chance);
	fw_tg_cuts_set(walk);
	return chance >= s->leaf_most;
}

static enum fw_tg_step leaf_chance(struct fw_tg_walk *walk)
{
	struct fw_tg_search *s = walk->context;

	walk->work += FW_TG_CHANCE * (double)s->task->responses;
	s->leaf_most = fw_tg_chance_most(walk, s->chance);
	if (s->leaf_most < s->chance || (s->found && s->leaf_most <= s->chance))
		return FW_TG_GO_ON;
	fw_tg_combine(walk);
	return s->found && s->chance >= 1.0 ? FW_TG_STOP : FW_TG_GO_ON;
}

static int compare_plans(const void *a, const void *b)
{
	const struct fw_tg_plan *x = a, *y = b;

	if (x->bound != y->bound)
		return x->bound > y->bound ? -1 : 1;
	if (x->ways != y->ways)
		return x->ways > y->ways ? -1 : 1;
	return memcmp(x->count, y->count, sizeof x->count);
}

/* The plan after this one, false behind the last. */
static bool next_plan(struct fw_tg_plan *plan, const struct fw_tg_task *task)
{
	for (size_t j = 0; j < task->places; j++) {
		if (plan->count[j] < task->fit->place[j].most) {
			plan->count[j]++;
			return true;
		}
		plan->count[j] = 0;
	}
	return false;
}

static double plans_of(const struct fw_tg_task *task)
{
	double plans = 1.0;

	for (size_t j = 0; j < task->places; j++)
		plans *= (double)task->fit->place[j].most + 1.0;
	return plans;
}

static size_t list_plans(struct fw_tg_plan *list, struct fw_tg_search *s)
{
	struct fw_tg_plan plan = {.bound = 0.0};
	size_t plans = 0;

	do {
		fw_tg_view_plan(s->walk, &plan);
		plan.ways = 1.0;
		for (size_t j = 0; j < s->task->places; j++)
			plan.ways *= (double)s->walk->view[j].groups;
		if (plan.ways == 0.0)
			continue;
		plan.bound = fw_tg_chance_bound(s->task, s->walk->view);
		list[plans++] = plan;
	} while (next_plan(&plan, s->task));
	qsort(list, plans, sizeof *list, compare_plans);
	return plans;
}

/* Pieces that add nothing to the uncertainty: the number of shims says nothing about the chance. */
static bool certain_pieces(const struct fw_tg_task *task)
{
	for (size_t j = 0; j < task->places; j++)
		if (task->list[j]->all.own_most > 0.0 || task->list[j]->all.common_most > 0.0)
			return false;
	return true;
}

/* The plans one by one, as far as any could be better than what was found. */
static bool chance_by_plans(struct fw_tg_search *s, double allowance)
{
	double until = s->walk->work + allowance;
	size_t plans = list_plans(s->plan, s);
	bool done = true;

	for (size_t t = 0; t < plans && done; t++) {
		const struct fw_tg_plan *plan = &s->plan[t];
		if (plan->bound < s->chance || (s->found && plan->bound <= s->chance))
			break;
		fw_tg_view_plan(s->walk, plan);
		fw_tg_set_windows(s, s->chance);
		done = fw_tg_run(s, until - s->walk->work, leaf_chance, likelier);
		s->chance_most = plan->bound;
		if (s->found && s->chance >= 1.0)
			break;
	}
	return done;
}

void fw_tg_find_chance(struct fw_tg_search *s, double allowance)
{
	s->walk->middle = true;
	s->walk->reach = INFINITY;
	fw_tg_view_all(s->walk);
	fw_tg_set_windows(s, s->chance);
	s->chance_most = fw_tg_chance_bound(s->task, s->walk->view);
	s->done = fw_tg_run(s, s->plan ? 0.2 * allowance : allowance, leaf_chance, likelier);
	if (!s->done && s->plan)
		s->done = chance_by_plans(s, allowance);
	if (s->done)
		s->chance_most = s->chance;
	s->chance_most = fmax(s->chance_most, s->chance);
	s->maybe = s->chance - FW_SHIM_TIE_PROBABILITY;
	s->sure = s->chance_most - FW_SHIM_TIE_PROBABILITY;
}

size_t fw_tg_plans(const struct fw_tg_task *task)
{
	double plans = plans_of(task);

	return certain_pieces(task) || plans > PLANS ? 0 : (size_t)plans;
}
