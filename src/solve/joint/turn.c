/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/turn.h"

#include <math.h>

#define TURN       6.28318530717958647693
#define TURNS_MOST 10.0

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

static int check(const void *out, const struct fw_turn *turn, struct fw_error *err)
{
	if (!out || !turn)
		return fw_fail(err, FW_ERR_ARGUMENT, "turn: no joint, or no place for the result");
	if (!positive(turn->pitch))
		return fw_fail(err, FW_ERR_ARGUMENT, "turn: the pitch must be finite and above zero");
	if (!positive(turn->bolt) || !positive(turn->parts))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "turn: the stiffnesses of bolt and parts must be finite and above zero");
	if (!(isfinite(turn->snug) && turn->snug >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "turn: the preload when snug must be finite, 0 or more");
	return FW_OK;
}

/* Both in line: what a newton costs in length. */
static double compliance(const struct fw_turn *turn)
{
	return 1.0 / turn->bolt + 1.0 / turn->parts;
}

int fw_turn_angle(double *out, const struct fw_turn *turn, double preload, struct fw_error *err)
{
	int rc = check(out, turn, err);

	if (rc != FW_OK)
		return rc;
	if (!positive(preload) || preload < turn->snug)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "turn: the preload must be finite, above zero and not below that when snug");
	double angle = TURN / turn->pitch * (preload - turn->snug) * compliance(turn);
	if (!(angle <= TURNS_MOST * TURN))
		return fw_fail(err, FW_ERR_RANGE, "turn: more than %g turns; check the stiffnesses",
		               TURNS_MOST);
	*out = angle;
	return FW_OK;
}

int fw_turn_preload(double *out, const struct fw_turn *turn, double angle, struct fw_error *err)
{
	int rc = check(out, turn, err);

	if (rc != FW_OK)
		return rc;
	if (!(isfinite(angle) && angle >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT, "turn: the angle must be finite, 0 or more");
	if (angle > TURNS_MOST * TURN)
		return fw_fail(err, FW_ERR_RANGE, "turn: more than %g turns", TURNS_MOST);
	double preload = turn->snug + angle / TURN * turn->pitch / compliance(turn);
	if (!isfinite(preload))
		return fw_fail(err, FW_ERR_RANGE, "turn: the preload is beyond all measure");
	*out = preload;
	return FW_OK;
}
