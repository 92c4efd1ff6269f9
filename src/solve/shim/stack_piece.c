/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "solve/shim/stack.h"

/* Thinnest of the kit as clamped: what a piece to get shouldn't fall below. */
static double thinnest(const struct fw_shim *kit, size_t sizes)
{
	double least = INFINITY;

	for (size_t i = 0; i < sizes; i++)
		least = fmin(least, kit[i].thickness * (1.0 - kit[i].crush));
	return least;
}

static void fill(struct fw_shim_choice *out, const struct fw_stack *with, const struct fw_shim *kit)
{
	double variance = 0.0, common = 0.0;

	for (size_t i = 0; i < with->count; i++) {
		const struct fw_shim *shim = &kit[with->shim[i]];
		double own = (1.0 - shim->crush) * shim->u, lost = shim->thickness * shim->crush_u;
		common = i > 0 && with->shim[i] == with->shim[i - 1] ? common + lost : lost;
		/* (n·lost)² - ((n - 1)·lost)²: what one more piece of the size adds. */
		variance += own * own + common * common - (common - lost) * (common - lost);
	}
	out->with = *with;
	out->with.u = sqrt(variance);
	out->add = out->wanted - with->thickness;
}

int fw_stack_piece(struct fw_shim_choice *out, const struct fw_stack_task *task,
                   struct fw_error *err)
{
	double room = out->wanted - thinnest(task->kit, task->sizes);

	if (!(room > 0.0) || task->most < 2)
		return FW_OK;
	struct fw_shim *sharp = malloc(task->sizes * sizeof *sharp);
	if (!sharp)
		return fw_fail(err, FW_ERR_MEMORY, "stack: out of memory");
	for (size_t i = 0; i < task->sizes; i++) {
		sharp[i] = task->kit[i];
		sharp[i].u = sharp[i].crush_u = 0.0;
	}

	/* What is left of the room, at least none and as near to none as can be; a nanometre for
	 * rounding, so that another piece like the thinnest is found. */
	struct fw_limits left = {-1e-9, INFINITY, 0.0};
	struct fw_stack_task without = *task;
	struct fw_shim_choice found;
	without.datum = room;
	without.variance = 0.0;
	without.kit = sharp;
	without.most = task->most - 1;
	without.may_be_empty = true;
	without.limits = &left;
	int rc = fw_stack_pick(&found, &without, err);
	free(sharp);
	if (rc == FW_OK && found.stack.count > 0)
		fill(out, &found.stack, task->kit);
	return rc;
}
