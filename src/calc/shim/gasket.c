/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/list.h"
#include "calc/shim/kit.h"

/* The gap as measured. */
struct gap {
	double value, u, low, high;
	size_t readings;
	const struct fw_unit *unit, *fine;
};

/* Mean of the readings around the flange. Its uncertainty: what all share (the gauge), and the
 * standard deviation of the mean (JCGM 100:2008, 4.2.3). */
static struct gap take_gap(const struct fw_calc_values *in)
{
	struct gap g = {.readings = fw_calc_count(in, "gap"),
	                .low = INFINITY,
	                .high = -INFINITY,
	                .unit = fw_calc_unit(in, "gap")};
	double n = (double)g.readings, squares = 0.0;

	g.fine = fw_calc_kit_fine(g.unit);
	for (size_t i = 0; i < g.readings; i++) {
		double reading = fw_calc_item(in, "gap", i);
		g.value += reading / n;
		g.low = fmin(g.low, reading);
		g.high = fmax(g.high, reading);
	}
	for (size_t i = 0; i < g.readings; i++)
		squares += pow(fw_calc_item(in, "gap", i) - g.value, 2.0);
	double scatter = g.readings > 1 ? sqrt(squares / (n - 1.0) / n) : 0.0;
	g.u = hypot(fw_calc_value(in, "gauge") / 2.0, scatter);
	return g;
}

static void show_gap(struct fw_calc_out *out, const struct gap *g, const struct fw_limits *nip)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	if (g->readings == 1)
		return;
	fw_calc_line(out, "gap = mean of %zu readings, %s to %s = %s", g->readings,
	             fw_calc_figure(g->low, g->unit, a, sizeof a),
	             fw_calc_figure(g->high, g->unit, b, sizeof b),
	             fw_calc_figure(g->value, g->unit, c, sizeof c));
	fw_calc_put(out, "gap", "gap, mean", g->value, g->unit);
	fw_calc_put(out, "crooked", "gap, greatest less least", g->high - g->low, g->unit);
	if (g->high - g->low > nip->max - nip->min)
		fw_calc_warn(out, "the gap varies by more than the nip may: the cover sits crooked, or it "
		                  "or its seat is bent; put that right first");
}

static void show_choice(struct fw_calc_out *out, const struct gap *g, const struct fw_calc_kit *kit,
                        const struct fw_limits *nip, const struct fw_shim_choice *c)
{
	char a[FW_FIGURE], b[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE], stack[FW_STACK_TEXT];

	fw_calc_line(out, "clamped thickness wanted = gap - aim = %s - %s = %s",
	             fw_calc_figure(g->value, g->unit, a, sizeof a),
	             fw_calc_figure(fw_limits_aim(nip), g->unit, b, sizeof b),
	             fw_calc_figure(c->wanted, g->unit, d, sizeof d));
	if (isnan(c->play))
		return;
	fw_calc_line(out, "clamped thickness of %s = sum of new·(1 - crush) = %s",
	             fw_calc_kit_text(kit, &c->stack, stack),
	             fw_calc_figure(c->stack.thickness, g->unit, a, sizeof a));
	fw_calc_line(out, "nip = gap - clamped thickness = %s - %s = %s",
	             fw_calc_figure(g->value, g->unit, a, sizeof a),
	             fw_calc_figure(c->stack.thickness, g->unit, b, sizeof b),
	             fw_calc_figure(c->play, g->unit, d, sizeof d));
	fw_calc_line(out, "u = √(gap² + gasket²) = √(%s² + %s²) = %s",
	             fw_calc_figure(g->u, g->fine, a, sizeof a),
	             fw_calc_figure(c->stack.u, g->fine, b, sizeof b),
	             fw_calc_figure(c->u, g->fine, e, sizeof e));
}

