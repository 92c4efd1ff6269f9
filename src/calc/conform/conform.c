/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/conform.h"

#include <math.h>
#include <string.h>

#include "calc/conform/common.h"
#include "calc/list.h"
#include "fitwright/risk.h"

/* What is judged. */
struct judged {
	double value, u, freedom, asked;
	struct fw_limits limits;
	const struct fw_unit *unit, *fine;
};

static int take_uncertainty(struct judged *j, const struct fw_calc_values *in, struct fw_error *err)
{
	const struct fw_quantity *value = fw_calc_quantity(in, "value");

	j->u = fw_quantity_u(value);
	j->freedom = fw_quantity_freedom(value);
	if (fw_calc_given(in, "uncertainty")) {
		if (j->u > 0.0)
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "uncertainty: the value has its own already; give it once");
		j->u = fw_calc_value(in, "uncertainty") / 2.0;
	}
	if (fw_calc_given(in, "freedom"))
		j->freedom = fw_calc_value(in, "freedom");
	return FW_OK;
}

static int take(struct judged *j, const struct fw_calc_values *in, struct fw_error *err)
{
	static const char *const names[] = {"value", "min", "max", "uncertainty", NULL};

	*j = (struct judged){.value = fw_calc_value(in, "value"),
	                     .asked = fw_calc_value(in, "asked"),
	                     .unit = fw_calc_unit(in, "value")};
	j->fine = fw_calc_fine(j->unit);
	int code = fw_calc_usable(in, names, err);
	if (code == FW_OK)
		code = fw_calc_limits(&j->limits, in, err);
	if (code == FW_OK)
		code = take_uncertainty(j, in, err);
	if (code == FW_OK && j->u > 0.0 && !(j->u >= 1e-30 && j->u <= 1e9))
		code = fw_fail(err, FW_ERR_RANGE, "value: its uncertainty is too %s to be worked with",
		               j->u < 1e-30 ? "small" : "large");
	return code;
}

/* P(the true value lies beyond this limit), as a one-sided conformity. */
static double beyond(const struct judged *j, bool above)
{
	struct fw_limits rest = {above ? j->limits.max : -INFINITY, above ? INFINITY : j->limits.min,
	                         NAN};
	double p = 0.0;

	if (isinf(rest.min) && isinf(rest.max))
		return 0.0;
	fw_conform_probability(&p, j->value, j->u, j->freedom, &rest, NULL);
	return p;
}

static void show_tail(struct fw_calc_out *out, const struct judged *j, bool above)
{
	char figure[5][FW_FIGURE];
	double limit = above ? j->limits.max : j->limits.min;
	double room = above ? limit - j->value : j->value - limit;

	if (isinf(limit))
		return;
	fw_calc_line(out, "room to %s = %s - %s = %s = %s·u; P(%s) = %s", above ? "max" : "min",
	             fw_calc_figure(above ? limit : j->value, j->unit, figure[0], FW_FIGURE),
	             fw_calc_figure(above ? j->value : limit, j->unit, figure[1], FW_FIGURE),
	             fw_calc_figure(room, fw_calc_span_unit(j->unit), figure[2], FW_FIGURE),
	             fw_calc_plain(room / j->u, figure[3]), above ? "above max" : "below min",
	             fw_calc_plain(beyond(j, above), figure[4]));
}

