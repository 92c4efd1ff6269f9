/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/clearance/common.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *fw_clearance_celsius(double kelvin, char buffer[FW_FIGURE])
{
	snprintf(buffer, FW_FIGURE, "%.6g °C", kelvin - 273.15);
	return buffer;
}

int fw_clearance_limits(struct fw_limits *out, bool *given, const struct fw_calc_values *in,
                        struct fw_error *err)
{
	*given = fw_calc_take_limits(out, in);
	return *given ? fw_limits_check(out, err) : FW_OK;
}

int fw_clearance_factor(double *out, const struct fw_calc_values *link, struct fw_error *err)
{
	*out = fw_calc_value(link, "factor");
	if (fabs(*out) <= FW_FACTOR_MOST)
		return FW_OK;
	return fw_fail(err, FW_ERR_RANGE, "link '%s': a factor of %g is beyond %g",
	               fw_calc_text(link, "name"), *out, FW_FACTOR_MOST);
}

int fw_clearance_alpha(double *alpha, double *u, const struct fw_calc_values *in,
                       const char *expansion, const char *material, double cold, double hot,
                       struct fw_error *err)
{
	const struct fw_material *found = NULL;

	if (fw_calc_given(in, expansion)) {
		*alpha = fw_calc_value(in, expansion) * 1e-6;
		*u = 0.0;
		return FW_OK;
	}
	int rc = fw_material_find(&found, fw_calc_text(in, material), err);
	return rc == FW_OK ? fw_material_alpha(alpha, u, found, cold, hot, err) : rc;
}

double fw_clearance_doubt_line(struct fw_calc_out *out, double materials, double inputs,
                               const struct fw_unit *unit)
{
	const struct fw_unit *fine = fw_calc_fine(unit);
	double u = hypot(materials, inputs);
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(
	    out,
	    "its standard uncertainty, of materials and of what is given ± = √((%s)² + (%s)²) = %s",
	    fw_calc_figure(materials, fine, a, sizeof a), fw_calc_figure(inputs, fine, b, sizeof b),
	    fw_calc_figure(u, fine, c, sizeof c));
	return u;
}
