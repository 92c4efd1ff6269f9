/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/bearing/common.h"

static void show(struct fw_calc_out *out, const struct fw_bearing *b,
                 const struct fw_bearing_frequencies *f, double inner, double outer)
{
	double gamma = b->element_dia * cos(b->contact_angle) / b->pitch_dia;

	fw_calc_line(out, "Δn = |%.6g - %.6g|/60 = %.6g Hz",
	             inner < 0.0 ? -60.0 * fw_bearing_hertz(inner) : 60.0 * fw_bearing_hertz(inner),
	             outer < 0.0 ? -60.0 * fw_bearing_hertz(outer) : 60.0 * fw_bearing_hertz(outer),
	             f->relative);
	fw_calc_line(out, "g = Dw·cos α/Dpw = %.6g·%.6g/%.6g = %.5g", b->element_dia * 1e3,
	             cos(b->contact_angle), b->pitch_dia * 1e3, gamma);
	fw_calc_line(out, "cage against the outer ring = (1 - g)/2·Δn = %.5g/2·%.6g = %.6g Hz",
	             1.0 - gamma, f->relative, f->cage);
	fw_calc_line(out, "outer ring = Z·cage = %u·%.6g = %.6g Hz", b->elements, f->cage, f->outer);
	fw_calc_line(out, "inner ring = Z·(1 + g)/2·Δn = %u·%.5g/2·%.6g = %.6g Hz", b->elements,
	             1.0 + gamma, f->relative, f->inner);
	fw_calc_line(out, "spin = Dpw/(2·Dw)·(1 - g²)·Δn = %.6g/%.6g·%.5g·%.6g = %.6g Hz",
	             b->pitch_dia * 1e3, 2e3 * b->element_dia, 1.0 - gamma * gamma, f->relative,
	             f->spin);
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	double inner = fw_calc_value(in, "speed"), outer = fw_calc_value(in, "outer-speed");
	struct fw_bearing bearing;
	struct fw_bearing_frequencies f;
	int rc = fw_bearing_take(&bearing, in, err);

	if (rc == FW_OK)
		rc = fw_bearing_sounds(&f, &bearing, inner, outer, err);
	if (rc != FW_OK)
		return rc;
	show(out, &bearing, &f, inner, outer);
	fw_calc_put(out, "turn", "ring against ring", f.relative, fw_calc_symbol("Hz"));
	fw_bearing_put_sounds(out, &f);
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {FW_GEOMETRY_INPUTS(true),
                                              {.name = "speed",
                                               .kind = FW_CALC_QUANTITY,
                                               .unit = "rpm",
                                               .required = true,
                                               .doc = "of the inner ring"},
                                              {.name = "outer-speed",
                                               .kind = FW_CALC_QUANTITY,
                                               .unit = "rpm",
                                               .fallback = "0 rpm",
                                               .doc = "of the outer ring; below 0: the other way"},
                                              FW_INPUT_END};

const struct fw_calculator fw_calculator_frequencies = {
    .name = "frequencies",
    .summary = "frequencies at which a damaged rolling bearing is heard",
    .about = "How often a damaged spot on the outer ring, the inner ring or a ball is struck,\n"
             "and how fast cage and balls turn. Both rings may turn. A ball's defect strikes\n"
             "twice a turn, once on either ring. Rolling without slip: what is heard lies a\n"
             "percent or two lower.",
    .source = "kinematics of rolling; checked against multiples published with open vibration "
              "data",
    .example = "--balls 9 --dia 7.9375 --pitch 38.5 --speed 1740",
    .inputs = inputs,
    .run = run};
