/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings described, and the uncertainty of their mean. */
#include "fitwright/readings.h"

#include <gsl/gsl_statistics_double.h>
#include <math.h>

#include "solve/conform/distribution.h"
#include "solve/conform/readings_check.h"

int fw_readings_check(const double *x, size_t count, struct fw_error *err)
{
	if (!x || count == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "readings: none given");
	for (size_t i = 0; i < count; i++)
		if (!isfinite(x[i]))
			return fw_fail(err, FW_ERR_ARGUMENT, "readings: reading %zu is not a finite number",
			               i + 1);
	return FW_OK;
}

int fw_readings_describe(struct fw_readings *out, const double *x, size_t count,
                         struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "readings: no place for the result");
	int rc = fw_readings_check(x, count, err);
	if (rc != FW_OK)
		return rc;

	struct fw_readings r = {.count = count, .sd = NAN, .lag1 = NAN};
	gsl_stats_minmax(&r.min, &r.max, x, 1, count);
	r.mean = r.min;
	if (count > 1)
		r.sd = 0.0;
	if (r.min < r.max) { /* equal readings must not seem to scatter by rounding */
		r.mean = gsl_stats_mean(x, 1, count);
		r.sd = gsl_stats_sd_m(x, 1, count, r.mean);
		r.lag1 = gsl_stats_lag1_autocorrelation_m(x, 1, count, r.mean);
		if (!isfinite(r.sd) || !isfinite(r.mean))
			return fw_fail(err, FW_ERR_RANGE, "readings: too large for their squares to be added");
	}
	*out = r;
	return FW_OK;
}

static int budget_check(const struct fw_readings *r, double resolution, double error, double level,
                        struct fw_error *err)
{
	if (!r || r->count == 0 || !isfinite(r->mean) ||
	    (r->count > 1 && !(isfinite(r->sd) && r->sd >= 0.0)))
		return fw_fail(err, FW_ERR_ARGUMENT, "readings: not described yet");
	if (!isfinite(resolution) || resolution < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "readings: the resolution must be finite and not negative");
	if (!isfinite(error) || error < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "readings: the limit of error must be finite and not negative");
	if (!(level >= 0.5 && level <= 0.9999))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "readings: the coverage probability must lie between 0.5 and 0.9999");
	return FW_OK;
}

int fw_readings_budget(struct fw_readings_budget *out, const struct fw_readings *readings,
                       double resolution, double error, double level, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "readings: no place for the result");
	int rc = budget_check(readings, resolution, error, level, err);
	if (rc != FW_OK)
		return rc;

	struct fw_readings_budget b = {
	    .resolution = resolution / sqrt(12.0), .error = error / sqrt(3.0), .freedom = INFINITY};
	if (readings->count > 1)
		b.scatter = readings->sd / sqrt((double)readings->count);
	b.u = hypot(b.scatter, hypot(b.resolution, b.error));
	if (b.scatter > 0.0) {
		/* Both type B limits count as known outright, so one term is left of equation G.2b. */
		double share = b.scatter / b.u;
		b.freedom = (double)(readings->count - 1) / (share * share * share * share);
	}
	b.coverage = fw_quantile_above((1.0 - level) / 2.0, b.freedom);
	b.expanded = b.coverage * b.u;
	if (!isfinite(b.expanded))
		return fw_fail(err, FW_ERR_RANGE, "readings: the uncertainty is beyond all measure");
	*out = b;
	return FW_OK;
}
