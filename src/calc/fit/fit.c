/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/fit.h"

#include <math.h>
#include <stdio.h>

#include "calc/fit/common.h"
#include "fitwright/conform.h"

/* What is asked about: from `fit`, or from its parts. */
static int take_class(struct fw_fit_class *into, bool *has, const struct fw_calc_values *in,
                      const char *name, bool hole, struct fw_error *err)
{
	struct fw_fit_class part;

	if (!fw_calc_given(in, name))
		return FW_OK;
	if (*has)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: the %s is given twice, in fit and by itself",
		               name);

	int rc = fw_fit_class_parse(&part, fw_calc_text(in, name), err);
	if (rc != FW_OK)
		return rc;
	if (part.hole != hole)
		return fw_fail(err, FW_ERR_INPUT, "fit: %s takes a %s letter", name,
		               hole ? "capital" : "small");
	*into = part;
	*has = true;
	return FW_OK;
}

static int take(struct fw_fit_text *asked, const struct fw_calc_values *in, struct fw_error *err)
{
	int rc = FW_OK;

	*asked = (struct fw_fit_text){.size = NAN};
	if (fw_calc_given(in, "fit"))
		rc = fw_fit_parse(asked, fw_calc_text(in, "fit"), err);
	if (rc == FW_OK)
		rc = take_class(&asked->hole, &asked->has_hole, in, "hole", true, err);
	if (rc == FW_OK)
		rc = take_class(&asked->shaft, &asked->has_shaft, in, "shaft", false, err);
	if (rc != FW_OK)
		return rc;
	if (!asked->has_hole && !asked->has_shaft)
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "fit: the fit is missing: give fit (25 H7/g6), or hole (H7), shaft (g6) or both");
	if (fw_calc_given(in, "size")) {
		if (!isnan(asked->size) && fabs(asked->size - fw_calc_value(in, "size")) > 1e-9)
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "fit: the size stands in fit and in size, and they differ");
		asked->size = fw_calc_value(in, "size");
	}
	if (isnan(asked->size))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "fit: the nominal size is missing: write 25 H7/g6, or give size");
	return FW_OK;
}

static const char *class_text(const struct fw_fit_class *part, char text[24])
{
	snprintf(text, 24, "%s%s%d", part->letter, part->grade < 0 ? "0" : "",
	         part->grade < 0 ? 1 : part->grade);
	return text;
}

/* A measured part in its zone; the zone's ends are sums of decimal figures, hence the picometre. */
static int judge(struct fw_calc_out *out, const struct fw_quantity *measured,
                 const struct fw_fit_zone *zone, const char *what, struct fw_error *err)
{
	struct fw_limits limits = {.min = zone->min - 1e-12, .max = zone->max + 1e-12, .aim = NAN};
	struct fw_conformity verdict;
	int rc = fw_conform(&verdict, measured->value, fw_quantity_u(measured),
	                    fw_quantity_freedom(measured), &limits, FW_CONFORMANCE, err);

	if (rc != FW_OK)
		return rc;
	fw_calc_put(out, "measured", "measured", measured->value, measured->unit);
	fw_calc_put_text(out, "verdict", "verdict", fw_verdict_name(verdict.verdict));
	if (verdict.verdict == FW_OUTSIDE)
		fw_calc_warn(out, "the %s is outside its limits", what);
	else if (verdict.verdict == FW_DOUBTFUL)
		fw_calc_warn(out, "the %s is doubtful: too near a limit for how it was measured", what);
	return FW_OK;
}

static int put_part(struct fw_calc_out *out, const struct fw_calc_values *in, double size,
                    const struct fw_fit_class *part, const struct fw_fit_zone *zone,
                    const struct fw_unit *unit, struct fw_error *err)
{
	const struct fw_unit *um = fw_calc_symbol("µm");
	const char *what = part->hole ? "hole" : "shaft";
	char name[24], a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE];

	class_text(part, name);
	fw_calc_figure(size, unit, a, sizeof a);
	fw_calc_figure(zone->lower, um, b, sizeof b);
	fw_calc_figure(zone->upper, um, c, sizeof c);
	fw_calc_line(out, "%s %s: %s = %s, %s = %s, tolerance %s", a, name, part->hole ? "EI" : "ei", b,
	             part->hole ? "ES" : "es", c, fw_calc_figure(zone->tolerance, um, d, sizeof d));
	fw_calc_line(out, "limits of the %s: %s + (%s) = %s to %s + (%s) = %s", what, a, b,
	             fw_calc_figure(zone->min, unit, d, sizeof d), a, c,
	             fw_calc_figure(zone->max, unit, e, sizeof e));
	fw_calc_row(out, "limits", "Limits");
	fw_calc_put_text(out, "part", "part", what);
	fw_calc_put_text(out, "class", "class", name);
	fw_calc_put(out, "min", "least size", zone->min, unit);
	fw_calc_put(out, "max", "greatest size", zone->max, unit);
	fw_calc_put(out, "lower", "lower deviation", zone->lower, um);
	fw_calc_put(out, "upper", "upper deviation", zone->upper, um);

	const struct fw_quantity *measured =
	    fw_calc_quantity(in, part->hole ? "measured-hole" : "measured-shaft");
	int rc = measured ? judge(out, measured, zone, what, err) : FW_OK;
	fw_calc_row_end(out);
	return rc;
}

