/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/bearing/common.h"
#include "calc/elastic.h"
#include "fitwright/thermal.h"

#define ROOM_TEMPERATURE 293.15

static double given(const struct fw_calc_values *in, const char *name, double otherwise)
{
	return fw_calc_given(in, name) ? fw_calc_value(in, name) : otherwise;
}

/* The mean expansion of a material from room temperature to `hot`. */
static int take_expansion(double *out, const char *material, double hot, struct fw_error *err)
{
	const struct fw_material *found = NULL;
	double u;
	int rc = fw_material_find(&found, material, err);

	return rc == FW_OK ? fw_material_alpha(out, &u, found, ROOM_TEMPERATURE, hot, err) : rc;
}

/* The materials, one of the inner and one of the outer temperature. */
static int take_materials(struct fw_bearing_mount *m, const struct fw_calc_values *in,
                          struct fw_error *err)
{
	const struct fw_elastic *steel = fw_elastic_at(0);
	const struct fw_elastic *shaft = fw_elastic_at(fw_calc_choice(in, "shaft"));
	const struct fw_elastic *housing = fw_elastic_at(fw_calc_choice(in, "housing"));
	double inner = fw_calc_value(in, "inner-temp"), outer = fw_calc_value(in, "outer-temp");
	int rc;

	m->ring_modulus = steel->modulus;
	m->ring_poisson = steel->poisson;
	m->shaft_modulus = shaft->modulus;
	m->shaft_poisson = shaft->poisson;
	m->housing_modulus = housing->modulus;
	m->housing_poisson = housing->poisson;
	m->inner_temperature = inner - ROOM_TEMPERATURE;
	m->outer_temperature = outer - ROOM_TEMPERATURE;
	if ((rc = take_expansion(&m->ring_expansion, "bearing-steel", inner, err)) != FW_OK ||
	    (rc = take_expansion(&m->shaft_expansion, fw_calc_text(in, "shaft"), inner, err)) != FW_OK)
		return rc;
	return take_expansion(&m->housing_expansion, fw_calc_text(in, "housing"), outer, err);
}

static int take(struct fw_bearing_mount *m, const struct fw_calc_values *in, struct fw_error *err)
{
	bool practice = fw_calc_choice(in, "share") == 1;
	double bore = fw_calc_value(in, "bore"), outside = fw_calc_value(in, "outside");
	double wall = (outside - bore) / 6.0; /* rings of a sixth each, as usual in ball bearings */

	*m = (struct fw_bearing_mount){
	    .clearance = fw_calc_value(in, "clearance"),
	    .bore = bore,
	    .outside = outside,
	    .inner_race = given(in, "inner-race", bore + wall),
	    .outer_race = given(in, "outer-race", outside - wall),
	    .shaft_interference = given(in, "shaft-grip", 0.0),
	    .housing_interference = given(in, "housing-grip", 0.0),
	    .shaft_bore = given(in, "shaft-bore", 0.0),
	    .housing_outside = given(in, "housing-outside", 0.0),
	    .shaft_share = practice ? 0.8 : NAN,
	    .housing_share = practice ? 0.7 : NAN,
	};
	return take_materials(m, in, err);
}

static void show_grip(struct fw_calc_out *out, const char *what, double cold, double change,
                      double grip, double share, double lost)
{
	const struct fw_unit *micron = fw_calc_symbol("µm");
	char text[4][FW_FIGURE];

	fw_calc_line(out, "%s: grip %s %s %s by warmth = %s", what,
	             fw_calc_figure(cold, micron, text[0], FW_FIGURE), change < 0.0 ? "-" : "+",
	             fw_calc_figure(fabs(change), micron, text[1], FW_FIGURE),
	             fw_calc_figure(grip, micron, text[2], FW_FIGURE));
	if (grip > 0.0)
		fw_calc_line(out, "  %.4g of it reaches the raceway: %s", share,
		             fw_calc_figure(lost, micron, text[3], FW_FIGURE));
	else
		fw_calc_line(out, "  loose: nothing reaches the raceway");
}

