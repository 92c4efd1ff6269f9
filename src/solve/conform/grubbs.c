/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/readings.h"
#include "solve/conform/distribution.h"
#include "solve/conform/readings_check.h"

/* A decimal step isn't a binary one: 0.41 - 0.40 may pass 0.01 by a rounding error. */
#define ROUNDING 1e-9

static int level_check(size_t count, double significance, enum fw_grubbs_side side,
                       struct fw_error *err)
{
	if (count < FW_GRUBBS_FEWEST || count > FW_GRUBBS_READINGS)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "Grubbs' test takes %d to %d readings, not %zu; of fewer none can be told "
		               "to be the wrong one",
		               FW_GRUBBS_FEWEST, FW_GRUBBS_READINGS, count);
	if (!(significance >= FW_GRUBBS_LEAST && significance <= FW_GRUBBS_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "Grubbs' test: the significance level must lie between 1e-6 and 0.5");
	if (side != FW_GRUBBS_EITHER && side != FW_GRUBBS_HIGH && side != FW_GRUBBS_LOW)
		return fw_fail(err, FW_ERR_ARGUMENT, "Grubbs' test: no such side");
	return FW_OK;
}

/* How many tails of how many readings the level is shared by. */
static double tails(size_t count, enum fw_grubbs_side side)
{
	return side == FW_GRUBBS_EITHER ? 2.0 * (double)count : (double)count;
}

int fw_grubbs_critical(double *out, size_t count, double significance, enum fw_grubbs_side side,
                       struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "Grubbs' test: no place for the result");
	int rc = level_check(count, significance, side, err);
	if (rc != FW_OK)
		return rc;

	double n = (double)count;
	double t = fw_quantile_above(significance / tails(count, side), n - 2.0);
	*out = (n - 1.0) / sqrt(n) * sqrt(t * t / (n - 2.0 + t * t));
	return FW_OK;
}

/* Bonferroni's bound: the critical value read backwards. */
static double chance_of(double g, size_t count, enum fw_grubbs_side side)
{
	double n = (double)count;
	double rest = (n - 1.0) * (n - 1.0) - n * g * g;
	double t = rest > 0.0 ? sqrt(n * (n - 2.0) * g * g / rest) : INFINITY;

	return fmin(tails(count, side) * fw_tail_above(t, n - 2.0), 1.0);
}

static size_t find_suspect(const double *x, const struct fw_readings *r, enum fw_grubbs_side side)
{
	bool high = side == FW_GRUBBS_HIGH ||
	            (side == FW_GRUBBS_EITHER && r->max - r->mean >= r->mean - r->min);
	double wanted = high ? r->max : r->min;
	size_t i = 0;

	while (x[i] != wanted)
		i++;
	return i;
}

static double nearest_other(const double *x, size_t count, size_t index)
{
	double nearest = INFINITY;

	for (size_t i = 0; i < count; i++)
		if (i != index)
			nearest = fmin(nearest, fabs(x[i] - x[index]));
	return nearest;
}

int fw_grubbs(struct fw_grubbs *out, const double *x, size_t count, double step,
              double significance, enum fw_grubbs_side side, struct fw_error *err)
{
	struct fw_readings readings;
	struct fw_grubbs result = {0};

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "Grubbs' test: no place for the result");
	if (!isfinite(step) || step < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "Grubbs' test: the step of the scale must be finite and not negative");
	int rc = fw_grubbs_critical(&result.critical, count, significance, side, err);
	if (rc == FW_OK)
		rc = fw_readings_describe(&readings, x, count, err);
	if (rc != FW_OK)
		return rc;

	result.index = find_suspect(x, &readings, side);
	if (readings.sd > 0.0)
		result.g = fabs(x[result.index] - readings.mean) / readings.sd;
	result.chance = chance_of(result.g, count, side);
	if (result.g > result.critical) {
		result.scale_step = nearest_other(x, count, result.index) <= step * (1.0 + ROUNDING);
		result.outlying = !result.scale_step;
	}
	*out = result;
	return FW_OK;
}
