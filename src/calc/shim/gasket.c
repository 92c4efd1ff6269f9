/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/list.h"
#include "calc/shim/kit.h"

/* The gap as measured. */
struct gap {
	struct fw_quantity mean; /* with all that is known of its uncertainty */
	double value, u, low, high;
	double typed_u, gauge_u, scatter_u; /* parts of u */
	size_t readings;
	const struct fw_unit *unit, *fine;
};

/* Sum of the readings; sources that several share count once. How many have no ± of their own. */
static int add_readings(struct gap *g, size_t *bare, const struct fw_calc_values *in,
                        struct fw_error *err)
{
	int rc = FW_OK;

	*bare = 0;
	for (size_t i = 0; i < g->readings && rc == FW_OK; i++) {
		const struct fw_quantity *reading = fw_calc_item_quantity(in, "gap", i);
		double value = fw_calc_item(in, "gap", i);
		struct fw_quantity plain = fw_quantity_of(value, g->unit);
		if (!reading || reading->count == 0) {
			reading = &plain;
			(*bare)++;
		}
		g->low = fmin(g->low, value);
		g->high = fmax(g->high, value);
		rc = fw_quantity_add(&g->mean, &g->mean, reading, err);
	}
	return rc;
}

/* Standard deviation of the mean (JCGM 100:2008, 4.2.3). */
static double scatter_of(const struct gap *g, const struct fw_calc_values *in)
{
	double n = (double)g->readings, squares = 0.0;

	for (size_t i = 0; i < g->readings; i++)
		squares += pow(fw_calc_item(in, "gap", i) - g->mean.value, 2.0);
	return g->readings > 1 ? sqrt(squares / (n - 1.0) / n) : 0.0;
}

/* Mean of the readings around the flange. Its uncertainty: what was typed with them, what those
 * typed bare share (the gauge), and how they scatter, with one degree of freedom less than there
 * are readings. */
static int take_gap(struct gap *g, const struct fw_calc_values *in, struct fw_error *err)
{
	size_t bare = 0;

	*g = (struct gap){.readings = fw_calc_count(in, "gap"),
	                  .low = INFINITY,
	                  .high = -INFINITY,
	                  .unit = fw_calc_unit(in, "gap")};
	double n = (double)g->readings;
	g->fine = fw_calc_fine(g->unit);
	g->mean = fw_quantity_of(0.0, g->unit);
	int rc = add_readings(g, &bare, in, err);
	if (rc == FW_OK)
		rc = fw_quantity_scale(&g->mean, &g->mean, 1.0 / n, err);
	if (rc != FW_OK) {
		fw_error_prefix(err, "gap: ");
		return rc;
	}
	g->typed_u = fw_quantity_u(&g->mean);
	g->gauge_u = fw_calc_value(in, "gauge") / 2.0 * (double)bare / n;
	g->scatter_u = scatter_of(g, in);
	rc = fw_quantity_add_term(&g->mean, fw_source_name("gasket: gauge"), g->gauge_u, INFINITY, err);
	if (rc == FW_OK && g->scatter_u > 0.0)
		rc = fw_quantity_add_term(&g->mean, fw_source_name("gasket: scatter"), g->scatter_u,
		                          n - 1.0, err);
	g->value = g->mean.value;
	g->u = fw_quantity_u(&g->mean);
	return rc;
}

/* Degrees of freedom of the nip (JCGM 100:2008, G.2b): those of the gap, diluted by the gaskets. */
static int freedom_of(double *out, const struct gap *g, double stack_u, struct fw_error *err)
{
	struct fw_quantity nip = g->mean;

	int rc = fw_quantity_add_term(&nip, fw_source_name("gasket: pieces"), stack_u, INFINITY, err);
	if (rc == FW_OK)
		*out = fw_quantity_freedom(&nip);
	return rc;
}

static void show_gap(struct fw_calc_out *out, const struct gap *g, const struct fw_limits *nip)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	if (g->readings == 1)
		return;
	fw_calc_line(out, "gap = mean of %zu readings, %s to %s = %s", g->readings,
	             fw_calc_figure(g->low, g->unit, a, sizeof a),
	             fw_calc_figure(g->high, g->unit, b, sizeof b),
	             fw_calc_figure(g->value, g->unit, c, sizeof c));
	fw_calc_line(out, "gap: u = √(typed² + gauge² + scatter²) = √((%s)² + (%s)² + (%s)²) = %s",
	             fw_calc_figure(g->typed_u, g->fine, a, sizeof a),
	             fw_calc_figure(g->gauge_u, g->fine, b, sizeof b),
	             fw_calc_figure(g->scatter_u, g->fine, c, sizeof c),
	             fw_calc_figure(g->u, g->fine, d, sizeof d));
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
	fw_calc_line(out, "u = √(gap² + gasket²) = √((%s)² + (%s)²) = %s",
	             fw_calc_figure(g->u, g->fine, a, sizeof a),
	             fw_calc_figure(c->stack.u, g->fine, b, sizeof b),
	             fw_calc_figure(c->u, g->fine, e, sizeof e));
}