static void show(struct fw_calc_out *out, const struct fw_bearing_mount *m,
                 const struct fw_bearing_mounted *r)
{
	const struct fw_unit *micron = fw_calc_symbol("µm");
	char text[5][FW_FIGURE];

	show_grip(out, "shaft", m->shaft_interference, r->shaft_interference - m->shaft_interference,
	          r->shaft_interference, r->shaft_share, r->inner_growth);
	show_grip(out, "housing", m->housing_interference,
	          r->housing_interference - m->housing_interference, r->housing_interference,
	          r->housing_share, r->outer_shrink);
	fw_calc_line(out, "rings: %.4ge-6·(%.5g - %.5g)·%.5g mm = %s", m->ring_expansion * 1e6,
	             m->inner_temperature + 20.0, m->outer_temperature + 20.0, m->outer_race * 1e3,
	             fw_calc_figure(r->warmth, micron, text[0], FW_FIGURE));
	fw_calc_line(out, "left = %s - %s - %s - %s = %s",
	             fw_calc_figure(m->clearance, micron, text[0], FW_FIGURE),
	             fw_calc_figure(r->inner_growth, micron, text[1], FW_FIGURE),
	             fw_calc_figure(r->outer_shrink, micron, text[2], FW_FIGURE),
	             fw_calc_figure(r->warmth, micron, text[3], FW_FIGURE),
	             fw_calc_figure(r->clearance, micron, text[4], FW_FIGURE));
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_bearing_mount m;
	struct fw_bearing_mounted r;
	const struct fw_unit *unit = fw_calc_unit(in, "clearance");
	int rc = take(&m, in, err);

	if (rc == FW_OK)
		rc = fw_bearing_mount(&r, &m, err);
	if (rc != FW_OK)
		return rc;
	show(out, &m, &r);
	fw_calc_put(out, "clearance", "clearance left", r.clearance, unit);
	fw_calc_put(out, "shaft-loss", "lost to the shaft", r.inner_growth, unit);
	fw_calc_put(out, "housing-loss", "lost to the housing", r.outer_shrink, unit);
	fw_calc_put(out, "warm-loss", "lost to warmth", r.warmth, unit);
	fw_calc_put(out, "shaft-grip", "grip on the shaft", r.shaft_interference, unit);
	fw_calc_put(out, "housing-grip", "grip in the housing", r.housing_interference, unit);
	if (r.clearance < 0.0)
		fw_calc_warn(out, "no clearance is left: the bearing runs preloaded");
	if (m.housing_interference > 0.0 && r.housing_interference <= 0.0)
		fw_calc_warn(out, "the outer ring comes loose in the housing when warm");
	if (m.shaft_interference > 0.0 && r.shaft_interference <= 0.0)
		fw_calc_warn(out, "the inner ring comes loose on the shaft when warm");
	return FW_OK;
}

#define LENGTH(input, what, needed, in_unit, its_sign)                                             \
	{                                                                                              \
		.name = (input), .kind = FW_CALC_QUANTITY, .unit = (in_unit), .sign = (its_sign),          \
		.required = (needed), .doc = (what)                                                        \
	}

static const struct fw_calc_input inputs[] = {
    LENGTH("clearance", "radial internal clearance before mounting", true, "µm", FW_CALC_ANY),
    LENGTH("bore", "of the bearing", true, "mm", FW_CALC_POSITIVE),
    LENGTH("outside", "outside diameter of the bearing", true, "mm", FW_CALC_POSITIVE),
    LENGTH("inner-race", "inner raceway; else bore + a sixth of the section", false, "mm",
           FW_CALC_POSITIVE),
    LENGTH("outer-race", "outer raceway; else outside less the same", false, "mm",
           FW_CALC_POSITIVE),
    LENGTH("shaft-grip", "shaft larger than the bore by; below 0: loose", false, "µm", FW_CALC_ANY),
    LENGTH("housing-grip", "bearing larger than its seat by; below 0: loose", false, "µm",
           FW_CALC_ANY),
    LENGTH("shaft-bore", "hole in the shaft; solid if not given", false, "mm",
           FW_CALC_NOT_NEGATIVE),
    LENGTH("housing-outside", "of the wall round the bearing; else thick", false, "mm",
           FW_CALC_POSITIVE),
    {.name = "shaft",
     .kind = FW_CALC_CHOICE,
     .choices = FW_ELASTIC_CHOICES,
     .fallback = "steel",
     .doc = "material of the shaft"},
    {.name = "housing",
     .kind = FW_CALC_CHOICE,
     .choices = FW_ELASTIC_CHOICES,
     .fallback = "cast-iron",
     .doc = "material of the housing"},
    {.name = "inner-temp",
     .kind = FW_CALC_QUANTITY,
     .unit = "°C",
     .fallback = "20 °C",
     .doc = "shaft, inner ring and balls"},
    {.name = "outer-temp",
     .kind = FW_CALC_QUANTITY,
     .unit = "°C",
     .fallback = "20 °C",
     .doc = "housing and outer ring"},
    {.name = "share",
     .kind = FW_CALC_CHOICE,
     .choices = "ring|practice",
     .fallback = "ring",
     .doc = "of the grip that counts: Lamé's ring, or 0.8 and 0.7"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_bearing_fit = {
    .name = "bearing-fit",
    .summary = "clearance a bearing has left when pressed in place and warm",
    .about = "Takes from the clearance of a new bearing what the press fits on shaft and in\n"
             "housing squeeze out of it, and what an inner ring warmer than the outer one\n"
             "takes. A light-alloy case that grows away from the bearing is counted too.\n"
             "Sizes are those at 20 °C, grips the effective ones (rough surfaces lose some).\n"
             "Rings are taken as plain thick rings of bearing steel; temperatures are from\n"
             "-60 °C to 300 °C. How far materials of one name differ isn't counted.",
    .source = "Lamé's thick ring (as in Harris, Rolling Bearing Analysis, from memory); "
              "expansions: the table of materials that thermal has; moduli, 0.8 and 0.7: common "
              "practice, no source",
    .example = "--clearance 20 --bore 30 --outside 62 --shaft-grip 11 --inner-temp 70 "
               "--outer-temp 60 --housing cast-aluminium",
    .inputs = inputs,
    .run = run};
