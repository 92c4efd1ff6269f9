/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/clearance/kelvin.h"

#include <math.h>

#include "fitwright/thermal.h"

/* A hair of rounding: 300 °C may come as 573.15 or as 572 °F worked out. */
#define HAIR 1e-6

int fw_kelvin_check(double kelvin, const char *what, struct fw_error *err)
{
	if (!isfinite(kelvin))
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is not a finite number", what);
	if (kelvin < FW_THERMAL_COLDEST - HAIR || kelvin > FW_THERMAL_HOTTEST + HAIR)
		return fw_fail(err, FW_ERR_RANGE,
		               "%s is outside -60 °C to 300 °C, where mean coefficients hold", what);
	return FW_OK;
}

int fw_alpha_check(double alpha, double u, const char *what, struct fw_error *err)
{
	if (!isfinite(alpha))
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is not a finite number", what);
	if (alpha < FW_ALPHA_LEAST || alpha > FW_ALPHA_MOST)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "%s is no solid's: expected 0.1 to 300 millionths per kelvin; check the unit", what);
	if (!isfinite(u) || u < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s: its standard uncertainty must be finite and not negative", what);
	return FW_OK;
}
