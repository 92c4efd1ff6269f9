/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "calc/fit/press_inputs.h"

#define SPARE 0.001 /* clearance to go on by heat, of the diameter: common practice, no source */

static void show_interference(struct fw_calc_out *out, const struct fw_press *press,
                              const struct fw_press_fit *fit)
{
	const struct fw_unit *um = fw_calc_symbol("µm");
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE], f[FW_FIGURE];

	fw_calc_figure(press->interference, um, a, sizeof a);
	fw_calc_figure(fit->interference, um, b, sizeof b);
	if (press->roughness > 0.0)
		fw_calc_line(out, "smoothing takes %s × (Rz1 + Rz2) = %s × %s = %s",
		             fw_calc_plain(press->smoothing, c), c,
		             fw_calc_figure(press->roughness, um, d, sizeof d),
		             fw_calc_figure(press->smoothing * press->roughness, um, e, sizeof e));
	if (press->warming != 0.0)
		fw_calc_line(out, "warming adds (%s - %s) × %s K × %s = %s",
		             fw_calc_plain(press->shaft.expansion, c),
		             fw_calc_plain(press->hub.expansion, d), fw_calc_plain(press->warming, e),
		             fw_calc_figure(press->diameter, fw_calc_symbol("mm"), f, sizeof f),
		             fw_calc_figure((press->shaft.expansion - press->hub.expansion) *
		                                press->warming * press->diameter,
		                            um, b, sizeof b));
	fw_calc_line(out, "interference left: U = %s, of %s",
	             fw_calc_figure(fit->interference, um, b, sizeof b), a);
}

/* One bracket of the equation: "hub: (D² + d²)/(D² - d²) + v = …, / E = … 1/MPa". */
static double show_give(struct fw_calc_out *out, const char *name, const char *form, double outer,
                        double inner, const struct fw_press_part *part, double sign)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	double q = inner / outer;
	double value = (1.0 + q * q) / (1.0 - q * q) + sign * part->poisson;

	fw_calc_line(out, "%s: %s %s %s = %s; / E = %s / %s = %s for each MPa", name, form,
	             sign > 0.0 ? "+" : "-", fw_calc_plain(part->poisson, a), fw_calc_plain(value, b),
	             b, fw_calc_figure(part->modulus, fw_calc_symbol("MPa"), c, sizeof c),
	             fw_calc_plain(value / part->modulus * 1e6, d));
	return value / part->modulus;
}

static void show_pressure(struct fw_calc_out *out, const struct fw_press *press,
                          const struct fw_press_fit *fit)
{
	const struct fw_unit *mpa = fw_calc_symbol("MPa"), *mm = fw_calc_symbol("mm");
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	double give = show_give(out, "hub", "(D² + d²)/(D² - d²)", press->hub_outer, press->diameter,
	                        &press->hub, 1.0);

	give += show_give(out, "shaft", "(d² + b²)/(d² - b²)", press->diameter, press->shaft_bore,
	                  &press->shaft, -1.0);
	fw_calc_line(out, "p = U / (d × sum) = %s / (%s × %s) = %s",
	             fw_calc_figure(fit->interference, mm, a, sizeof a),
	             fw_calc_figure(press->diameter, mm, b, sizeof b), fw_calc_plain(give * 1e6, c),
	             fw_calc_figure(fit->pressure, mpa, d, sizeof d));
	fw_calc_line(out,
	             "hub at its bore: hoop = p × (D² + d²)/(D² - d²) = %s; Tresca = hoop + p = %s",
	             fw_calc_figure(fit->hub_hoop, mpa, a, sizeof a),
	             fw_calc_figure(fit->hub_tresca, mpa, b, sizeof b));
	fw_calc_line(out, "shaft: %s = %s",
	             press->shaft_bore > 0.0 ? "hoop at its bore = 2·p·d²/(d² - b²)" : "p throughout",
	             fw_calc_figure(fit->shaft_tresca, mpa, a, sizeof a));
}

