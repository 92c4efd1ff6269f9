/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/shim.h"

#include <math.h>

#include "calc/list.h"
#include "calc/shim/kit.h"

/* The place as far as it is known. */
struct place {
	const struct fw_calc_values *in;
	const struct fw_unit *unit, *fine;
	double settle_u, gauge_u;
	struct fw_datum datum;
	struct fw_limits limits;
};

/* One trial as it was given. */
struct given {
	size_t number;
	double stack, stack_u, play, play_u;
};

static struct given take_trial(const struct place *p, size_t index)
{
	const struct fw_calc_values *record = fw_calc_record(p->in, "trial", index);
	const struct fw_quantity *stack = fw_calc_quantity(record, "stack");
	const struct fw_quantity *play = fw_calc_quantity(record, "play");

	return (struct given){.number = index + 1,
	                      .stack = stack->value,
	                      .stack_u = fw_quantity_u(stack),
	                      .play = play->value,
	                      .play_u = play->count > 0 ? fw_quantity_u(play) : p->gauge_u};
}

static void show_start(struct fw_calc_out *out, const struct place *p, const struct given *g)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(out, "trial %zu: datum = stack + play = %s + %s = %s", g->number,
	             fw_calc_figure(g->stack, p->unit, a, sizeof a),
	             fw_calc_figure(g->play, p->unit, b, sizeof b),
	             fw_calc_figure(p->datum.value, p->unit, c, sizeof c));
}

static void show_off(struct fw_calc_out *out, const struct place *p, const struct given *g,
                     const struct fw_datum *before, const struct fw_trial *t)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE], f[FW_FIGURE];

	fw_calc_line(out, "trial %zu: predicted = datum - stack = %s - %s = %s", g->number,
	             fw_calc_figure(before->value, p->unit, a, sizeof a),
	             fw_calc_figure(g->stack, p->unit, b, sizeof b),
	             fw_calc_figure(t->predicted, p->unit, c, sizeof c));
	fw_calc_line(out, "trial %zu: read - predicted = %s - %s = %s = %s·u, u = %s", g->number,
	             fw_calc_figure(g->play, p->unit, a, sizeof a),
	             fw_calc_figure(t->predicted, p->unit, b, sizeof b),
	             fw_calc_figure(t->difference, p->unit, d, sizeof d),
	             fw_calc_plain(t->difference / t->expected_u, e),
	             fw_calc_figure(t->expected_u, p->fine, f, sizeof f));
}

/* The share of the new trial, from the weights as the solver keeps them. */
static void show_mean(struct fw_calc_out *out, const struct place *p, const struct given *g,
                      const struct fw_datum *before, const struct fw_trial *t)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	double weight = p->datum.weight - (1.0 - t->doubt) * before->weight;
	double share = weight / (before->weight + weight);

	if (t->doubt > 0.0)
		fw_calc_line(out,
		             "trial %zu: in doubt, something moved with probability %s: its share of %s "
		             "becomes %s + %s·(1 - %s)",
		             g->number, fw_calc_plain(t->doubt, a), fw_calc_plain(share, b), b, a, b);
	share += t->doubt * (1.0 - share);
	fw_calc_line(out, "trial %zu: datum = %s + %s·(%s) = %s", g->number,
	             fw_calc_figure(before->value, p->unit, a, sizeof a), fw_calc_plain(share, b),
	             fw_calc_figure(t->difference, p->unit, c, sizeof c),
	             fw_calc_figure(p->datum.value, p->unit, d, sizeof d));
}

static void put_trial(struct fw_calc_out *out, const struct place *p, const struct given *g,
                      const struct fw_trial *t)
{
	fw_calc_row(out, "trials", "Trials");
	fw_calc_put_number(out, "trial", "trial", (double)g->number);
	fw_calc_put(out, "stack", "stack", g->stack, p->unit);
	fw_calc_put(out, "predicted", "predicted", t->predicted, p->unit);
	fw_calc_put(out, "read", "read", g->play, p->unit);
	fw_calc_put(out, "difference", "off by", t->difference, p->unit);
	fw_calc_put_number(out, "ratio", "in u", t->difference / t->expected_u);
	fw_calc_put_flag(out, "surprise", "surprise", t->surprise);
	fw_calc_row_end(out);
}

