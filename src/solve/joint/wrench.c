/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/wrench.h"

#include <math.h>
#include <stdbool.h>

#define PI          3.14159265358979323846
#define LEVER_LEAST 0.1

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

int fw_adapter_factor(double *out, const struct fw_adapter *adapter, struct fw_error *err)
{
	if (!out || !adapter)
		return fw_fail(err, FW_ERR_ARGUMENT, "adapter: none given, or no place for the result");
	if (!positive(adapter->length))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "adapter: the length of the wrench must be finite and above zero");
	if (!(isfinite(adapter->extension) && adapter->extension >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "adapter: its length must be finite, 0 or more; one that points back has an "
		               "angle above 90°");
	if (!(fabs(adapter->angle) <= PI + 1e-9))
		return fw_fail(err, FW_ERR_ARGUMENT, "adapter: its angle must be from -180° to 180°");

	double lever = 1.0 + adapter->extension / adapter->length * cos(adapter->angle);
	if (!(lever >= LEVER_LEAST) || !isfinite(lever))
		return fw_fail(err, FW_ERR_RANGE,
		               "adapter: it points back so far that next to nothing is left of the lever; "
		               "turn it to 90°, where the setting stays as it is");
	*out = 1.0 / lever;
	return FW_OK;
}

static int apply(double *out, const struct fw_adapter *adapter, double torque, bool divide,
                 const char *what, struct fw_error *err)
{
	double factor = 1.0;

	if (!positive(torque))
		return fw_fail(err, FW_ERR_ARGUMENT, "adapter: the %s must be finite and above zero", what);
	int rc = fw_adapter_factor(&factor, adapter, err);
	if (rc != FW_OK)
		return rc;
	double result = divide ? torque / factor : torque * factor;
	if (!positive(result))
		return fw_fail(err, FW_ERR_RANGE, "adapter: the result is beyond all measure");
	*out = result;
	return FW_OK;
}

int fw_adapter_setting(double *out, const struct fw_adapter *adapter, double torque,
                       struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "adapter: no place for the setting");
	return apply(out, adapter, torque, false, "torque", err);
}

int fw_adapter_torque(double *out, const struct fw_adapter *adapter, double setting,
                      struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "adapter: no place for the torque");
	return apply(out, adapter, setting, true, "setting", err);
}

int fw_wrench_range(double *low, double *high, double setting, double relative, double fixed,
                    struct fw_error *err)
{
	if (!low || !high)
		return fw_fail(err, FW_ERR_ARGUMENT, "wrench: no place for the range");
	if (!positive(setting))
		return fw_fail(err, FW_ERR_ARGUMENT, "wrench: the setting must be finite and above zero");
	if (!(relative >= 0.0 && relative < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "wrench: its relative error must be a share from 0 to below 1");
	if (!(isfinite(fixed) && fixed >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT, "wrench: its fixed error must be finite, 0 or more");

	double most = setting * (1.0 + relative) + fixed;
	if (!isfinite(most))
		return fw_fail(err, FW_ERR_RANGE, "wrench: the range is beyond all measure");
	*low = fmax(setting * (1.0 - relative) - fixed, 0.0);
	*high = most;
	return FW_OK;
}
