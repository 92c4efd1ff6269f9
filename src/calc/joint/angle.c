/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/joint/common.h"
#include "fitwright/turn.h"

static const char stiffness_unit[] = "N/mm";

static int bolt_stiffness(double *out, struct fw_calc_out *put, const struct fw_calc_values *in,
                          const struct fw_thread *t, struct fw_error *err)
{
	const char *unit = fw_joint_length_unit(t);
	double shank = fw_calc_value(in, "shank"), threaded = fw_calc_value(in, "threaded");
	struct fw_bolt_spring bolt = {.thread = *t,
	                              .shank = isnan(shank) ? 0.0 : shank,
	                              .threaded = isnan(threaded) ? 0.0 : threaded,
	                              .modulus = fw_calc_value(in, "modulus"),
	                              .ends = fw_calc_flag(in, "ends")};
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE], f[FW_FIGURE];

	if (fw_calc_given(in, "bolt-stiffness")) {
		*out = fw_calc_value(in, "bolt-stiffness");
		return FW_OK;
	}
	int rc = fw_bolt_stiffness(out, &bolt, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_line(put, "bolt: 1/k = (ls/Ad + lt/As%s)/E = (%s/%s + %s/%s%s)/%s",
	             bolt.ends ? " + head, engaged thread, nut" : "", fw_calc_in(bolt.shank, unit, a),
	             fw_calc_in(0.78539816339744831 * t->diameter * t->diameter, "mm²", b),
	             fw_calc_in(bolt.threaded, unit, c), fw_calc_in(t->stress_area, "mm²", d),
	             bolt.ends ? " + 0.9·d/Ad + 0.5·d/A3" : "", fw_calc_in(bolt.modulus, "MPa", e));
	fw_calc_line(put, "k of the bolt = %s", fw_calc_in(*out, stiffness_unit, f));
	return FW_OK;
}

static int read_layers(struct fw_layer *layer, size_t *count, const struct fw_calc_values *in,
                       struct fw_error *err)
{
	*count = fw_calc_count(in, "layers");
	if (*count > FW_LAYERS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "layers: %zu, at most %d", *count, FW_LAYERS_MOST);
	for (size_t i = 0; i < *count; i++) {
		const struct fw_calc_values *record = fw_calc_record(in, "layers", i);
		layer[i] =
		    (struct fw_layer){fw_calc_value(record, "length"), fw_calc_value(record, "modulus")};
	}
	return FW_OK;
}

/* Sleeves one behind the other, when an outside diameter is given; else plates. */
static int sleeves(double *out, const struct fw_layer *layer, size_t count, double outer,
                   double hole, struct fw_error *err)
{
	double sum = 0.0;

	for (size_t i = 0; i < count; i++) {
		double k = 0.0;
		int rc = fw_sleeve_stiffness(&k, outer, hole, layer[i].length, layer[i].modulus, err);
		if (rc != FW_OK)
			return rc;
		sum += 1.0 / k;
	}
	*out = 1.0 / sum;
	return FW_OK;
}

