/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the aims can't be reached at all, how far every combination must stay away from them: the
 * plane through the nearest point that stacks of any thickness between the thinnest and the
 * thickest could reach. */
#include <math.h>

#include "solve/shim/together_internal.h"

/* The nearest point needn't be exact: every plane makes a valid bound, only less sharp. */
#define SWEEPS 60
#define NEAR   1e-9

static double gap(const struct fw_tg_task *task, const double *s, size_t i)
{
	double r = task->r0[i];

	for (size_t j = 0; j < task->places; j++)
		r += task->per[i][j] * s[j];
	return (r - task->aim[i]) / task->width[i];
}

/* Least squares within the box, one stack after another. */
static void sweep(double *s, const struct fw_tg_walk *walk, double *e)
{
	const struct fw_tg_task *task = walk->task;

	for (size_t j = 0; j < task->places; j++) {
		double slope = 0.0, curve = 0.0;
		for (size_t i = 0; i < task->responses; i++) {
			double part = task->per[i][j] / task->width[i];
			slope += part * e[i];
			curve += part * part;
		}
		double to = fmin(fmax(s[j] - slope / curve, walk->view[j].low), walk->view[j].high);
		for (size_t i = 0; i < task->responses; i++)
			e[i] += task->per[i][j] / task->width[i] * (to - s[j]);
		s[j] = to;
	}
}

void fw_tg_support_make(struct fw_tg_walk *walk)
{
	const struct fw_tg_task *task = walk->task;
	double e[RESPONSES], length = 0.0;

	walk->support = (struct fw_tg_support){.on = false};
	double *s = walk->support.nearest;
	for (size_t j = 0; j < task->places; j++)
		s[j] = fmin(fmax(task->ideal[j], walk->view[j].low), walk->view[j].high);
	for (size_t i = 0; i < task->responses; i++)
		e[i] = gap(task, s, i);
	for (int n = 0; n < SWEEPS; n++)
		sweep(s, walk, e);
	for (size_t i = 0; i < task->responses; i++)
		length = hypot(length, e[i] = gap(task, s, i));
	if (!(length > NEAR))
		return;

	walk->support.on = true;
	for (size_t i = 0; i < task->responses; i++) {
		walk->support.weight[i] = e[i] / length / task->width[i];
		walk->support.aim += walk->support.weight[i] * task->aim[i];
	}
	for (size_t k = task->places; k-- > 0;) {
		double gain = 0.0;
		size_t j = walk->order[k];
		for (size_t i = 0; i < task->responses; i++)
			gain += walk->support.weight[i] * task->per[i][j];
		walk->support.gain[k] = gain;
		/* The least that this place and those after it can add. */
		double least = fmin(gain * walk->view[j].low, gain * walk->view[j].high);
		walk->support.least[k] = walk->support.least[k + 1] + least;
		walk->support.edge = walk->support.edge || s[j] <= walk->view[j].low + NEAR ||
		                     s[j] >= walk->view[j].high - NEAR;
	}
}

void fw_tg_support_cut(struct fw_window *window, const struct fw_tg_walk *walk, size_t level)
{
	const struct fw_tg_support *p = &walk->support;
	double left = walk->reach + walk->fuzz + p->aim - p->least[level + 1];

	if (!p->on || isinf(walk->reach))
		return;
	for (size_t i = 0; i < walk->task->responses; i++)
		left -= p->weight[i] * walk->r[level][i];
	double gain = p->gain[level];
	if (gain > 0.0)
		window->high = fmin(window->high, left / gain);
	else if (gain < 0.0)
		window->low = fmax(window->low, left / gain);
	else if (left < 0.0)
		*window = (struct fw_window){INFINITY, -INFINITY};
}
