/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Two rules of the bench about how fine a gauge must be.
 *
 * Ten to one: it should read to a tenth of the width of the limits. Common practice, no source.
 *
 * Four to one: the width of the limits over the span of the gauge's limits of error, 2·e, should be
 * 4 or more; the test accuracy ratio of calibration, as in ANSI/NCSL Z540-1 and Z540.3 (from
 * memory; Z540.3 has the expanded uncertainty in the place of e). ISO 10012:2003 asks for a
 * metrological confirmation against the customer's requirement and names no ratio (from memory).
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "shop/gauge_rule.h"

/* Ten steps to the last digit are ten steps. */
#define SLACK 1e-9

struct fw_gauge_fit fw_gauge_fit_of(double width, double resolution, double error)
{
	struct fw_gauge_fit fit = {0, 0};

	if (!isfinite(width) || !(width > 0))
		return fit;
	if (resolution > 0)
		fit.steps = width / resolution;
	if (error > 0)
		fit.ratio = width / (2 * error);
	return fit;
}

bool fw_gauge_fit_coarse(const struct fw_gauge_fit *fit)
{
	return fit->steps > 0 && fit->steps < FW_GAUGE_STEPS * (1 - SLACK);
}

bool fw_gauge_fit_unsure(const struct fw_gauge_fit *fit)
{
	return fit->ratio > 0 && fit->ratio < FW_GAUGE_RATIO * (1 - SLACK);
}

/* To a tenth, downwards: what falls short of ten must not read as ten. */
static double shown(double x)
{
	return floor(10 * x) / 10;
}

const char *fw_gauge_fit_text(const struct fw_gauge_fit *fit, char *buffer, size_t size)
{
	buffer[0] = '\0';
	if (fw_gauge_fit_coarse(fit))
		snprintf(buffer, size, "%g steps in the width of the limits (%g are usual)",
		         shown(fit->steps), FW_GAUGE_STEPS);
	if (fw_gauge_fit_unsure(fit)) {
		size_t used = strlen(buffer);
		snprintf(buffer + used, size - used,
		         "%s width is %g times the span of the gauge's error (%g is usual)",
		         used ? "; that" : "the limits'", shown(fit->ratio), FW_GAUGE_RATIO);
	}
	return buffer;
}
