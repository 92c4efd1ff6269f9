/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/press.h"

#include <math.h>
#include <stdbool.h>

#define PI                3.14159265358979323846
#define INTERFERENCE_MOST 0.02 /* of the diameter: far beyond yield of anything metal */

struct fw_press_range fw_press_friction(void)
{
	return (struct fw_press_range){.low = 0.08, .usual = 0.12, .high = 0.20};
}

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

static bool not_negative(double x)
{
	return isfinite(x) && x >= 0.0;
}

static int check_part(const struct fw_press_part *part, const char *name, struct fw_error *err)
{
	if (!positive(part->modulus))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the modulus of the %s must be finite and above zero", name);
	if (!(part->poisson >= 0.0 && part->poisson < 0.5))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: Poisson's ratio of the %s must be from 0 to below 0.5", name);
	if (!not_negative(part->yield))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the yield stress of the %s must be finite and above zero; 0 if "
		               "unknown",
		               name);
	if (!isfinite(part->expansion))
		return fw_fail(err, FW_ERR_ARGUMENT, "press fit: the expansion of the %s is not finite",
		               name);
	return FW_OK;
}

static int check_sizes(const struct fw_press *press, struct fw_error *err)
{
	if (!positive(press->diameter))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the diameter of the joint must be finite and above zero");
	if (!(isfinite(press->hub_outer) && press->hub_outer > press->diameter))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the outside of the hub must be larger than the shaft");
	if (!(not_negative(press->shaft_bore) && press->shaft_bore < press->diameter))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "press fit: the bore of the shaft must be smaller than the shaft; 0 if solid");
	if (!positive(press->length))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the length of contact must be finite and above zero");
	if (!isfinite(press->interference))
		return fw_fail(err, FW_ERR_ARGUMENT, "press fit: the interference is not finite");
	if (press->interference > INTERFERENCE_MOST * press->diameter)
		return fw_fail(err, FW_ERR_RANGE,
		               "press fit: an interference of more than 2 %% of the diameter; is it in the "
		               "right unit?");
	return FW_OK;
}

static int check(const struct fw_press *press, struct fw_error *err)
{
	const struct fw_press_range *mu = &press->friction;
	int rc = check_sizes(press, err);

	if (rc == FW_OK)
		rc = check_part(&press->hub, "hub", err);
	if (rc == FW_OK)
		rc = check_part(&press->shaft, "shaft", err);
	if (rc != FW_OK)
		return rc;
	if (!not_negative(press->roughness))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the roughness must be finite and not negative");
	if (!(press->smoothing >= 0.0 && press->smoothing <= 1.0))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "press fit: the share of the roughness that is smoothed must be from 0 to 1");
	if (!isfinite(press->warming))
		return fw_fail(err, FW_ERR_ARGUMENT, "press fit: the warming is not finite");
	if (!(mu->low > 0.0 && mu->low <= mu->usual && mu->usual <= mu->high && mu->high < 1.0))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "press fit: friction must be above 0 and below 1, and rise from low by usual "
		    "to high");
	return FW_OK;
}

/* (a² + b²)/(a² - b²) with no overflow for any finite sizes, a > b >= 0. */
static double wall(double outer, double inner)
{
	double q = inner / outer;

	return (1.0 + q * q) / ((1.0 - q) * (1.0 + q));
}

static double mises(double hoop, double radial)
{
	return sqrt(hoop * hoop - hoop * radial + radial * radial);
}

static double share(double stress, double yield)
{
	return yield > 0.0 ? stress / yield : NAN;
}

static struct fw_press_range grip(const struct fw_press_range *mu, double each)
{
	return (struct fw_press_range){mu->low * each, mu->usual * each, mu->high * each};
}

static void hub_stresses(struct fw_press_fit *fit, const struct fw_press *press)
{
	double p = fit->pressure;
	double q = press->diameter / press->hub_outer;

	fit->hub_hoop = p * wall(press->hub_outer, press->diameter);
	fit->hub_mises = mises(fit->hub_hoop, -p);
	fit->hub_tresca = fit->hub_hoop + p;
	fit->hub_growth =
	    press->hub_outer * 2.0 * p * q * q / ((1.0 - q) * (1.0 + q)) / press->hub.modulus;
}

static void shaft_stresses(struct fw_press_fit *fit, const struct fw_press *press)
{
	double p = fit->pressure;
	double q = press->shaft_bore / press->diameter;
	double skin = p * wall(press->diameter, press->shaft_bore);
	double bore = 2.0 * p / ((1.0 - q) * (1.0 + q)); /* hoop alone, at the bore of a hollow shaft */

	fit->shaft_hoop = -skin;
	fit->shaft_skin_mises = mises(-skin, -p);
	fit->shaft_mises = fit->shaft_skin_mises;
	fit->shaft_tresca = skin; /* axial stress is nil, radial is less */
	if (press->shaft_bore > 0.0) {
		fit->shaft_mises = fmax(fit->shaft_mises, bore);
		fit->shaft_tresca = fmax(fit->shaft_tresca, bore);
		fit->shaft_shrink = press->shaft_bore * bore / press->shaft.modulus;
	}
}

int fw_press_fit(struct fw_press_fit *out, const struct fw_press *press, struct fw_error *err)
{
	struct fw_press_fit fit = {0};

	if (!out || !press)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: nothing given, or no place for the result");

	int rc = check(press, err);
	if (rc != FW_OK)
		return rc;

	double d = press->diameter;
	double thermal = (press->shaft.expansion - press->hub.expansion) * press->warming * d;
	fit.interference = press->interference - press->smoothing * press->roughness + thermal;
	if (fit.interference > 0.0) {
		double give = (wall(press->hub_outer, d) + press->hub.poisson) / press->hub.modulus +
		              (wall(d, press->shaft_bore) - press->shaft.poisson) / press->shaft.modulus;
		fit.pressure = fit.interference / (d * give);
		hub_stresses(&fit, press);
		shaft_stresses(&fit, press);
	}
	fit.hub_share = share(fit.hub_tresca, press->hub.yield);
	fit.shaft_share = share(fit.shaft_tresca, press->shaft.yield);
	fit.force = grip(&press->friction, PI * d * press->length * fit.pressure);
	fit.torque = grip(&press->friction, PI * d * press->length * fit.pressure * d / 2.0);
	if (!isfinite(fit.interference) || !isfinite(fit.torque.high) || !isfinite(fit.force.high) ||
	    !isfinite(fit.hub_mises) || !isfinite(fit.shaft_mises) || !isfinite(fit.hub_growth))
		return fw_fail(err, FW_ERR_RANGE, "press fit: the result is beyond all measure");
	*out = fit;
	return FW_OK;
}

int fw_press_heating(double *out, double diameter, double interference, double clearance,
                     double expansion, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "press fit: no place for the result");
	if (!positive(diameter))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the diameter of the joint must be finite and above zero");
	if (!not_negative(interference) || interference > INTERFERENCE_MOST * diameter)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the interference must be from 0 to 2 %% of the diameter");
	if (!not_negative(clearance) || clearance > INTERFERENCE_MOST * diameter)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the clearance to go on must be from 0 to 2 %% of the diameter");
	if (!positive(expansion))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "press fit: the expansion of the hub must be finite and above zero");

	double rise = (interference + clearance) / diameter / expansion;
	if (!isfinite(rise))
		return fw_fail(err, FW_ERR_RANGE, "press fit: the heating is beyond all measure");
	*out = rise;
	return FW_OK;
}
