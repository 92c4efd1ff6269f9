/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The chances of the responses, and bounds on them. */
#include <math.h>

#include "solve/shim/together_internal.h"

/* Pieces of one size share the error of its crush, with the weight of each place. */
static double crush_variance(const struct fw_tg_walk *walk, size_t i)
{
	const struct fw_tg_task *task = walk->task;
	size_t size[PLACES * FW_STACK_MOST], sizes = 0;
	double weight[PLACES * FW_STACK_MOST], variance = 0.0;

	for (size_t j = 0; j < task->places; j++) {
		const struct fw_tg_stack *s = &task->list[j]->stack[walk->stack[j]];
		for (size_t n = 0; n < s->count; n++) {
			size_t k = 0;
			while (k < sizes && size[k] != s->piece[n])
				k++;
			if (k == sizes) {
				size[sizes] = s->piece[n];
				weight[sizes++] = 0.0;
			}
			weight[k] += task->per[i][j];
		}
	}
	for (size_t k = 0; k < sizes; k++)
		variance += weight[k] * weight[k] * task->piece[size[k]].common;
	return variance;
}

double fw_tg_variance(const struct fw_tg_walk *walk, size_t i)
{
	const struct fw_tg_task *task = walk->task;
	double variance = task->variance[i];

	for (size_t j = 0; j < task->places; j++)
		variance += task->per[i][j] * task->per[i][j] * task->list[j]->stack[walk->stack[j]].own;
	return task->crush ? variance + crush_variance(walk, i) : variance;
}

double fw_tg_chance(const struct fw_tg_walk *walk, double floor)
{
	const struct fw_tg_task *task = walk->task;
	double least = 1.0;

	for (size_t i = 0; i < task->responses && least >= floor; i++)
		least = fmin(least, fw_stack_chance(walk->r[task->places][i], sqrt(fw_tg_variance(walk, i)),
		                                    &task->fit->response[i].limits));
	return least >= floor ? least : 0.0;
}

/* No chance at `r` is greater than this, for any uncertainty from `least` to `most`: inside the
 * limits it falls as the uncertainty grows; outside it is at most what it would be on the limit. */
static double chance_at_most(double r, double least, const struct fw_limits *limits)
{
	double edge = fmin(fmax(r, limits->min), limits->max);

	return fw_stack_chance(edge, least, limits);
}

double fw_tg_chance_most(const struct fw_tg_walk *walk, double floor)
{
	const struct fw_tg_task *task = walk->task;
	double least = 1.0;

	for (size_t i = 0; i < task->responses && least >= floor; i++) {
		double variance = task->variance[i];
		for (size_t j = 0; j < task->places; j++)
			variance += task->per[i][j] * task->per[i][j] * walk->at[j]->own;
		least = fmin(least, chance_at_most(walk->r[task->places][i], sqrt(variance),
		                                   &task->fit->response[i].limits));
	}
	return least >= floor ? least : 0.0;
}

static struct fw_spread spread_of(const struct fw_tg_task *task, const struct fw_tg_view *view,
                                  size_t i)
{
	double least = task->variance[i], most = task->variance[i], common = 0.0;

	for (size_t j = 0; j < task->places; j++) {
		double square = task->per[i][j] * task->per[i][j];
		least += square * view[j].own_least;
		most += square * view[j].own_most;
		common += fabs(task->per[i][j]) * sqrt(view[j].common_most);
	}
	return (struct fw_spread){sqrt(least), sqrt(most + common * common)};
}

double fw_tg_chance_bound(const struct fw_tg_task *task, const struct fw_tg_view *view)
{
	double least = 1.0;

	for (size_t i = 0; i < task->responses; i++) {
		const struct fw_limits *limits = &task->fit->response[i].limits;
		double middle = limits->min + (limits->max - limits->min) / 2.0;
		if (isfinite(middle))
			least = fmin(least, fw_stack_chance(middle, spread_of(task, view, i).least, limits));
	}
	return least;
}

void fw_tg_windows_for(struct fw_tg_windows *out, const struct fw_tg_task *task,
                       const struct fw_tg_view *view, double floor)
{
	for (size_t i = 0; i < task->responses; i++)
		out->of[i] = fw_window_for(floor, spread_of(task, view, i), &task->fit->response[i].limits);
}

double fw_tg_distance(const struct fw_tg_task *task, const double *r)
{
	double square = 0.0;

	for (size_t i = 0; i < task->responses; i++) {
		double part = (r[i] - task->aim[i]) / task->width[i];
		square += part * part;
	}
	return sqrt(square);
}