static int parts_stiffness(double *out, struct fw_calc_out *put, const struct fw_calc_values *in,
                           const struct fw_thread *t, struct fw_error *err)
{
	struct fw_layer layer[FW_LAYERS_MOST] = {{0.0, 0.0}};
	size_t count = 0;
	double hole = fw_calc_given(in, "hole") ? fw_calc_value(in, "hole") : t->diameter;
	double face = fw_calc_given(in, "face") ? fw_calc_value(in, "face") : 1.5 * t->diameter;
	bool sleeve = fw_calc_given(in, "outer");
	char a[FW_FIGURE];

	if (fw_calc_given(in, "parts-stiffness")) {
		*out = fw_calc_value(in, "parts-stiffness");
		return FW_OK;
	}
	int rc = read_layers(layer, &count, in, err);
	if (rc == FW_OK && count == 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "layers is missing: what is clamped, \"length, modulus=...\" each, or "
		               "parts-stiffness");
	if (rc == FW_OK)
		rc = sleeve ? sleeves(out, layer, count, fw_calc_value(in, "outer"), hole, err)
		            : fw_plates_stiffness(out, layer, count, face, hole, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_line(put, "k of the parts, %s = %s",
	             sleeve ? "a sleeve: π/4·(do² - di²)·E/l each, 1/k adding up"
	                    : "cones of 30° from both faces",
	             fw_calc_in(*out, stiffness_unit, a));
	return FW_OK;
}

static void put_stretch(struct fw_calc_out *out, const struct fw_thread *t,
                        const struct fw_turn *turn, double preload)
{
	const struct fw_unit *unit = fw_calc_symbol(fw_joint_length_unit(t));
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(out, "stretch of the bolt = F/k = %s / %s = %s",
	             fw_calc_in(preload, fw_joint_force_unit(t), a),
	             fw_calc_in(turn->bolt, stiffness_unit, b),
	             fw_calc_figure(preload / turn->bolt, unit, c, sizeof c));
	fw_calc_put(out, "stretch", "stretch of the bolt", preload / turn->bolt, unit);
	fw_calc_put(out, "squeeze", "squeeze of the parts", preload / turn->parts, unit);
}

static void judge(struct fw_calc_out *out, const struct fw_thread *t, const struct fw_strength *s,
                  double preload)
{
	const char *force = fw_joint_force_unit(t);
	double proof = s->proof * t->stress_area, yield = s->yield * t->stress_area;
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	if (!(proof > 0.0))
		return;
	fw_calc_line(out, "share of proof load = %s / %s = %s", fw_calc_in(preload, force, a),
	             fw_calc_in(proof, force, b), fw_calc_plain(preload / proof, c));
	fw_calc_put_number(out, "share", "share of the proof load", preload / proof);
	if (preload > yield)
		fw_calc_warn(out,
		             "the bolt yields: beyond that the angle sets the stretch, not the preload, "
		             "and a bolt tightened so is used once");
	else if (preload > proof)
		fw_calc_warn(out, "the proof load is passed");
}

static int work(struct fw_calc_out *out, const struct fw_calc_values *in, const struct fw_thread *t,
                const struct fw_turn *turn, double *preload, struct fw_error *err)
{
	const char *force = fw_joint_force_unit(t), *unit = fw_joint_length_unit(t);
	bool to_preload = fw_calc_given(in, "angle");
	double angle = fw_calc_value(in, "angle");
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE], f[FW_FIGURE];

	*preload = fw_calc_value(in, "preload");
	int rc = to_preload ? fw_turn_preload(preload, turn, angle, err)
	                    : fw_turn_angle(&angle, turn, *preload, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_in(angle, "°", a);
	fw_calc_in(turn->pitch, unit, b);
	fw_calc_in(turn->bolt, stiffness_unit, c);
	fw_calc_in(turn->parts, stiffness_unit, d);
	fw_calc_in(turn->snug, force, e);
	fw_calc_in(*preload, force, f);
	if (to_preload)
		fw_calc_line(out,
		             "F = F0 + angle/360°·P/(1/kb + 1/kp) = %s + %s/360° · %s/(1/%s + 1/%s) = %s",
		             e, a, b, c, d, f);
	else
		fw_calc_line(
		    out, "angle = 360°/P·(F - F0)·(1/kb + 1/kp) = 360°/%s · (%s - %s) · (1/%s + 1/%s) = %s",
		    b, f, e, c, d, a);
	fw_calc_put(out, "angle", "angle past snug", angle, fw_calc_symbol("°"));
	fw_calc_put(out, "preload", "preload", *preload, fw_calc_symbol(force));
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_thread t;
	struct fw_strength strength;
	struct fw_turn turn = {.snug = fw_calc_value(in, "snug")};
	double preload = 0.0;

	if (fw_calc_given(in, "angle") == fw_calc_given(in, "preload"))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "angle %s: give angle, for the preload, or preload, for the angle",
		               fw_calc_given(in, "angle") ? "and preload" : "is missing");
	int rc = fw_joint_read_thread(&t, in, err);
	if (rc == FW_OK)
		rc = fw_joint_read_strength(&strength, in, &t, err);
	if (rc == FW_OK)
		rc = bolt_stiffness(&turn.bolt, out, in, &t, err);
	if (rc == FW_OK)
		rc = parts_stiffness(&turn.parts, out, in, &t, err);
	turn.pitch = t.pitch;
	if (rc == FW_OK)
		rc = work(out, in, &t, &turn, &preload, err);
	if (rc != FW_OK)
		return rc;
	put_stretch(out, &t, &turn, preload);
	fw_calc_put(out, "bolt-stiffness", "stiffness of the bolt", turn.bolt,
	            fw_calc_symbol(stiffness_unit));
	fw_calc_put(out, "parts-stiffness", "stiffness of the parts", turn.parts,
	            fw_calc_symbol(stiffness_unit));
	judge(out, &t, &strength, preload);
	return FW_OK;
}