static void show_probability(struct fw_calc_out *out, const struct judged *j,
                             const struct fw_conformity *c)
{
	char figure[5][FW_FIGURE];

	if (j->u == 0.0) {
		fw_calc_warn(out, "no uncertainty is given: the verdict is one on the number, not on the "
		                  "part; type the value with its ±");
		fw_calc_line(out, "u = 0: %s is %s its limits",
		             fw_calc_figure(j->value, j->unit, figure[0], FW_FIGURE),
		             c->probability == 1.0 ? "inside" : "outside");
		return;
	}
	fw_calc_line(out, "u = U/2 = %s/2 = %s, %s",
	             fw_calc_figure(2.0 * j->u, j->fine, figure[0], FW_FIGURE),
	             fw_calc_figure(j->u, j->fine, figure[1], FW_FIGURE),
	             isinf(j->freedom) ? "normal" : "Student's t");
	if (isfinite(j->freedom))
		fw_calc_line(out, "degrees of freedom = %s", fw_calc_plain(j->freedom, figure[0]));
	show_tail(out, j, false);
	show_tail(out, j, true);
	fw_calc_line(out, "P(within) = 1 - %s - %s = %s, asked for %s",
	             fw_calc_plain(beyond(j, false), figure[0]),
	             fw_calc_plain(beyond(j, true), figure[1]),
	             fw_calc_plain(c->probability, figure[2]), fw_calc_plain(j->asked, figure[3]));
}

static void put_verdict(struct fw_calc_out *out, const struct judged *j,
                        const struct fw_conformity *c)
{
	double index = 0.0;

	fw_calc_put_text(out, "verdict", "verdict", fw_verdict_name(c->verdict));
	fw_calc_put_chance(out, "probability", "probability within", c->probability);
	fw_calc_put_span(out, "margin", "margin to the nearer limit", c->margin, j->unit);
	fw_calc_put_span(out, "u", "standard uncertainty", j->u, j->fine);
	if (isfinite(j->limits.max - j->limits.min) && j->u > 0.0 &&
	    fw_risk_capability(&index, &j->limits, j->u, NULL) == FW_OK)
		fw_calc_put_number(out, "capability", "capability index (tolerance/4u)", index);
	if (c->verdict == FW_OUTSIDE)
		fw_calc_warn(out, "the value is outside its limits");
	if (c->verdict == FW_DOUBTFUL)
		fw_calc_warn(out, "doubtful: nearer to a limit than the measurement can tell; measure "
		                  "better, or decide and say why");
}

/* Where to draw the line: by guard bands when asked for, else by the risk left. */
static int find_acceptance(struct fw_limits *acceptance, struct fw_calc_out *out,
                           const struct judged *j, const struct fw_calc_values *in,
                           struct fw_error *err)
{
	char figure[3][FW_FIGURE];

	if (fw_calc_given(in, "guard")) {
		double r = fw_calc_value(in, "guard");
		if (fabs(r) > FW_CALC_GUARD)
			return fw_fail(err, FW_ERR_ARGUMENT, "guard must lie between -100 and 100");
		fw_calc_line(out, "guard band g = r·U = %s·%s = %s", fw_calc_plain(r, figure[0]),
		             fw_calc_figure(2.0 * j->u, j->fine, figure[1], FW_FIGURE),
		             fw_calc_figure(2.0 * j->u * r, j->fine, figure[2], FW_FIGURE));
		return fw_risk_guard(acceptance, &j->limits, j->u, r, err);
	}
	int code = fw_risk_limits(acceptance, &j->limits, j->u, j->freedom, 1.0 - j->asked, err);
	if (code != FW_OK)
		return code;
	double guard =
	    isinf(j->limits.min) ? j->limits.max - acceptance->max : acceptance->min - j->limits.min;
	fw_calc_line(out, "guard band g for a risk of 1 - %s on the line: %s%s%s",
	             fw_calc_plain(j->asked, figure[0]),
	             fw_calc_figure(guard, j->fine, figure[1], FW_FIGURE), j->u > 0.0 ? " = u·" : "",
	             j->u > 0.0 ? fw_calc_plain(guard / j->u, figure[2]) : "");
	return FW_OK;
}

