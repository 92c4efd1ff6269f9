/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file together_internal.h  The exact search behind fw_together_choose(). */
#ifndef FITWRIGHT_SOLVE_TOGETHER_INTERNAL_H
#define FITWRIGHT_SOLVE_TOGETHER_INTERNAL_H

#include <stdint.h>

#include "fitwright/together.h"
#include "solve/shim/stack.h"

#define PLACES    FW_PLACES_MOST
#define RESPONSES FW_RESPONSES_MOST

/** One size as it counts in the search, thickest first. */
struct fw_tg_piece {
	double thickness; /**< clamped, m */
	double own;       /**< variance of each piece on its own, m² */
	double common;    /**< variance of one piece that all pieces of the size share, m² */
	unsigned count;
	size_t kit;            /**< index in the caller's kit */
	double nominal, crush; /**< what sizes are sorted by */
	int64_t pm;            /**< clamped, in whole picometres */
};

/** A stack that could stand at a place. */
struct fw_tg_stack {
	int64_t pm;
	double own, common;            /**< sums of own, and of common times the square of how often */
	uint16_t piece[FW_STACK_MOST]; /**< thickest first */
	uint16_t count;
};

/** Stacks of one thickness and one number of shims, in the order of rule 4. */
struct fw_tg_group {
	double sum; /**< m */
	uint32_t first, stacks;
	unsigned count;
	double own; /**< the least there is among them */
};

/** Groups in rising order of sum: all of a place, or those of so many shims. */
struct fw_tg_view {
	const struct fw_tg_group *group;
	size_t groups;
	double low, high; /**< least and greatest sum */
	double own_least, own_most, common_most;
	bool open; /**< no groups: one new piece of any thickness from low to high */
};

/** The stacks of a place. */
struct fw_tg_list {
	struct fw_tg_stack *stack;
	size_t stacks;
	struct fw_tg_group *group; /**< by number of shims, then sum */
	struct fw_tg_group *mixed; /**< the same by sum alone */
	size_t groups;
	struct fw_tg_view all, of[FW_STACK_MOST + 1];
};

/** The fit made ready for the search. */
struct fw_tg_task {
	const struct fw_together *fit;
	size_t places, responses;
	double per[RESPONSES][PLACES];
	double r0[RESPONSES];       /**< m */
	double variance[RESPONSES]; /**< with no shims, m² */
	double aim[RESPONSES], width[RESPONSES];
	double ideal[PLACES]; /**< stacks from 0 up that come nearest to the aims */
	struct fw_tg_piece *piece;
	bool crush;                      /**< some size has a common variance */
	struct fw_tg_list *list[PLACES]; /**< one list may serve several places */
	bool borrowed[PLACES];
};

/** Stacks for all places. */
struct fw_tg_answer {
	bool found;
	uint32_t stack[PLACES];
	double chance, distance;
};

/** Windows of the responses. */
struct fw_tg_windows {
	struct fw_window of[RESPONSES];
};

/** An inequality with the stacks of later levels eliminated: low <= x + gain · s <= high, where x
 * is the combination `weight` of the responses so far and s the stack to be chosen. */
struct fw_tg_cut {
	double weight[RESPONSES];
	double later[PLACES]; /**< what it still holds of each later place, bounded by their views */
	double gain, sum;     /**< sum of |weight|: for rounding */
	double low, high;
};
#define FW_TG_CUTS 64

/** The plane that keeps every combination away from aims out of reach: distance >= the combination
 *  `weight` of the responses - aim. */
struct fw_tg_support {
	bool on;
	bool edge; /**< the nearest point is at the end of what some place can have */
	double nearest[PLACES];
	double weight[RESPONSES], aim;
	double gain[PLACES], least[PLACES + 1]; /**< by level */
};

enum fw_tg_step { FW_TG_GO_ON, FW_TG_STOP };

