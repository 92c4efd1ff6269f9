/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file together_search.h  What the rules of fw_together_choose() share while they are applied. */
#ifndef FITWRIGHT_SOLVE_TOGETHER_SEARCH_H
#define FITWRIGHT_SOLVE_TOGETHER_SEARCH_H

#include "solve/shim/together_internal.h"

/* What the chance of a response costs, and its window, in steps. */
#define FW_TG_CHANCE 4.0
#define FW_TG_WINDOW 1000.0

/** Numbers of shims at each place. */
struct fw_tg_plan {
	unsigned char count[PLACES];
	double bound, ways;
};

struct fw_tg_search {
	const struct fw_tg_task *task;
	struct fw_tg_walk *walk;
	double near;
	struct fw_tg_plan *plan; /* NULL: there is no use in going through them */
	/* Rule 1: the greatest chance lies between these; done: it is `chance`. */
	bool found, done;
	double chance, chance_most, leaf_most;
	double sure, maybe; /* what is good enough for certain, and perhaps */
	/* Rule 2: the least distance lies between these. */
	double distance, distance_least;
	struct fw_tg_answer best;
};

/** Walks through the views there are; false when `allowance`, or all there is, is spent. */
bool fw_tg_run(struct fw_tg_search *s, double allowance,
               enum fw_tg_step (*leaf)(struct fw_tg_walk *walk),
               bool (*combination)(struct fw_tg_walk *walk));

/** What the walk goes through: every stack, or those of a plan. */
void fw_tg_view_all(struct fw_tg_walk *walk);
void fw_tg_view_plan(struct fw_tg_walk *walk, const struct fw_tg_plan *plan);

/** Windows for a chance of `floor`. */
void fw_tg_set_windows(struct fw_tg_search *s, double floor);

/** Rule 1, for about so many steps. */
void fw_tg_find_chance(struct fw_tg_search *s, double allowance);

/** How many plans fw_tg_find_chance() needs room for in s->plan; 0: none would help. */
size_t fw_tg_plans(const struct fw_tg_task *task);

#endif
