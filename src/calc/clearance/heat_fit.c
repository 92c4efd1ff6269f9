/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/clearance/common.h"
#include "calc/clearance/doubt.h"

/* What to slip it on with when nothing is said: a thousandth of the bore. */
#define SLIP 1e-3

static int ring_alpha(struct fw_heating *h, const struct fw_calc_values *in, double hot,
                      struct fw_error *err)
{
	const struct fw_quantity *q = fw_calc_quantity(in, "expansion");
	int rc =
	    fw_clearance_alpha(&h->alpha, &h->alpha_u, in, "expansion", "material", h->room, hot, err);

	if (q)
		h->alpha_u = fw_quantity_u(q) * 1e-6;
	return rc;
}

static int heating_of(struct fw_heating *h, const struct fw_calc_values *in, struct fw_error *err)
{
	*h = (struct fw_heating){.bore = fw_calc_value(in, "bore"),
	                         .interference = fw_calc_value(in, "interference"),
	                         .room = fw_calc_value(in, "room")};
	h->clearance = fw_calc_given(in, "clearance") ? fw_calc_value(in, "clearance") : SLIP * h->bore;
	h->shaft = fw_calc_given(in, "shaft-temp") ? fw_calc_value(in, "shaft-temp") : h->room;

	double u = 0.0;
	int rc = FW_OK;
	if (h->shaft != h->room)
		rc = fw_clearance_alpha(&h->shaft_alpha, &u, in, "shaft-expansion", "shaft-material",
		                        h->room, h->shaft, err);
	if (rc == FW_OK)
		rc = ring_alpha(h, in, h->room, err);
	return rc;
}

/* Twice: how uncertain the coefficient is depends on how hot the ring gets. */
static int work_out(struct fw_heated *out, struct fw_heating *h, const struct fw_calc_values *in,
                    struct fw_error *err)
{
	double doubt = 0.0;
	int rc = heating_of(h, in, err);

	if (rc == FW_OK) {
		doubt = h->alpha_u;
		h->alpha_u = 0.0;
		rc = fw_thermal_heat(out, h, err);
		h->alpha_u = doubt;
	}
	if (rc == FW_OK)
		rc = ring_alpha(h, in, out->ring, err);
	return rc == FW_OK ? fw_thermal_heat(out, h, err) : rc;
}

/* What the ± of sizes and temperatures does to the ring's temperature, as a standard uncertainty. A
 * ring that needs no heat stays at room temperature. */
static int doubt_of(double *u, const struct fw_heating *h, const struct fw_heated *heated,
                    const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_doubt doubt = {.list = NULL};
	bool hot = heated->gain > 0.0, slip = fw_calc_given(in, "clearance");
	bool other = h->shaft != h->room;
	double each = hot ? 1.0 / (h->alpha * h->bore) : 0.0; /* kelvins for each metre of gain */
	double away = h->shaft - h->room, size = h->bore + h->interference;
	double grows = other ? h->shaft_alpha * away : 0.0;
	double shrinks = fw_calc_given(in, "shaft-temp") && other ? size * h->shaft_alpha : 0.0;

	fw_doubt_add(&doubt, in, "interference", each * (1.0 + grows));
	fw_doubt_add(&doubt, in, "clearance", each);
	fw_doubt_add(&doubt, in, "bore", each * (grows + (slip ? 0.0 : SLIP)) - heated->rise / h->bore);
	fw_doubt_add(&doubt, in, "room", 1.0 - each * shrinks);
	fw_doubt_add(&doubt, in, "shaft-temp", each * shrinks);
	if (other)
		fw_doubt_add(&doubt, in, "shaft-expansion", each * 1e-6 * size * away);
	return fw_doubt_end(u, &doubt, err);
}

/* Hottest it may have to be: a low coefficient, as the solver has it, and the rest of what is
 * uncertain (k = 2), which has nothing to do with it. */
static double at_most(const struct fw_heated *heated, double u)
{
	double most = heated->ring + hypot(heated->at_most - heated->ring, 2.0 * u);

	return most <= FW_THERMAL_HOTTEST ? most : (double)NAN;
}

