/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/joint/common.h"

static void put_joint(struct fw_calc_out *out, const struct fw_joint *joint)
{
	const struct fw_thread *t = &joint->thread;
	const char *unit = fw_joint_length_unit(t);
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	fw_calc_line(
	    out, "P = %s, d2 = %s, As = %s, Dkm = %s", fw_calc_in(t->pitch, unit, a),
	    fw_calc_in(t->pitch_dia, unit, b), fw_calc_in(t->stress_area, "mm²", c),
	    fw_calc_in(joint->bearing_dia > 0.0 ? joint->bearing_dia : FW_BEARING_USUAL * t->diameter,
	               unit, d));
}

/* One end of the scatter, or its middle: which frictions, which torque, what it gives. */
static int put_level(struct fw_calc_out *out, const struct fw_joint *joint, const char *which,
                     double thread, double head, double torque, double preload,
                     const struct fw_unit *unit, struct fw_error *err)
{
	struct fw_lever l;
	const char *length = fw_joint_length_unit(&joint->thread);
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE], f[FW_FIGURE],
	    g[FW_FIGURE], h[FW_FIGURE];
	int rc = fw_joint_lever(&l, joint, thread, head, err);

	if (rc != FW_OK)
		return rc;
	fw_calc_in(l.rise + l.thread + l.head, length, d);
	fw_calc_line(out, "%s: T/F = P/(2·π) + %s·d2/(2·cos 30°) + %s·Dkm/2 = %s + %s + %s = %s", which,
	             fw_calc_plain(thread, e), fw_calc_plain(head, f), fw_calc_in(l.rise, length, a),
	             fw_calc_in(l.thread, length, b), fw_calc_in(l.head, length, c), d);
	fw_calc_line(out, "%s preload = %s / %s = %s", which, fw_calc_figure(torque, unit, g, sizeof g),
	             d, fw_calc_in(preload, fw_joint_force_unit(&joint->thread), h));
	return FW_OK;
}

static int put_levels(struct fw_calc_out *out, const struct fw_joint *joint,
                      const struct fw_preload *p, double torque, const struct fw_unit *unit,
                      struct fw_error *err)
{
	const struct fw_friction *mu = &joint->friction, *head = fw_joint_head(joint);
	double off = joint->wrench * torque + joint->wrench_fixed;
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	fw_calc_line(out, "clamping torque = torque - prevailing = %s - %s = %s, give or take %s",
	             fw_calc_figure(torque, unit, a, sizeof a),
	             fw_calc_figure(joint->prevailing, unit, b, sizeof b),
	             fw_calc_figure(torque - joint->prevailing, unit, c, sizeof c),
	             fw_calc_figure(off, unit, d, sizeof d));
	int rc = put_level(out, joint, "usual", mu->usual, head->usual, torque - joint->prevailing,
	                   p->usual, unit, err);
	if (rc == FW_OK)
		rc = put_level(out, joint, "lowest", mu->high, head->high,
		               fmax(torque - off - joint->prevailing, 0.0), p->low / (1.0 - joint->loss),
		               unit, err);
	if (rc == FW_OK)
		rc = put_level(out, joint, "highest", mu->low, head->low, torque + off - joint->prevailing,
		               p->high, unit, err);
	if (rc == FW_OK && joint->loss > 0.0)
		fw_calc_line(out, "less a loss by bedding down of %s: %s", fw_calc_plain(joint->loss, a),
		             fw_calc_in(p->low, fw_joint_force_unit(&joint->thread), b));
	return rc;
}

