/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the windows of the responses and the distance from the aims leave for one stack, whatever
 * the stacks still to be chosen: linear elimination (Fourier and Motzkin), and the triangle of a QR
 * decomposition. */
#include <math.h>

#include <gsl/gsl_linalg.h>

#include "solve/shim/together_internal.h"

/* Room for rounding, m, and per metre of the lengths that go in. */
#define SLACK     1e-12
#define SLACK_PER 1e-14
/* A gain below this says nothing about the stack. */
#define NO_GAIN 1e-9
/* A part of a unit vector below this is rounding: times an open window it would void the cut. */
#define NO_WEIGHT 1e-13
/* Least room for rounding in a distance. */
#define ROUNDING 1e-12

static unsigned bits(unsigned mask)
{
	unsigned n = 0;

	for (; mask; mask &= mask - 1)
		n++;
	return n;
}

/* A unit vector over the responses in `rows` that is orthogonal to the columns in `columns`, one
 * fewer: the last column of Q. */
static void null_vector(double *weight, const struct fw_tg_task *task, unsigned rows,
                        unsigned columns)
{
	double a[RESPONSES * RESPONSES], t[RESPONSES], v[RESPONSES] = {0.0};
	size_t m = bits(rows), n = bits(columns), at = 0;

	for (size_t i = 0; i < task->responses; i++)
		weight[i] = 0.0;
	for (size_t i = 0; i < task->responses; i++)
		for (size_t j = 0; j < task->places && (rows >> i & 1U); j++)
			if (columns >> j & 1U)
				a[at++] = task->per[i][j];
	v[m - 1] = 1.0;
	if (n > 0) {
		gsl_matrix_view matrix = gsl_matrix_view_array(a, m, n);
		gsl_vector_view tau = gsl_vector_view_array(t, n);
		gsl_vector_view vector = gsl_vector_view_array(v, m);
		gsl_linalg_QR_decomp(&matrix.matrix, &tau.vector);
		gsl_linalg_QR_Qvec(&matrix.matrix, &tau.vector, &vector.vector);
	}
	at = 0;
	for (size_t i = 0; i < task->responses; i++)
		if (rows >> i & 1U) {
			weight[i] = fabs(v[at]) > NO_WEIGHT ? v[at] : 0.0;
			at++;
		}
}

static double column(const struct fw_tg_task *task, const double *weight, size_t j)
{
	double sum = 0.0;

	for (size_t i = 0; i < task->responses; i++)
		sum += weight[i] * task->per[i][j];
	return sum;
}

static void add_cut(struct fw_tg_walk *walk, size_t level, unsigned rows, unsigned columns)
{
	const struct fw_tg_task *task = walk->task;
	struct fw_tg_cut *cut = &walk->cut[level][walk->cuts[level]++];

	*cut = (struct fw_tg_cut){.sum = 0.0};
	null_vector(cut->weight, task, rows, columns);
	for (size_t i = 0; i < task->responses; i++)
		cut->sum += fabs(cut->weight[i]);
	cut->gain = column(task, cut->weight, walk->order[level]);
	for (size_t k = level + 1; k < task->places; k++)
		cut->later[walk->order[k]] = column(task, cut->weight, walk->order[k]);
}

/* All choices of `m` responses and of `m - 1` later places that vanish from their combination. */
static void add_cuts(struct fw_tg_walk *walk, size_t level, unsigned m)
{
	const struct fw_tg_task *task = walk->task;
	unsigned later = 0;

	for (size_t k = level + 1; k < task->places; k++)
		later |= 1U << walk->order[k];
	for (unsigned rows = 1; rows < 1U << task->responses; rows++) {
		for (unsigned columns = 0; columns < 1U << task->places; columns++) {
			if (bits(rows) != m || bits(columns) != m - 1 || (columns & ~later))
				continue;
			if (walk->cuts[level] == FW_TG_CUTS)
				return;
			add_cut(walk, level, rows, columns);
		}
	}
}

