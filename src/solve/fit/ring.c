/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdbool.h>

#include "fitwright/bore.h"

#define PI         3.14159265358979323846
#define SHARE_MOST 0.02

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

int fw_ring_rule(double *out, double bore, double share, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "ring gap: no place for the result");
	if (!positive(bore))
		return fw_fail(err, FW_ERR_ARGUMENT, "ring gap: the bore must be finite and above zero");
	if (!positive(share))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "ring gap: the share of the bore must be finite and above zero");
	if (share > SHARE_MOST)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "ring gap: more than 0.02 of the bore is no ring gap; 0.0035 in for each inch "
		    "is 0.0035");
	*out = bore * share;
	return FW_OK;
}

int fw_ring_gap_in(double *out, double gap, double bore, double other, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "ring gap: no place for the result");
	if (!(isfinite(gap) && gap >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT, "ring gap: the gap must be finite and not negative");
	if (!positive(bore))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "ring gap: the bore it was measured in must be finite and above zero");
	if (!positive(other))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "ring gap: the other bore must be finite and above zero");
	if (gap > 0.2 * bore)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "ring gap: the gap is more than a fifth of the bore; is it in the right unit?");
	if (!(fabs(other - bore) <= 0.05 * bore))
		return fw_fail(err, FW_ERR_RANGE,
		               "ring gap: the bores differ by more than a twentieth; the ring would not be "
		               "round");
	*out = gap + PI * (other - bore);
	return FW_OK;
}

int fw_ring_side(double *out, double groove, double width, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "ring: no place for the result");
	if (!positive(groove))
		return fw_fail(err, FW_ERR_ARGUMENT, "ring: the groove must be finite and above zero");
	if (!positive(width))
		return fw_fail(err, FW_ERR_ARGUMENT, "ring: the width must be finite and above zero");
	if (!(fabs(groove - width) <= 0.5 * groove))
		return fw_fail(err, FW_ERR_RANGE,
		               "ring: groove and ring differ by more than half the groove; do they belong "
		               "together?");
	*out = groove - width;
	return FW_OK;
}
