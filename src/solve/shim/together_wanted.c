/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stacks, of any thickness, that bring all responses within and come nearest to the aims: least
 * squares with inequalities, turned into least distance and that into least squares with no
 * negative unknowns (C. L. Lawson, R. J. Hanson, Solving Least Squares Problems, 1974, chapter 23,
 * from memory). */
#include <math.h>
#include <string.h>

#include <gsl/gsl_linalg.h>

#include "solve/shim/together_internal.h"

/* A plane for each end of each response and of each stack. */
#define PLANES (2 * RESPONSES + 2 * PLACES)
#define ROWS   (PLACES + 1)

/* A weak pull on each stack, as a share of how much it moves the responses, keeps it in its place
 * where they leave it free. It is towards where the last round ended, so it comes to nothing
 * (proximal point method). */
#define PULL   1e-3
#define ROUNDS 6
/* Residual and gains below these are rounding. */
#define NOTHING 1e-12
#define GAIN    1e-13

/* normal · s >= least. */
struct plane {
	double normal[PLACES], least;
};

struct region {
	size_t places, planes;
	struct plane plane[PLANES];
};

/* Least squares with no negative unknowns: the columns of `a`, each ROWS long of which `rows`
 * count, added up as near as can be to the last unit vector. */
struct sums {
	size_t rows, columns;
	double a[PLANES][ROWS];
	double x[PLANES], left[ROWS]; /* left = unit vector - sum */
	bool used[PLANES], refused[PLANES];
};

static void add_plane(struct region *region, const double *normal, double sign, double least)
{
	struct plane *plane = &region->plane[region->planes];

	if (isinf(least))
		return;
	for (size_t j = 0; j < region->places; j++)
		plane->normal[j] = sign * normal[j];
	plane->least = least;
	region->planes++;
}

static void make_region(struct region *region, const struct fw_tg_task *task)
{
	*region = (struct region){.places = task->places};
	for (size_t i = 0; i < task->responses; i++) {
		const struct fw_limits *limits = &task->fit->response[i].limits;
		add_plane(region, task->per[i], 1.0, limits->min - task->r0[i]);
		add_plane(region, task->per[i], -1.0, task->r0[i] - limits->max);
	}
	for (size_t j = 0; j < task->places; j++) {
		double one[PLACES] = {0.0};
		one[j] = 1.0;
		add_plane(region, one, 1.0, 0.0);
		add_plane(region, one, -1.0, -FW_SHIM_THICKEST);
	}
}

static void leave(struct sums *n)
{
	memset(n->left, 0, sizeof n->left);
	n->left[n->rows - 1] = 1.0;
	for (size_t k = 0; k < n->columns; k++)
		for (size_t c = 0; c < n->rows; c++)
			n->left[c] -= n->x[k] * n->a[k][c];
}

/* Least squares over the columns in use, signs aside. False when they depend on each other. */
static bool solve_used(double *z, const struct sums *n)
{
	double a[ROWS * ROWS], t[ROWS], b[ROWS] = {0.0}, x[ROWS], rest[ROWS];
	size_t count = 0, at = 0;

	for (size_t k = 0; k < n->columns; k++)
		count += n->used[k];
	if (count > n->rows)
		return false;
	for (size_t c = 0; c < n->rows; c++)
		for (size_t k = 0; k < n->columns; k++)
			if (n->used[k])
				a[at++] = n->a[k][c];
	b[n->rows - 1] = 1.0;
	gsl_matrix_view matrix = gsl_matrix_view_array(a, n->rows, count);
	gsl_vector_view tau = gsl_vector_view_array(t, count),
	                right = gsl_vector_view_array(b, n->rows),
	                left = gsl_vector_view_array(x, count),
	                residual = gsl_vector_view_array(rest, n->rows);
	gsl_linalg_QR_decomp(&matrix.matrix, &tau.vector);
	for (size_t k = 0; k < count; k++)
		if (fabs(gsl_matrix_get(&matrix.matrix, k, k)) < NOTHING)
			return false;
	gsl_linalg_QR_lssolve(&matrix.matrix, &tau.vector, &right.vector, &left.vector,
	                      &residual.vector);
	at = 0;
	for (size_t k = 0; k < n->columns; k++)
		z[k] = n->used[k] ? x[at++] : 0.0;
	return true;
}

/* The column not in use that gains most, or the number of columns. */
static size_t best_column(const struct sums *n)
{
	size_t best = n->columns;
	double most = GAIN;

	for (size_t k = 0; k < n->columns; k++) {
		double gain = 0.0;
		for (size_t c = 0; c < n->rows; c++)
			gain += n->left[c] * n->a[k][c];
		if (!n->used[k] && !n->refused[k] && gain > most) {
			most = gain;
			best = k;
		}
	}
	return best;
}

/* From x towards z as far as none falls below nothing; those that reach it leave. */
static void step_towards(struct sums *n, const double *z)
{
	double way = 1.0;
	size_t first = n->columns;

	for (size_t k = 0; k < n->columns; k++)
		if (n->used[k] && z[k] <= 0.0 && n->x[k] / (n->x[k] - z[k]) <= way) {
			way = n->x[k] / (n->x[k] - z[k]);
			first = k;
		}
	for (size_t k = 0; k < n->columns; k++) {
		if (!n->used[k])
			continue;
		n->x[k] += way * (z[k] - n->x[k]);
		if (k == first || n->x[k] <= 0.0) {
			n->x[k] = 0.0;
			n->used[k] = false;
		}
	}
}

static bool all_above(const struct sums *n, const double *z)
{
	for (size_t k = 0; k < n->columns; k++)
		if (n->used[k] && z[k] <= 0.0)
			return false;
	return true;
}

