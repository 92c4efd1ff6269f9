/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "calc/list.h"
#include "calc/shim/together_take.h"

#define LINE 640

/* " - 1·0.5 mm", " + 0.364·0.5 mm" of each place that moves the response, with the sign turned
 * where it is taken back. */
static const char *sum_text(const struct fw_calc_together *t, size_t i, const double *stack,
                            double sign, char buffer[LINE])
{
	char factor[FW_FIGURE], length[FW_FIGURE];
	size_t used = 0;

	buffer[0] = '\0';
	for (size_t j = 0; j < t->fit.places && used < LINE; j++) {
		double per = sign * t->response[i].per[j];
		if (per == 0.0)
			continue;
		int wrote = snprintf(buffer + used, LINE - used, " %c %s·%s", per < 0.0 ? '-' : '+',
		                     fw_calc_plain(fabs(per), factor),
		                     fw_calc_figure(stack[j], t->unit[i], length, sizeof length));
		used += wrote > 0 ? (size_t)wrote : 0;
	}
	return buffer;
}

static void show_found(struct fw_calc_out *out, const struct fw_calc_together *t,
                       const struct fw_datum *datum)
{
	char sum[LINE], a[FW_FIGURE], b[FW_FIGURE];

	for (size_t i = 0; i < t->fit.responses; i++)
		fw_calc_line(out, "%s with no shims = read - what they do = %s%s = %s", t->response[i].name,
		             fw_calc_figure(t->reading[i].value, t->unit[i], a, sizeof a),
		             sum_text(t, i, t->stack, -1.0, sum),
		             fw_calc_figure(datum[i].value, t->unit[i], b, sizeof b));
}

/* √(of r0² + (per·stack)² of each place + seating²); pieces of one size crush alike, wherever they
 * are, which no sum over places can show. */
static void show_u(struct fw_calc_out *out, const struct fw_calc_together *t,
                   const struct fw_datum *datum, const struct fw_together_choice *c, size_t i)
{
	const struct fw_unit *fine = fw_calc_fine(t->unit[i]);
	char sum[LINE], a[FW_FIGURE], b[FW_FIGURE], d[FW_FIGURE];
	size_t used = 0;
	bool crush = false;

	for (size_t k = 0; k < t->kit.count; k++)
		crush = crush || t->kit.shim[k].crush_u > 0.0;
	fw_calc_figure(c->u[i], fine, d, sizeof d);
	if (crush) {
		fw_calc_line(out, "%s: u = %s, the crush of one size being one error wherever it is",
		             t->response[i].name, d);
		return;
	}
	sum[0] = '\0';
	for (size_t j = 0; j < t->fit.places && used < sizeof sum; j++) {
		if (t->response[i].per[j] == 0.0)
			continue;
		int wrote = snprintf(sum + used, sizeof sum - used, " + (%s·%s)²",
		                     fw_calc_plain(t->response[i].per[j], a),
		                     fw_calc_figure(c->stack[j].u, fine, b, sizeof b));
		used += wrote > 0 ? (size_t)wrote : 0;
	}
	fw_calc_line(out, "%s: u = √((%s)²%s + (%s)²) = %s", t->response[i].name,
	             fw_calc_figure(datum[i].u, fine, a, sizeof a), sum,
	             fw_calc_figure(t->response[i].settle_u, fine, b, sizeof b), d);
}

/* Φ at one limit, or what it is where there is none. */
static const char *tail_text(double limit, double value, const struct fw_unit *unit, char *buffer,
                             size_t size)
{
	char a[FW_FIGURE], b[FW_FIGURE];

	if (isinf(limit))
		snprintf(buffer, size, "%d", limit > 0.0);
	else
		snprintf(buffer, size, "Φ((%s - %s)/u)", fw_calc_figure(limit, unit, a, sizeof a),
		         fw_calc_figure(value, unit, b, sizeof b));
	return buffer;
}

