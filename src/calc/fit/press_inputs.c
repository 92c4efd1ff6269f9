/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/fit/press_inputs.h"

#include <math.h>

#include "calc/elastic.h"
#include "fitwright/fit.h"
#include "fitwright/thermal.h"

#define PART_INPUTS(part)                                                                          \
	{part "-material",   FW_CALC_CHOICE, NULL,                                                     \
	 FW_CALC_ANY,        false,          "steel",                                                  \
	 FW_ELASTIC_CHOICES, NULL,           "gives modulus, Poisson's ratio, expansion"},             \
	    {part "-modulus",                                                                          \
	     FW_CALC_QUANTITY,                                                                         \
	     "MPa",                                                                                    \
	     FW_CALC_POSITIVE,                                                                         \
	     false,                                                                                    \
	     NULL,                                                                                     \
	     NULL,                                                                                     \
	     NULL,                                                                                     \
	     "Young's modulus, where it is known better"},                                             \
	    {part "-poisson",                                                                          \
	     FW_CALC_NUMBER,                                                                           \
	     NULL,                                                                                     \
	     FW_CALC_NOT_NEGATIVE,                                                                     \
	     false,                                                                                    \
	     NULL,                                                                                     \
	     NULL,                                                                                     \
	     NULL,                                                                                     \
	     "Poisson's ratio, likewise"},                                                             \
	    {part "-expansion",                                                                        \
	     FW_CALC_NUMBER,                                                                           \
	     NULL,                                                                                     \
	     FW_CALC_ANY,                                                                              \
	     false,                                                                                    \
	     NULL,                                                                                     \
	     NULL,                                                                                     \
	     NULL,                                                                                     \
	     "expansion for each kelvin, 11.7e-6, likewise"},                                          \
	    {part "-yield",                                                                            \
	     FW_CALC_QUANTITY,                                                                         \
	     "MPa",                                                                                    \
	     FW_CALC_POSITIVE,                                                                         \
	     false,                                                                                    \
	     NULL,                                                                                     \
	     NULL,                                                                                     \
	     NULL,                                                                                     \
	     "yield stress, to compare with"},                                                         \
	{                                                                                              \
		part "-rz", FW_CALC_QUANTITY, "µm", FW_CALC_NOT_NEGATIVE, false, "0 µm", NULL, NULL,       \
		    "roughness Rz of the seat"                                                             \
	}

const struct fw_calc_input fw_press_inputs[] = {
    {"fit", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "50 H7/s6: least and greatest interference"},
    {"shaft", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "or the shaft as measured"},
    {"bore", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "and the bore of the hub as measured"},
    {"outer", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL,
     "outside diameter of the hub"},
    {"shaft-bore", FW_CALC_QUANTITY, "mm", FW_CALC_NOT_NEGATIVE, false, "0 mm", NULL, NULL,
     "bore of a hollow shaft"},
    {"length", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL,
     "length of contact"},
    PART_INPUTS("hub"),
    PART_INPUTS("shaft"),
    {"smoothing", FW_CALC_NUMBER, NULL, FW_CALC_NOT_NEGATIVE, false, "0.8", NULL, NULL,
     "share of both Rz lost; 0.4 by DIN 7190-1:2017"},
    {"warming", FW_CALC_QUANTITY, "K", FW_CALC_ANY, false, "0 K", NULL, NULL,
     "of both parts, from measuring to running"},
    {"friction-low", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "lowest; else two thirds of the usual"},
    {"friction", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, "0.12", NULL, NULL, "usual"},
    {"friction-high", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "highest; else five thirds of the usual"},
    FW_INPUT_END};

static void line_of(struct fw_calc_out *put, const char *which, double shaft, double bore,
                    const struct fw_unit *unit)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(put, "%s = shaft - bore = %s - %s = %s", which,
	             fw_calc_figure(shaft, unit, a, sizeof a), fw_calc_figure(bore, unit, b, sizeof b),
	             fw_calc_figure(shaft - bore, unit, c, sizeof c));
}

static int case_of_fit(struct fw_press_case *out, struct fw_calc_out *put, const char *text,
                       struct fw_error *err)
{
	struct fw_fit_text asked;
	struct fw_fit fit;
	int rc = fw_fit_parse(&asked, text, err);