/* P(the nip lies above `limit`), strictly: on a limit is within. */
static int above(double *out, const struct fw_shim_choice *c, double limit, double freedom,
                 struct fw_error *err)
{
	struct fw_limits beyond = {limit, INFINITY, NAN};

	if (c->u > 0.0)
		return fw_conform_probability(out, c->play, c->u, freedom, &beyond, err);
	*out = c->play > limit ? 1.0 : 0.0;
	return FW_OK;
}

/* Both ways to go wrong: the bearing is loose, or it is crushed and the cover bent. */
static int put_risks(struct fw_calc_out *out, const struct fw_shim_choice *c,
                     const struct fw_limits *nip, double freedom, struct fw_error *err)
{
	struct fw_shim_choice turned = *c;
	double p = 0.0;

	turned.play = -c->play;
	int rc = above(&p, &turned, 0.0, freedom, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_put_chance(out, "float-risk", "chance of float instead of nip", p);
	if (isinf(nip->max))
		return FW_OK;
	rc = above(&p, c, nip->max, freedom, err);
	if (rc == FW_OK)
		fw_calc_put_chance(out, "crush-risk", "chance of more nip than allowed", p);
	return rc;
}

static int put_choice(struct fw_calc_out *out, const struct gap *g, const struct fw_calc_kit *kit,
                      const struct fw_limits *nip, struct fw_shim_choice *c, struct fw_error *err)
{
	struct fw_calc_kit_words words = {"nip", "gasket", "clamped thickness", ", clamped", INFINITY};
	bool fits = !isnan(c->play);
	int rc = fits ? freedom_of(&words.freedom, g, c->stack.u, err) : FW_OK;

	/* The choice itself is made with the normal distribution. */
	if (rc == FW_OK && fits && isfinite(words.freedom))
		rc = fw_conform_probability(&c->probability, c->play, c->u, words.freedom, nip, err);
	if (rc != FW_OK)
		return rc;
	show_gap(out, g, nip);
	show_choice(out, g, kit, nip, c);
	fw_calc_kit_put(out, kit, c, nip, &words, g->unit);
	return fits ? put_risks(out, c, nip, words.freedom, err) : FW_OK;
}

static int choose(struct fw_calc_out *out, const struct fw_calc_values *in,
                  const struct fw_calc_kit *kit, struct fw_error *err)
{
	struct gap g;
	struct fw_limits nip;
	struct fw_shim_choice c = {.wanted = NAN};
	struct fw_error why = {0};
	size_t most = 0;

	int rc = fw_calc_kit_limits(&nip, in, err);
	if (rc == FW_OK)
		rc = fw_calc_kit_most(&most, in, err);
	if (rc == FW_OK)
		rc = take_gap(&g, in, err);
	if (rc != FW_OK)
		return rc;
	rc = fw_gasket_choose(&c, g.value, g.u, kit->shim, kit->count, most, &nip, &why);
	if (fw_calc_kit_nothing(rc, &c)) { /* an answer too */
		fw_calc_warn(out, "%s", why.text);
		rc = FW_OK;
	}
	if (rc != FW_OK)
		return fw_fail(err, rc, "%s", why.text);
	return put_choice(out, &g, kit, &nip, &c, err);
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
    FW_KIT_THICKNESS("of one gasket, new, ± (k = 2)"),
    {.name = "crush",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_NOT_NEGATIVE,
     .fallback = "0",
     .doc = "share it loses when clamped, ± (k = 2): \"20 % ± 4 %\""},
    FW_KIT_COUNT,
    {.name = NULL}};

static const struct fw_calc_input inputs[] = {
    {.name = "gap",
     .kind = FW_CALC_QUANTITIES,
     .unit = "mm",
     .sign = FW_CALC_POSITIVE,
     .required = true,
     .doc = "gap under the bare cover, read around it, ± (k = 2)"},
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
    FW_KIT_SPREAD("gauge", "± shared by the readings typed without one (k = 2)"),
    {.name = "most", .kind = FW_CALC_WHOLE, .fallback = "1", .doc = "most gaskets in a pack, to 8"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_gasket = {
    .name = "gasket",
    .summary = "gasket for a cover or retainer, from the gap it leaves bare",
    .about = "A cover set down bare and finger tight rests on the bearing and stands off its\n"
             "seat by the gap. With a gasket of clamped thickness t the bearing is nipped by\n"
             "gap - t; negative is float. Chooses the gasket likeliest to bring the nip\n"
             "within its limits. Too thin a gasket crushes the bearing or bends the cover,\n"
             "too thick a one lets it walk: both chances are told. Where the readings scatter\n"
             "they are by Student's t, which allows for how few there are. A cover that goes\n"
             "down bare does not reach the bearing: measure its float instead.",
    .source = "subtraction, common practice, no source; probability: JCGM 106:2012, 7.3; degrees "
              "of freedom: JCGM 100:2008, G.4.1",
    .example = "--gap 0.50 --gap 0.52 --gap 0.51 --kit \"0.40, crush=20 % ± 4 %\" --kit \"0.50, "
               "crush=20 % ± 4 %\" --kit \"0.80, crush=20 % ± 4 %\" --min 0.05 --max 0.15 --gauge "
               "0.02",
    .inputs = inputs,
    .plain = true,
    .run = run};