static void show_response(struct fw_calc_out *out, const struct fw_calc_together *t,
                          const struct fw_datum *datum, const struct fw_together_choice *c,
                          size_t i)
{
	const struct fw_limits *limits = &t->response[i].limits;
	char sum[LINE], a[FW_FIGURE], b[FW_FIGURE], high[3 * FW_FIGURE], low[3 * FW_FIGURE];
	double stack[FW_PLACES_MOST];

	for (size_t j = 0; j < t->fit.places; j++)
		stack[j] = c->stack[j].thickness;
	fw_calc_line(out, "%s = %s%s = %s", t->response[i].name,
	             fw_calc_figure(datum[i].value, t->unit[i], a, sizeof a),
	             sum_text(t, i, stack, 1.0, sum),
	             fw_calc_figure(c->value[i], t->unit[i], b, sizeof b));
	show_u(out, t, datum, c, i);
	if (c->u[i] > 0.0)
		fw_calc_line(out, "%s: chance = %s - %s = %s", t->response[i].name,
		             tail_text(limits->max, c->value[i], t->unit[i], high, sizeof high),
		             tail_text(limits->min, c->value[i], t->unit[i], low, sizeof low),
		             fw_calc_plain(c->probability[i], a));
	else
		fw_calc_warn(out,
		             "%s: no uncertainty is given: the chance is one on the numbers, not on the "
		             "parts; type readings with their ±",
		             t->response[i].name);

	fw_calc_row(out, "responses", "What to expect");
	fw_calc_put_text(out, "response", "response", t->response[i].name);
	fw_calc_put_known(out, "value", "value", c->value[i], c->u[i], INFINITY, t->unit[i]);
	fw_calc_put(out, "u", "its standard uncertainty", c->u[i], fw_calc_fine(t->unit[i]));
	fw_calc_put_chance(out, "chance", "chance of being within", c->probability[i]);
	fw_calc_row_end(out);
}

static void put_stacks(struct fw_calc_out *out, const struct fw_calc_together *t,
                       const struct fw_together_choice *c)
{
	char text[FW_STACK_TEXT], a[FW_FIGURE];

	for (size_t j = 0; j < t->fit.places; j++) {
		fw_calc_kit_text(&t->kit, &c->stack[j], text);
		fw_calc_line(out, "stack at %s = %s = %s", t->place[j].name, text,
		             fw_calc_figure(c->stack[j].thickness, t->unit[0], a, sizeof a));
		fw_calc_row(out, "stacks", "Shims to fit");
		fw_calc_put_text(out, "place", "place", t->place[j].name);
		fw_calc_put_text(out, "fit", "fit", text);
		fw_calc_put_number(out, "count", "shims", (double)c->stack[j].count);
		fw_calc_put(out, "thickness", "thickness", c->stack[j].thickness, t->unit[0]);
		fw_calc_row_end(out);
	}
}

/* The root of the sum of the squares of what is off the aims, in widths of the limits. */
static void show_distance(struct fw_calc_out *out, const struct fw_calc_together *t,
                          const struct fw_together_choice *c)
{
	char sum[LINE], a[FW_FIGURE], b[FW_FIGURE], w[FW_FIGURE];
	double distance = c->distance < 1e-9 ? 0.0 : c->distance; /* rounding */
	size_t used = 0;

	sum[0] = '\0';
	for (size_t i = 0; i < t->fit.responses && used < sizeof sum; i++) {
		const struct fw_limits *limits = &t->response[i].limits;
		double width = limits->max - limits->min;
		int wrote = snprintf(sum + used, sizeof sum - used, "%s((%s - %s)/%s)²", i ? " + " : "",
		                     fw_calc_figure(c->value[i], t->unit[i], a, sizeof a),
		                     fw_calc_figure(fw_limits_aim(limits), t->unit[i], b, sizeof b),
		                     fw_calc_figure(isfinite(width) ? width : FW_TOGETHER_OPEN_WIDTH,
		                                    t->unit[i], w, sizeof w));
		used += wrote > 0 ? (size_t)wrote : 0;
	}
	fw_calc_line(out, "distance from the aims = √(%s) = %s", sum, fw_calc_plain(distance, a));
	fw_calc_put_number(out, "distance", "distance from the aims, in widths", distance);
}

