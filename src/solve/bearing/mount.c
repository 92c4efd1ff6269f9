/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/check.h"

#define MOST     0.01 /* of the diameter: a press fit is a tenth of that */
#define SMALLEST 1e-6 /* m; beyond these it's a slip of units */
#define LARGEST  1e3

/* (1 + r²)/(1 - r²) of a ring with inner diameter/outer diameter r, 0 to below 1; by r and not by
 * 1/r, whose square may be no finite number. */
static double ring(double r)
{
	return (1.0 + r * r) / ((1.0 - r) * (1.0 + r));
}

/* What share of the interference the far side of a ring moves, when it is pressed at the near side:
 * `r` is its inner/outer diameter, `own` its (1 + r²)/(1 - r²) with Poisson's ratio, `mate` that of
 * what it is pressed on, times the ratio of moduli. Lamé. */
static double share(double r, double own, double mate)
{
	return 2.0 * r / ((1.0 - r) * (1.0 + r) * (own + mate));
}

static double shaft_share(const struct fw_bearing_mount *m)
{
	double r = m->bore / m->inner_race;

	return share(r, ring(r) + m->ring_poisson,
	             m->ring_modulus / m->shaft_modulus *
	                 (ring(m->shaft_bore / m->bore) - m->shaft_poisson));
}

static double housing_share(const struct fw_bearing_mount *m)
{
	double r = m->outer_race / m->outside;
	double wall = m->housing_outside > 0.0 ? m->outside / m->housing_outside : 0.0;

	return share(r, ring(r) - m->ring_poisson,
	             m->ring_modulus / m->housing_modulus * (ring(wall) + m->housing_poisson));
}

static int sizes_check(const struct fw_bearing_mount *m, struct fw_error *err)
{
	if (!fw_positive(m->bore) || !fw_positive(m->inner_race) || !fw_positive(m->outer_race) ||
	    !fw_positive(m->outside))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: bore, raceways and outside diameter must be finite and above "
		               "zero");
	if (!(m->bore < m->inner_race && m->inner_race < m->outer_race && m->outer_race < m->outside))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "bearing fit: diameters must rise from the bore over inner and outer raceway "
		    "to the outside");
	if (m->bore < SMALLEST || m->outside > LARGEST || m->housing_outside > LARGEST)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing fit: the %s must be from 0.001 mm to 1 km",
		               m->bore < SMALLEST     ? "bore"
		               : m->outside > LARGEST ? "outside diameter"
		                                      : "housing");
	if (!(fabs(m->clearance) < m->bore))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: the clearance must be far smaller than the bore");
	if (!fw_not_negative(m->shaft_bore) || m->shaft_bore >= m->bore)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: the hole in the shaft must be smaller than the bore");
	if (!fw_not_negative(m->housing_outside) ||
	    (m->housing_outside > 0.0 && m->housing_outside <= m->outside))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: the housing must be larger than the bearing");
	return FW_OK;
}

static int interference_check(double interference, double diameter, const char *what,
                              struct fw_error *err)
{
	if (isfinite(interference) && fabs(interference) <= MOST * diameter)
		return FW_OK;
	return fw_fail(err, FW_ERR_ARGUMENT,
	               "bearing fit: the interference %s must be within 1 %% of the diameter", what);
}

static int material_check(double modulus, double poisson, double expansion, const char *of,
                          struct fw_error *err)
{
	if (!fw_positive(modulus))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: the elastic modulus of the %s must be finite and above zero",
		               of);
	if (!(poisson >= 0.0 && poisson <= 0.5))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: Poisson's ratio of the %s must be from 0 to 0.5", of);
	if (!(expansion >= 0.0 && expansion < 1e-3))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: the expansion of the %s must be from 0 to below 0.001/K", of);
	return FW_OK;
}

static int warmth_check(const struct fw_bearing_mount *m, struct fw_error *err)
{
	if (!(fabs(m->inner_temperature) < 1000.0) || !(fabs(m->outer_temperature) < 1000.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: the %s temperature must be within 1000 K of 20 °C",
		               fabs(m->inner_temperature) < 1000.0 ? "outer" : "inner");
	if ((!isnan(m->shaft_share) && !(m->shaft_share >= 0.0 && m->shaft_share <= 1.0)) ||
	    (!isnan(m->housing_share) && !(m->housing_share >= 0.0 && m->housing_share <= 1.0)))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing fit: the share of the interference must be from 0 to 1");
	return FW_OK;
}

static int check(const struct fw_bearing_mount *m, struct fw_error *err)
{
	int rc;

	if (!m)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing fit: nothing given");
	if ((rc = sizes_check(m, err)) != FW_OK ||
	    (rc = interference_check(m->shaft_interference, m->bore, "on the shaft", err)) != FW_OK ||
	    (rc = interference_check(m->housing_interference, m->outside, "in the housing", err)) !=
	        FW_OK ||
	    (rc = material_check(m->ring_modulus, m->ring_poisson, m->ring_expansion, "rings", err)) !=
	        FW_OK ||
	    (rc = material_check(m->shaft_modulus, m->shaft_poisson, m->shaft_expansion, "shaft",
	                         err)) != FW_OK ||
	    (rc = material_check(m->housing_modulus, m->housing_poisson, m->housing_expansion,
	                         "housing", err)) != FW_OK)
		return rc;
	return warmth_check(m, err);
}

static bool all_finite(const struct fw_bearing_mounted *r)
{
	return isfinite(r->shaft_interference) && isfinite(r->housing_interference) &&
	       isfinite(r->inner_growth) && isfinite(r->outer_shrink) && isfinite(r->warmth) &&
	       isfinite(r->clearance);
}

int fw_bearing_mount(struct fw_bearing_mounted *out, const struct fw_bearing_mount *mount,
                     struct fw_error *err)
{
	struct fw_bearing_mounted r;
	const struct fw_bearing_mount *m = mount;
	int rc = check(m, err);

	if (rc != FW_OK)
		return rc;
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing fit: nowhere to put it");
	r.shaft_interference = m->shaft_interference + (m->shaft_expansion - m->ring_expansion) *
	                                                   m->inner_temperature * m->bore;
	r.housing_interference = m->housing_interference + (m->ring_expansion - m->housing_expansion) *
	                                                       m->outer_temperature * m->outside;
	r.shaft_share = isnan(m->shaft_share) ? shaft_share(m) : m->shaft_share;
	r.housing_share = isnan(m->housing_share) ? housing_share(m) : m->housing_share;
	r.inner_growth = r.shaft_share * fmax(r.shaft_interference, 0.0);
	r.outer_shrink = r.housing_share * fmax(r.housing_interference, 0.0);
	r.warmth = m->ring_expansion * (m->inner_temperature - m->outer_temperature) * m->outer_race;
	r.clearance = m->clearance - r.inner_growth - r.outer_shrink - r.warmth;
	if (!all_finite(&r))
		return fw_fail(err, FW_ERR_RANGE, "bearing fit: what is left is no finite number");
	*out = r;
	return FW_OK;
}
