/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "solve/shim/together_internal.h"

static int stack_check(const struct fw_together *fit, const double *stack, const double *stack_u,
                       struct fw_error *err)
{
	char name[FW_TG_NAME];

	for (size_t j = 0; j < fit->places; j++) {
		fw_tg_place_name(fit, j, name);
		if (!(stack[j] >= 0.0 && stack[j] <= FW_LENGTH_MOST))
			return fw_fail(
			    err, FW_ERR_ARGUMENT,
			    "trial: the thickness of the stack at %s must be finite and not negative", name);
		if (!(stack_u[j] >= 0.0 && stack_u[j] <= FW_LENGTH_MOST))
			return fw_fail(
			    err, FW_ERR_ARGUMENT,
			    "trial: the uncertainty of the stack at %s must be finite and not negative", name);
	}
	return FW_OK;
}

/* What the stacks do to a response, and how well that is known. */
static double shift_of(const struct fw_together *fit, size_t i, const double *stack,
                       const double *stack_u, double *u)
{
	double shift = 0.0;

	*u = 0.0;
	for (size_t j = 0; j < fit->places; j++) {
		shift += fit->response[i].per[j] * stack[j];
		*u = hypot(*u, fit->response[i].per[j] * stack_u[j]);
	}
	return shift;
}

/* fw_shim_learn() with the stacks already taken out of the reading. */
static int learn_one(struct fw_datum *datum, const struct fw_together *fit, size_t i, double shift,
                     double shift_u, const struct fw_together_reading *reading, double sigmas,
                     struct fw_trial *trial, struct fw_error *err)
{
	char name[FW_TG_NAME];

	if (!reading->read) {
		*trial = (struct fw_trial){.predicted = NAN, .difference = NAN};
		if (datum->trials > 0)
			trial->predicted = datum->value + shift;
		return FW_OK;
	}
	int rc = FW_OK;
	if (!(fabs(reading->value) <= FW_LENGTH_MOST))
		rc = fw_fail(err, FW_ERR_ARGUMENT, "trial: what was read is not a finite length");
	if (rc == FW_OK)
		rc = fw_shim_learn(datum, 0.0, shift_u, reading->value - shift, reading->u,
		                   fit->response[i].settle_u, sigmas, trial, err);
	if (rc != FW_OK)
		fw_error_prefix(err, "%s: ", fw_tg_response_name(fit, i, name));
	else
		trial->predicted += shift; /* NAN stays NAN */
	return rc;
}

int fw_together_learn(struct fw_datum *datum, const struct fw_together *fit, const double *stack,
                      const double *stack_u, const struct fw_together_reading *reading,
                      double sigmas, struct fw_trial *out, struct fw_error *err)
{
	struct fw_datum now[FW_RESPONSES_MOST];
	struct fw_trial trial[FW_RESPONSES_MOST];
	bool any = false;

	int rc = fw_together_check(fit, err);
	if (rc != FW_OK)
		return rc;
	if (!datum || !stack || !stack_u || !reading)
		return fw_fail(err, FW_ERR_ARGUMENT, "trial: datum, stacks and readings must be given");
	memcpy(now, datum, fit->responses * sizeof now[0]);
	rc = stack_check(fit, stack, stack_u, err);
	for (size_t i = 0; i < fit->responses && rc == FW_OK; i++) {
		double u, shift = shift_of(fit, i, stack, stack_u, &u);
		any = any || reading[i].read;
		rc = learn_one(&now[i], fit, i, shift, u, &reading[i], sigmas, &trial[i], err);
	}
	if (rc == FW_OK && !any)
		rc = fw_fail(err, FW_ERR_ARGUMENT, "trial: nothing was read");
	if (rc != FW_OK)
		return rc;
	memcpy(datum, now, fit->responses * sizeof now[0]);
	if (out)
		memcpy(out, trial, fit->responses * sizeof trial[0]);
	return FW_OK;
}
