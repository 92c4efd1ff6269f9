/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/check.h"

#define TURN (2.0 * 3.14159265358979323846)

/* Three-parameter Weibull distribution with slope 1.5 and a least life of 5 % (ISO/TR 1281-2, from
 * memory); ISO 281:2007, table 12, is this rounded, from 0.64 at 95 % to 0.077 at 99.95 %. */
static double reliability_factor(double reliability)
{
	if (reliability <= 0.90)
		return 1.0;
	return 0.05 + 0.95 * pow(log(1.0 / reliability) / log(1.0 / 0.9), 2.0 / 3.0);
}

int fw_bearing_lasts(struct fw_bearing_life *out, enum fw_bearing_kind kind, double dynamic,
                     double load, double speed, double reliability, struct fw_error *err)
{
	struct fw_bearing_life l;

	if (kind != FW_BALL_BEARING && kind != FW_ROLLER_BEARING)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing life: neither a ball nor a roller bearing");
	if (!fw_positive(dynamic))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing life: the dynamic load rating must be finite and above zero");
	if (!fw_positive(load))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing life: the equivalent load must be finite and above zero");
	if (!isfinite(speed))
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing life: the speed must be finite");
	if (!(reliability >= 0.90 && reliability <= 0.9995))
		return fw_fail(err, FW_ERR_RANGE,
		               "bearing life: reliability %.6g is outside the table of ISO 281, 90 %% to "
		               "99.95 %%",
		               reliability);
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing life: nowhere to put it");
	l.exponent = kind == FW_BALL_BEARING ? 3.0 : 10.0 / 3.0;
	l.a1 = reliability_factor(reliability);
	l.revolutions = l.a1 * 1e6 * pow(dynamic / load, l.exponent);
	l.seconds = speed == 0.0 ? NAN : l.revolutions * TURN / fabs(speed);
	l.heavy = load > dynamic / 2.0;
	if (!fw_positive(l.revolutions) || isinf(l.seconds))
		return fw_fail(err, FW_ERR_RANGE, "bearing life: it is no finite number");
	*out = l;
	return FW_OK;
}
