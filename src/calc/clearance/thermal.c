/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "calc/clearance/common.h"
#include "calc/clearance/doubt.h"

/* Links whose working and rows are shown; a longer chain is only summed. */
#define SHOWN 50

/* The record when it has a temperature of its own, else what all share. */
static const struct fw_calc_values *where(const struct fw_calc_values *record,
                                          const struct fw_calc_values *in, const char *name)
{
	return fw_calc_given(record, name) ? record : in;
}

static int link_of(struct fw_thermal_link *link, const struct fw_calc_values *record,
                   const struct fw_calc_values *in, struct fw_error *err)
{
	*link = (struct fw_thermal_link){.name = fw_calc_text(record, "name"),
	                                 .length = fw_calc_value(record, "length"),
	                                 .cold = fw_calc_value(where(record, in, "cold"), "cold"),
	                                 .hot = fw_calc_value(where(record, in, "hot"), "hot")};
	int rc = fw_clearance_factor(&link->coefficient, record, err);
	if (rc != FW_OK)
		return rc;
	if (fw_calc_given(record, "expansion"))
		return fw_clearance_alpha(&link->alpha, &link->alpha_u, record, "expansion", "material",
		                          link->cold, link->hot, err);
	return fw_material_find(&link->material, fw_calc_text(record, "material"), err);
}

static int links_of(struct fw_thermal_link *link, const struct fw_calc_values *in, size_t count,
                    struct fw_error *err)
{
	int rc = FW_OK;

	for (size_t i = 0; rc == FW_OK && i < count; i++)
		rc = link_of(&link[i], fw_calc_record(in, "link", i), in, err);
	return rc;
}

/* What the ± of a link's figures, or of those it shares, does to the gap hot. */
static void doubt_link(struct fw_doubt *doubt, const struct fw_thermal_link *link, double change,
                       const struct fw_calc_values *record, const struct fw_calc_values *in)
{
	double rise = link->hot - link->cold, length = link->coefficient * link->length;
	double alpha = link->material ? link->material->alpha : link->alpha;

	fw_doubt_add(doubt, record, "length", change / link->length);
	fw_doubt_add(doubt, record, "expansion", 1e-6 * length * rise);
	fw_doubt_add(doubt, where(record, in, "hot"), "hot", length * alpha);
	fw_doubt_add(doubt, where(record, in, "cold"), "cold", -length * alpha);
}

static int doubt_of(double *u, const struct fw_thermal_link *link, const double *change,
                    size_t count, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_doubt doubt = {.list = NULL};

	fw_doubt_add(&doubt, in, "gap", 1.0);
	for (size_t i = 0; i < count; i++)
		doubt_link(&doubt, &link[i], change[i], fw_calc_record(in, "link", i), in);
	return fw_doubt_end(u, &doubt, err);
}

static void put_link(struct fw_calc_out *out, const struct fw_thermal_link *link, double change,
                     const struct fw_calc_values *record, const struct fw_unit *unit)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE];
	double alpha = link->material ? link->material->alpha : link->alpha;

	fw_calc_line(out, "%s: %s × %s × %s/10⁶ × %s K = %s", link->name,
	             fw_calc_plain(link->coefficient, a),
	             fw_calc_figure(link->length, fw_calc_unit(record, "length"), b, sizeof b),
	             fw_calc_plain(alpha * 1e6, c), fw_calc_plain(link->hot - link->cold, d),
	             fw_calc_figure(change, unit, e, sizeof e));
	fw_calc_row(out, "links", "What each link adds to the gap");
	fw_calc_put_text(out, "name", "link", link->name);
	fw_calc_put_number(out, "alpha", "α/10⁻⁶", alpha * 1e6);
	fw_calc_put(out, "change", "change", change, unit);
	fw_calc_row_end(out);
}

static void put_gap(struct fw_calc_out *out, struct fw_thermal *thermal, double cold, double doubt,
                    const struct fw_unit *unit)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(out, "gap hot = %s + (%s) = %s", fw_calc_figure(cold, unit, a, sizeof a),
	             fw_calc_figure(thermal->change, unit, b, sizeof b),
	             fw_calc_figure(thermal->hot, unit, c, sizeof c));
	thermal->hot_u = fw_clearance_doubt_line(out, thermal->hot_u, doubt, unit);
	fw_calc_put(out, "cold", "gap cold", cold, unit);
	fw_calc_put(out, "change", "change", thermal->change, unit);
	fw_calc_put_known(out, "hot", "gap hot", thermal->hot, thermal->hot_u, INFINITY, unit);
	fw_calc_put(out, "hot-u", "standard uncertainty of that", thermal->hot_u, fw_calc_fine(unit));
	fw_calc_put_text(out, "way", "with heat the gap",
	                 thermal->change > 0.0   ? "opens"
	                 : thermal->change < 0.0 ? "closes"
	                                         : "stays");
}