static void put_pair(struct fw_calc_out *out, const struct fw_fit *fit)
{
	const struct fw_unit *um = fw_calc_symbol("µm");
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(out, "least clearance = EI - es = %s - (%s) = %s",
	             fw_calc_figure(fit->hole.lower, um, a, sizeof a),
	             fw_calc_figure(fit->shaft.upper, um, b, sizeof b),
	             fw_calc_figure(fit->clearance_min, um, c, sizeof c));
	fw_calc_line(out, "greatest clearance = ES - ei = %s - (%s) = %s",
	             fw_calc_figure(fit->hole.upper, um, a, sizeof a),
	             fw_calc_figure(fit->shaft.lower, um, b, sizeof b),
	             fw_calc_figure(fit->clearance_max, um, c, sizeof c));
	fw_calc_put_text(out, "kind", "kind of fit", fw_fit_kind_name(fit->kind));
	fw_calc_put(out, "clearance-min", "least clearance", fit->clearance_min, um);
	fw_calc_put(out, "clearance-max", "greatest clearance", fit->clearance_max, um);
}

static void put_measured(struct fw_calc_out *out, const struct fw_calc_values *in)
{
	const struct fw_unit *unit = fw_calc_unit(in, "measured-hole");
	double hole = fw_calc_value(in, "measured-hole"), shaft = fw_calc_value(in, "measured-shaft");
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	if (isnan(hole) || isnan(shaft))
		return;
	fw_calc_line(out, "clearance now = hole - shaft = %s - %s = %s",
	             fw_calc_figure(hole, unit, a, sizeof a), fw_calc_figure(shaft, unit, b, sizeof b),
	             fw_calc_figure(hole - shaft, unit, c, sizeof c));
	fw_calc_put(out, "clearance", "clearance now", hole - shaft, unit);
}

/* A measured part far from its nominal size is a slip. */
static int check_measured(const struct fw_calc_values *in, const char *name, double size,
                          struct fw_error *err)
{
	double measured = fw_calc_value(in, name);

	if (!isnan(measured) && !(fabs(measured - size) <= 0.1 * size))
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "fit: %s is more than a tenth away from the nominal size; in the right unit?", name);
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_fit_text asked;
	struct fw_fit fit = {.kind = FW_FIT_CLEARANCE};
	int rc = take(&asked, in, err);

	if (rc == FW_OK)
		rc = check_measured(in, "measured-hole", asked.size, err);
	if (rc == FW_OK)
		rc = check_measured(in, "measured-shaft", asked.size, err);
	if (rc == FW_OK && asked.has_hole)
		rc = fw_fit_zone(&fit.hole, asked.size, &asked.hole, err);
	if (rc == FW_OK && asked.has_shaft)
		rc = fw_fit_zone(&fit.shaft, asked.size, &asked.shaft, err);

	const struct fw_unit *unit = fw_calc_unit(in, "size");
	if (rc == FW_OK && asked.has_hole)
		rc = put_part(out, in, asked.size, &asked.hole, &fit.hole, unit, err);
	if (rc == FW_OK && asked.has_shaft)
		rc = put_part(out, in, asked.size, &asked.shaft, &fit.shaft, unit, err);
	if (rc != FW_OK)
		return rc;
	if (asked.has_hole && asked.has_shaft) {
		rc = fw_fit_pair(&fit, asked.size, &asked.hole, &asked.shaft, err);
		if (rc != FW_OK)
			return rc;
		put_pair(out, &fit);
	}
	put_measured(out, in);
	if (fw_calc_given(in, "measured-hole") && !asked.has_hole)
		fw_calc_warn(out,
		             "the hole was measured, but its class isn't given: nothing to judge it by");
	if (fw_calc_given(in, "measured-shaft") && !asked.has_shaft)
		fw_calc_warn(out,
		             "the shaft was measured, but its class isn't given: nothing to judge it by");
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {
    {"fit", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "25 H7/g6, H7/g6, 25 H7 or g6; sizes in mm"},
    {"size", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "nominal size, where the fit has none"},
    {"hole", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL, "class of the hole: H7"},
    {"shaft", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL, "class of the shaft: g6"},
    {"measured-hole", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "the hole as measured"},
    {"measured-shaft", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "the shaft as measured"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_fit = {
    .name = "fit",
    .summary = "limits of size and kind of fit by ISO 286, up to 500 mm",
    .about = "Limits of a hole, a shaft or both, the clearance between them, and whether parts\n"
             "as measured lie within. Sizes over 0 and up to 500 mm, grades 01, 0 and 1 to 18.\n"
             "The standard's printed tables are used. Limits hold at 20 °C. A clearance below\n"
             "zero is interference.",
    .source = "ISO 286-1:2010, tables 1 to 5, from public transcriptions",
    .example = "--fit '25 H7/g6' --measured-hole 25.018 --measured-shaft 24.985",
    .inputs = inputs,
    .run = run};
