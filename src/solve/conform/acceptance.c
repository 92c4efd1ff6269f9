/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Acceptance limits: guard bands, and the value that bears a given specific risk. */
#include <math.h>
#include <stdio.h>

#include "fitwright/risk.h"
#include "solve/conform/distribution.h"
#include "solve/conform/risk_check.h"

#define PERCENT 32

int fw_risk_check(const void *out, const struct fw_limits *tolerance, double u,
                  struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "risk: no place for the result");

	int rc = fw_limits_check(tolerance, err);
	if (rc != FW_OK) {
		fw_error_prefix(err, "tolerance: ");
		return rc;
	}
	if (!isfinite(u))
		return fw_fail(err, FW_ERR_ARGUMENT, "risk: the uncertainty is not a finite number");
	if (u < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT, "risk: the uncertainty is negative");
	return FW_OK;
}

int fw_risk_capability(double *out, const struct fw_limits *tolerance, double u,
                       struct fw_error *err)
{
	int rc = fw_risk_check(out, tolerance, u, err);
	if (rc != FW_OK)
		return rc;
	if (isinf(tolerance->min) || isinf(tolerance->max))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "risk: the capability index needs both limits; one side is open");
	if (u == 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "risk: the capability index needs an uncertainty above zero");

	double index = (tolerance->max - tolerance->min) / (4.0 * u);
	if (!isfinite(index))
		return fw_fail(err, FW_ERR_RANGE, "risk: the capability index is beyond all measure");
	*out = index;
	return FW_OK;
}

int fw_risk_guard(struct fw_limits *out, const struct fw_limits *tolerance, double u, double r,
                  struct fw_error *err)
{
	int rc = fw_risk_check(out, tolerance, u, err);
	if (rc != FW_OK)
		return rc;
	if (!isfinite(r))
		return fw_fail(err, FW_ERR_ARGUMENT, "risk: the guard band's r is not a finite number");

	double guard = r * 2.0 * u;
	struct fw_limits limits = {tolerance->min + guard, tolerance->max - guard, NAN};
	if (!isfinite(guard) || (isfinite(tolerance->min) && !isfinite(limits.min)) ||
	    (isfinite(tolerance->max) && !isfinite(limits.max)))
		return fw_fail(err, FW_ERR_RANGE, "risk: the guard band is beyond all measure");
	if (!(limits.min < limits.max))
		return fw_fail(err, FW_ERR_RANGE,
		               "risk: the guard bands leave nothing to accept; a gauge of less uncertainty "
		               "or a smaller guard band is needed");
	*out = limits;
	return FW_OK;
}

/* How far inside the nearer limit of a band of width `width` the risk is `risk`; all in units of u.
 * The risk falls from the limit to the middle, so halving the interval can't fail. */
static double depth_for(double width, double freedom, double risk)
{
	double low = 0.0, high = width / 2.0;

	for (int i = 0; i < 200 && high - low > 1e-15 * high; i++) {
		double half = low + (high - low) / 2.0;
		if (fw_beyond(-half, width - half, freedom) > risk)
			low = half;
		else
			high = half;
	}
	return high;
}

/* "2.3000 %" without printf's decimal sign, which depends on the locale. */
static const char *percent(double share, char text[PERCENT])
{
	long parts = lround(share * 1e6);

	snprintf(text, PERCENT, "%ld.%04ld %%", parts / 10000, parts % 10000);
	return text;
}

static int two_sided(struct fw_limits *out, const struct fw_limits *tolerance, double u,
                     double freedom, double risk, struct fw_error *err)
{
	double width = (tolerance->max - tolerance->min) / u;
	char text[2][PERCENT];

	if (!isfinite(tolerance->max - tolerance->min))
		return fw_fail(err, FW_ERR_RANGE, "risk: the tolerance is wider than any number");
	if (isinf(width)) { /* u is nothing beside the tolerance */
		*out = (struct fw_limits){tolerance->min, tolerance->max, NAN};
		return FW_OK;
	}
	double least = fw_beyond(-width / 2.0, width / 2.0, freedom);
	if (least > risk)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "risk: even a value in the middle bears a consumer's risk of %s, more than the "
		    "%s asked for; a gauge of less uncertainty is needed",
		    percent(least, text[0]), percent(risk, text[1]));

	double guard = depth_for(width, freedom, risk) * u;
	*out = (struct fw_limits){tolerance->min + guard, tolerance->max - guard, NAN};
	return FW_OK;
}

/* The open side stays open. */
static int one_sided(struct fw_limits *limits, double u, double freedom, double risk,
                     struct fw_error *err)
{
	double guard = u * fw_quantile_above(risk, freedom);
	double closed = isinf(limits->min) ? limits->max - guard : limits->min + guard;

	if (!isfinite(guard) || !isfinite(closed))
		return fw_fail(err, FW_ERR_RANGE, "risk: the guard band is beyond all measure");
	*(isinf(limits->min) ? &limits->max : &limits->min) = closed;
	return FW_OK;
}

int fw_risk_limits(struct fw_limits *out, const struct fw_limits *tolerance, double u,
                   double freedom, double risk, struct fw_error *err)
{
	int rc = fw_risk_check(out, tolerance, u, err);
	if (rc != FW_OK)
		return rc;
	if (!(freedom >= 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "risk: degrees of freedom must be 1 or more (infinity: normal)");
	if (!(risk >= FW_RISK_LEAST && risk <= FW_RISK_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "risk: the consumer's risk must lie between 1e-6 and 0.5");

	struct fw_limits limits = {tolerance->min, tolerance->max, NAN};
	if (isfinite(limits.min) && isfinite(limits.max)) {
		rc = u > 0.0 ? two_sided(&limits, tolerance, u, freedom, risk, err) : FW_OK;
	} else {
		rc = one_sided(&limits, u, freedom, risk, err);
	}
	if (rc != FW_OK)
		return rc;
	/* A band of no width is one value; rounding may even cross its ends. */
	if (!(limits.min < limits.max))
		return fw_fail(err, FW_ERR_RANGE,
		               "risk: only a value right in the middle could be accepted; a gauge of less "
		               "uncertainty is needed");
	*out = limits;
	return FW_OK;
}
