/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/joint/common.h"

static void put_basic(struct fw_calc_out *out, const struct fw_thread *t)
{
	const char *unit = fw_joint_length_unit(t);
	char d[FW_FIGURE], p[FW_FIGURE], a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_in(t->diameter, unit, d);
	fw_calc_in(t->pitch, unit, p);
	fw_calc_line(out, "pitch diameter d2 = d - 0.649519·P = %s - 0.649519 · %s = %s", d, p,
	             fw_calc_in(t->pitch_dia, unit, a));
	fw_calc_line(out, "root of the bolt d3 = d - 1.226869·P = %s - 1.226869 · %s = %s", d, p,
	             fw_calc_in(t->minor_dia, unit, b));
	fw_calc_line(out, "bore of the nut D1 = d - 1.082532·P = %s - 1.082532 · %s = %s", d, p,
	             fw_calc_in(t->inner_dia, unit, c));
	if (t->inch)
		fw_calc_line(out, "stress area At = π/4·(d - 0.9743·P)² = %s",
		             fw_calc_in(t->stress_area, "mm²", a));
	else
		fw_calc_line(out, "stress area As = π/4·((d2 + d3)/2)² = π/4 · ((%s + %s)/2)² = %s", a, b,
		             fw_calc_in(t->stress_area, "mm²", c));

	const struct fw_unit *length = fw_calc_symbol(unit);
	fw_calc_put(out, "diameter", "nominal diameter", t->diameter, length);
	fw_calc_put(out, "pitch", "pitch", t->pitch, length);
	fw_calc_put_number(out, "threads-per-inch", "threads per inch", 0.0254 / t->pitch);
	fw_calc_put(out, "pitch-dia", "pitch diameter d2", t->pitch_dia, length);
	fw_calc_put(out, "root-dia", "root of the bolt d3", t->minor_dia, length);
	fw_calc_put(out, "bore", "bore of the nut D1, near the drill for the tap", t->inner_dia,
	            length);
	fw_calc_put(out, "stress-area", "stress area", t->stress_area, fw_calc_symbol("mm²"));
	fw_calc_put_text(out, "hand", "tightens",
	                 t->left_hand ? "anticlockwise (left-hand thread)" : "clockwise");
}

static void put_limit(struct fw_calc_out *out, const char *what, double min, double max,
                      const struct fw_unit *unit)
{
	fw_calc_row(out, "limits", "Limits of size");
	fw_calc_put_text(out, "what", "what", what);
	fw_calc_put(out, "min", "least", min, unit);
	fw_calc_put(out, "max", "greatest", max, unit);
	fw_calc_row_end(out);
}

/* A thread that the standard has no limits for is still a thread. */
static void put_limits(struct fw_calc_out *out, const struct fw_thread *t)
{
	const struct fw_unit *unit = fw_calc_symbol(fw_joint_length_unit(t));
	struct fw_error error = {0};
	struct fw_thread_limits l;

	if (fw_thread_limits(&l, t, &error) != FW_OK) {
		fw_calc_line(out, "limits of size: none; %s", error.text);
		return;
	}
	fw_calc_line(out, "limits of size: tolerance classes %s", l.classes);
	put_limit(out, "bolt, outer diameter", l.bolt_outer_min, l.bolt_outer_max, unit);
	put_limit(out, "bolt, pitch diameter", l.bolt_pitch_min, l.bolt_pitch_max, unit);
	put_limit(out, "nut, pitch diameter", l.nut_pitch_min, l.nut_pitch_max, unit);
	put_limit(out, "nut, bore", l.nut_inner_min, l.nut_inner_max, unit);
}

static void put_load(struct fw_calc_out *out, const struct fw_thread *t, const char *name,
                     const char *label, const char *symbol, double stress)
{
	const char *force = fw_joint_force_unit(t), *pressure = t->inch ? "ksi" : "MPa";
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(out, "%s = %s·As = %s · %s = %s", label, symbol, fw_calc_in(stress, pressure, a),
	             fw_calc_in(t->stress_area, "mm²", b),
	             fw_calc_in(stress * t->stress_area, force, c));
	fw_calc_put(out, name, label, stress * t->stress_area, fw_calc_symbol(force));
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_thread t;
	struct fw_strength s;
	int rc = fw_joint_read_thread(&t, in, err);

	if (rc == FW_OK)
		rc = fw_joint_read_strength(&s, in, &t, err);
	if (rc != FW_OK)
		return rc;
	put_basic(out, &t);
	if (s.proof > 0.0) {
		put_load(out, &t, "proof-load", "proof load", "Sp", s.proof);
		put_load(out, &t, "yield-load", "load at yield", "Re", s.yield);
		put_load(out, &t, "tensile-load", "load that breaks it, at least", "Rm", s.tensile);
	}
	put_limits(out, &t);
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {{"thread", FW_CALC_TEXT, NULL, FW_CALC_ANY, true,
                                               NULL, NULL, NULL,
                                               "the thread, such as M8, M10x1.25 or 3/8-16 UNC"},
                                              {"class", FW_CALC_TEXT, NULL, FW_CALC_ANY, false,
                                               NULL, NULL, NULL, "property class: 8.8, SAE 5"},
                                              FW_INPUT_END};

const struct fw_calculator fw_calculator_thread = {
    .name = "thread",
    .summary = "dimensions, limits of size and strength of a thread",
    .about = "Metric threads, coarse when no pitch is given, and inch threads of 60°: basic\n"
             "dimensions, stress area, limits of the usual tolerance classes (6g/6H, 2A/2B),\n"
             "and with a property class the loads that belong to it.",
    .source = "ISO 68-1, ISO 724, ISO 965-1, ISO 898-1; ASME B1.1, SAE J429",
    .example = "--thread M10x1.25 --class 8.8",
    .inputs = inputs,
    .run = run};
