/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/thermal.h"
#include "solve/clearance/kelvin.h"

#define LENGTH_MOST 1000.0

static int positive(double x, const char *what, struct fw_error *err)
{
	if (!isfinite(x) || x <= 0.0 || x > LENGTH_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s must be above 0 and at most 1000 m", what);
	return FW_OK;
}

static int pair_check(const struct fw_thermal_pair *pair, struct fw_error *err)
{
	int rc;

	if (!pair)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: no parts given");
	if ((rc = positive(pair->diameter, "fit: the diameter", err)) != FW_OK)
		return rc;
	if (!isfinite(pair->interference) || fabs(pair->interference) >= pair->diameter)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "fit: the interference must be finite and less than the diameter");
	rc = fw_alpha_check(pair->inner, pair->inner_u, "fit: the inner part's coefficient", err);
	if (rc == FW_OK)
		rc = fw_alpha_check(pair->outer, pair->outer_u, "fit: the outer part's coefficient", err);
	if (rc == FW_OK)
		rc = fw_kelvin_check(pair->cold, "fit: the cold temperature", err);
	if (rc == FW_OK)
		rc = fw_kelvin_check(pair->inner_hot, "fit: the inner part's hot temperature", err);
	if (rc == FW_OK)
		rc = fw_kelvin_check(pair->outer_hot, "fit: the outer part's hot temperature", err);
	return rc;
}

/* interference + d·(inner - outer)·rise = 0 */
static double even_at(const struct fw_thermal_pair *pair)
{
	double change = pair->diameter * (pair->outer - pair->inner);

	if (pair->interference == 0.0)
		return pair->cold;
	if (change == 0.0)
		return NAN;
	double kelvin = pair->cold + pair->interference / change;
	return kelvin >= FW_THERMAL_COLDEST && kelvin <= FW_THERMAL_HOTTEST ? kelvin : (double)NAN;
}

int fw_thermal_fit(struct fw_thermal_fit *out, const struct fw_thermal_pair *pair,
                   struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: no place for the result");

	int rc = pair_check(pair, err);
	if (rc != FW_OK)
		return rc;

	double inner = pair->diameter * (pair->inner_hot - pair->cold);
	double outer = pair->diameter * (pair->outer_hot - pair->cold);
	out->hot = pair->interference + inner * pair->inner - outer * pair->outer;
	out->hot_u = hypot(inner * pair->inner_u, outer * pair->outer_u);
	out->even = even_at(pair);
	return FW_OK;
}

static int heating_check(const struct fw_heating *h, struct fw_error *err)
{
	int rc;

	if (!h)
		return fw_fail(err, FW_ERR_ARGUMENT, "heating: no ring given");
	if ((rc = positive(h->bore, "heating: the bore", err)) != FW_OK)
		return rc;
	if (!isfinite(h->interference) || h->interference <= 0.0 || h->interference >= h->bore)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "heating: the interference must be above 0 and less than the bore; without "
		               "it the ring slips on cold");
	if (!isfinite(h->clearance) || h->clearance < 0.0 || h->clearance >= h->bore)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "heating: the clearance must not be negative, and less than the bore");
	rc = fw_alpha_check(h->alpha, h->alpha_u, "heating: the ring's coefficient", err);
	if (rc == FW_OK && 2.0 * h->alpha_u >= h->alpha)
		rc = fw_fail(err, FW_ERR_RANGE,
		             "heating: the ring's coefficient is too uncertain to work with");
	if (rc == FW_OK)
		rc = fw_kelvin_check(h->room, "heating: the temperature it was measured at", err);
	if (rc == FW_OK)
		rc = fw_kelvin_check(h->shaft, "heating: the shaft's temperature", err);
	if (rc == FW_OK && h->shaft != h->room)
		rc = fw_alpha_check(h->shaft_alpha, 0.0, "heating: the shaft's coefficient", err);
	return rc;
}

int fw_thermal_heat(struct fw_heated *out, const struct fw_heating *heating, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "heating: no place for the result");

	int rc = heating_check(heating, err);
	if (rc != FW_OK)
		return rc;

	const struct fw_heating *h = heating;
	double shaft = h->bore + h->interference, away = h->shaft - h->room;
	double grown = away == 0.0 ? 0.0 : shaft * h->shaft_alpha * away;
	double gain = fmax(h->interference + h->clearance + grown, 0.0);
	double rise = gain / (h->alpha * h->bore);
	double most = h->room + gain / ((h->alpha - 2.0 * h->alpha_u) * h->bore);
	if (!(h->room + rise <= FW_THERMAL_HOTTEST))
		return fw_fail(err, FW_ERR_RANGE,
		               "heating: the ring would have to be at %.0f °C, above 300 °C; chill the "
		               "shaft, or press it on",
		               h->room + rise - FW_CELSIUS);
	*out = (struct fw_heated){.gain = gain,
	                          .rise = rise,
	                          .ring = h->room + rise,
	                          .at_most = most <= FW_THERMAL_HOTTEST ? most : (double)NAN};
	return FW_OK;
}