static void put_shares(struct fw_calc_out *out, const struct fw_joint *joint,
                       const struct fw_preload *p)
{
	const char *force = fw_joint_force_unit(&joint->thread);
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	if (isnan(p->share))
		return;
	fw_calc_line(out, "share of proof load = F/(Sp·As) = %s/(%s · %s) = %s, highest",
	             fw_calc_in(p->high, force, a), fw_calc_in(joint->proof_stress, "MPa", b),
	             fw_calc_in(joint->thread.stress_area, "mm²", c), fw_calc_plain(p->share, d));
	fw_calc_line(out, "share of yield while tightening = √(σ² + 3·τ²)/Re = %s/%s = %s, highest",
	             fw_calc_in(p->stress_high, "MPa", a), fw_calc_in(joint->yield_stress, "MPa", b),
	             fw_calc_plain(p->yield_share, c));
	fw_calc_put(out, "proof-load", "proof load", p->proof_load, fw_calc_symbol(force));
	fw_calc_put_number(out, "usual-share", "usual share of the proof load", p->usual_share);
	fw_calc_put_number(out, "share", "highest share of the proof load", p->share);
	fw_calc_put_number(out, "yield-share", "highest share of yield while tightening",
	                   p->yield_share);
	if (p->low > p->proof_load)
		fw_calc_warn(
		    out,
		    "the proof load is passed whatever the friction, %.0f to %.0f %% of it: the bolt "
		    "stretches for good or breaks; the torque is wrong for it",
		    100.0 * p->low / p->proof_load, 100.0 * p->share);
	else if (p->usual_share > 1.0)
		fw_calc_warn(
		    out,
		    "the proof load is passed at usual friction already, up to %.0f %% of it; check "
		    "torque, class and oil",
		    100.0 * p->share);
	else if (p->share > 1.0)
		fw_calc_warn(out,
		             "the proof load can be passed: %.0f %% of it at the most; check torque, "
		             "class and oil",
		             100.0 * p->share);
	else if (p->yield_share > 1.0)
		fw_calc_warn(out, "pull and twist together can pass yield while tightening: %.0f %% of it",
		             100.0 * p->yield_share);
}

/* The twist of the thread at the usual preload, and what comes of both. */
static int put_stress(struct fw_calc_out *out, const struct fw_joint *joint,
                      const struct fw_preload *p, struct fw_error *err)
{
	const struct fw_thread *t = &joint->thread;
	struct fw_lever l;
	double d0 = sqrt(4.0 * t->stress_area / 3.14159265358979323846);
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	int rc = fw_joint_lever(&l, joint, joint->friction.usual, 0.0, err);

	if (rc != FW_OK)
		return rc;
	double twist = p->usual * (l.rise + l.thread) + joint->prevailing;
	fw_calc_line(out,
	             "twist in the bolt, usual: M = F·(P/(2·π) + thread) + prevailing = %s; τ = "
	             "12·M/(π·d0³) = %s with d0 = √(4·As/π) = %s",
	             fw_calc_in(twist, "N·m", a),
	             fw_calc_in(12.0 * twist / (3.14159265358979323846 * d0 * d0 * d0), "MPa", b),
	             fw_calc_in(d0, fw_joint_length_unit(t), c));
	fw_calc_line(out, "stress while tightening, usual: √((F/As)² + 3·τ²) = %s",
	             fw_calc_in(p->stress_usual, "MPa", d));
	fw_calc_put(out, "stress-usual", "usual stress while tightening", p->stress_usual,
	            fw_calc_symbol("MPa"));
	fw_calc_put(out, "stress-high", "highest stress while tightening", p->stress_high,
	            fw_calc_symbol("MPa"));
	return FW_OK;
}

