/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "calc/bearing/common.h"
#include "calc/bearing/train.h"

/* What a train does at one time. */
struct look {
	const struct fw_train *t;
	const struct fw_train_case *at;
	double body[FW_TRAIN_MOST];
	struct fw_pair_state pair[FW_TRAIN_MOST];
	struct fw_bearing_state bearing[FW_TRAIN_MOST];
};

static double rpm(double speed)
{
	return (speed < 0.0 ? -60.0 : 60.0) * fw_bearing_hertz(speed);
}

static const char *side(const struct look *l, const struct fw_pair_state *p)
{
	if (!p->turning)
		return "at rest";
	if (!p->loaded)
		return "idle";
	return l->at->load == FW_DRIVE ? "drive side" : "overrun side";
}

/* "-(-2100)": a speed behind a sign. */
static const char *signed_speed(double speed, bool reversed, char text[FW_FIGURE])
{
	snprintf(text, FW_FIGURE,
	         reversed && speed < 0.0 ? "-(%.6g)"
	         : reversed              ? "-%.6g"
	                                 : "%.6g",
	         rpm(speed));
	return text;
}

static void show_pairs(struct fw_calc_out *out, const struct look *l)
{
	char text[FW_FIGURE];

	for (size_t i = 0; i < l->t->pairs; i++) {
		const struct fw_train_pair *p = &l->t->pair[i];
		if (!l->pair[i].turning)
			continue;
		fw_calc_line(out, "%s: %s = %s%s·%u/%u = %s·%u/%u = %.6g rpm", p->name, l->t->body[p->b],
		             p->internal ? "" : "-", l->t->body[p->a], p->teeth_a, p->teeth_b,
		             signed_speed(l->body[p->a], !p->internal, text), p->teeth_a, p->teeth_b,
		             rpm(l->body[p->b]));
		fw_calc_line(out, "  mesh = %u·%.6g/60 = %.6g Hz", p->teeth_a, fabs(rpm(l->body[p->a])),
		             l->pair[i].mesh.mesh);
	}
}

static bool has_bearing(const struct fw_train *t, size_t body)
{
	for (size_t i = 0; i < t->bearings; i++) {
		if (t->bearing[i].inner == body || t->bearing[i].outer == body)
			return true;
	}
	return false;
}

/* A force whose way to the case isn't known makes bearings look idle. */
static void warn_hanging(struct fw_calc_out *out, const struct look *l)
{
	bool said[FW_TRAIN_MOST] = {false};

	if (l->t->bearings == 0)
		return;
	for (size_t i = 0; i < l->t->pairs; i++) {
		size_t ends[2] = {l->t->pair[i].a, l->t->pair[i].b};
		for (int k = 0; l->pair[i].loaded && k < 2; k++) {
			if (said[ends[k]] || has_bearing(l->t, ends[k]))
				continue;
			said[ends[k]] = true;
			fw_calc_warn(out, "%s has no bearing: bearings that its force goes through look idle",
			             l->t->body[ends[k]]);
		}
	}
}

static void put_bodies(struct fw_calc_out *out, const struct look *l)
{
	for (size_t i = 1; i < l->t->bodies; i++) {
		fw_calc_row(out, "shafts", "Shafts and free gears");
		fw_calc_put_text(out, "name", "shaft", l->t->body[i]);
		if (isnan(l->body[i]))
			fw_calc_put_text(out, "state", "state", "not driven");
		else
			fw_calc_put(out, "speed", "speed", l->body[i], fw_calc_symbol("rpm"));
		fw_calc_put(out, "turn", "turn", fw_bearing_hertz(l->body[i]), fw_calc_symbol("Hz"));
		fw_calc_row_end(out);
	}
}

