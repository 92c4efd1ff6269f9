/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/pattern.h"

#include <math.h>

#define FAR  1e150 /* squares stay finite */
#define BAND 0.5   /* of the greatest distance */
#define SAME 1e-9  /* of the greatest distance: what counts as equal */

struct field {
	struct fw_point at[FW_BOLTS_MOST]; /* from the middle, the greatest distance being 1 */
	double distance[FW_BOLTS_MOST];
	bool tight[FW_BOLTS_MOST];
	double gap[FW_BOLTS_MOST]; /* to the nearest tightened bolt */
	size_t count;
	struct fw_point moment; /* sum of the positions tightened */
};

static int points_check(const struct fw_point *point, size_t count, struct fw_error *err)
{
	if (!point)
		return fw_fail(err, FW_ERR_ARGUMENT, "pattern: no positions");
	if (count < 1 || count > FW_BOLTS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "pattern: %zu bolts, must be 1 to %d", count,
		               FW_BOLTS_MOST);
	for (size_t i = 0; i < count; i++)
		if (!(fabs(point[i].x) <= FAR && fabs(point[i].y) <= FAR))
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "pattern, bolt %zu: its position must be finite and at most 1e150",
			               i + 1);
	for (size_t i = 0; i < count; i++)
		for (size_t j = i + 1; j < count; j++)
			if (point[i].x == point[j].x && point[i].y == point[j].y)
				return fw_fail(err, FW_ERR_ARGUMENT,
				               "pattern, bolt %zu: it is in the same place as bolt %zu", j + 1,
				               i + 1);
	return FW_OK;
}

/* Seen from the middle, scaled by the greatest distance, so that no unit matters. */
static void spread_out(struct field *f, const struct fw_point *point, size_t count)
{
	double x = 0.0, y = 0.0, most = 0.0;

	*f = (struct field){.count = count};
	for (size_t i = 0; i < count; i++) {
		x += point[i].x / (double)count;
		y += point[i].y / (double)count;
	}
	for (size_t i = 0; i < count; i++) {
		f->at[i] = (struct fw_point){point[i].x - x, point[i].y - y};
		f->distance[i] = hypot(f->at[i].x, f->at[i].y);
		most = fmax(most, f->distance[i]);
		f->gap[i] = INFINITY;
	}
	for (size_t i = 0; i < count && most > 0.0; i++) {
		f->at[i].x /= most;
		f->at[i].y /= most;
		f->distance[i] /= most;
	}
}

static double imbalance_with(const struct field *f, size_t i)
{
	return hypot(f->moment.x + f->at[i].x, f->moment.y + f->at[i].y);
}

/* Whether bolt `a` comes before bolt `b`, by the rule of the header; a is the later in number. */
static bool goes_first(const struct field *f, size_t a, size_t b)
{
	double balance = imbalance_with(f, a) - imbalance_with(f, b);
	double distance = f->distance[a] - f->distance[b];

	if (fabs(balance) > SAME)
		return balance < 0.0;
	if (fabs(distance) > SAME)
		return distance < 0.0;
	return f->gap[a] > f->gap[b] + SAME;
}

static size_t choose(const struct field *f)
{
	double nearest = INFINITY;
	size_t best = f->count;

	for (size_t i = 0; i < f->count; i++)
		if (!f->tight[i])
			nearest = fmin(nearest, f->distance[i]);
	for (size_t i = 0; i < f->count; i++)
		if (!f->tight[i] && f->distance[i] <= nearest + BAND + SAME &&
		    (best == f->count || goes_first(f, i, best)))
			best = i;
	return best;
}

static void tighten(struct field *f, size_t i)
{
	f->tight[i] = true;
	f->moment.x += f->at[i].x;
	f->moment.y += f->at[i].y;
	for (size_t j = 0; j < f->count; j++)
		f->gap[j] = fmin(f->gap[j], hypot(f->at[j].x - f->at[i].x, f->at[j].y - f->at[i].y));
}

int fw_points_order(unsigned *order, const struct fw_point *point, size_t count,
                    struct fw_error *err)
{
	struct field f;

	if (!order)
		return fw_fail(err, FW_ERR_ARGUMENT, "pattern: no place for the order");
	int rc = points_check(point, count, err);
	if (rc != FW_OK)
		return rc;
	spread_out(&f, point, count);
	for (size_t n = 0; n < count; n++) {
		size_t next = choose(&f);
		tighten(&f, next);
		order[n] = (unsigned)next + 1;
	}
	return FW_OK;
}

int fw_grid_order(unsigned *order, size_t rows, size_t columns, struct fw_error *err)
{
	struct fw_point point[FW_BOLTS_MOST];

	if (!order)
		return fw_fail(err, FW_ERR_ARGUMENT, "pattern: no place for the order");
	if (rows < 1 || columns < 1 || rows > FW_BOLTS_MOST || columns > FW_BOLTS_MOST / rows)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "pattern: %zu rows of %zu bolts, must be 1 to %d bolts in all", rows,
		               columns, FW_BOLTS_MOST);
	for (size_t row = 0; row < rows; row++)
		for (size_t column = 0; column < columns; column++)
			point[row * columns + column] = (struct fw_point){(double)column, (double)row};
	return fw_points_order(order, point, rows * columns, err);
}

int fw_order_imbalance(double *out, const unsigned *order, const struct fw_point *point,
                       size_t count, struct fw_error *err)
{
	struct field f;
	double most = 0.0;

	if (!out || !order)
		return fw_fail(err, FW_ERR_ARGUMENT, "pattern: no order, or no place for the result");
	int rc = points_check(point, count, err);
	if (rc != FW_OK)
		return rc;
	spread_out(&f, point, count);
	for (size_t n = 0; n < count; n++) {
		if (order[n] < 1 || order[n] > count || f.tight[order[n] - 1])
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "pattern: the order must name each bolt once; turn %zu does not", n + 1);
		tighten(&f, order[n] - 1);
		most = fmax(most, hypot(f.moment.x, f.moment.y));
	}
	*out = most;
	return FW_OK;
}