/* Both ways to go wrong: the bearing is loose, or it is crushed and the cover bent. */
static int put_risks(struct fw_calc_out *out, const struct fw_shim_choice *c,
                     const struct fw_limits *nip, struct fw_error *err)
{
	struct fw_limits loose = {-INFINITY, 0.0, NAN}, tight = {nip->max, INFINITY, NAN};
	double p = 0.0;

	int rc = fw_conform_probability(&p, c->play, c->u, INFINITY, &loose, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_put_number(out, "float-risk", "chance of float instead of nip", p);
	if (isinf(nip->max))
		return FW_OK;
	rc = fw_conform_probability(&p, c->play, c->u, INFINITY, &tight, err);
	if (rc == FW_OK)
		fw_calc_put_number(out, "crush-risk", "chance of more nip than allowed", p);
	return rc;
}

static int choose(struct fw_calc_out *out, const struct fw_calc_values *in,
                  const struct fw_calc_kit *kit, struct fw_error *err)
{
	static const struct fw_calc_kit_words words = {"nip", "gasket", "clamped thickness",
	                                               ", clamped"};
	struct gap g = take_gap(in);
	struct fw_limits nip;
	struct fw_shim_choice c = {.wanted = NAN};
	struct fw_error why = {0};

	int rc = fw_calc_kit_limits(&nip, in, err);
	if (rc != FW_OK)
		return rc;
	rc =
	    fw_gasket_choose(&c, g.value, g.u, kit->shim, kit->count, fw_calc_kit_most(in), &nip, &why);
	if (fw_calc_kit_nothing(rc, &c)) { /* an answer too */
		fw_calc_warn(out, "%s", why.text);
		rc = FW_OK;
	}
	if (rc != FW_OK)
		return fw_fail(err, rc, "%s", why.text);
	show_gap(out, &g, &nip);
	show_choice(out, &g, kit, &nip, &c);
	fw_calc_kit_put(out, kit, &c, &nip, &words, g.unit);
	return isnan(c.play) ? FW_OK : put_risks(out, &c, &nip, err);
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_calc_kit kit;

	int rc = fw_calc_kit_take(&kit, in, err);
	if (rc != FW_OK)
		return rc;
	rc = choose(out, in, &kit, err);
	fw_calc_kit_free(&kit);
	return rc;
}

static const struct fw_calc_input kit_fields[] = {
    {.name = "thickness",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .sign = FW_CALC_POSITIVE,
     .required = true,
     .doc = "of one gasket, new, ± (k = 2)"},
    {.name = "crush",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_NOT_NEGATIVE,
     .fallback = "0",
     .doc = "share it loses when clamped, ± (k = 2): \"20 % ± 4 %\""},
    {.name = "count", .kind = FW_CALC_WHOLE, .fallback = "1", .doc = "pieces at hand"},
    {.name = NULL}};

static const struct fw_calc_input inputs[] = {
    {.name = "gap",
     .kind = FW_CALC_QUANTITIES,
     .unit = "mm",
     .sign = FW_CALC_POSITIVE,
     .required = true,
     .doc = "gap under the bare cover, read around it"},
    {.name = "kit",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = kit_fields,
     .doc = "gaskets at hand"},
    {.name = "min",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .doc = "least nip; below zero: float; open if not given"},
    {.name = "max", .kind = FW_CALC_QUANTITY, .unit = "mm", .doc = "most nip; open if not given"},
    {.name = "aim",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .doc = "nip aimed at; the middle if not given"},
    {.name = "gauge",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .sign = FW_CALC_NOT_NEGATIVE,
     .fallback = "0 mm",
     .doc = "± of the gap, shared by its readings (k = 2)"},
    {.name = "most", .kind = FW_CALC_WHOLE, .fallback = "1", .doc = "most gaskets in a pack, to 8"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_gasket = {
    .name = "gasket",
    .summary = "gasket for a cover or retainer, from the gap it leaves bare",
    .about = "A cover set down bare and finger tight rests on the bearing and stands off its\n"
             "seat by the gap. With a gasket of clamped thickness t the bearing is nipped by\n"
             "gap - t; negative is float. Chooses the gasket likeliest to bring the nip\n"
             "within its limits. Too thin a gasket crushes the bearing or bends the cover,\n"
             "too thick a one lets it walk: both chances are told. A cover that goes down\n"
             "bare does not reach the bearing: measure its float instead.",
    .source = "subtraction, common practice, no source; probability: JCGM 106:2012, 7.3",
    .example = "--gap 0.50 --gap 0.52 --gap 0.51 --kit \"0.40, crush=20 % ± 4 %\" --kit \"0.50, "
               "crush=20 % ± 4 %\" --kit \"0.80, crush=20 % ± 4 %\" --min 0.05 --max 0.15 --gauge "
               "0.02",
    .inputs = inputs,
    .plain = true,
    .run = run};
