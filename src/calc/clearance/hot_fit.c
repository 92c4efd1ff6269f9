/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "calc/clearance/common.h"
#include "calc/clearance/doubt.h"

static int pair_of(struct fw_thermal_pair *pair, const struct fw_calc_values *in,
                   struct fw_error *err)
{
	double hot = fw_calc_value(in, "hot");

	*pair = (struct fw_thermal_pair){
	    .diameter = fw_calc_value(in, "diameter"),
	    .interference = fw_calc_value(in, "interference"),
	    .cold = fw_calc_value(in, "cold"),
	    .inner_hot = fw_calc_given(in, "inner-hot") ? fw_calc_value(in, "inner-hot") : hot,
	    .outer_hot = hot};
	int rc = fw_clearance_alpha(&pair->inner, &pair->inner_u, in, "inner-expansion", "inner",
	                            pair->cold, pair->inner_hot, err);
	return rc == FW_OK ? fw_clearance_alpha(&pair->outer, &pair->outer_u, in, "outer-expansion",
	                                        "outer", pair->cold, pair->outer_hot, err)
	                   : rc;
}

/* What is not known of the materials: one error where both parts are of one. */
static double materials_of(const struct fw_thermal_pair *pair, const struct fw_calc_values *in)
{
	double inner = pair->diameter * pair->inner_u * (pair->inner_hot - pair->cold);
	double outer = pair->diameter * pair->outer_u * (pair->outer_hot - pair->cold);
	bool one = strcmp(fw_calc_text(in, "inner"), fw_calc_text(in, "outer")) == 0 &&
	           !fw_calc_given(in, "inner-expansion") && !fw_calc_given(in, "outer-expansion");

	return one ? fabs(inner - outer) : hypot(inner, outer);
}

/* What the ± of the inputs does to the interference hot. */
static int doubt_of(double *u, const struct fw_thermal_pair *pair, const struct fw_calc_values *in,
                    struct fw_error *err)
{
	double inner = pair->inner_hot - pair->cold, outer = pair->outer_hot - pair->cold;
	double d = pair->diameter, by_inner = d * pair->inner, by_outer = -d * pair->outer;
	struct fw_doubt doubt = {.list = NULL};

	fw_doubt_add(&doubt, in, "interference", 1.0);
	fw_doubt_add(&doubt, in, "diameter", pair->inner * inner - pair->outer * outer);
	fw_doubt_add(&doubt, in, "inner-expansion", 1e-6 * d * inner);
	fw_doubt_add(&doubt, in, "outer-expansion", -1e-6 * d * outer);
	fw_doubt_add(&doubt, in, fw_calc_given(in, "inner-hot") ? "inner-hot" : "hot", by_inner);
	fw_doubt_add(&doubt, in, "hot", by_outer);
	fw_doubt_add(&doubt, in, "cold", -by_inner - by_outer);
	return fw_doubt_end(u, &doubt, err);
}

static void put_growth(struct fw_calc_out *out, const char *what, double diameter, double alpha,
                       double rise, const struct fw_unit *unit)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	fw_calc_line(out, "%s grows %s × %s/10⁶ × %s K = %s", what,
	             fw_calc_figure(diameter, unit, a, sizeof a), fw_calc_plain(alpha * 1e6, b),
	             fw_calc_plain(rise, c),
	             fw_calc_figure(diameter * alpha * rise, unit, d, sizeof d));
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	const struct fw_unit *unit = fw_calc_unit(in, "interference");
	char a[FW_FIGURE], b[FW_FIGURE];
	struct fw_thermal_pair pair;
	struct fw_thermal_fit fit;
	double doubt = 0.0;
	int rc = pair_of(&pair, in, err);

	if (rc == FW_OK)
		rc = fw_thermal_fit(&fit, &pair, err);
	if (rc == FW_OK)
		rc = doubt_of(&doubt, &pair, in, err);
	if (rc != FW_OK)
		return rc;
	put_growth(out, "inner part", pair.diameter, pair.inner, pair.inner_hot - pair.cold, unit);
	put_growth(out, "outer part", pair.diameter, pair.outer, pair.outer_hot - pair.cold, unit);
	fw_calc_line(out, "interference hot = %s + inner - outer = %s",
	             fw_calc_figure(pair.interference, unit, a, sizeof a),
	             fw_calc_figure(fit.hot, unit, b, sizeof b));
	fit.hot_u = fw_clearance_doubt_line(out, materials_of(&pair, in), doubt, unit);
	fw_calc_put_known(out, "hot", "interference hot", fit.hot, fit.hot_u, INFINITY, unit);
	fw_calc_put(out, "hot-u", "standard uncertainty of that", fit.hot_u, fw_calc_fine(unit));
	fw_calc_put(out, "even", "neither tight nor loose at", fit.even, fw_calc_symbol("°C"));
	if (fit.hot < 0.0 && pair.interference > 0.0)
		fw_calc_warn(out, "tight cold, loose hot by %s",
		             fw_calc_figure(-fit.hot, unit, a, sizeof a));
	else if (fit.hot - 2.0 * fit.hot_u < 0.0 && pair.interference > 0.0)
		fw_calc_warn(out, "tight cold; hot it may be loose");
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {
    {"diameter", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL,
     "where the parts meet"},
    {"interference", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, true, NULL, NULL, NULL,
     "cold; negative: clearance"},
    {"inner", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, "bearing-steel", FW_MATERIAL_CHOICES, NULL,
     "material of the inner part"},
    {"outer", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, "cast-aluminium", FW_MATERIAL_CHOICES, NULL,
     "material of the outer part"},
    {"inner-expansion", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "instead: its α in millionths per kelvin"},
    {"outer-expansion", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "instead: its α in millionths per kelvin"},
    {"cold", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, false, "20 °C", NULL, NULL,
     "where both were measured"},
    {"hot", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, true, NULL, NULL, NULL, "running, of both"},
    {"inner-hot", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, false, NULL, NULL, NULL,
     "running, of the inner part when it differs"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_hot_fit = {
    .name = "hot-fit",
    .summary = "how tight a bearing sits in its housing when running hot",
    .about = "Free diameters are compared, as if the parts were apart: a ring that is held\n"
             "tight follows its housing until the interference is used up. Mean\n"
             "coefficients, -60 °C to 300 °C; beyond is an error. Also for a bush in a rod,\n"
             "a liner in a block, a valve guide in a head.",
    .source = "interference + d·(α_inner·ΔT_inner - α_outer·ΔT_outer)",
    .example = "--diameter 62 --interference 0.012 --hot 80",
    .inputs = inputs,
    .plain = true,
    .run = run};