static void put_choice(struct fw_calc_out *out, const struct fw_calc_together *t,
                       const struct fw_datum *datum, const struct fw_together_choice *c)
{
	char p[FW_FIGURE];

	put_stacks(out, t, c);
	for (size_t i = 0; i < t->fit.responses; i++)
		show_response(out, t, datum, c, i);
	fw_calc_line(out, "all within: at least 1 - sum of (1 - chance) = %s",
	             fw_calc_plain(c->all, p));
	fw_calc_put_chance(out, "chance", "smallest chance", c->chance);
	fw_calc_put_chance(out, "all", "chance that all are within, at least", c->all);
	show_distance(out, t, c);
	if (c->chance < FW_CONFORMANCE)
		fw_calc_warn(out, "the smallest chance of being within is only %s %%",
		             fw_calc_plain(floor(1000.0 * c->chance) / 10.0, p));
}

/* Nothing serves, which is an answer too. */
static void put_advice(struct fw_calc_out *out, const struct fw_calc_together *t,
                       const struct fw_together_choice *c, const char *why)
{
	fw_calc_warn(out, "%s", why);
	if (c->end == FW_TOGETHER_PIECE) {
		fw_calc_put_text(out, "piece-place", "one piece to get, for",
		                 t->place[c->piece_place].name);
		fw_calc_put(out, "piece", "as thick, when clamped, as", c->piece, t->unit[0]);
	}
	for (size_t j = 0; j < t->fit.places && c->end == FW_TOGETHER_STACKS; j++) {
		fw_calc_row(out, "wanted", "Stacks to get");
		fw_calc_put_text(out, "place", "place", t->place[j].name);
		fw_calc_put(out, "thickness", "thickness, clamped", c->wanted[j], t->unit[0]);
		fw_calc_row_end(out);
	}
}

static int work(struct fw_calc_out *out, const struct fw_calc_together *t, struct fw_error *err)
{
	struct fw_datum datum[FW_RESPONSES_MOST] = {{0}};
	struct fw_together_choice c;
	struct fw_error why = {0};

	int rc = fw_together_learn(datum, &t->fit, t->stack, t->stack_u, t->reading, FW_SURPRISE_SIGMAS,
	                           NULL, err);
	if (rc != FW_OK)
		return rc;
	show_found(out, t, datum);
	rc = fw_together_choose(&c, &t->fit, datum, &why);
	if (rc == FW_OK)
		put_choice(out, t, datum, &c);
	else if (rc == FW_ERR_RANGE && c.end != FW_TOGETHER_TOO_LONG)
		put_advice(out, t, &c, why.text);
	else
		return fw_fail(err, rc, "%s", why.text);
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_calc_together t;

	int rc = fw_calc_together_take(&t, in, err);
	if (rc == FW_OK)
		rc = work(out, &t, err);
	fw_calc_together_free(&t);
	return rc;
}

static const struct fw_calc_input place_fields[] = {
    {.name = "name", .kind = FW_CALC_TEXT, .required = true, .doc = "of the place"},
    {.name = "most", .kind = FW_CALC_WHOLE, .fallback = "4", .doc = "most shims there, to 8"},
    {.name = "least", .kind = FW_CALC_WHOLE, .fallback = "0", .doc = "fewest there, 0 or 1"},
    {.name = NULL}};

