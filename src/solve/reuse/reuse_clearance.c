/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/reuse/reuse_internal.h"

#define NANOMETRE 1e-9

/* Further from both limits than so many standard uncertainties the probability is above SURE (the
 * normal's two tails beyond 5 are 5.7e-7): no need to work it out. */
#define FAR_INSIDE 5.0
#define SURE       0.999999

double fw_reuse_clearance(const struct fw_reuse *reuse, const struct fw_place *place, double size)
{
	double was = place->own == FW_PLACE_BARE ? 0.0 : reuse->part[place->own].size;

	return fw_limits_snap(place->found + place->factor * (was - size), &place->limits);
}

double fw_reuse_u(const struct fw_reuse *reuse, const struct fw_place *place, double size_u)
{
	double was = place->own == FW_PLACE_BARE ? 0.0 : reuse->part[place->own].u;

	return hypot(place->u, place->factor * hypot(was, size_u));
}

int64_t fw_reuse_deviation(const struct fw_place *place, double clearance)
{
	return (int64_t)llround(fabs(clearance - fw_limits_aim(&place->limits)) / NANOMETRE);
}

bool fw_reuse_serves(const struct fw_place *place, double clearance, double u, double asked)
{
	double margin = fmin(clearance - place->limits.min, place->limits.max - clearance);
	double probability = 0.0;

	if (margin < 0.0) /* less than an even chance */
		return false;
	if (asked <= SURE && margin >= FAR_INSIDE * u)
		return true;
	return fw_conform_probability(&probability, clearance, u, INFINITY, &place->limits, NULL) ==
	           FW_OK &&
	       probability >= asked;
}
