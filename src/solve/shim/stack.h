/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file stack.h  The exact search over stacks that shims and gaskets share. */
#ifndef FITWRIGHT_SOLVE_STACK_H
#define FITWRIGHT_SOLVE_STACK_H

#include "fitwright/shim.h"

/** What is searched for: play = datum - stack, to lie within limits. All checked by the caller but
 *  for the kit. */
struct fw_stack_task {
	const char *noun; /**< "shim", "gasket": for messages */
	const char *play; /**< "play", "nip": for messages */
	double datum;
	double variance; /**< of the play before the stack's own is added, m² */
	const struct fw_shim *kit;
	size_t sizes;
	size_t most;
	bool may_be_empty;
	const struct fw_limits *limits;
};

/** Interval of plays worth looking at. */
struct fw_window {
	double low, high;
};

/** How uncertain the play can be: standard uncertainty with no stack at all, and at the very most.
 */
struct fw_spread {
	double least, most;
};

/** Checks kit and `most`, searches, fills `out` by the rule of fw_shim_choose(). */
int fw_stack_search(struct fw_shim_choice *out, const struct fw_stack_task *task,
                    struct fw_error *err);

/** The search itself; the task has been checked. No stack has a chance: probability 0. `add` is
 * NAN. */
int fw_stack_pick(struct fw_shim_choice *out, const struct fw_stack_task *task,
                  struct fw_error *err);

/** Fills in out->add and out->with from out->wanted, if there is such a stack. */
int fw_stack_piece(struct fw_shim_choice *out, const struct fw_stack_task *task,
                   struct fw_error *err);

/** Number of stacks of at most `most` pieces, the empty one included. */
double fw_stack_count(const struct fw_shim *kit, size_t sizes, size_t most);

/** P(the play lies in the limits) at mean `play` with standard uncertainty `u`, normal; with `u` 0
 * one that lies on a limit (fw_limits_snap()) is inside. */
double fw_stack_chance(double play, double u, const struct fw_limits *limits);

/** Every play whose chance can reach `floor` (0 < floor < 1) at some uncertainty within `spread`
 *  lies in the window returned; low > high: none can. */
struct fw_window fw_window_for(double floor, struct fw_spread spread,
                               const struct fw_limits *limits);

/** FW_ERR_RANGE with a message that says what thickness to get. */
int fw_stack_advise(const struct fw_stack_task *task, const struct fw_shim_choice *choice,
                    struct fw_error *err);

#endif