static const struct fw_calc_input response_fields[] = {
    {.name = "name", .kind = FW_CALC_TEXT, .required = true, .doc = "what is measured"},
    {.name = "read",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .required = true,
     .doc = "what it read with the stacks found, ± (k = 2)"},
    {.name = "min", .kind = FW_CALC_QUANTITY, .unit = "mm", .doc = "open if not given"},
    {.name = "max", .kind = FW_CALC_QUANTITY, .unit = "mm", .doc = "open if not given"},
    {.name = "aim", .kind = FW_CALC_QUANTITY, .unit = "mm", .doc = "the middle if not given"},
    {.name = NULL}};

static const struct fw_calc_input moves_fields[] = {
    {.name = "response", .kind = FW_CALC_TEXT, .required = true, .doc = "what moves"},
    {.name = "place", .kind = FW_CALC_TEXT, .required = true, .doc = "with the stack where"},
    {.name = "by",
     .kind = FW_CALC_NUMBER,
     .required = true,
     .doc = "its growth per growth of the stack: -1 where a shim takes up play"},
    {.name = NULL}};

static const struct fw_calc_input found_fields[] = {
    {.name = "place", .kind = FW_CALC_TEXT, .required = true, .doc = "where"},
    {.name = "stack",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .sign = FW_CALC_NOT_NEGATIVE,
     .required = true,
     .doc = "shims that were in when it was read, ± (k = 2)"},
    {.name = NULL}};

static const struct fw_calc_input kit_fields[] = {
    FW_KIT_THICKNESS("of one shim, ± (k = 2)"),
    FW_KIT_COUNT,
    {.name = "crush",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "share lost when clamped, of a gasket: 8 %"},
    {.name = "place", .kind = FW_CALC_TEXT, .doc = "if it goes there alone"},
    {.name = NULL}};

static const struct fw_calc_input inputs[] = {
    {.name = "place",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = place_fields,
     .doc = "places for shims, 6 at most"},
    {.name = "response",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = response_fields,
     .doc = "what is to come within limits, 8 at most"},
    {.name = "moves",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = moves_fields,
     .doc = "what the stacks do to the responses; 0 where not given"},
    {.name = "found",
     .kind = FW_CALC_RECORDS,
     .fields = found_fields,
     .doc = "stacks with which the responses were read; none where not given"},
    {.name = "kit",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = kit_fields,
     .doc = "shims at hand, for all places together"},
    FW_KIT_SPREAD("gauge", "± of a reading typed without one (k = 2)"),
    FW_KIT_SPREAD("seating", "± from one assembly to the next (k = 2)"),
    {.name = "fewest",
     .kind = FW_CALC_FLAG,
     .doc = "fewest shims that serve, wherever in the limits"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_shims_together = {
    .name = "shims-together",
    .summary = "shims for several places that share a kit",
    .about = "Each response moves in a straight line with the stacks: response = what it\n"
             "would be with no shims + sum of by·stack. Of all stacks of the kit, no piece\n"
             "used twice, those are chosen whose smallest chance of being within is the\n"
             "greatest; of those within 0.001 of it the nearest to the aims, in widths of\n"
             "the limits; of those as near within 0.01 the fewest shims. Every combination\n"
             "competes. Preload is negative play: it can be set, not read; prove it by the\n"
             "turning torque.",
    .source = "probability: JCGM 106:2012, 7.3; all within: Bonferroni's inequality",
    .example = "--place left --place right --response \"end float, read=0.55 mm, min=0.1 mm, "
               "max=0.2 mm\" --response \"offset, read=0.2 mm, min=-0.05 mm, max=0.05 mm\" --moves "
               "\"end float, place=left, by=-1\" --moves \"end float, place=right, by=-1\" --moves "
               "\"offset, place=left, by=0.5\" --moves \"offset, place=right, by=-0.5\" --found "
               "\"left, stack=0.5 mm\" --found \"right, stack=0.3 mm\" --kit \"0.1 mm, count=2\" "
               "--kit \"0.2 mm, count=2\" --kit \"0.3 mm\" --kit \"0.5 mm, count=2\" --gauge "
               "\"0.01 mm\"",
    .inputs = inputs,
    .plain = true,
    .run = run};
