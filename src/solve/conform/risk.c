/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Specific and global risks of a wrong decision. */
#include "fitwright/risk.h"

#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdlib.h>

#include "solve/conform/distribution.h"
#include "solve/conform/risk_check.h"

static int acceptance_check(const struct fw_limits *acceptance, struct fw_error *err)
{
	int rc = fw_limits_check(acceptance, err);
	if (rc != FW_OK)
		fw_error_prefix(err, "acceptance: ");
	return rc;
}

int fw_risk_specific(struct fw_specific_risk *out, double value, double u, double freedom,
                     const struct fw_limits *tolerance, const struct fw_limits *acceptance,
                     struct fw_error *err)
{
	double conforms = 0.0;

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "risk: no place for the result");
	int rc = fw_conform_probability(&conforms, value, u, freedom, tolerance, err);
	if (rc == FW_OK)
		rc = acceptance_check(acceptance, err);
	if (rc != FW_OK)
		return rc;

	/* Not 1 - conforms, which would lose a small risk. */
	double fails =
	    u == 0.0 ? 1.0 - conforms
	             : fw_beyond((tolerance->min - value) / u, (tolerance->max - value) / u, freedom);
	struct fw_specific_risk risk = {.accepted =
	                                    value >= acceptance->min && value <= acceptance->max};
	if (risk.accepted)
		risk.consumer = fails;
	else
		risk.producer = conforms;
	*out = risk;
	return FW_OK;
}

/* Everything counted in the process's standard deviations from its mean. */
struct standard {
	double u;
	double low, high;      /* tolerance */
	double accept, refuse; /* acceptance: from, to */
};

/* Beyond this the normal density is nil. */
#define FAR 38
/* Ends of pieces: whole deviations, whole u about two limits, the limits themselves and those of
 * the tolerance. */
#define ENDS (3 * (2 * FAR + 1) + 4)

static double accepted_at(const struct standard *s, double y)
{
	if (s->u == 0.0)
		return y >= s->accept && y <= s->refuse ? 1.0 : 0.0;
	return fw_between((s->accept - y) / s->u, (s->refuse - y) / s->u, INFINITY);
}

static double rejected_at(const struct standard *s, double y)
{
	if (s->u == 0.0)
		return 1.0 - accepted_at(s, y);
	return fw_beyond((s->accept - y) / s->u, (s->refuse - y) / s->u, INFINITY);
}

static double wrongly_accepted(double y, void *standard)
{
	return gsl_ran_ugaussian_pdf(y) * accepted_at(standard, y);
}

static double wrongly_rejected(double y, void *standard)
{
	return gsl_ran_ugaussian_pdf(y) * rejected_at(standard, y);
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

/* Ends of pieces on which both the density and the chance of acceptance are smooth. */
static size_t list_ends(double ends[ENDS], const struct standard *s)
{
	const double limits[] = {s->low, s->high, s->accept, s->refuse};
	size_t count = 0;

	for (int k = -FAR; k <= FAR; k++) {
		const double steps[] = {k, s->accept + k * s->u, s->refuse + k * s->u};
		for (size_t i = 0; i < 3; i++)
			if (fabs(steps[i]) <= FAR)
				ends[count++] = steps[i];
	}
	for (size_t i = 0; i < 4; i++)
		if (fabs(limits[i]) <= FAR)
			ends[count++] = limits[i];
	qsort(ends, count, sizeof ends[0], by_size);
	return count;
}

/* One rule of 21 points a piece: no step search, no allocation, nothing that could fail. */
static void integrate(struct fw_global_risk *risk, struct standard *s)
{
	double ends[ENDS];
	size_t count = list_ends(ends, s);

	for (size_t i = 1; i < count; i++) {
		double part = 0.0, error, magnitude, deviation;
		double middle = ends[i - 1] + (ends[i] - ends[i - 1]) / 2.0;
		bool conforms = middle > s->low && middle < s->high;
		const gsl_function f = {conforms ? wrongly_rejected : wrongly_accepted, s};

		if (!(ends[i] > ends[i - 1]))
			continue;
		gsl_integration_qk21(&f, ends[i - 1], ends[i], &part, &error, &magnitude, &deviation);
		if (conforms)
			risk->producer += part;
		else
			risk->consumer += part;
	}
}

static int standardise(struct standard *s, const struct fw_process *process, double u,
                       const struct fw_limits *tolerance, const struct fw_limits *acceptance,
                       struct fw_error *err)
{
	double mean = process->mean, sd = process->sd;

	*s = (struct standard){.u = u / sd,
	                       .low = (tolerance->min - mean) / sd,
	                       .high = (tolerance->max - mean) / sd,
	                       .accept = (acceptance->min - mean) / sd,
	                       .refuse = (acceptance->max - mean) / sd};
	if (isinf(s->u) || isinf(s->low) != isinf(tolerance->min) ||
	    isinf(s->high) != isinf(tolerance->max) || isinf(s->accept) != isinf(acceptance->min) ||
	    isinf(s->refuse) != isinf(acceptance->max))
		return fw_fail(err, FW_ERR_RANGE,
		               "risk: limits or uncertainty are too far beyond the process's standard "
		               "deviation to be counted in it");
	return FW_OK;
}

int fw_risk_global(struct fw_global_risk *out, const struct fw_process *process, double u,
                   const struct fw_limits *tolerance, const struct fw_limits *acceptance,
                   struct fw_error *err)
{
	struct standard s;

	int rc = fw_risk_check(out, tolerance, u, err);
	if (rc == FW_OK)
		rc = acceptance_check(acceptance, err);
	if (rc != FW_OK)
		return rc;
	if (!process || !isfinite(process->mean))
		return fw_fail(err, FW_ERR_ARGUMENT, "risk: the process's mean is not a finite number");
	if (!(process->sd > 0.0) || !isfinite(process->sd))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "risk: the process's standard deviation must be finite and above zero");
	rc = standardise(&s, process, u, tolerance, acceptance, err);
	if (rc != FW_OK)
		return rc;

	double wide = hypot(1.0, s.u);
	struct fw_global_risk risk = {.conforming = fw_between(s.low, s.high, INFINITY),
	                              .accepted =
	                                  fw_between(s.accept / wide, s.refuse / wide, INFINITY)};
	integrate(&risk, &s);
	*out = risk;
	return FW_OK;
}
