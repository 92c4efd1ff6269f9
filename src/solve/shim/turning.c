/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/preload.h"
#include "fitwright/shim.h"
#include "solve/length_text.h"

/* Twice the standard uncertainty: 95 in 100 are nearer. */
#define SURE 2.0
/* So far beyond two readings, in their distance, a straight line is still trusted. */
#define BEYOND_MOST 1.0
/* Stacks closer than this are one stack: no shim is a micrometre. */
#define ONE_STACK 1e-6

static int cord_check(double diameter, double cord, struct fw_error *err)
{
	if (!(diameter > 0.0 && diameter <= FW_TURNING_DIAMETER_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "turning torque: the diameter must be above zero and at most 10 m");
	if (!(cord >= 0.0 && cord < diameter))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "turning torque: the cord must not be negative, and thinner than the "
		               "diameter it goes around");
	return FW_OK;
}

int fw_turning_torque(double *out, double pull, double diameter, double cord, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "turning torque: no place for the result");
	if (!(pull >= 0.0 && pull <= FW_TURNING_PULL_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "turning torque: the pull must not be negative, and at most 100 kN");
	int rc = cord_check(diameter, cord, err);
	if (rc != FW_OK)
		return rc;

	*out = pull * (diameter + cord) / 2.0;
	return FW_OK;
}

int fw_turning_pull(double *out, double torque, double diameter, double cord, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "turning torque: no place for the result");
	if (!(torque >= 0.0 && torque <= FW_TURNING_TORQUE_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "turning torque: the torque must not be negative, and at most 1e6 N·m");
	int rc = cord_check(diameter, cord, err);
	if (rc != FW_OK)
		return rc;

	*out = 2.0 * torque / (diameter + cord);
	return FW_OK;
}

static int reading_check(const struct fw_turning *r, int number, struct fw_error *err)
{
	if (!r)
		return fw_fail(err, FW_ERR_ARGUMENT, "preload, reading %d: missing", number);
	if (!(r->stack >= 0.0 && r->stack <= FW_SHIM_THICKEST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "preload, reading %d: the stack must not be negative, and at most 1 m",
		               number);
	if (!(r->torque > 0.0 && r->torque <= FW_TURNING_TORQUE_MOST))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "preload, reading %d: the torque must be above zero and at most 1e6 N·m; with "
		    "play left there is no preload to read",
		    number);
	if (!(r->torque_u >= 0.0 && r->torque_u <= FW_TURNING_TORQUE_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "preload, reading %d: the uncertainty must be finite and not negative",
		               number);
	return FW_OK;
}

static int limits_check(const struct fw_limits *torque, struct fw_error *err)
{
	const double ends[] = {torque->min, torque->max};
	double aim = fw_limits_aim(torque);

	for (int k = 0; k < 2; k++)
		if (isfinite(ends[k]) && !(ends[k] >= 0.0 && ends[k] <= FW_TURNING_TORQUE_MOST))
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "preload: the %s torque must not be negative, and at most 1e6 N·m",
			               k == 0 ? "least" : "greatest");
	if (!(aim > 0.0 && aim <= FW_TURNING_TORQUE_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "preload: the torque aimed at must be above zero and at most 1e6 N·m");
	return FW_OK;
}

static int check(const struct fw_turning *a, const struct fw_turning *b,
                 const struct fw_limits *torque, struct fw_error *err)
{
	int rc = reading_check(a, 1, err);
	if (rc == FW_OK)
		rc = reading_check(b, 2, err);
	if (rc == FW_OK)
		rc = fw_limits_check(torque, err);
	if (rc == FW_OK)
		rc = limits_check(torque, err);
	if (rc != FW_OK)
		return rc;
	if (!(fabs(a->stack - b->stack) > ONE_STACK))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "preload: both readings have the same stack; change the shims between them");
	if (!(fabs(a->torque - b->torque) > SURE * hypot(a->torque_u, b->torque_u)))
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "preload: the two torques differ by no more than their uncertainty; make the "
		    "stacks differ by more");
	return FW_OK;
}

/* The stacks for the limits, no further than the line is trusted, and not below none. */
static void set_range(struct fw_turning_line *line, const struct fw_turning *a,
                      const struct fw_turning *b, const struct fw_limits *torque)
{
	double apart = fabs(a->stack - b->stack), aim = fw_limits_aim(torque);
	double least = fmax(0.0, fmin(a->stack, b->stack) - BEYOND_MOST * apart);
	double most = fmax(a->stack, b->stack) + BEYOND_MOST * apart;
	double at_min = line->stack + (torque->min - aim) / line->slope;
	double at_max = line->stack + (torque->max - aim) / line->slope;

	line->low = fmin(at_min, at_max);
	line->high = fmax(at_min, at_max);
	line->low_cut = isfinite(line->low) && line->low < least - FW_ON_LIMIT;
	line->high_cut = isfinite(line->high) && line->high > most + FW_ON_LIMIT;
	if (line->low_cut)
		line->low = least;
	if (line->high_cut)
		line->high = most;
}

int fw_turning_stack(struct fw_turning_line *out, const struct fw_turning *a,
                     const struct fw_turning *b, const struct fw_limits *torque,
                     struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "preload: no place for the result");
	int rc = check(a, b, torque, err);
	if (rc != FW_OK)
		return rc;

	struct fw_turning_line line;
	char text[FW_LENGTH_TEXT];
	double aim = fw_limits_aim(torque);
	double way = (aim - a->torque) / (b->torque - a->torque); /* 0 at a, 1 at b */
	line.slope = (b->torque - a->torque) / (b->stack - a->stack);
	line.beyond = way < 0.0 || way > 1.0;
	if (way < -BEYOND_MOST || way > 1.0 + BEYOND_MOST)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "preload: the torque aimed at is further from both readings than they are from "
		    "each other; take a reading nearer to it");
	line.stack = a->stack + way * (b->stack - a->stack);
	if (line.stack < 0.0)
		return fw_fail(err, FW_ERR_RANGE,
		               "preload: the stack would be %s, less than none; other parts must change",
		               fw_length_text(line.stack, text, sizeof text));
	line.torque_u = hypot((1.0 - way) * a->torque_u, way * b->torque_u);
	line.stack_u = line.torque_u / fabs(line.slope);

	set_range(&line, a, b, torque);
	*out = line;
	return FW_OK;
}
