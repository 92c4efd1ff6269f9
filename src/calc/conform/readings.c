/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/readings.h"

#include <math.h>
#include <stdlib.h>

#include "calc/conform/common.h"
#include "calc/list.h"
#include "fitwright/measure.h"

/* Of three readings two alike make a slip of any third: too few to tell. */
#define FEWEST (FW_GRUBBS_FEWEST + 1)

/* Beyond so large a coverage factor (2.6 is Student's t of 5 degrees of freedom at 95 %) twice u
 * won't do. */
#define WIDE_COVERAGE 2.6

/* What the gauge adds: figures given, else those of a typical gauge. */
struct gauge {
	double resolution, error;
};

static int take_gauge(struct gauge *gauge, const struct fw_calc_values *in, struct fw_error *err)
{
	const char *name = fw_calc_text(in, "gauge");
	const struct fw_gauge *typical = name ? fw_gauge_typical(name) : NULL;
	struct fw_dimension read = fw_calc_unit(in, "reading")->dimension;

	if (name && (!typical || !fw_dimension_equal(typical->dimension, read)))
		return fw_fail(err, FW_ERR_NOT_FOUND,
		               "gauge: no typical gauge of that name gives such readings; give its "
		               "resolution and error instead");
	*gauge = (struct gauge){typical ? typical->resolution : 0.0, typical ? typical->error : 0.0};
	if (fw_calc_given(in, "resolution"))
		gauge->resolution = fw_calc_value(in, "resolution");
	if (fw_calc_given(in, "error"))
		gauge->error = fw_calc_value(in, "error");
	return FW_OK;
}

static int take_readings(double **out, size_t *count, const struct fw_calc_values *in,
                         struct fw_error *err)
{
	*count = fw_calc_count(in, "reading");
	*out = malloc(*count * sizeof **out);
	if (!*out)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	for (size_t i = 0; i < *count; i++)
		(*out)[i] = fw_calc_item(in, "reading", i);
	return FW_OK;
}

struct sheet {
	struct fw_readings readings;
	struct fw_readings_budget budget;
	struct fw_grubbs grubbs;
	struct gauge gauge;
	double level, significance;
	const struct fw_unit *unit, *fine;
};

static void show_scatter(struct fw_calc_out *out, const struct sheet *s)
{
	char figure[3][FW_FIGURE];

	fw_calc_line(out, "mean of %zu = %s", s->readings.count,
	             fw_calc_figure(s->readings.mean, s->unit, figure[0], FW_FIGURE));
	if (s->readings.count == 1) {
		fw_calc_warn(out, "one reading tells nothing of its scatter: read again");
		return;
	}
	fw_calc_line(out, "s = √(Σ(x - mean)²/%zu) = %s", s->readings.count - 1,
	             fw_calc_figure(s->readings.sd, s->fine, figure[0], FW_FIGURE));
	fw_calc_line(out, "scatter (type A): s/√%zu = %s", s->readings.count,
	             fw_calc_figure(s->budget.scatter, s->fine, figure[0], FW_FIGURE));
}

static void show_budget(struct fw_calc_out *out, const struct sheet *s)
{
	const struct fw_readings_budget *b = &s->budget;
	char figure[4][FW_FIGURE];

	fw_calc_line(out, "resolution (type B): %s/√12 = %s",
	             fw_calc_figure(s->gauge.resolution, s->fine, figure[0], FW_FIGURE),
	             fw_calc_figure(b->resolution, s->fine, figure[1], FW_FIGURE));
	fw_calc_line(out, "limit of error (type B): %s/√3 = %s",
	             fw_calc_figure(s->gauge.error, s->fine, figure[0], FW_FIGURE),
	             fw_calc_figure(b->error, s->fine, figure[1], FW_FIGURE));
	fw_calc_line(out, "u = √(scatter² + resolution² + error²) = %s",
	             fw_calc_figure(b->u, s->fine, figure[0], FW_FIGURE));
	if (isfinite(b->freedom))
		fw_calc_line(out, "degrees of freedom = %zu·(u/scatter)⁴ = %s", s->readings.count - 1,
		             fw_calc_plain(b->freedom, figure[0]));
	fw_calc_line(
	    out, "U = k·u = %s·%s = %s, k from %s at %s", fw_calc_plain(b->coverage, figure[0]),
	    fw_calc_figure(b->u, s->fine, figure[1], FW_FIGURE),
	    fw_calc_figure(b->expanded, s->fine, figure[2], FW_FIGURE),
	    isfinite(b->freedom) ? "Student's t" : "the normal", fw_calc_plain(s->level, figure[3]));
	if (b->coverage > WIDE_COVERAGE)
		fw_calc_warn(
		    out,
		    "so few readings: twice the standard uncertainty, as ± is shown, covers less than "
		    "it should; U, with k = %s, is right",
		    fw_calc_plain(b->coverage, figure[0]));
	if (b->u == 0.0)
		fw_calc_warn(out, "readings all alike and no gauge given: what is uncertain isn't known; "
		                  "give the gauge, or its resolution and error");
}

static void show_suspect(struct fw_calc_out *out, const struct sheet *s, double suspect)
{
	const struct fw_grubbs *g = &s->grubbs;
	char figure[4][FW_FIGURE];

	fw_calc_line(out, "furthest out: reading %zu, G = |%s - mean|/s = %s", g->index + 1,
	             fw_calc_figure(suspect, s->unit, figure[0], FW_FIGURE),
	             fw_calc_plain(g->g, figure[1]));
	fw_calc_line(out, "G for %zu readings at %s, either side = %s", s->readings.count,
	             fw_calc_plain(s->significance, figure[0]), fw_calc_plain(g->critical, figure[1]));
	if (g->scale_step)
		fw_calc_line(out, "but it is only a step of the scale from the next: no slip");
	if (g->outlying)
		fw_calc_warn(out,
		             "reading %zu (%s) stands apart: a slip, or something moved; read again and "
		             "find out why before leaving it out",
		             g->index + 1, fw_calc_figure(suspect, s->unit, figure[0], FW_FIGURE));
}

