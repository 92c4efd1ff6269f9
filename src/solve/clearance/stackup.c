/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/stackup.h"

#include <math.h>
#include <stdbool.h>

#include "solve/clearance/link.h"
#include "solve/conform/distribution.h"

/* Sums in units of the widest link, so that squares neither overflow nor vanish. */
struct sums {
	double nominal, mean;
	double half;     /* Σ |c|·a */
	double scale;    /* largest |c|·a */
	double square;   /* Σ (c·a/scale)² */
	double variance; /* Σ (c·sd/scale)² */
	double fourth;   /* Σ excess·(c·sd/scale)⁴ */
};

static double scaled(double x, double scale)
{
	return scale > 0.0 ? x / scale : 0.0;
}

static struct sums add_up(const struct fw_stackup_link *link, size_t count)
{
	struct sums sums = {0};

	for (size_t i = 0; i < count; i++)
		sums.scale = fmax(sums.scale, fabs(link[i].coefficient) * fw_link_half(&link[i]));
	for (size_t i = 0; i < count; i++) {
		double c = link[i].coefficient, half = fabs(c) * fw_link_half(&link[i]);
		double a = scaled(half, sums.scale), sd = a * fw_link_sd_share(&link[i]);

		sums.nominal += c * link[i].nominal;
		sums.mean += c * (link[i].nominal + fw_link_middle(&link[i]));
		sums.half += half;
		sums.square += a * a;
		sums.variance += sd * sd;
		sums.fourth += fw_link_excess(&link[i]) * sd * sd * sd * sd;
	}
	return sums;
}

static void share_out(struct fw_stackup_share *share, const struct fw_stackup_link *link,
                      size_t count, const struct sums *sums)
{
	for (size_t i = 0; i < count; i++) {
		double half = fabs(link[i].coefficient) * fw_link_half(&link[i]);
		double sd = scaled(half, sums->scale) * fw_link_sd_share(&link[i]);

		share[i].range = scaled(half, sums->half);
		share[i].variance = scaled(sd * sd, sums->variance);
	}
}

int fw_stackup_spread(struct fw_stackup *out, struct fw_stackup_share *share,
                      const struct fw_stackup_link *link, size_t count, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: no place for the result");

	int rc = fw_links_check(link, count, err);
	if (rc != FW_OK)
		return rc;

	struct sums sums = add_up(link, count);
	struct fw_stackup stackup = {
	    .nominal = sums.nominal,
	    .mean = sums.mean,
	    .min = sums.mean - sums.half,
	    .max = sums.mean + sums.half,
	    .rss = sums.scale * sqrt(sums.square),
	    .sd = sums.scale * sqrt(sums.variance),
	    .excess = scaled(sums.fourth, sums.variance * sums.variance),
	};
	if (!isfinite(stackup.nominal) || !isfinite(stackup.min) || !isfinite(stackup.max) ||
	    !isfinite(stackup.rss) || !isfinite(stackup.sd))
		return fw_fail(err, FW_ERR_RANGE, "stack-up: the gap is beyond all measure");
	*out = stackup;
	if (share)
		share_out(share, link, count, &sums);
	return FW_OK;
}

static int stackup_check(const struct fw_stackup *stackup, struct fw_error *err)
{
	if (!stackup)
		return fw_fail(err, FW_ERR_ARGUMENT, "capability: no stack-up given");
	if (!isfinite(stackup->mean))
		return fw_fail(err, FW_ERR_ARGUMENT, "capability: the mean is not a finite number");
	if (!isfinite(stackup->sd) || stackup->sd < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "capability: the standard deviation must be finite and not negative");
	return FW_OK;
}

int fw_stackup_capability(struct fw_stackup_capability *out, const struct fw_stackup *stackup,
                          const struct fw_limits *limits, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "capability: no place for the result");

	int rc = stackup_check(stackup, err);
	if (rc == FW_OK)
		rc = fw_limits_check(limits, err);
	if (rc != FW_OK)
		return rc;

	double mean = stackup->mean, sd = stackup->sd;
	if (sd == 0.0) {
		double at = fw_limits_snap(mean, limits);
		bool below = at<limits->min, above = at> limits->max;

		*out =
		    (struct fw_stackup_capability){.below = below, .above = above, .cp = NAN, .cpk = NAN};
		out->outside = out->below + out->above;
		return FW_OK;
	}
	double width = limits->max - limits->min; /* infinite with one-sided limits */
	out->below = fw_tail_below((limits->min - mean) / sd, INFINITY);
	out->above = fw_tail_above((limits->max - mean) / sd, INFINITY);
	out->outside = fmin(out->below + out->above, 1.0);
	out->cp = isfinite(width) ? width / (6.0 * sd) : (double)NAN;
	out->cpk = fmin(mean - limits->min, limits->max - mean) / (3.0 * sd);
	return FW_OK;
}