/* |B s - b|² = |R s - Q'b|², the place chosen first being the last column. */
static void triangle_make(struct fw_tg_walk *walk)
{
	const struct fw_tg_task *task = walk->task;
	size_t p = task->places, q = task->responses, least = p < q ? p : q;
	double a[RESPONSES * PLACES], t[RESPONSES], b[RESPONSES];

	for (size_t i = 0; i < q; i++) {
		for (size_t k = 0; k < p; k++)
			a[i * p + p - 1 - k] = task->per[i][walk->order[k]] / task->width[i];
		b[i] = (task->aim[i] - task->r0[i]) / task->width[i];
	}
	gsl_matrix_view matrix = gsl_matrix_view_array(a, q, p);
	gsl_vector_view tau = gsl_vector_view_array(t, least);
	gsl_vector_view vector = gsl_vector_view_array(b, q);
	gsl_linalg_QR_decomp(&matrix.matrix, &tau.vector);
	gsl_linalg_QR_QTvec(&matrix.matrix, &tau.vector, &vector.vector);

	walk->rest = 0.0;
	for (size_t c = p; c < q; c++)
		walk->rest += b[c] * b[c];
	for (size_t k = 0; k < p; k++) {
		size_t c = p - 1 - k;
		walk->y[k] = c < q ? b[c] : 0.0;
		for (size_t l = 0; l <= k; l++)
			walk->triangle[k][l] = c < q ? a[c * p + p - 1 - l] : 0.0;
	}
}

void fw_tg_cuts_make(struct fw_tg_walk *walk)
{
	size_t p = walk->task->places, q = walk->task->responses;

	for (size_t k = 0; k < p; k++) {
		unsigned most = (unsigned)(p - k < q ? p - k : q);
		walk->cuts[k] = 0;
		add_cuts(walk, k, most); /* the sharpest first, as there may be too many */
		for (unsigned m = 1; m < most; m++)
			add_cuts(walk, k, m);
	}
	triangle_make(walk);
	walk->ordered = true;
}

static void cut_set(struct fw_tg_cut *cut, const struct fw_tg_walk *walk, double slack)
{
	const struct fw_tg_task *task = walk->task;

	cut->low = -slack * cut->sum;
	cut->high = slack * cut->sum;
	for (size_t i = 0; i < task->responses; i++) {
		const struct fw_window *w = &walk->windows.of[i];
		double weight = cut->weight[i];
		if (weight == 0.0)
			continue;
		cut->low += weight * (weight > 0.0 ? w->low : w->high);
		cut->high += weight * (weight > 0.0 ? w->high : w->low);
	}
	for (size_t j = 0; j < task->places; j++) {
		const struct fw_tg_view *v = &walk->view[j];
		double part = cut->later[j];
		if (part == 0.0)
			continue;
		cut->low -= part * (part > 0.0 ? v->high : v->low);
		cut->high -= part * (part > 0.0 ? v->low : v->high);
	}
}

void fw_tg_cuts_set(struct fw_tg_walk *walk)
{
	const struct fw_tg_task *task = walk->task;
	double scale = 0.0;

	walk->fuzz = 0.0;
	for (size_t i = 0; i < task->responses; i++) {
		double size = fabs(task->r0[i]);
		for (size_t j = 0; j < task->places; j++)
			size += fabs(task->per[i][j]) * walk->view[j].high;
		scale = fmax(scale, size);
		walk->fuzz = fmax(walk->fuzz, SLACK_PER * size / task->width[i] + ROUNDING);
	}
	for (size_t k = 0; k < task->places; k++)
		for (size_t c = 0; c < walk->cuts[k]; c++)
			cut_set(&walk->cut[k][c], walk, SLACK + SLACK_PER * scale);
	walk->version++;
}

struct fw_window fw_tg_cuts_window(const struct fw_tg_walk *walk, size_t level)
{
	const double *r = walk->r[level];
	struct fw_window window = {-INFINITY, INFINITY};

	for (size_t c = 0; c < walk->cuts[level]; c++) {
		const struct fw_tg_cut *cut = &walk->cut[level][c];
		double x = 0.0;
		for (size_t i = 0; i < walk->task->responses; i++)
			x += cut->weight[i] * r[i];
		if (fabs(cut->gain) < NO_GAIN) {
			double room = fabs(cut->gain) * walk->view[walk->order[level]].high;
			if (x < cut->low - room || x > cut->high + room)
				return (struct fw_window){INFINITY, -INFINITY};
			continue;
		}
		double a = (cut->low - x) / cut->gain, b = (cut->high - x) / cut->gain;
		window.low = fmax(window.low, cut->gain > 0.0 ? a : b);
		window.high = fmin(window.high, cut->gain > 0.0 ? b : a);
	}
	fw_tg_support_cut(&window, walk, level);
	return window;
}