static void show_grip(struct fw_calc_out *out, const struct fw_press *press,
                      const struct fw_press_fit *fit)
{
	const struct fw_unit *mm = fw_calc_symbol("mm"), *kn = fw_calc_symbol("kN"),
	                     *nm = fw_calc_symbol("N·m");
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE];

	fw_calc_line(out,
	             "force to slip = friction × p × pi × d × length = %s × %s × pi × %s × %s = %s",
	             fw_calc_plain(press->friction.usual, a),
	             fw_calc_figure(fit->pressure, fw_calc_symbol("MPa"), e, sizeof e),
	             fw_calc_figure(press->diameter, mm, b, sizeof b),
	             fw_calc_figure(press->length, mm, c, sizeof c),
	             fw_calc_figure(fit->force.usual, kn, d, sizeof d));
	fw_calc_line(out, "torque to slip = force × d/2 = %s; friction from %s to %s",
	             fw_calc_figure(fit->torque.usual, nm, a, sizeof a),
	             fw_calc_plain(press->friction.low, b), fw_calc_plain(press->friction.high, c));
}

static void put_range(struct fw_calc_out *out, const char *name, const char *label,
                      const struct fw_press_range *range, const struct fw_unit *unit)
{
	const char *const ends[] = {"low", "usual", "high"};
	const double values[] = {range->low, range->usual, range->high};
	char key[48], words[80];

	for (size_t i = 0; i < 3; i++) {
		snprintf(key, sizeof key, "%s-%s", name, ends[i]);
		snprintf(words, sizeof words, "%s, %s friction", label, ends[i]);
		fw_calc_put(out, key, words, values[i], unit);
	}
}

static void put_results(struct fw_calc_out *out, const struct fw_press_fit *fit, bool hollow)
{
	const struct fw_unit *mpa = fw_calc_symbol("MPa"), *um = fw_calc_symbol("µm");

	fw_calc_put(out, "interference", "interference left", fit->interference, um);
	fw_calc_put(out, "pressure", "pressure in the joint", fit->pressure, mpa);
	fw_calc_put(out, "hub-hoop", "hoop stress at the hub's bore", fit->hub_hoop, mpa);
	fw_calc_put(out, "hub-tresca", "Tresca stress in the hub", fit->hub_tresca, mpa);
	fw_calc_put(out, "hub-mises", "von Mises stress in the hub", fit->hub_mises, mpa);
	fw_calc_put(out, "shaft-tresca", "Tresca stress in the shaft", fit->shaft_tresca, mpa);
	fw_calc_put(out, "shaft-mises", "von Mises stress in the shaft", fit->shaft_mises, mpa);
	fw_calc_put_number(out, "hub-share", "share of the hub's yield (Tresca)", fit->hub_share);
	fw_calc_put_number(out, "shaft-share", "share of the shaft's yield (Tresca)", fit->shaft_share);
	fw_calc_put(out, "hub-growth", "the hub's outside grows by", fit->hub_growth, um);
	fw_calc_put(out, "shaft-shrink", "the shaft's bore shrinks by",
	            hollow ? fit->shaft_shrink : NAN, um);
	put_range(out, "force", "force to slip", &fit->force, fw_calc_symbol("kN"));
	put_range(out, "torque", "torque to slip", &fit->torque, fw_calc_symbol("N·m"));
}

static void warn(struct fw_calc_out *out, const struct fw_press_fit *fit, const char *when)
{
	char a[FW_FIGURE];

	if (fit->interference <= 0.0)
		fw_calc_warn(out, "no interference is left%s: the hub is loose by %s", when,
		             fw_calc_figure(-fit->interference, fw_calc_symbol("µm"), a, sizeof a));
	if (fit->hub_share > 1.0)
		fw_calc_warn(out,
		             "the hub yields%s: Tresca stress is %s of its yield; what is beyond that is "
		             "not right",
		             when, fw_calc_plain(fit->hub_share, a));
	if (fit->shaft_share > 1.0)
		fw_calc_warn(out,
		             "the shaft yields%s: Tresca stress is %s of its yield; what is beyond that is "
		             "not right",
		             when, fw_calc_plain(fit->shaft_share, a));
}