/* T = K·D·F beside the full form, for a nut factor that was given. */
static int put_nut_factor(struct fw_calc_out *out, const struct fw_calc_values *in,
                          const struct fw_joint *joint, double torque, const struct fw_unit *unit,
                          struct fw_error *err)
{
	const struct fw_thread *t = &joint->thread;
	double factor = fw_calc_value(in, "nut-factor"), preload = fw_calc_value(in, "preload");
	double result = 0.0;
	bool to_torque = !isnan(preload);
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE];

	if (isnan(factor))
		return FW_OK;
	int rc = to_torque ? fw_nut_factor_torque(&result, factor, t->diameter, preload, err)
	                   : fw_nut_factor_preload(&result, factor, t->diameter,
	                                           torque - joint->prevailing, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_plain(factor, a);
	fw_calc_in(t->diameter, fw_joint_length_unit(t), b);
	if (to_torque) {
		result += joint->prevailing;
		fw_calc_line(out, "by nut factor: T = K·D·F + prevailing = %s · %s · %s + %s = %s", a, b,
		             fw_calc_in(preload, fw_joint_force_unit(t), c),
		             fw_calc_figure(joint->prevailing, unit, e, sizeof e),
		             fw_calc_figure(result, unit, d, sizeof d));
		fw_calc_put(out, "torque-by-nut-factor", "torque by the nut factor", result, unit);
		return FW_OK;
	}
	fw_calc_line(out, "by nut factor: F = T/(K·D) = %s/(%s · %s) = %s",
	             fw_calc_figure(torque - joint->prevailing, unit, c, sizeof c), a, b,
	             fw_calc_in(result, fw_joint_force_unit(t), d));
	fw_calc_put(out, "preload-by-nut-factor", "preload by the nut factor", result,
	            fw_calc_symbol(fw_joint_force_unit(t)));
	return FW_OK;
}

static int take_torque(double *torque, const struct fw_calc_values *in,
                       const struct fw_joint *joint, struct fw_error *err)
{
	if (fw_calc_given(in, "torque") == fw_calc_given(in, "preload"))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "torque %s: give torque, for the preload, or preload, for the torque",
		               fw_calc_given(in, "torque") ? "and preload" : "is missing");
	if (fw_calc_given(in, "torque")) {
		*torque = fw_calc_value(in, "torque");
		return FW_OK;
	}
	return fw_joint_torque(torque, joint, fw_calc_value(in, "preload"), err);
}

/* The ± (k = 2) of a torque that was read, and of the prevailing one, widens the range as a fixed
 * error of the wrench does: straight, as limits are added. */
static void add_doubt(struct fw_joint *joint, struct fw_calc_out *out,
                      const struct fw_calc_values *in, const struct fw_unit *unit)
{
	const struct fw_quantity *torque = fw_calc_quantity(in, "torque");
	double given = torque ? 2.0 * fw_quantity_u(torque) : 0.0;
	const struct fw_quantity *prevailing = fw_calc_quantity(in, "prevailing");
	double drag = prevailing ? 2.0 * fw_quantity_u(prevailing) : 0.0;
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	if (given + drag == 0.0)
		return;
	joint->wrench_fixed += given + drag;
	fw_calc_line(out,
	             "fixed error = the wrench's + ± of the torque + ± of the prevailing one = %s, of "
	             "which %s and %s",
	             fw_calc_figure(joint->wrench_fixed, unit, a, sizeof a),
	             fw_calc_figure(given, unit, b, sizeof b), fw_calc_figure(drag, unit, c, sizeof c));
}

static int put_strip(struct fw_calc_out *out, const struct fw_calc_values *in,
                     const struct fw_joint *joint, const struct fw_strength *strength, double high,
                     struct fw_error *err)
{
	bool parent = fw_calc_given(in, "parent") || fw_calc_given(in, "parent-shear");

	if (parent != fw_calc_given(in, "engagement"))
		return fw_fail(err, FW_ERR_ARGUMENT, "engagement and parent belong together: %s is missing",
		               parent ? "engagement" : "parent");
	return parent ? fw_joint_put_strip(out, in, &joint->thread, strength, high, err) : FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_joint joint;
	struct fw_strength strength;
	struct fw_preload p;
	double torque = 0.0;
	int rc = fw_joint_read(&joint, &strength, in, err);

	if (rc == FW_OK)
		rc = take_torque(&torque, in, &joint, err);
	if (rc != FW_OK)
		return rc;