static void add_up(struct sums *n)
{
	double z[PLANES];

	leave(n);
	for (unsigned tries = 0; tries < 20 * PLANES; tries++) {
		size_t k = best_column(n);
		if (k == n->columns)
			return;
		n->used[k] = true;
		if (!solve_used(z, n) || z[k] <= 0.0) { /* its gain was rounding */
			n->used[k] = false;
			n->refused[k] = true;
			continue;
		}
		while (!all_above(n, z)) {
			step_towards(n, z);
			if (!solve_used(z, n))
				return;
		}
		memcpy(n->x, z, n->columns * sizeof z[0]);
		memset(n->refused, 0, sizeof n->refused);
		leave(n);
	}
}

/* |E s - f|² with the pull towards `from`: R of E = Q·R, and s where it is least. */
static void make_triangle(double r[PLACES][PLACES], double *s, const struct fw_tg_task *task,
                          const double *from)
{
	enum { LINES = RESPONSES + PLACES };
	size_t p = task->places, q = task->responses;
	double a[LINES * PLACES] = {0.0}, b[LINES] = {0.0}, t[PLACES], rest[LINES];

	for (size_t j = 0; j < p; j++) {
		double column = 0.0;
		for (size_t i = 0; i < q; i++) {
			a[i * p + j] = task->per[i][j] / task->width[i];
			column = hypot(column, a[i * p + j]);
		}
		a[(q + j) * p + j] = PULL * column;
		b[q + j] = PULL * column * from[j];
	}
	for (size_t i = 0; i < q; i++)
		b[i] = (task->aim[i] - task->r0[i]) / task->width[i];
	gsl_matrix_view matrix = gsl_matrix_view_array(a, q + p, p);
	gsl_vector_view tau = gsl_vector_view_array(t, p), right = gsl_vector_view_array(b, q + p),
	                left = gsl_vector_view_array(s, p),
	                residual = gsl_vector_view_array(rest, q + p);
	gsl_linalg_QR_decomp(&matrix.matrix, &tau.vector);
	gsl_linalg_QR_lssolve(&matrix.matrix, &tau.vector, &right.vector, &left.vector,
	                      &residual.vector);
	for (size_t k = 0; k < p; k++)
		for (size_t l = 0; l < p; l++)
			r[k][l] = l >= k ? a[k * p + l] : 0.0;
}

/* w = R⁻ᵀ·v, and s = R⁻¹·y. */
static void solve_down(double *w, double r[PLACES][PLACES], const double *v, size_t p)
{
	for (size_t k = 0; k < p; k++) {
		w[k] = v[k];
		for (size_t l = 0; l < k; l++)
			w[k] -= r[l][k] * w[l];
		w[k] /= r[k][k];
	}
}

static void solve_up(double *s, double r[PLACES][PLACES], const double *y, size_t p)
{
	for (size_t k = p; k-- > 0;) {
		s[k] = y[k];
		for (size_t l = k + 1; l < p; l++)
			s[k] -= r[k][l] * s[l];
		s[k] /= r[k][k];
	}
}

/* With y = R·(s - least squares) it is the least y beyond all planes. */
static bool nearest(double *s, const struct fw_tg_task *task, const struct region *region,
                    const double *from)
{
	struct sums n = {.rows = task->places + 1, .columns = region->planes};
	double r[PLACES][PLACES], free[PLACES], step[PLACES], y[PLACES];
	size_t p = task->places;

	make_triangle(r, free, task, from);
	for (size_t k = 0; k < region->planes; k++) {
		const struct plane *plane = &region->plane[k];
		double length = 0.0;
		solve_down(n.a[k], r, plane->normal, p);
		n.a[k][p] = plane->least;
		for (size_t j = 0; j < p; j++)
			n.a[k][p] -= plane->normal[j] * free[j];
		for (size_t j = 0; j <= p; j++)
			length = hypot(length, n.a[k][j]);
		for (size_t j = 0; j <= p; j++)
			n.a[k][j] /= length;
	}
	add_up(&n);
	if (!(n.left[p] > NOTHING)) /* the planes leave nothing between them */
		return false;
	for (size_t j = 0; j < p; j++)
		y[j] = -n.left[j] / n.left[p];
	solve_up(step, r, y, p);
	for (size_t j = 0; j < p; j++)
		s[j] = free[j] + step[j];
	return true;
}

/* Within, but for rounding; and then no stack below nothing. */
static bool settle(double *s, const struct fw_tg_task *task)
{
	for (size_t j = 0; j < task->places; j++) {
		if (!(s[j] >= -FW_ON_LIMIT && s[j] <= FW_SHIM_THICKEST + FW_ON_LIMIT))
			return false;
		s[j] = fmin(fmax(s[j], 0.0), FW_SHIM_THICKEST);
	}
	for (size_t i = 0; i < task->responses; i++) {
		const struct fw_limits *limits = &task->fit->response[i].limits;
		double r = task->r0[i];
		for (size_t j = 0; j < task->places; j++)
			r += task->per[i][j] * s[j];
		r = fw_limits_snap(r, limits);
		if (!(r >= limits->min && r <= limits->max))
			return false;
	}
	return true;
}

bool fw_tg_wanted(double *wanted, const struct fw_tg_task *task)
{
	struct region region;
	double s[PLACES], from[PLACES], kept[PLACES];
	bool found = false;

	make_region(&region, task);
	memcpy(s, task->ideal, sizeof s);
	for (int round = 0; round < ROUNDS; round++) {
		memcpy(from, s, sizeof from);
		if (!nearest(s, task, &region, from))
			break;
		memcpy(kept, s, sizeof kept);
		if (settle(kept, task)) {
			memcpy(wanted, kept, task->places * sizeof kept[0]);
			found = true;
		}
	}
	return found;
}
