/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/risk.h"

#include <math.h>

#include "calc/conform/common.h"
#include "calc/list.h"

struct plan {
	struct fw_process process;
	struct fw_limits tolerance, acceptance;
	double u;
	const struct fw_unit *unit, *fine;
};

static int take(struct plan *p, struct fw_calc_out *out, const struct fw_calc_values *in,
                struct fw_error *err)
{
	static const char *const names[] = {"mean", "sd", "min", "max", "uncertainty", NULL};
	char figure[3][FW_FIGURE];
	double r = fw_calc_value(in, "guard");

	*p = (struct plan){.process = {fw_calc_value(in, "mean"), fw_calc_value(in, "sd")},
	                   .u = fw_calc_value(in, "uncertainty") / 2.0,
	                   .unit = fw_calc_unit(in, "mean")};
	p->fine = fw_calc_fine(p->unit);
	int code = fw_calc_usable(in, names, err);
	if (code == FW_OK && fabs(r) > FW_CALC_GUARD)
		code = fw_fail(err, FW_ERR_ARGUMENT, "guard must lie between -100 and 100");
	if (code == FW_OK)
		code = fw_calc_limits(&p->tolerance, in, err);
	if (code == FW_OK)
		code = fw_risk_guard(&p->acceptance, &p->tolerance, p->u, r, err);
	if (code != FW_OK)
		return code;
	fw_calc_line(out, "u = U/2 = %s/2 = %s",
	             fw_calc_figure(2.0 * p->u, p->fine, figure[0], FW_FIGURE),
	             fw_calc_figure(p->u, p->fine, figure[1], FW_FIGURE));
	fw_calc_line(out, "guard band g = r·U = %s·%s = %s", fw_calc_plain(r, figure[0]),
	             fw_calc_figure(2.0 * p->u, p->fine, figure[1], FW_FIGURE),
	             fw_calc_figure(r * 2.0 * p->u, p->fine, figure[2], FW_FIGURE));
	return FW_OK;
}

/* "1.5·s" from the mean; an open side has none. */
static void show_limit(struct fw_calc_out *out, const struct plan *p, const char *name,
                       double limit, double spread, const char *what)
{
	char figure[4][FW_FIGURE];

	if (isinf(limit))
		return;
	fw_calc_line(out, "%s %s: (%s - %s)/%s = %s", name,
	             fw_calc_figure(limit, p->unit, figure[0], FW_FIGURE),
	             fw_calc_figure(limit, p->unit, figure[0], FW_FIGURE),
	             fw_calc_figure(p->process.mean, p->unit, figure[1], FW_FIGURE), what,
	             fw_calc_plain((limit - p->process.mean) / spread, figure[2]));
}

static void show(struct fw_calc_out *out, const struct plan *p, const struct fw_global_risk *risk)
{
	char figure[4][FW_FIGURE];
	double spread = hypot(p->process.sd, p->u);

	show_limit(out, p, "min", p->tolerance.min, p->process.sd, "s");
	show_limit(out, p, "max", p->tolerance.max, p->process.sd, "s");
	fw_calc_line(out, "good, by tables of the normal: %s",
	             fw_calc_plain(risk->conforming, figure[0]));
	fw_calc_line(out, "measured values scatter by sm = √(s² + u²) = %s",
	             fw_calc_figure(spread, p->fine, figure[0], FW_FIGURE));
	show_limit(out, p, "accept from", p->acceptance.min, spread, "sm");
	show_limit(out, p, "accept up to", p->acceptance.max, spread, "sm");
	fw_calc_line(out, "accepted, by tables of the normal: %s",
	             fw_calc_plain(risk->accepted, figure[0]));
	fw_calc_line(out, "consumer's = ∫ outside g(y)·P(accepted | y) dy = %s",
	             fw_calc_plain(risk->consumer, figure[0]));
	fw_calc_line(out, "producer's = ∫ inside g(y)·P(rejected | y) dy = %s",
	             fw_calc_plain(risk->producer, figure[0]));
	fw_calc_line(out, "check: accepted - consumer's = %s, good - producer's = %s",
	             fw_calc_plain(risk->accepted - risk->consumer, figure[0]),
	             fw_calc_plain(risk->conforming - risk->producer, figure[1]));
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct plan p;
	struct fw_global_risk risk;
	double index = 0.0;

	int code = take(&p, out, in, err);
	if (code == FW_OK)
		code = fw_risk_global(&risk, &p.process, p.u, &p.tolerance, &p.acceptance, err);
	if (code != FW_OK)
		return code;
	show(out, &p, &risk);
	fw_calc_put_limits(out, &p.acceptance, p.unit);
	fw_calc_put_chance(out, "conforming", "share that is good", risk.conforming);
	fw_calc_put_chance(out, "accepted", "share that is accepted", risk.accepted);
	fw_calc_put_chance(out, "consumer-risk", "accepted, though bad", risk.consumer);
	fw_calc_put_chance(out, "producer-risk", "rejected, though good", risk.producer);
	if (risk.accepted > 0.0)
		fw_calc_put_chance(out, "bad-among-accepted", "bad among the accepted",
		                   fmin(risk.consumer / risk.accepted, 1.0));
	if (isfinite(p.tolerance.max - p.tolerance.min) && p.u > 0.0 &&
	    fw_risk_capability(&index, &p.tolerance, p.u, NULL) == FW_OK)
		fw_calc_put_number(out, "capability", "capability index (tolerance/4u)", index);
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {
    {.name = "mean",
     .kind = FW_CALC_QUANTITY,
     .unit = "*mm",
     .required = true,
     .doc = "mean of all parts"},
    {.name = "sd",
     .kind = FW_CALC_QUANTITY,
     .unit = "~mean",
     .sign = FW_CALC_POSITIVE,
     .required = true,
     .doc = "standard deviation of the parts themselves"},
    {.name = "uncertainty",
     .kind = FW_CALC_QUANTITY,
     .unit = "~mean",
     .sign = FW_CALC_NOT_NEGATIVE,
     .required = true,
     .doc = "expanded uncertainty (k = 2) of one measurement"},
    {.name = "min",
     .kind = FW_CALC_QUANTITY,
     .unit = "=mean",
     .doc = "least allowed; open if not given"},
    {.name = "max",
     .kind = FW_CALC_QUANTITY,
     .unit = "=mean",
     .doc = "most allowed; open if not given"},
    {.name = "guard",
     .kind = FW_CALC_NUMBER,
     .fallback = "0",
     .doc = "r of guard bands g = r·U; below 0: outwards"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_risk = {
    .name = "risk",
    .summary = "shares of parts wrongly accepted and wrongly rejected",
    .about = "For many parts, each measured once: how many bad ones pass, and how many good\n"
             "ones are turned away, by the scatter of the parts, the uncertainty of the\n"
             "measurement and the guard bands. Parts and errors are taken as normal: not for\n"
             "what can't fall below zero and lies near it, such as runout.",
    .source = "JCGM 106:2012, clause 9.5 (global consumer's and producer's risk)",
    .example =
        "--mean \"25.000 mm\" --sd \"0.006 mm\" --uncertainty \"0.004 mm\" --min \"24.99 mm\" "
        "--max \"25.01 mm\" --guard 0.5",
    .inputs = inputs,
    .plain = true,
    .run = run};