static void put_pairs(struct fw_calc_out *out, const struct look *l)
{
	for (size_t i = 0; i < l->t->pairs; i++) {
		const struct fw_pair_state *p = &l->pair[i];
		fw_calc_row(out, "pairs", "Gear pairs");
		fw_calc_put_text(out, "name", "pair", l->t->pair[i].name);
		fw_calc_put(out, "mesh", "mesh", p->mesh.mesh, fw_calc_symbol("Hz"));
		fw_calc_put_text(out, "bears", "bears on", side(l, p));
		fw_calc_put(out, "hunting", "same teeth", p->mesh.hunting, fw_calc_symbol("Hz"));
		fw_calc_row_end(out);
	}
}

static void put_bearings(struct fw_calc_out *out, const struct look *l)
{
	for (size_t i = 0; i < l->t->bearings; i++) {
		const struct fw_bearing_state *b = &l->bearing[i];
		fw_calc_row(out, "bearings", "Bearings, inner ring against outer");
		fw_calc_put_text(out, "name", "bearing", l->t->bearing[i].name);
		fw_calc_put(out, "speed", "speed", b->inner - b->outer, fw_calc_symbol("rpm"));
		fw_calc_put_text(out, "state", "state",
		                 !b->turning ? "at rest"
		                 : b->loaded ? "loaded"
		                             : "idle");
		fw_calc_put(out, "outer", "outer", b->sounds.outer, fw_calc_symbol("Hz"));
		fw_calc_put(out, "inner", "inner", b->sounds.inner, fw_calc_symbol("Hz"));
		fw_calc_put(out, "ball", "ball", 2.0 * b->sounds.spin, fw_calc_symbol("Hz"));
		fw_calc_put(out, "cage", "cage", b->sounds.cage, fw_calc_symbol("Hz"));
		fw_calc_row_end(out);
	}
}

int fw_train_show(struct fw_calc_out *out, const struct fw_typed_train *train,
                  const struct fw_train_case *at, double speed, struct fw_error *err)
{
	struct look l = {.t = &train->train, .at = at};
	int rc = fw_train_run(l.body, l.pair, l.bearing, l.t, at, speed, err);

	if (rc != FW_OK)
		return rc;
	show_pairs(out, &l);
	warn_hanging(out, &l);
	if (at->gear != FW_NEUTRAL)
		fw_calc_put_number(out, "ratio", "ratio, input to output",
		                   l.body[l.t->input] / l.body[l.t->output]);
	put_bodies(out, &l);
	put_pairs(out, &l);
	put_bearings(out, &l);
	return FW_OK;
}

static const char *name_of(const struct fw_train *t, const struct fw_train_line *line)
{
	if (line->of == FW_LINE_TURN)
		return t->body[line->index];
	return line->of == FW_LINE_MESH ? t->pair[line->index].name : t->bearing[line->index].name;
}

#define LINES 40

int fw_train_show_near(struct fw_calc_out *out, const struct fw_calc_values *in,
                       const struct fw_typed_train *train, const struct fw_train_case *at,
                       double speed, struct fw_error *err)
{
	struct fw_train_line line[LINES];
	double measured = fw_calc_value(in, "frequency"), within = fw_calc_value(in, "within");
	unsigned harmonics;
	size_t count = LINES;

	int rc = fw_bearing_whole(&harmonics, in, "harmonics", FW_HARMONICS_MOST, err);
	if (rc == FW_OK)
		rc =
		    fw_train_near(line, &count, &train->train, at, speed, measured, within, harmonics, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_line(out, "within %.4g %% of %.6g Hz: %zu lines", 100.0 * within, measured, count);
	if (count == 0)
		fw_calc_warn(out, "nothing in the train has a frequency near %.6g Hz", measured);
	for (size_t i = 0; i < count; i++) {
		fw_calc_row(out, "near", "Near the frequency heard");
		fw_calc_put_text(out, "name", "part", name_of(&train->train, &line[i]));
		fw_calc_put_text(out, "of", "of", fw_train_line_name(line[i].of));
		fw_calc_put_number(out, "harmonic", "times", line[i].harmonic);
		fw_calc_put(out, "frequency", "frequency", line[i].frequency, fw_calc_symbol("Hz"));
		fw_calc_put(out, "off", "off by", line[i].off, fw_calc_symbol("%"));
		fw_calc_row_end(out);
	}
	return FW_OK;
}