/* The combination `weight` of the responses against that of their windows, all stacks from 0 up. */
static bool clashes(const struct fw_tg_task *task, const double *weight,
                    const struct fw_tg_windows *windows)
{
	double low = 0.0, high = 0.0, least = 0.0, most = 0.0, size = 1.0;

	for (size_t i = 0; i < task->responses; i++) {
		const struct fw_window *w = &windows->of[i];
		if (weight[i] == 0.0)
			continue;
		low += weight[i] * (weight[i] > 0.0 ? w->low : w->high);
		high += weight[i] * (weight[i] > 0.0 ? w->high : w->low);
		least += weight[i] * task->r0[i];
		size = fmax(size, fabs(task->r0[i]));
	}
	most = least;
	for (size_t j = 0; j < task->places; j++) {
		double part = column(task, weight, j);
		if (part > NO_GAIN)
			most = INFINITY;
		if (part < -NO_GAIN)
			least = -INFINITY;
	}
	return most < low - SLACK * size || least > high + SLACK * size;
}

bool fw_tg_clash(bool *clashing, const struct fw_tg_task *task, const struct fw_tg_windows *windows)
{
	double weight[RESPONSES];

	for (unsigned m = 1; m <= task->places + 1 && m <= task->responses; m++) {
		for (unsigned rows = 1; rows < 1U << task->responses; rows++) {
			for (unsigned columns = 0; columns < 1U << task->places; columns++) {
				if (bits(rows) != m || bits(columns) != m - 1)
					continue;
				null_vector(weight, task, rows, columns);
				if (!clashes(task, weight, windows))
					continue;
				for (size_t i = 0; i < task->responses; i++)
					clashing[i] = rows >> i & 1U;
				return true;
			}
		}
	}
	return false;
}

/* Least squares over the places in `mask` alone; false when it isn't unique or a stack would be
 * below nothing. */
static bool solve(double *s, double *square, const struct fw_tg_task *task, unsigned mask)
{
	size_t q = task->responses, n = bits(mask);
	double a[RESPONSES * PLACES], t[PLACES], b[RESPONSES], x[PLACES], res[RESPONSES];

	for (size_t i = 0, at = 0; i < q; i++) {
		b[i] = (task->aim[i] - task->r0[i]) / task->width[i];
		for (size_t j = 0; j < task->places; j++)
			if (mask >> j & 1U)
				a[at++] = task->per[i][j] / task->width[i];
	}
	gsl_matrix_view matrix = gsl_matrix_view_array(a, q, n);
	gsl_vector_view tau = gsl_vector_view_array(t, n), right = gsl_vector_view_array(b, q);
	gsl_vector_view left = gsl_vector_view_array(x, n), residual = gsl_vector_view_array(res, q);
	double greatest = gsl_matrix_max(&matrix.matrix), least = gsl_matrix_min(&matrix.matrix);
	gsl_linalg_QR_decomp(&matrix.matrix, &tau.vector);
	for (size_t k = 0; k < n; k++)
		if (fabs(gsl_matrix_get(&matrix.matrix, k, k)) <= 1e-9 * fmax(greatest, -least))
			return false;
	gsl_linalg_QR_lssolve(&matrix.matrix, &tau.vector, &right.vector, &left.vector,
	                      &residual.vector);
	*square = 0.0;
	for (size_t i = 0; i < q; i++)
		*square += res[i] * res[i];
	for (size_t j = 0, at = 0; j < task->places; j++)
		s[j] = mask >> j & 1U ? x[at++] : 0.0;
	for (size_t j = 0; j < task->places; j++)
		if (s[j] < 0.0)
			return false;
	return true;
}

void fw_tg_ideal(struct fw_tg_task *task)
{
	double best = 0.0, s[PLACES], square;

	for (size_t i = 0; i < task->responses; i++)
		best += pow((task->aim[i] - task->r0[i]) / task->width[i], 2.0);
	for (size_t j = 0; j < task->places; j++)
		task->ideal[j] = 0.0;
	for (unsigned n = 1; n <= task->places && n <= task->responses; n++)
		for (unsigned mask = 1; mask < 1U << task->places; mask++)
			if (bits(mask) == n && solve(s, &square, task, mask) &&
			    square < best * (1.0 - 1e-9) - 1e-18) {
				best = square;
				for (size_t j = 0; j < task->places; j++)
					task->ideal[j] = s[j];
			}
}