	const struct fw_unit *force = fw_calc_symbol(fw_joint_force_unit(&joint.thread));
	const struct fw_unit *unit = !fw_calc_given(in, "torque") && joint.thread.inch
	                                 ? fw_calc_symbol("lbf·ft")
	                                 : fw_calc_unit(in, "torque");
	add_doubt(&joint, out, in, unit);
	rc = fw_joint_preload(&p, &joint, torque, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_put(out, "torque", "torque", torque, unit);
	fw_calc_put(out, "preload-low", "lowest preload", p.low, force);
	fw_calc_put(out, "preload-usual", "usual preload", p.usual, force);
	fw_calc_put(out, "preload-high", "highest preload", p.high, force);
	fw_calc_put_number(out, "nut-factor", "nut factor K at usual friction", p.nut_factor);
	put_joint(out, &joint);
	rc = put_levels(out, &joint, &p, torque, unit, err);
	if (rc == FW_OK)
		rc = put_stress(out, &joint, &p, err);
	if (rc != FW_OK)
		return rc;
	put_shares(out, &joint, &p);
	rc = put_nut_factor(out, in, &joint, torque, unit, err);
	if (rc == FW_OK)
		rc = put_strip(out, in, &joint, &strength, p.high, err);
	if (joint.thread.left_hand)
		fw_calc_line(out, "left-hand thread: it tightens anticlockwise");
	return rc;
}

#define STATES "dry|oiled|anti-seize|threadlocker"

static const struct fw_calc_input inputs[] = {
    {"thread", FW_CALC_TEXT, NULL, FW_CALC_ANY, true, NULL, NULL, NULL,
     "the thread, such as M8, M10x1.25 or 3/8-16 UNC"},
    {"torque", FW_CALC_QUANTITY, "N·m", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "torque at the bolt, for the preload"},
    {"preload", FW_CALC_QUANTITY, "kN", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "preload wanted, for the torque"},
    {"class", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "property class of the bolt: 8.8, SAE 5"},
    {"friction", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, NULL, STATES, NULL,
     "state of the thread, and of the head if alike; dry when left out"},
    {"head-friction", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, NULL, STATES, NULL,
     "state under the head, where it differs"},
    {"mu", FW_CALC_NUMBERS, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "coefficient of the thread, or lowest;usual;highest"},
    {"head-mu", FW_CALC_NUMBERS, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "coefficient under the head, in the same way"},
    {"bearing", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "mean diameter under the head; 1.3 times the thread's"},
    {"face", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "outer diameter of the face under the head"},
    {"hole", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "diameter of the hole below it"},
    {"wrench", FW_CALC_NUMBER, NULL, FW_CALC_NOT_NEGATIVE, false, "4 %", NULL, NULL,
     "relative error of the wrench"},
    {"wrench-fixed", FW_CALC_QUANTITY, "N·m", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "the part of it that doesn't grow with the torque"},
    {"prevailing", FW_CALC_QUANTITY, "N·m", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "torque that turns the nut before it clamps"},
    {"loss", FW_CALC_NUMBER, NULL, FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "share lost by bedding down, such as 5 %"},
    {"nut-factor", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "K in T = K·D·F, to compare with"},
    {"engagement", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "length of full threads engaged, for stripping"},
    {"parent", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "material the bolt is screwed into"},
    {"parent-shear", FW_CALC_QUANTITY, "MPa", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "its shear strength, in place of parent"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_torque = {
    .name = "torque",
    .summary = "preload of a bolt from its torque, or torque for a preload",
    .about = "Torque turns into preload through friction, so a range comes of it: lowest\n"
             "with high friction and the wrench low, highest the other way round. The ± of\n"
             "torque and prevailing torque is added to the wrench's error; that of a single\n"
             "mu or head-mu makes its lowest and highest. With a class, the share of the\n"
             "proof load, and of yield while pull and twist act together; with engagement\n"
             "and parent, whether threads strip. States of friction are common practice for\n"
             "steel bolts; measure where it matters.\n" FW_PARENTS_ABOUT,
    .source = "full form as in ISO 16047 and VDI 2230, from memory; classes: ISO 898-1,\n"
              "SAE J429; nut factor and loss: NASA TM-106943; friction: common practice,\n"
              "no source",
    .example = "--thread M8 --class 8.8 --torque 22 --friction oiled --engagement 14 --parent "
               "\"cast aluminium\"",
    .inputs = inputs,
    .plain = true,
    .run = run};