	if (rc != FW_OK)
		return rc;
	if (!asked.has_hole || !asked.has_shaft || isnan(asked.size))
		return fw_fail(err, FW_ERR_INPUT,
		               "press fit: the fit needs size, hole and shaft, as in 50 H7/s6");
	rc = fw_fit_pair(&fit, asked.size, &asked.hole, &asked.shaft, err);
	if (rc != FW_OK)
		return rc;
	if (fit.clearance_min >= 0.0)
		return fw_fail(err, FW_ERR_RANGE,
		               "press fit: that is a clearance fit, there is nothing to press");
	*out = (struct fw_press_case){.range = true,
	                              .least = -fit.clearance_max,
	                              .most = -fit.clearance_min,
	                              .diameter = asked.size};
	line_of(put, "least interference", fit.shaft.min, fit.hole.max, fw_calc_symbol("mm"));
	line_of(put, "greatest interference", fit.shaft.max, fit.hole.min, fw_calc_symbol("mm"));
	return FW_OK;
}

int fw_press_take_case(struct fw_press_case *out, struct fw_calc_out *put,
                       const struct fw_calc_values *in, struct fw_error *err)
{
	bool has_shaft = fw_calc_given(in, "shaft"), has_bore = fw_calc_given(in, "bore");

	if (fw_calc_given(in, "fit") ? has_shaft || has_bore : !has_shaft || !has_bore)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: give either fit (50 H7/s6), or shaft and bore as measured");
	if (fw_calc_given(in, "fit"))
		return case_of_fit(out, put, fw_calc_text(in, "fit"), err);

	double shaft = fw_calc_value(in, "shaft"), bore = fw_calc_value(in, "bore");
	*out = (struct fw_press_case){.least = shaft - bore, .most = shaft - bore, .diameter = bore};
	line_of(put, "interference", shaft, bore, fw_calc_unit(in, "shaft"));
	return FW_OK;
}

/* The name in the table of inputs is made of both, as in "hub-modulus". */
struct part_names {
	const char *material, *modulus, *poisson, *expansion, *yield;
};

static struct fw_press_part take_part(const struct fw_calc_values *in,
                                      const struct part_names *names)
{
	const struct fw_elastic *elastic = fw_elastic_at(fw_calc_choice(in, names->material));
	const struct fw_material *material = NULL;
	struct fw_press_part part = {.modulus = elastic->modulus, .poisson = elastic->poisson};

	if (fw_material_find(&material, elastic->name, NULL) == FW_OK)
		part.expansion = material->alpha;
	if (fw_calc_given(in, names->modulus))
		part.modulus = fw_calc_value(in, names->modulus);
	if (fw_calc_given(in, names->poisson))
		part.poisson = fw_calc_value(in, names->poisson);
	if (fw_calc_given(in, names->expansion))
		part.expansion = fw_calc_value(in, names->expansion);
	if (fw_calc_given(in, names->yield))
		part.yield = fw_calc_value(in, names->yield);
	return part;
}

void fw_press_take(struct fw_press *out, double diameter, const struct fw_calc_values *in)
{
	static const struct part_names hub = {"hub-material", "hub-modulus", "hub-poisson",
	                                      "hub-expansion", "hub-yield"};
	static const struct part_names shaft = {"shaft-material", "shaft-modulus", "shaft-poisson",
	                                        "shaft-expansion", "shaft-yield"};
	struct fw_press_range usual = fw_press_friction();
	double mu = fw_calc_value(in, "friction");

	*out =
	    (struct fw_press){.diameter = diameter,
	                      .hub_outer = fw_calc_value(in, "outer"),
	                      .shaft_bore = fw_calc_value(in, "shaft-bore"),
	                      .length = fw_calc_value(in, "length"),
	                      .roughness = fw_calc_value(in, "hub-rz") + fw_calc_value(in, "shaft-rz"),
	                      .smoothing = fw_calc_value(in, "smoothing"),
	                      .warming = fw_calc_value(in, "warming"),
	                      .hub = take_part(in, &hub),
	                      .shaft = take_part(in, &shaft),
	                      .friction = {.low = mu * usual.low / usual.usual,
	                                   .usual = mu,
	                                   .high = mu * usual.high / usual.usual}};
	if (fw_calc_given(in, "friction-low"))
		out->friction.low = fw_calc_value(in, "friction-low");
	if (fw_calc_given(in, "friction-high"))
		out->friction.high = fw_calc_value(in, "friction-high");
}