static int put_risk(struct fw_calc_out *out, const struct judged *j,
                    const struct fw_limits *acceptance, struct fw_error *err)
{
	struct fw_specific_risk risk;
	char figure[2][FW_FIGURE];

	int code = fw_risk_specific(&risk, j->value, j->u, j->freedom, &j->limits, acceptance, err);
	if (code != FW_OK)
		return code;
	fw_calc_line(
	    out, "accept from %s up to %s",
	    isinf(acceptance->min) ? "anything"
	                           : fw_calc_figure(acceptance->min, j->unit, figure[0], FW_FIGURE),
	    isinf(acceptance->max) ? "anything"
	                           : fw_calc_figure(acceptance->max, j->unit, figure[1], FW_FIGURE));
	fw_calc_put_limits(out, acceptance, j->unit);
	fw_calc_put_flag(out, "accepted", "accepted", risk.accepted);
	fw_calc_put_chance(out, "consumer-risk", "risk that what is accepted fails", risk.consumer);
	fw_calc_put_chance(out, "producer-risk", "risk that what is rejected is good", risk.producer);
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct judged j;
	struct fw_conformity c;
	struct fw_limits acceptance = {.aim = NAN};
	struct fw_error why = {0};

	int code = take(&j, in, err);
	if (code == FW_OK && !(j.asked > 0.5 && j.asked <= 1.0 - FW_RISK_LEAST))
		code = fw_fail(err, FW_ERR_ARGUMENT, "asked must lie between 50 %% and 99.9999 %%");
	if (code == FW_OK)
		code = fw_conform(&c, j.value, j.u, j.freedom, &j.limits, j.asked, err);
	if (code != FW_OK)
		return code;
	show_probability(out, &j, &c);
	put_verdict(out, &j, &c);
	code = find_acceptance(&acceptance, out, &j, in, &why);
	if (code == FW_ERR_RANGE) { /* too coarse a gauge accepts nothing; the verdict stands */
		bool prefixed = strncmp(why.text, "risk: ", 6) == 0;
		fw_calc_warn(out, "no acceptance limits: %s", why.text + (prefixed ? 6 : 0));
		return FW_OK;
	}
	if (code != FW_OK)
		return fw_fail(err, code, "%s", why.text);
	return put_risk(out, &j, &acceptance, err);
}

static const struct fw_calc_input inputs[] = {
    {.name = "value",
     .kind = FW_CALC_QUANTITY,
     .unit = "*mm",
     .required = true,
     .doc = "measured value, ± its expanded uncertainty (k = 2)"},
    {.name = "min",
     .kind = FW_CALC_QUANTITY,
     .unit = "=value",
     .doc = "least allowed; open if not given"},
    {.name = "max",
     .kind = FW_CALC_QUANTITY,
     .unit = "=value",
     .doc = "most allowed; open if not given"},
    {.name = "uncertainty",
     .kind = FW_CALC_QUANTITY,
     .unit = "~value",
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "expanded (k = 2), for a value typed without ±"},
    {.name = "freedom",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_POSITIVE,
     .doc = "degrees of freedom; as the value has, else normal"},
    {.name = "asked",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_POSITIVE,
     .fallback = "95 %",
     .doc = "probability asked for"},
    {.name = "guard", .kind = FW_CALC_NUMBER, .doc = "r of guard bands g = r·U; else by 1 - asked"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_conform = {
    .name = "conform",
    .summary = "whether a value is within its limits, with its uncertainty",
    .about = "Judges a value against a least and a most allowed figure. It is within when the\n"
             "true value lies between them with the probability asked for, outside when it\n"
             "lies beyond with that probability, else doubtful. Acceptance limits tell from\n"
             "where a reading may be accepted without more risk than that. Limits are exact;\n"
             "the error of measurement is taken as normal, or as Student's t.",
    .source = "JCGM 106:2012, clauses 7, 8 and 9; ISO 14253-1 (95 %, from memory)",
    .example = "\"0.032 mm ± 0.008 mm\" --min \"0.01 mm\" --max \"0.05 mm\"",
    .inputs = inputs,
    .plain = true,
    .run = run};