static void put_lines(struct fw_calc_out *out, const struct fw_heating *h,
                      const struct fw_heated *heated, double u, const struct fw_unit *unit)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	double shrunk = heated->gain - h->interference - h->clearance;

	if (h->shaft != h->room)
		fw_calc_line(out, "the shaft at %s: %s × %s/10⁶ × %s K = %s",
		             fw_clearance_celsius(h->shaft, a),
		             fw_calc_figure(h->bore + h->interference, unit, b, sizeof b),
		             fw_calc_plain(h->shaft_alpha * 1e6, c), fw_calc_plain(h->shaft - h->room, d),
		             fw_calc_figure(shrunk, unit, (char[FW_FIGURE]){0}, FW_FIGURE));
	fw_calc_line(out, "bore to gain = interference + clearance%s = %s + %s%s → %s",
	             h->shaft != h->room ? " + shaft's growth" : "",
	             fw_calc_figure(h->interference, unit, a, sizeof a),
	             fw_calc_figure(h->clearance, unit, b, sizeof b),
	             h->shaft != h->room ? " + (above)" : "",
	             fw_calc_figure(heated->gain, unit, c, sizeof c));
	fw_calc_line(out, "rise = gain / (α × bore) = %s / (%s/10⁶ × %s) = %s K",
	             fw_calc_figure(heated->gain, unit, a, sizeof a), fw_calc_plain(h->alpha * 1e6, b),
	             fw_calc_figure(h->bore, unit, c, sizeof c), fw_calc_plain(heated->rise, d));
	fw_calc_line(out, "ring = %s + %s K = %s", fw_clearance_celsius(h->room, a),
	             fw_calc_plain(heated->rise, b), fw_clearance_celsius(heated->ring, c));
	if (h->alpha_u > 0.0 && isfinite(heated->at_most))
		fw_calc_line(out, "with α as low as %s/10⁶: %s",
		             fw_calc_plain((h->alpha - 2.0 * h->alpha_u) * 1e6, a),
		             fw_clearance_celsius(heated->at_most, b));
	if (u > 0.0)
		fw_calc_line(out, "the rest that is given ± is worth ±%s K (k = 2), at most together %s",
		             fw_calc_plain(2.0 * u, a), fw_clearance_celsius(at_most(heated, u), b));
}

static void put_warnings(struct fw_calc_out *out, const struct fw_heated *heated, bool bearing)
{
	char a[FW_FIGURE];

	if (bearing && heated->ring > FW_BEARING_HOTTEST)
		fw_calc_warn(out,
		             "a rolling bearing is not to be heated above 120 °C (needs %s): chill the "
		             "shaft, or press it on",
		             fw_clearance_celsius(heated->ring, a));
	else if (bearing && !(heated->at_most <= FW_BEARING_HOTTEST))
		fw_calc_warn(out, "it may need more than the 120 °C that a rolling bearing stands; try at "
		                  "120 °C at most, with the press ready");
	else if (!isfinite(heated->at_most))
		fw_calc_warn(out, "by what is uncertain it may need more than 300 °C");
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	const struct fw_unit *unit = fw_calc_unit(in, "interference");
	struct fw_heating heating;
	struct fw_heated heated;
	double u = 0.0;
	int rc = work_out(&heated, &heating, in, err);

	if (rc == FW_OK)
		rc = doubt_of(&u, &heating, &heated, in, err);
	if (rc != FW_OK)
		return rc;
	put_lines(out, &heating, &heated, u, unit);
	heated.at_most = at_most(&heated, u);
	fw_calc_put(out, "gain", "bore to gain", heated.gain, unit);
	fw_calc_put_span(out, "rise", "rise of the ring", heated.rise, fw_calc_symbol("K"));
	fw_calc_put(out, "ring", "ring to be at", heated.ring, fw_calc_symbol("°C"));
	fw_calc_put(out, "at-most", "hottest, by what is uncertain", heated.at_most,
	            fw_calc_symbol("°C"));
	put_warnings(out, &heated, fw_calc_flag(in, "bearing"));
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {
    {"bore", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL, "bore of the ring"},
    {"interference", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL,
     "by how much the shaft is larger"},
    {"clearance", FW_CALC_QUANTITY, "mm", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "to slip it on; else a thousandth of the bore"},
    {"material", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, "steel", FW_MATERIAL_CHOICES, NULL,
     "of the ring"},
    {"expansion", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "instead: its α in millionths per kelvin"},
    {"room", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, false, "20 °C", NULL, NULL,
     "where both were measured"},
    {"shaft-temp", FW_CALC_QUANTITY, "°C", FW_CALC_ANY, false, NULL, NULL, NULL,
     "of a shaft that is chilled, or still warm"},
    {"shaft-material", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, "steel", FW_MATERIAL_CHOICES, NULL,
     "of the shaft"},
    {"shaft-expansion", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "instead: its α in millionths per kelvin"},
    {"bearing", FW_CALC_FLAG, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "it is a rolling bearing: beware above 120 °C"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_heat_fit = {
    .name = "heat-fit",
    .summary = "how hot a ring must be to slip over a shaft",
    .about = "The bore grows as if it were solid. Mean coefficients, -60 °C to 300 °C; beyond\n"
             "is an error. The ring loses heat on the way: have all at hand, and warm it\n"
             "through. Hardened parts and rolling bearings go no hotter than 120 °C; sealed\n"
             "or greased ones often less. No flame on a bearing.",
    .source = "rise = gain / (α·bore); 120 °C and the thousandth: common practice, no source",
    .example = "--bore 70 --interference 0.03 --clearance 0.03 --bearing",
    .inputs = inputs,
    .plain = true,
    .run = run};
