/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/conform.h"

#include <math.h>

#include "solve/conform/distribution.h"

const char *fw_verdict_name(enum fw_verdict verdict)
{
	switch (verdict) {
	case FW_WITHIN:
		return "within";
	case FW_OUTSIDE:
		return "outside";
	case FW_DOUBTFUL:
		return "doubtful";
	}
	return "unknown";
}

static int value_check(double value, double u, double freedom, struct fw_error *err)
{
	if (!isfinite(value))
		return fw_fail(err, FW_ERR_ARGUMENT, "conformity: the value is not a finite number");
	if (!isfinite(u))
		return fw_fail(err, FW_ERR_ARGUMENT, "conformity: the uncertainty is not a finite number");
	if (u < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT, "conformity: the uncertainty is negative");
	if (!(freedom >= FW_FREEDOM_LEAST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "conformity: degrees of freedom must be at least 0.1 (infinity: normal)");
	return FW_OK;
}

int fw_conform_probability(double *out, double value, double u, double freedom,
                           const struct fw_limits *limits, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "conformity: no place for the result");

	int rc = fw_limits_check(limits, err);
	if (rc == FW_OK)
		rc = value_check(value, u, freedom, err);
	if (rc != FW_OK)
		return rc;

	if (u == 0.0) {
		*out = value >= limits->min && value <= limits->max ? 1.0 : 0.0;
		return FW_OK;
	}
	double p = fw_between((limits->min - value) / u, (limits->max - value) / u, freedom);
	if (isnan(p))
		return fw_fail(err, FW_ERR_RANGE,
		               "conformity: Student's t could not be evaluated for these figures");
	*out = p;
	return FW_OK;
}

/* A value inside its limits is never called outside, however coarse the gauge: with an uncertainty
 * far wider than the limits the probability is small everywhere, which condemns the gauge only. */
static enum fw_verdict verdict_of(double probability, double margin, double asked)
{
	if (probability >= asked)
		return FW_WITHIN;
	return probability <= 1.0 - asked && margin < 0.0 ? FW_OUTSIDE : FW_DOUBTFUL;
}

int fw_conform(struct fw_conformity *out, double value, double u, double freedom,
               const struct fw_limits *limits, double asked, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "conformity: no place for the result");
	if (!(asked > 0.5 && asked < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "conformity: the probability asked for must lie between 0.5 and 1");

	double probability = 0.0;
	int rc = fw_conform_probability(&probability, value, u, freedom, limits, err);
	if (rc != FW_OK)
		return rc;

	out->probability = probability;
	out->margin = fmin(value - limits->min, limits->max - value);
	out->verdict = verdict_of(probability, out->margin, asked);
	return FW_OK;
}
