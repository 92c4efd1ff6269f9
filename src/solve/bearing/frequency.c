/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/check.h"

#define TURN (2.0 * 3.14159265358979323846)

int fw_bearing_sounds(struct fw_bearing_frequencies *out, const struct fw_bearing *bearing,
                      double inner, double outer, struct fw_error *err)
{
	int rc = fw_bearing_check(bearing, err);

	if (rc != FW_OK)
		return rc;
	if (!isfinite(inner) || !isfinite(outer) || !isfinite(inner - outer))
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: the speed of the %s ring must be finite",
		               isfinite(inner) ? "outer" : "inner");
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: nowhere to put the frequencies");

	double gamma = fw_bearing_gamma(bearing);
	double relative = fabs(inner - outer) / TURN;
	double cage = 0.5 * (1.0 - gamma) * relative;
	struct fw_bearing_frequencies f = {
	    .relative = relative,
	    .cage = cage,
	    .outer = bearing->elements * cage,
	    .inner = 0.5 * bearing->elements * (1.0 + gamma) * relative,
	    .spin =
	        bearing->pitch_dia / (2.0 * bearing->element_dia) * (1.0 - gamma * gamma) * relative,
	};
	/* its defect strikes at twice the spin */
	if (!isfinite(f.outer) || !isfinite(f.inner) || !isfinite(2.0 * f.spin))
		return fw_fail(err, FW_ERR_RANGE, "bearing: a frequency is no finite number");
	*out = f;
	return FW_OK;
}