static void put(struct fw_calc_out *out, const struct sheet *s)
{
	const struct fw_readings_budget *b = &s->budget;

	fw_calc_put_known(out, "mean", "mean", s->readings.mean, b->u, b->freedom, s->unit);
	fw_calc_put_span(out, "expanded", "expanded uncertainty U", b->expanded, s->fine);
	fw_calc_put_number(out, "coverage", "coverage factor k", b->coverage);
	fw_calc_put_span(out, "u", "standard uncertainty", b->u, s->fine);
	fw_calc_put_number(out, "freedom", "degrees of freedom", b->freedom);
	fw_calc_put_span(out, "sd", "standard deviation", s->readings.sd, s->fine);
	fw_calc_put_span(out, "scatter", "of scatter", b->scatter, s->fine);
	fw_calc_put_span(out, "resolution-u", "of resolution", b->resolution, s->fine);
	fw_calc_put_span(out, "error-u", "of limit of error", b->error, s->fine);
	fw_calc_put_number(out, "lag-1", "autocorrelation (lag 1)", s->readings.lag1);
}

static void put_suspect(struct fw_calc_out *out, const struct sheet *s, double suspect)
{
	fw_calc_put_flag(out, "slip", "a reading stands apart", s->grubbs.outlying);
	fw_calc_put_number(out, "suspect", "furthest out, reading no.", (double)s->grubbs.index + 1.0);
	fw_calc_put(out, "suspect-value", "its value", suspect, s->unit);
	fw_calc_put_number(out, "g", "its G", s->grubbs.g);
	fw_calc_put_number(out, "g-critical", "G allowed", s->grubbs.critical);
	fw_calc_put_chance(out, "chance", "chance of that without a slip", s->grubbs.chance);
}

static int work_out(struct sheet *s, const double *x, size_t count, struct fw_error *err)
{
	int code = fw_readings_describe(&s->readings, x, count, err);
	if (code == FW_OK)
		code = fw_readings_budget(&s->budget, &s->readings, s->gauge.resolution, s->gauge.error,
		                          s->level, err);
	if (code == FW_OK && count >= FEWEST)
		code = fw_grubbs(&s->grubbs, x, count, s->gauge.resolution, s->significance,
		                 FW_GRUBBS_EITHER, err);
	return code;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct sheet s = {.level = fw_calc_value(in, "coverage"),
	                  .significance = fw_calc_value(in, "significance"),
	                  .unit = fw_calc_unit(in, "reading")};
	static const char *const names[] = {"reading", "resolution", "error", NULL};
	double *x = NULL;
	size_t count = 0;

	s.fine = fw_calc_fine(s.unit);
	int code = fw_calc_usable(in, names, err);
	if (code == FW_OK)
		code = take_gauge(&s.gauge, in, err);
	if (code == FW_OK)
		code = take_readings(&x, &count, in, err);
	if (code == FW_OK)
		code = work_out(&s, x, count, err);
	if (code == FW_OK) {
		show_scatter(out, &s);
		show_budget(out, &s);
		put(out, &s);
	}
	if (code == FW_OK && count >= FEWEST) {
		show_suspect(out, &s, x[s.grubbs.index]);
		put_suspect(out, &s, x[s.grubbs.index]);
	}
	free(x);
	return code;
}

static const struct fw_calc_input inputs[] = {
    {.name = "reading",
     .kind = FW_CALC_QUANTITIES,
     .unit = "*mm",
     .required = true,
     .doc = "one reading each, in the order taken; a ± isn't used"},
    {.name = "gauge", .kind = FW_CALC_TEXT, .doc = "a typical gauge, such as \"dial indicator\""},
    {.name = "resolution",
     .kind = FW_CALC_QUANTITY,
     .unit = "~reading",
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "least step of the scale that is read"},
    {.name = "error",
     .kind = FW_CALC_QUANTITY,
     .unit = "~reading",
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "limit of error of the gauge"},
    {.name = "coverage",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_POSITIVE,
     .fallback = "95 %",
     .doc = "probability that U covers"},
    {.name = "significance",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_POSITIVE,
     .fallback = "5 %",
     .doc = "how rare a stray reading must be"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_readings = {
    .name = "readings",
    .summary = "mean of readings, its uncertainty, and whether one is a slip",
    .about = "Mean and scatter of readings of one thing, with what the gauge adds: rectangles\n"
             "for the step of its scale and for its limit of error. The coverage factor is\n"
             "Student's t for the effective degrees of freedom. Grubbs' test judges the\n"
             "reading furthest out (from three up; one suspect at a time; normal scatter).",
    .source = "JCGM 100:2008, 4.2, 4.3.7, F.2.2.1 and annex G; NIST/SEMATECH e-Handbook,\n"
              "1.3.5.17.1 (Grubbs' test); typical gauges: common practice, no source",
    .example =
        "\"0.41 mm\" \"0.43 mm\" \"0.42 mm\" \"0.41 mm\" \"0.42 mm\" --gauge \"dial indicator\"",
    .inputs = inputs,
    .plain = true,
    .run = run};