/** A walk through the combinations of one choice of views, place by place in `order`. */
struct fw_tg_walk {
	const struct fw_tg_task *task;
	struct fw_tg_view view[PLACES]; /**< by place */
	size_t order[PLACES];           /**< place of each level */
	bool ordered;                   /**< the cuts and triangle below are those of `order` */
	struct fw_tg_cut cut[PLACES][FW_TG_CUTS];
	size_t cuts[PLACES];
	double triangle[PLACES][PLACES]; /**< by level: distance² = rest + sum of (triangle · s - y)² */
	double y[PLACES], rest;
	struct fw_tg_support support;
	struct fw_tg_windows windows;
	unsigned version; /**< counts changes of the windows and of reach */
	bool middle;      /**< start from the middle of the windows, not from the aims */
	double reach;     /**< greatest distance still of interest */
	double fuzz;      /**< what rounding may do to a distance */
	double work, budget;
	/* Where it stands. */
	double sum[PLACES]; /**< by place */
	const struct fw_tg_group *at[PLACES];
	double r[PLACES + 1][RESPONSES]; /**< responses by level */
	uint32_t stack[PLACES];
	uint16_t *used; /**< of each size */
	/** Called at each combination of sums; may change `reach` and `windows`. */
	enum fw_tg_step (*leaf)(struct fw_tg_walk *walk);
	/** True if nothing with this group at that level is of interest; NULL: all may be. */
	bool (*skip)(const struct fw_tg_walk *walk, size_t level, const struct fw_tg_group *group);
	/** Called by fw_tg_combine() for each way to make these sums with the pieces there are: true if
	 * no other is wanted. */
	bool (*combination)(struct fw_tg_walk *walk);
	void *context;
};

/** Stacks of each place. FW_ERR_RANGE when there are too many. */
int fw_tg_lists_make(struct fw_tg_task *task, struct fw_error *err);
void fw_tg_lists_free(struct fw_tg_task *task);

/** Works out task->ideal. */
void fw_tg_ideal(struct fw_tg_task *task);

/** Makes the walk fit for its order, views and windows. */
void fw_tg_cuts_make(struct fw_tg_walk *walk);
/** Sets the ends of the cuts for new windows or views. */
void fw_tg_cuts_set(struct fw_tg_walk *walk);
/** Where the stack of that level may lie. */
struct fw_window fw_tg_cuts_window(const struct fw_tg_walk *walk, size_t level);
/** Makes walk->support for its views and order; narrows what that leaves for the stack of a level.
 */
void fw_tg_support_make(struct fw_tg_walk *walk);
void fw_tg_support_cut(struct fw_window *window, const struct fw_tg_walk *walk, size_t level);
/** Responses that can't be brought into `windows` together by any stacks from 0 up: sets `clashing`
 *  for a smallest such set that was found; false when there is none. */
bool fw_tg_clash(bool *clashing, const struct fw_tg_task *task,
                 const struct fw_tg_windows *windows);

/** False when the budget is spent. */
bool fw_tg_walk_run(struct fw_tg_walk *walk);
/** Every way to make the sums that the walk stands at. */
void fw_tg_combine(struct fw_tg_walk *walk);

/** The smallest chance over the responses: of the combination the walk stands at, and the most that
 *  its sums allow. 0 as soon as it is known to be below `floor`. */
double fw_tg_chance(const struct fw_tg_walk *walk, double floor);
double fw_tg_chance_most(const struct fw_tg_walk *walk, double floor);
/** Variance of response `i` in the combination the walk stands at. */
double fw_tg_variance(const struct fw_tg_walk *walk, size_t i);
/** The smallest chance that any stacks of these views could have; and where the responses must lie
 *  for a chance of `floor`. */
double fw_tg_chance_bound(const struct fw_tg_task *task, const struct fw_tg_view *view);
void fw_tg_windows_for(struct fw_tg_windows *out, const struct fw_tg_task *task,
                       const struct fw_tg_view *view, double floor);

/** Distance from the aims. */
double fw_tg_distance(const struct fw_tg_task *task, const double *r);

/** The best by the rules of fw_together_choose(); not found: nothing has a chance of
 * FW_SHIM_CHANCE. FW_ERR_RANGE when it takes too long, FW_ERR_MEMORY. */
int fw_tg_search(struct fw_tg_answer *out, const struct fw_tg_task *task, double *work,
                 struct fw_error *err);

/** The stacks from nothing to FW_SHIM_THICKEST that bring all responses within and come nearest to
 *  the aims. False when there are none. */
bool fw_tg_wanted(double *wanted, const struct fw_tg_task *task);

/** Fills in what to do when nothing serves; returns FW_ERR_RANGE or FW_ERR_MEMORY with the message.
 */
int fw_tg_advise(struct fw_together_choice *out, const struct fw_tg_task *task,
                 struct fw_error *err);

/** "left", or "place 2" and "response 2" where there is no name. `buffer` of FW_TG_NAME bytes. */
#define FW_TG_NAME 64
const char *fw_tg_place_name(const struct fw_together *fit, size_t j, char *buffer);
const char *fw_tg_response_name(const struct fw_together *fit, size_t i, char *buffer);

#endif