static void warn_trial(struct fw_calc_out *out, const struct place *p, const struct given *g,
                       const struct fw_trial *t)
{
	char a[FW_FIGURE];

	if (t->surprise)
		fw_calc_warn(out,
		             "trial %zu is a surprise, %s off: something other than the shims moved (a "
		             "bearing not seated, a gasket left out, a shim miscounted, dirt); the trials "
		             "before it no longer count",
		             g->number, fw_calc_figure(t->difference, p->unit, a, sizeof a));
	else if (t->doubt > 0.0)
		fw_calc_warn(out, "trial %zu is further off than usual: look whether something moved",
		             g->number);
}

static int learn(struct fw_calc_out *out, struct place *p, struct fw_error *err)
{
	for (size_t i = 0; i < fw_calc_count(p->in, "trial"); i++) {
		struct given g = take_trial(p, i);
		struct fw_datum before = p->datum;
		struct fw_trial t;
		int rc = fw_shim_learn(&p->datum, g.stack, g.stack_u, g.play, g.play_u, p->settle_u,
		                       FW_SURPRISE_SIGMAS, &t, err);
		if (rc != FW_OK) {
			fw_error_prefix(err, "trial %zu: ", g.number);
			return rc;
		}
		if (before.trials > 0)
			show_off(out, p, &g, &before, &t);
		if (before.trials > 0 && !t.surprise)
			show_mean(out, p, &g, &before, &t);
		else
			show_start(out, p, &g);
		put_trial(out, p, &g, &t);
		warn_trial(out, p, &g, &t);
	}
	return FW_OK;
}

static void show_choice(struct fw_calc_out *out, const struct place *p,
                        const struct fw_calc_kit *kit, const struct fw_shim_choice *c)
{
	char a[FW_FIGURE], b[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE], stack[FW_STACK_TEXT];

	fw_calc_line(out, "stack wanted = datum - aim = %s - %s = %s",
	             fw_calc_figure(p->datum.value, p->unit, a, sizeof a),
	             fw_calc_figure(fw_limits_aim(&p->limits), p->unit, b, sizeof b),
	             fw_calc_figure(c->wanted, p->unit, d, sizeof d));
	if (isnan(c->play))
		return;
	fw_calc_line(out, "stack = %s = %s", fw_calc_kit_text(kit, &c->stack, stack),
	             fw_calc_figure(c->stack.thickness, p->unit, a, sizeof a));
	fw_calc_line(out, "play = datum - stack = %s - %s = %s",
	             fw_calc_figure(p->datum.value, p->unit, a, sizeof a),
	             fw_calc_figure(c->stack.thickness, p->unit, b, sizeof b),
	             fw_calc_figure(c->play, p->unit, d, sizeof d));
	if (c->play < 0.0)
		fw_calc_line(out, "less than no play is preload: prove it by the turning torque");
	fw_calc_line(out, "u = √(datum² + stack² + seating²) = √((%s)² + (%s)² + (%s)²) = %s",
	             fw_calc_figure(p->datum.u, p->fine, a, sizeof a),
	             fw_calc_figure(c->stack.u, p->fine, b, sizeof b),
	             fw_calc_figure(p->settle_u, p->fine, d, sizeof d),
	             fw_calc_figure(c->u, p->fine, e, sizeof e));
}

