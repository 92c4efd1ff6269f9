/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/conform.h"

int fw_limits_check(const struct fw_limits *limits, struct fw_error *err)
{
	if (!limits)
		return fw_fail(err, FW_ERR_ARGUMENT, "limits: none given");
	if (isnan(limits->min))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "limits: min is not a number; an open side is minus infinity");
	if (isnan(limits->max))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "limits: max is not a number; an open side is infinity");
	if (isinf(limits->min) && isinf(limits->max))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "limits: both sides are open, so they judge nothing; give min, max or both");
	if (!(limits->min < limits->max))
		return fw_fail(err, FW_ERR_ARGUMENT, "limits: min is not below max; are they swapped?");
	if (isnan(limits->aim))
		return FW_OK;
	if (isinf(limits->aim))
		return fw_fail(err, FW_ERR_ARGUMENT, "limits: aim is infinite");
	if (limits->aim < limits->min)
		return fw_fail(err, FW_ERR_ARGUMENT, "limits: aim is below min");
	if (limits->aim > limits->max)
		return fw_fail(err, FW_ERR_ARGUMENT, "limits: aim is above max");
	return FW_OK;
}

double fw_limits_aim(const struct fw_limits *limits)
{
	if (!isnan(limits->aim))
		return limits->aim;
	if (isinf(limits->min))
		return limits->max;
	if (isinf(limits->max))
		return limits->min;
	return limits->min + (limits->max - limits->min) / 2.0;
}

double fw_limits_snap(double length, const struct fw_limits *limits)
{
	if (fabs(length - limits->min) <= FW_ON_LIMIT)
		return limits->min;
	return fabs(length - limits->max) <= FW_ON_LIMIT ? limits->max : length;
}