static int solve(struct fw_calc_out *out, struct fw_press press, double interference,
                 const char *when, struct fw_error *err)
{
	struct fw_press_fit fit;

	press.interference = interference;
	int rc = fw_press_fit(&fit, &press, err);
	if (rc != FW_OK)
		return rc;
	if (*when)
		fw_calc_line(out, "%s:", when + 1);
	show_interference(out, &press, &fit);
	if (fit.interference > 0.0) {
		show_pressure(out, &press, &fit);
		show_grip(out, &press, &fit);
	}
	put_results(out, &fit, press.shaft_bore > 0.0);
	warn(out, &fit, when);
	return FW_OK;
}

static int put_heating(struct fw_calc_out *out, const struct fw_press *press, double interference,
                       struct fw_error *err)
{
	const struct fw_unit *um = fw_calc_symbol("µm"), *k = fw_calc_symbol("K");
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE];
	double rise = 0.0;

	if (press->hub.expansion <= 0.0)
		return FW_OK;

	/* Of parts that have some room between them it takes the rest; nothing once they have all. */
	double spare = SPARE * press->diameter, rest = fmax(spare + fmin(interference, 0.0), 0.0);
	int rc = fw_press_heating(&rise, press->diameter, fmax(interference, 0.0), rest,
	                          press->hub.expansion, err);
	if (rc != FW_OK)
		return rc;
	if (interference + spare < 0.0)
		fw_calc_line(out, "to go on with d/1000 to spare the hub need not be warm");
	else
		fw_calc_line(out, "to go on by heat with d/1000 to spare: (%s + %s) / (%s × %s) = %s",
		             fw_calc_figure(interference, um, a, sizeof a),
		             fw_calc_figure(spare, um, b, sizeof b), fw_calc_plain(press->hub.expansion, c),
		             fw_calc_figure(press->diameter, fw_calc_symbol("mm"), e, sizeof e),
		             fw_calc_figure(rise, k, d, sizeof d));
	fw_calc_put_span(out, "heat-hub", "hub warmer than the shaft, to slip on", rise, k);
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_press_case given;
	struct fw_press press;
	int rc = fw_press_take_case(&given, out, in, err);

	if (rc != FW_OK)
		return rc;
	fw_press_take(&press, given.diameter, in);
	if (given.range) {
		fw_calc_row(out, "ends", "At the ends of the fit");
		fw_calc_put_text(out, "at", "at", "least interference");
		rc = solve(out, press, given.least, " at least interference", err);
		if (rc == FW_OK) {
			fw_calc_row(out, "ends", "At the ends of the fit");
			fw_calc_put_text(out, "at", "at", "greatest interference");
			rc = solve(out, press, given.most, " at greatest interference", err);
		}
		fw_calc_row_end(out);
	} else {
		rc = solve(out, press, given.most, "", err);
	}
	return rc == FW_OK ? put_heating(out, &press, given.most, err) : rc;
}

const struct fw_calculator fw_calculator_press_fit = {
    .name = "press-fit",
    .summary = "pressure, stresses and grip of a hub on a shaft",
    .about = "Lamé's thick cylinders, elastic, in plane stress, solid or hollow shaft, two\n"
             "materials. From measured parts, or at both ends of an ISO 286 fit. What it\n"
             "holds: look at low friction; what pressing takes: look at high. Not for hubs\n"
             "with webs, edges, speed, or beyond yield, which it warns of where the yield\n"
             "stress is given. Default friction and moduli are usual figures, no data of\n"
             "a maker.",
    .source =
        "Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., 3-16 and 7-8; "
        "smoothing: DIN 7190, as quoted elsewhere; friction: common practice, no source",
    .example = "--fit '50 H7/s6' --outer 80 --length 40 --hub-yield 350",
    .inputs = fw_press_inputs,
    .run = run};