static int choose(struct fw_calc_out *out, const struct place *p, struct fw_error *err)
{
	static const struct fw_calc_kit_words words = {"play", "shim", "stack thickness", "", 0.0};
	struct fw_calc_kit kit;
	struct fw_shim_choice c = {.wanted = NAN};
	struct fw_error why = {0};
	size_t most = 0;

	int rc = fw_calc_kit_most(&most, p->in, err);
	if (rc == FW_OK)
		rc = fw_calc_kit_take(&kit, p->in, err);
	if (rc != FW_OK)
		return rc;
	rc = fw_shim_choose(&c, &p->datum, kit.shim, kit.count, most, true, &p->limits, p->settle_u,
	                    &why);
	if (fw_calc_kit_nothing(rc, &c)) { /* an answer too */
		fw_calc_warn(out, "%s", why.text);
		rc = FW_OK;
	}
	if (rc == FW_OK) {
		show_choice(out, p, &kit, &c);
		fw_calc_kit_put(out, &kit, &c, &p->limits, &words, p->unit);
	} else {
		fw_fail(err, rc, "%s", why.text);
	}
	fw_calc_kit_free(&kit);
	return rc;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct place p = {.in = in,
	                  .unit = fw_calc_unit(fw_calc_record(in, "trial", 0), "play"),
	                  .settle_u = fw_calc_value(in, "seating") / 2.0,
	                  .gauge_u = fw_calc_value(in, "gauge") / 2.0};

	p.fine = fw_calc_fine(p.unit);
	int rc = fw_calc_kit_limits(&p.limits, in, err);
	if (rc == FW_OK)
		rc = learn(out, &p, err);
	if (rc != FW_OK)
		return rc;

	fw_calc_put_known(out, "datum", "play with no shims at all", p.datum.value, p.datum.u, INFINITY,
	                  p.unit);
	fw_calc_put(out, "datum-u", "its standard uncertainty", p.datum.u, p.fine);
	fw_calc_put_number(out, "surprises", "surprises", (double)p.datum.surprises);
	return choose(out, &p, err);
}

static const struct fw_calc_input trial_fields[] = {{.name = "stack",
                                                     .kind = FW_CALC_QUANTITY,
                                                     .unit = "mm",
                                                     .sign = FW_CALC_NOT_NEGATIVE,
                                                     .required = true,
                                                     .doc = "shims that were in, ± (k = 2)"},
                                                    {.name = "play",
                                                     .kind = FW_CALC_QUANTITY,
                                                     .unit = "mm",
                                                     .required = true,
                                                     .doc = "play read with them, ± (k = 2)"},
                                                    {.name = NULL}};

static const struct fw_calc_input kit_fields[] = {
    FW_KIT_THICKNESS("of one shim, ± (k = 2)"), FW_KIT_COUNT, {.name = NULL}};

static const struct fw_calc_input inputs[] = {
    {.name = "trial",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = trial_fields,
     .doc = "what was fitted and read, in order; as found comes first"},
    {.name = "kit",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = kit_fields,
     .doc = "shims at hand"},
    {.name = "min", .kind = FW_CALC_QUANTITY, .unit = "mm", .doc = "least play; open if not given"},
    {.name = "max", .kind = FW_CALC_QUANTITY, .unit = "mm", .doc = "most play; open if not given"},
    {.name = "aim",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .doc = "play aimed at; the middle if not given"},
    FW_KIT_SPREAD("gauge", "± of a play typed without one (k = 2)"),
    FW_KIT_SPREAD("seating", "± from one assembly to the next (k = 2)"),
    {.name = "most", .kind = FW_CALC_WHOLE, .fallback = "4", .doc = "most shims in a stack, to 8"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_shim = {
    .name = "shim",
    .summary = "shims for one place, from the trials so far",
    .about = "Play = datum - shims: each trial tells the play there would be without shims.\n"
             "Trials are averaged as their uncertainty deserves; one that is off by more\n"
             "than 4 standard uncertainties is a surprise and starts afresh. Of all stacks\n"
             "of the kit the likeliest to bring the play within its limits is chosen; then\n"
             "the nearest to the aim, the fewest shims. Shims are rigid. Preload is negative\n"
             "play: it can be aimed at, not read. Where more shims give more play (under a\n"
             "cap), type plays and limits with the other sign.",
    .source = "weighted mean and probability: JCGM 106:2012, 7.3 and annex A; doubt by Bayes' rule",
    .example = "--trial \"31 thou, play=55 thou\" --trial \"63 thou, play=2.5 thou\" --kit \"20 "
               "thou, count=3\" --kit \"10 thou, count=3\" --kit \"3 thou, count=2\" --min \"5 "
               "thou\" --max \"25 thou\" --gauge \"2 thou\"",
    .inputs = inputs,
    .plain = true,
    .run = run};
