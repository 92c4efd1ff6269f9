/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/train.h"
#include "solve/quote.h"

#define RPM       (30.0 / 3.14159265358979323846)
#define TOLERANCE 1e-9 /* teeth are whole: two ways that agree agree to rounding */

struct spread {
	const struct fw_train *train;
	const struct fw_train_case *at;
	double *body;
	double speed; /* of what drives, for the scale of rounding */
	bool moved;   /* a body got its speed in this round */
};

static int locked_up(const struct spread *s, const char *what, const char *name, size_t body,
                     double one, double other, struct fw_error *err)
{
	char part[FW_QUOTE], gear[FW_QUOTE], shaft[FW_QUOTE];

	return fw_fail(
	    err, FW_ERR_RANGE,
	    "gear train: in %s it locks up: by %s '%s' %s would turn at %.6g and at %.6g rpm "
	    "at once",
	    fw_quote(fw_train_gear_name(s->train, s->at), gear), what, fw_quote(name, part),
	    fw_quote(s->train->body[body], shaft), one * RPM, other * RPM);
}

/* b turns at ratio times a. Hands on what is known of one to the other, or compares. */
static int join(struct spread *s, const char *what, const char *name, size_t a, size_t b,
                double ratio, struct fw_error *err)
{
	double *w = s->body;

	if (isnan(w[a]) && isnan(w[b]))
		return FW_OK;
	if (isnan(w[a]) || isnan(w[b])) {
		if (isnan(w[a]))
			w[a] = w[b] / ratio;
		else
			w[b] = w[a] * ratio;
		if (!isfinite(w[a]) || !isfinite(w[b]))
			return fw_fail(err, FW_ERR_RANGE, "gear train: a speed is no finite number");
		s->moved = true;
		return FW_OK;
	}
	double gap = fabs(w[a] * ratio - w[b]);
	double scale = fmax(fabs(s->speed) * fmin(1.0, fabs(ratio)), fabs(w[b]));
	if (gap > TOLERANCE * scale)
		return locked_up(s, what, name, b, w[b], w[a] * ratio, err);
	return FW_OK;
}

static int round_of(struct spread *s, struct fw_error *err)
{
	const struct fw_train *t = s->train;
	int rc;

	for (size_t i = 0; i < t->pairs; i++) {
		const struct fw_train_pair *p = &t->pair[i];
		double ratio = (double)p->teeth_a / p->teeth_b * (p->internal ? 1.0 : -1.0);
		if (fw_train_holds(p->gears, s->at) &&
		    (rc = join(s, "pair", p->name, p->a, p->b, ratio, err)) != FW_OK)
			return rc;
	}
	for (size_t i = 0; i < t->locks; i++) {
		const struct fw_train_lock *l = &t->lock[i];
		if (fw_train_holds(l->gears, s->at) &&
		    (rc = join(s, "lock", l->name, l->a, l->b, 1.0, err)) != FW_OK)
			return rc;
	}
	return FW_OK;
}

static int spread(struct spread *s, struct fw_error *err)
{
	int rc;

	do {
		s->moved = false;
		if ((rc = round_of(s, err)) != FW_OK)
			return rc;
	} while (s->moved);
	return FW_OK;
}

/* The output: driven in a gear, standing in neutral. */
static int output(struct spread *s, struct fw_error *err)
{
	const struct fw_train *t = s->train;
	double *w = &s->body[t->output];
	char gear[FW_QUOTE], shaft[FW_QUOTE];

	if (s->at->gear != FW_NEUTRAL) {
		if (!isnan(*w) && *w != 0.0)
			return FW_OK;
		return fw_fail(err, FW_ERR_RANGE, "gear train: in %s nothing drives the output '%s'",
		               fw_quote(fw_train_gear_name(t, s->at), gear),
		               fw_quote(t->body[t->output], shaft));
	}
	if (!isnan(*w) && *w != 0.0)
		return fw_fail(err, FW_ERR_RANGE, "gear train: in neutral the output '%s' is driven",
		               fw_quote(t->body[t->output], shaft));
	*w = 0.0;
	return spread(s, err);
}

int fw_train_speeds(double *body, const struct fw_train *train, const struct fw_train_case *at,
                    double speed, struct fw_error *err)
{
	struct spread s = {train, at, body, speed, false};

	for (size_t i = 0; i < train->bodies; i++)
		body[i] = NAN;
	body[FW_CASE] = 0.0;
	body[train->input] = at->declutched ? 0.0 : speed;
	if (train->engine != FW_NOBODY)
		body[train->engine] = speed;
	int rc = spread(&s, err);
	return rc == FW_OK ? output(&s, err) : rc;
}
