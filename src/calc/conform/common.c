/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/conform/common.h"

#include <math.h>
#include <string.h>

#define LEAST 1e-30
#define MOST  1e9

int fw_calc_usable(const struct fw_calc_values *in, const char *const *names, struct fw_error *err)
{
	for (; *names; names++)
		for (size_t i = 0; i < fw_calc_count(in, *names); i++) {
			double size = fabs(fw_calc_item(in, *names, i));
			if (size != 0.0 && !(size >= LEAST && size <= MOST))
				return fw_fail(err, FW_ERR_RANGE, "%s is too %s to be worked with", *names,
				               size < LEAST ? "small" : "large");
		}
	return FW_OK;
}

static bool is_uncertain(const struct fw_calc_values *in, const char *name)
{
	const struct fw_quantity *q = fw_calc_quantity(in, name);
	return q && q->count > 0;
}

int fw_calc_limits(struct fw_limits *out, const struct fw_calc_values *in, struct fw_error *err)
{
	if (!fw_calc_take_limits(out, in))
		return fw_fail(err, FW_ERR_ARGUMENT, "min and max are both missing: give at least one");
	if (is_uncertain(in, "min") || is_uncertain(in, "max"))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s is uncertain: limits are exact, only the value has a ±",
		               is_uncertain(in, "min") ? "min" : "max");
	return fw_limits_check(out, err);
}

void fw_calc_put_limits(struct fw_calc_out *out, const struct fw_limits *limits,
                        const struct fw_unit *unit)
{
	if (isfinite(limits->min))
		fw_calc_put(out, "accept-min", "accept from", limits->min, unit);
	if (isfinite(limits->max))
		fw_calc_put(out, "accept-max", "accept up to", limits->max, unit);
}
