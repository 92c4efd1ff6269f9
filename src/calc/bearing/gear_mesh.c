/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/bearing/common.h"
#include "fitwright/gears.h"

#define SIDEBANDS 3

static void show(struct fw_calc_out *out, const struct fw_mesh *m, unsigned za, unsigned zb)
{
	fw_calc_line(out, "first gear turns at %.6g/60 = %.6g Hz, second at %.6g·%u/%u = %.6g Hz",
	             60.0 * m->turn_a, m->turn_a, m->turn_a, za, zb, m->turn_b);
	fw_calc_line(out, "mesh = %u·%.6g = %.6g Hz", za, m->turn_a, m->mesh);
	fw_calc_line(out, "greatest common divisor of %u and %u = %u", za, zb, m->common);
	fw_calc_line(out, "the same teeth meet at mesh·%u/(%u·%u) = %.6g Hz", m->common, za, zb,
	             m->hunting);
}

/* Left out where there is none. */
static double below(const struct fw_mesh *m, double distance)
{
	return distance < m->mesh ? m->mesh - distance : NAN;
}

static void put_sidebands(struct fw_calc_out *out, const struct fw_mesh *m)
{
	for (int k = 1; k <= SIDEBANDS; k++) {
		fw_calc_row(out, "sidebands", "Sidebands of the mesh");
		fw_calc_put_number(out, "order", "order", k);
		fw_calc_put(out, "first-below", "first, below", below(m, k * m->turn_a),
		            fw_calc_symbol("Hz"));
		fw_calc_put(out, "first-above", "first, above", m->mesh + k * m->turn_a,
		            fw_calc_symbol("Hz"));
		fw_calc_put(out, "second-below", "second, below", below(m, k * m->turn_b),
		            fw_calc_symbol("Hz"));
		fw_calc_put(out, "second-above", "second, above", m->mesh + k * m->turn_b,
		            fw_calc_symbol("Hz"));
		fw_calc_row_end(out);
	}
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	unsigned a, b;
	struct fw_mesh m;
	int rc;

	if ((rc = fw_bearing_whole(&a, in, "teeth", FW_TEETH_MOST, err)) != FW_OK ||
	    (rc = fw_bearing_whole(&b, in, "mate", FW_TEETH_MOST, err)) != FW_OK ||
	    (rc = fw_gear_mesh(&m, a, b, fw_calc_value(in, "speed"), err)) != FW_OK)
		return rc;
	show(out, &m, a, b);
	fw_calc_put(out, "mesh", "mesh", m.mesh, fw_calc_symbol("Hz"));
	fw_calc_put(out, "turn", "first gear", m.turn_a, fw_calc_symbol("Hz"));
	fw_calc_put(out, "mate-turn", "second gear", m.turn_b, fw_calc_symbol("Hz"));
	fw_calc_put(out, "phase", "assembly phase", m.phase, fw_calc_symbol("Hz"));
	fw_calc_put(out, "hunting", "same teeth meet", m.hunting, fw_calc_symbol("Hz"));
	fw_calc_put_flag(out, "hunts", "every tooth meets every other", m.common == 1);
	put_sidebands(out, &m);
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {{.name = "teeth",
                                               .kind = FW_CALC_WHOLE,
                                               .sign = FW_CALC_POSITIVE,
                                               .required = true,
                                               .doc = "of the first gear"},
                                              {.name = "mate",
                                               .kind = FW_CALC_WHOLE,
                                               .sign = FW_CALC_POSITIVE,
                                               .required = true,
                                               .doc = "of the second gear"},
                                              {.name = "speed",
                                               .kind = FW_CALC_QUANTITY,
                                               .unit = "rpm",
                                               .required = true,
                                               .doc = "of the first gear"},
                                              FW_INPUT_END};

const struct fw_calculator fw_calculator_gear_mesh = {
    .name = "gear-mesh",
    .summary = "frequencies of a gear pair: mesh, sidebands, hunting tooth",
    .about = "A whine at the mesh frequency comes from the teeth of that pair; sidebands show\n"
             "which of the two is at fault, by their spacing. Where the teeth have a common\n"
             "divisor, each meets only some of the other's, and they wear in patterns.",
    .source = "kinematics; sidebands: common practice, no source",
    .example = "--teeth 21 --mate 38 --speed 3800",
    .inputs = inputs,
    .run = run};