static int judge(struct fw_calc_out *out, const struct fw_thermal *thermal, double cold,
                 const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_limits limits;
	struct fw_conformity conformity;
	bool given = false;
	int rc = fw_clearance_limits(&limits, &given, in, err);

	if (rc == FW_OK && given)
		rc = fw_conform(&conformity, fw_limits_snap(thermal->hot, &limits), thermal->hot_u,
		                INFINITY, &limits, FW_CONFORMANCE, err);
	if (rc != FW_OK)
		return rc;
	if (thermal->hot < 0.0 && cold >= 0.0)
		fw_calc_warn(out, "the gap is used up before it is hot: the parts jam");
	if (!given)
		return FW_OK;
	fw_calc_put_text(out, "verdict", "hot, against the limits",
	                 fw_verdict_name(conformity.verdict));
	fw_calc_put_chance(out, "probability", "probability of being within", conformity.probability);
	if (conformity.verdict != FW_WITHIN)
		fw_calc_warn(out, "hot, the gap is %s against its limits",
		             fw_verdict_name(conformity.verdict));
	return FW_OK;
}

static int work_out(struct fw_calc_out *out, const struct fw_calc_values *in,
                    const struct fw_thermal_link *link, double *change, size_t count,
                    struct fw_error *err)
{
	const struct fw_unit *unit = fw_calc_unit(in, "gap");
	struct fw_thermal_start start = {.gap = fw_calc_value(in, "gap")};
	struct fw_thermal thermal;
	double doubt = 0.0;
	int rc = fw_thermal_gap(&thermal, change, link, count, &start, err);

	if (rc == FW_OK)
		rc = doubt_of(&doubt, link, change, count, in, err);
	if (rc != FW_OK)
		return rc;
	for (size_t i = 0; i < count && i < SHOWN; i++)
		put_link(out, &link[i], change[i], fw_calc_record(in, "link", i), unit);
	put_gap(out, &thermal, start.gap, doubt, unit);
	return judge(out, &thermal, start.gap, in, err);
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	size_t count = fw_calc_count(in, "link");
	struct fw_thermal_link *link = (struct fw_thermal_link *)calloc(count, sizeof *link);
	double *change = (double *)calloc(count, sizeof *change);
	int rc = FW_OK;

	if (!link || !change) {
		rc = fw_fail(err, FW_ERR_MEMORY, "thermal: out of memory");
	} else {
		rc = links_of(link, in, count, err);
		if (rc == FW_OK)
			rc = work_out(out, in, link, change, count, err);
	}
	free(change);
	free(link);
	return rc;
}

static const struct fw_calc_input fields[] = {
    {"name", FW_CALC_TEXT, NULL, FW_CALC_ANY, true, NULL, NULL, NULL, "what it is"},
    {"length", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL, "cold"},
    {"factor", FW_CALC_NUMBER, NULL, FW_CALC_ANY, false, "1", NULL, NULL,
     "1 opens the gap, -1 closes it"},
    {"material", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, "steel", FW_MATERIAL_CHOICES, NULL,
     "what it is of"},
    {"expansion", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "instead: α in millionths per kelvin"},
    {"cold", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, false, NULL, NULL, NULL, "if not as the others"},
    {"hot", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, false, NULL, NULL, NULL, "if not as the others"},
    FW_INPUT_END};

static const struct fw_calc_input inputs[] = {
    {"link", FW_CALC_RECORDS, NULL, FW_CALC_ANY, true, NULL, NULL, fields,
     "a part in the chain around the gap"},
    {"hot", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, true, NULL, NULL, NULL, "running"},
    {"cold", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, false, "20 °C", NULL, NULL,
     "where the gap was measured"},
    {"gap", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, false, "0 mm", NULL, NULL,
     "gap cold; negative: preload as travel"},
    {"min", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, false, NULL, NULL, NULL, "least gap hot"},
    {"max", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, false, NULL, NULL, NULL, "most gap hot"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_thermal = {
    .name = "thermal",
    .summary = "end float or clearance between bench and running temperature",
    .about = "Each part grows by length × α × rise. Parts that open the gap have factor 1\n"
             "(the case), those that close it -1 (shaft, bearings, shims). Mean coefficients\n"
             "with their uncertainty, which parts of one material share; -60 °C to 300 °C,\n"
             "beyond is an error. Parts are free to grow, each at one temperature. A gap\n"
             "that comes out negative means they jam, not how far they give way.",
    .source = "Σ ±L·α·ΔT; α: W. D. Callister, Materials Science and Engineering, table B.6",
    .example = "--link \"case, length=100 mm, material=cast-aluminium\" --link \"shaft, length=100 "
               "mm, factor=-1\" --gap 0.05 --hot 80 --min 0.02 --max 0.2",
    .inputs = inputs,
    .plain = true,
    .run = run};
