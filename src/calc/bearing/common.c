/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/bearing/common.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MOST_BALLS 1000000000

int fw_bearing_whole(unsigned *out, const struct fw_calc_values *in, const char *name,
                     unsigned most, struct fw_error *err)
{
	double value = round(fw_calc_value(in, name));

	/* neither NAN nor what a conversion can't hold gets past this */
	if (!(value >= 1.0 && value <= most))
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: must be 1 to %u", name, most);
	*out = (unsigned)value;
	return FW_OK;
}

int fw_bearing_take(struct fw_bearing *out, const struct fw_calc_values *in, struct fw_error *err)
{
	unsigned balls;
	double angle = fw_calc_value(in, "angle"), length = fw_calc_value(in, "length");

	int rc = fw_bearing_whole(&balls, in, "balls", MOST_BALLS, err);

	if (rc != FW_OK)
		return rc;
	*out = (struct fw_bearing){
	    .kind = isnan(length) ? FW_BALL_BEARING : FW_ROLLER_BEARING,
	    .elements = balls,
	    .rows = 1,
	    .element_dia = fw_calc_value(in, "dia"),
	    .pitch_dia = fw_calc_value(in, "pitch"),
	    .contact_angle = isnan(angle) ? 0.0 : angle,
	    .element_length = isnan(length) ? 0.0 : length,
	};
	return FW_OK;
}

double fw_bearing_hertz(double speed)
{
	return fabs(speed) / (2.0 * 3.14159265358979323846);
}

void fw_bearing_put_sounds(struct fw_calc_out *out, const struct fw_bearing_frequencies *f)
{
	fw_calc_put(out, "cage", "cage", f->cage, fw_calc_symbol("Hz"));
	fw_calc_put(out, "outer", "outer ring", f->outer, fw_calc_symbol("Hz"));
	fw_calc_put(out, "inner", "inner ring", f->inner, fw_calc_symbol("Hz"));
	fw_calc_put(out, "spin", "ball spin", f->spin, fw_calc_symbol("Hz"));
	fw_calc_put(out, "ball", "ball defect", 2.0 * f->spin, fw_calc_symbol("Hz"));
}
