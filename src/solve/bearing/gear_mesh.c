/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/gears.h"

#define TURN (2.0 * 3.14159265358979323846)

static unsigned common_divisor(unsigned a, unsigned b)
{
	while (b != 0) {
		unsigned rest = a % b;
		a = b;
		b = rest;
	}
	return a;
}

int fw_gear_mesh(struct fw_mesh *out, unsigned za, unsigned zb, double speed, struct fw_error *err)
{
	if (za == 0 || zb == 0 || za > FW_TEETH_MOST || zb > FW_TEETH_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear pair: teeth must be 1 to %d, not %u and %u",
		               FW_TEETH_MOST, za, zb);
	if (!isfinite(speed) || !isfinite(speed * FW_TEETH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT, "gear pair: the speed must be finite");
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear pair: nowhere to put the frequencies");
	out->turn_a = fabs(speed) / TURN;
	out->mesh = za * out->turn_a;
	out->turn_b = out->mesh / zb;
	out->common = common_divisor(za, zb);
	out->phase = out->mesh / out->common;
	out->hunting = out->mesh * out->common / ((double)za * zb);
	return FW_OK;
}
