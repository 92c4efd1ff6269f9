/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/conform/distribution.h"
#include "solve/shim/stack.h"

/* Room, so that rounding never cuts off a stack at the very edge, nor one that lies on a limit. */
#define SLACK (2.0 * FW_ON_LIMIT)
/* Far enough inside a one-sided limit, in standard uncertainties, for the chance to be 1. */
#define DEEP 40.0
/* How closely an edge is found, as a share of the way to the middle: a bad play just beyond it
 * serves as well, at the price of a few more looks. */
#define EDGE 1e-3

double fw_stack_chance(double play, double u, const struct fw_limits *limits)
{
	if (u == 0.0) {
		double at = fw_limits_snap(play, limits);
		return at >= limits->min && at <= limits->max ? 1.0 : 0.0;
	}
	return fw_between((limits->min - play) / u, (limits->max - play) / u, INFINITY);
}

/* No stack that leaves the play at `play` has a better chance than this, whatever its uncertainty
 * within `spread`. Inside the limits the chance falls as the uncertainty grows. Outside it is at
 * most the one tail that reaches over, largest at the largest uncertainty, and at most what it
 * would be on the limit itself. So the bound falls with the distance from the middle. */
static double best_chance(double play, struct fw_spread spread, const struct fw_limits *limits)
{
	double edge = play < limits->min ? limits->min : play > limits->max ? limits->max : play;
	double inside = fw_stack_chance(edge, spread.least, limits);
	double out = fabs(play - edge);

	if (out == 0.0)
		return inside;
	double tail = spread.most > 0.0 ? fw_tail_above(out / spread.most, INFINITY) : 0.0;
	return fmin(inside, tail);
}

static double middle_of(struct fw_spread spread, const struct fw_limits *limits)
{
	double deep = DEEP * spread.most + 1e-6;

	if (isinf(limits->min))
		return limits->max - deep;
	if (isinf(limits->max))
		return limits->min + deep;
	return limits->min + (limits->max - limits->min) / 2.0;
}

/* Between `good`, whose bound reaches `floor`, and `bad`, whose bound doesn't: the last bad one. */
static double edge_of(double good, double bad, double floor, struct fw_spread spread,
                      const struct fw_limits *limits)
{
	double middle = good;

	while (fabs(bad - good) > EDGE * fabs(bad - middle) && fabs(bad - good) > SLACK) {
		double half = good + (bad - good) / 2.0;
		if (half == good || half == bad)
			break;
		if (best_chance(half, spread, limits) >= floor)
			good = half;
		else
			bad = half;
	}
	return bad;
}

struct fw_window fw_window_for(double floor, struct fw_spread spread,
                               const struct fw_limits *limits)
{
	struct fw_window window = {INFINITY, -INFINITY};
	double middle = middle_of(spread, limits);
	double beyond = DEEP * spread.most + 1e-6;

	if (best_chance(middle, spread, limits) < floor)
		return window;

	window.low = -INFINITY;
	window.high = INFINITY;
	if (isfinite(limits->min))
		window.low = edge_of(middle, limits->min - beyond, floor, spread, limits) - SLACK;
	if (isfinite(limits->max))
		window.high = edge_of(middle, limits->max + beyond, floor, spread, limits) + SLACK;
	return window;
}