static const struct fw_calc_input layer_fields[] = {
    {"length", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL, "its thickness"},
    {"modulus", FW_CALC_QUANTITY, "MPa", FW_CALC_POSITIVE, false, "206000 MPa", NULL, NULL,
     "its Young's modulus"},
    FW_INPUT_END};

static const struct fw_calc_input inputs[] = {
    {"thread", FW_CALC_TEXT, NULL, FW_CALC_ANY, true, NULL, NULL, NULL,
     "the thread, such as M8, M10x1.25 or 3/8-16 UNC"},
    {"angle", FW_CALC_QUANTITY, "°", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "angle past snug, for the preload"},
    {"preload", FW_CALC_QUANTITY, "kN", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "preload wanted, for the angle"},
    {"snug", FW_CALC_QUANTITY, "kN", FW_CALC_NOT_NEGATIVE, false, "0 kN", NULL, NULL,
     "preload from which the angle counts"},
    {"shank", FW_CALC_QUANTITY, "mm", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "plain length of the bolt within the grip"},
    {"threaded", FW_CALC_QUANTITY, "mm", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "threaded length within the grip"},
    {"modulus", FW_CALC_QUANTITY, "MPa", FW_CALC_POSITIVE, false, "206000 MPa", NULL, NULL,
     "Young's modulus of the bolt"},
    {"ends", FW_CALC_FLAG, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "count head, engaged thread and nut as springs too"},
    {"bolt-stiffness", FW_CALC_QUANTITY, "N/mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "of the bolt, in place of its lengths"},
    {"layers", FW_CALC_RECORDS, NULL, FW_CALC_ANY, false, NULL, NULL, layer_fields,
     "what is clamped: thickness and modulus each"},
    {"face", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "diameter pressed on; 1.5 times the thread's if left out"},
    {"hole", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "diameter of the hole; the thread's if left out"},
    {"outer", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "outside diameter, when what is clamped is a sleeve"},
    {"parts-stiffness", FW_CALC_QUANTITY, "N/mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "of what is clamped, in place of layers"},
    {"class", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "property class of the bolt: 8.8, SAE 5"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_angle = {
    .name = "angle",
    .summary = "preload from a turn past snug, or the turn for a preload",
    .about = "Bolt and clamped parts are springs, and a turn past snug stretches one and\n"
             "squeezes the other. Holds below yield, with all faces touching; a gasket,\n"
             "paint or a bent flange takes up turn without preload. Where a maker gives an\n"
             "angle past yield (torque-to-yield), keep to it and renew the bolts: no\n"
             "equation replaces it.",
    .source = "Shigley's Mechanical Engineering Design, chapter 8, equations 8-17 and 8-20,\n"
              "turn of the nut; ends of the bolt: VDI 2230, from memory",
    .example = "--thread M12 --angle 30 --snug 5 --shank 30 --threaded 15 --layers \"20 mm, "
               "modulus=207000 MPa\" --layers \"25 mm, modulus=100000 MPa\" --class 8.8",
    .inputs = inputs,
    .run = run};
