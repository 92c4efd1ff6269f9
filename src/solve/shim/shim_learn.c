/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/shim.h"

/* No bench gauge resolves a nanometre: it stands in for zero uncertainty, in the weight of a trial
 * and in the test for a surprise, where mere rounding would otherwise pass for one. */
#define LEAST_U 1e-9

/* Two hypotheses on a trial that is further off than is usual: the datum is the old one, or it has
 * moved to anywhere within FW_MOVED_SPREAD standard uncertainties. Bayes' rule on their odds;
 * densities normal, with standard deviations 1 and FW_MOVED_SPREAD in units of the expected
 * difference. */
static double doubt_of(double sigmas)
{
	double sharp = 1.0 - 1.0 / (FW_MOVED_SPREAD * FW_MOVED_SPREAD);

	if (sigmas <= FW_USUAL_SIGMAS)
		return 0.0;
	double odds = FW_MOVED_CHANCE / (1.0 - FW_MOVED_CHANCE) / FW_MOVED_SPREAD *
	              exp(0.5 * sigmas * sigmas * sharp);
	return isfinite(odds) ? odds / (1.0 + odds) : 1.0;
}

struct trial {
	double stack, stack_u, play, play_u, settle_u;
};

static bool is_u(double u)
{
	return u >= 0.0 && u <= FW_LENGTH_MOST;
}

static int trial_check(const struct trial *t, double sigmas, struct fw_error *err)
{
	if (!(fabs(t->play) <= FW_LENGTH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT, "trial: the play read is not a finite length");
	if (!(t->stack >= 0.0 && t->stack <= FW_LENGTH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "trial: the thickness of the stack must be finite and not negative");
	if (!is_u(t->stack_u))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "trial: the uncertainty of the stack must be finite and not negative");
	if (!is_u(t->play_u))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "trial: the uncertainty of the play must be finite and not negative");
	if (!is_u(t->settle_u))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "trial: the uncertainty of seating must be finite and not negative");
	if (!(sigmas > 0.0 && isfinite(sigmas)))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "trial: the threshold of a surprise must be finite and above zero");
	return FW_OK;
}

static int datum_check(const struct fw_datum *datum, struct fw_error *err)
{
	if (!datum)
		return fw_fail(err, FW_ERR_ARGUMENT, "trial: no datum to update");
	if (datum->trials == 0)
		return FW_OK;
	if (!(fabs(datum->value) <= 2.0 * FW_LENGTH_MOST) || !is_u(datum->u / 2.0) ||
	    !(datum->shared >= 0.0 && datum->shared <= datum->u) || !(datum->weight > 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "trial: the datum is damaged; start from a zeroed one");
	return FW_OK;
}

static double variance_of(const struct trial *t)
{
	return t->stack_u * t->stack_u + t->play_u * t->play_u + t->settle_u * t->settle_u +
	       LEAST_U * LEAST_U;
}

static struct fw_trial compare(const struct fw_datum *datum, const struct trial *t, double sigmas)
{
	struct fw_trial result = {.predicted = NAN, .difference = NAN};

	result.expected_u = sqrt(variance_of(t));
	if (datum->trials == 0)
		return result;
	result.predicted = datum->value - t->stack;
	result.difference = t->play - result.predicted;
	result.expected_u = sqrt(datum->u * datum->u + variance_of(t));
	result.sigmas = fabs(result.difference) / result.expected_u;
	result.surprise = result.sigmas > sigmas;
	result.doubt = result.surprise ? 1.0 : doubt_of(result.sigmas);
	return result;
}

/* A trial as the whole of what is known. */
static void start_over(struct fw_datum *datum, const struct trial *t)
{
	datum->value = t->stack + t->play;
	datum->shared = hypot(t->stack_u, t->play_u);
	datum->u = hypot(datum->shared, t->settle_u);
	datum->weight = 1.0 / variance_of(t);
	datum->trials = 1;
}

static double mixed(double a, double b, double part)
{
	return sqrt((1.0 - part) * a * a + part * b * b);
}

/* Weighted mean (weights 1/variance, JCGM 106:2012, annex A). What the trials share adds up
 * linearly (JCGM 100:2008, 5.2.2, equation 16 with correlation 1), only the seating averages out.
 * With the probability `doubt` the new trial counts alone: mean and variance are those of the
 * mixture of the two, and what they differ by counts as seating, which further trials average out.
 */
static void add(struct fw_datum *datum, const struct trial *t, double doubt)
{
	double weight = 1.0 / variance_of(t);
	double part = weight / (datum->weight + weight), kept = 1.0 - part;
	double off = t->stack + t->play - datum->value;
	double own = hypot(t->stack_u, t->play_u);
	double old = sqrt(fmax(0.0, datum->u * datum->u - datum->shared * datum->shared));
	double seating = mixed(hypot(kept * old, part * t->settle_u), t->settle_u, doubt);
	double apart = sqrt(doubt * (1.0 - doubt)) * kept * off;

	datum->value += (part + doubt * kept) * off;
	datum->shared = mixed(kept * datum->shared + part * own, own, doubt);
	datum->u = hypot(datum->shared, hypot(seating, apart));
	datum->weight = (1.0 - doubt) * datum->weight + weight;
	datum->trials++;
}

int fw_shim_learn(struct fw_datum *datum, double stack, double stack_u, double play, double play_u,
                  double settle_u, double sigmas, struct fw_trial *out, struct fw_error *err)
{
	struct trial trial = {stack, stack_u, play, play_u, settle_u};

	int rc = datum_check(datum, err);
	if (rc == FW_OK)
		rc = trial_check(&trial, sigmas, err);
	if (rc != FW_OK)
		return rc;

	struct fw_trial result = compare(datum, &trial, sigmas);
	if (datum->trials > 0 && !result.surprise) {
		add(datum, &trial, result.doubt);
	} else {
		start_over(datum, &trial);
		datum->surprises += result.surprise ? 1U : 0U;
	}
	if (out)
		*out = result;
	return FW_OK;
}
