/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/joint.h"

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

static int check(const void *out, double factor, double diameter, double given, const char *what,
                 struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "nut factor: no place for the result");
	if (!(factor > 0.0 && factor <= 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT, "nut factor: K must be above 0 and at most 1");
	if (!positive(diameter))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "nut factor: the diameter must be finite and above zero");
	if (!positive(given))
		return fw_fail(err, FW_ERR_ARGUMENT, "nut factor: the %s must be finite and above zero",
		               what);
	return FW_OK;
}

static int give(double *out, double result, struct fw_error *err)
{
	if (!positive(result))
		return fw_fail(err, FW_ERR_RANGE, "nut factor: the result is beyond all measure");
	*out = result;
	return FW_OK;
}

int fw_nut_factor_preload(double *out, double factor, double diameter, double torque,
                          struct fw_error *err)
{
	int rc = check(out, factor, diameter, torque, "torque", err);

	return rc == FW_OK ? give(out, torque / (factor * diameter), err) : rc;
}

int fw_nut_factor_torque(double *out, double factor, double diameter, double preload,
                         struct fw_error *err)
{
	int rc = check(out, factor, diameter, preload, "preload", err);

	return rc == FW_OK ? give(out, factor * diameter * preload, err) : rc;
}

int fw_bearing_diameter(double *mean, double *even, double outer, double hole, struct fw_error *err)
{
	if (!(hole > 0.0 && hole < outer && isfinite(outer)))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "bearing under the head: the hole must be above zero and less than the outer "
		    "diameter");
	/* (do³ - di³)/(do² - di²) without the difference that cancels. */
	double ratio = hole / outer;
	if (mean)
		*mean = (outer + hole) / 2.0;
	if (even)
		*even = 2.0 / 3.0 * outer * (1.0 + ratio + ratio * ratio) / (1.0 + ratio);
	return FW_OK;
}
