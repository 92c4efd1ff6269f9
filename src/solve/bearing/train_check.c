/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/bearing/train.h"

#include "solve/quote.h"

const char *fw_train_load_name(enum fw_train_load load)
{
	static const char *const names[] = {"drive", "float", "overrun"};

	return (size_t)load < sizeof names / sizeof names[0] ? names[load] : "?";
}

bool fw_train_holds(uint64_t gears, const struct fw_train_case *at)
{
	if (gears == FW_ALWAYS)
		return true;
	return at->gear < FW_TRAIN_GEARS && (gears >> at->gear & 1) != 0;
}

const char *fw_train_gear_name(const struct fw_train *train, const struct fw_train_case *at)
{
	if (at->gear == FW_NEUTRAL)
		return "neutral";
	return at->gear < train->gears ? train->gear[at->gear] : "train";
}

static int counts_check(const struct fw_train *t, struct fw_error *err)
{
	if (t->bodies > FW_TRAIN_MOST || t->pairs > FW_TRAIN_MOST || t->locks > FW_TRAIN_MOST ||
	    t->bearings > FW_TRAIN_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: at most %d shafts, pairs, locks and bearings each",
		               FW_TRAIN_MOST);
	if (t->gears > FW_TRAIN_GEARS)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: at most %d gears", FW_TRAIN_GEARS);
	if (t->bodies < 2 || !t->body || (t->pairs && !t->pair) || (t->locks && !t->lock) ||
	    (t->bearings && !t->bearing) || (t->gears && !t->gear))
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: no shafts, or a list missing");
	for (size_t i = 0; i < t->bodies; i++) {
		if (!t->body[i])
			return fw_fail(err, FW_ERR_ARGUMENT, "gear train: shaft %zu has no name", i);
	}
	for (size_t i = 0; i < t->gears; i++) {
		if (!t->gear[i])
			return fw_fail(err, FW_ERR_ARGUMENT, "gear train: gear %zu has no name", i + 1);
	}
	return FW_OK;
}

static int ends_check(const struct fw_train *t, struct fw_error *err)
{
	if (t->input >= t->bodies || t->input == FW_CASE)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: the input is no shaft of it");
	if (t->output >= t->bodies || t->output == FW_CASE || t->output == t->input)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: the output must be a shaft other than the input");
	if (t->engine != FW_NOBODY && (t->engine >= t->bodies || t->engine == FW_CASE ||
	                               t->engine == t->input || t->engine == t->output))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: the engine must be apart from case, input and output");
	return FW_OK;
}

/* `name` is checked here too. */
static int joined_check(const struct fw_train *t, const char *what, const char *name, size_t index,
                        size_t a, size_t b, struct fw_error *err)
{
	char quoted[FW_QUOTE];

	if (!name)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: %s %zu has no name", what, index + 1);
	if (a >= t->bodies || b >= t->bodies)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: %s '%s' joins a shaft that isn't there",
		               what, fw_quote(name, quoted));
	if (a == b)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: %s '%s' joins '%.40s' with itself", what,
		               fw_quote(name, quoted), t->body[a]);
	return FW_OK;
}

static int pair_check(const struct fw_train *t, size_t i, struct fw_error *err)
{
	const struct fw_train_pair *p = &t->pair[i];
	int rc = joined_check(t, "pair", p->name, i, p->a, p->b, err);
	char quoted[FW_QUOTE];

	if (rc != FW_OK)
		return rc;
	if (p->a == FW_CASE || p->b == FW_CASE)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: pair '%s' has a gear fixed to the case: it can't turn",
		               fw_quote(p->name, quoted));
	if (p->teeth_a == 0 || p->teeth_b == 0 || p->teeth_a > FW_TEETH_MOST ||
	    p->teeth_b > FW_TEETH_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: pair '%s': teeth must be 1 to %d",
		               fw_quote(p->name, quoted), FW_TEETH_MOST);
	return FW_OK;
}

static int bearing_check(const struct fw_train *t, size_t i, struct fw_error *err)
{
	const struct fw_train_bearing *b = &t->bearing[i];
	int rc = joined_check(t, "bearing", b->name, i, b->inner, b->outer, err);
	char quoted[FW_QUOTE];

	if (rc == FW_OK && b->geometry && (rc = fw_bearing_check(b->geometry, err)) != FW_OK)
		fw_error_prefix(err, "gear train: '%s': ", fw_quote(b->name, quoted));
	return rc;
}

int fw_train_check(const struct fw_train *train, struct fw_error *err)
{
	int rc;

	if (!train)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: none given");
	if ((rc = counts_check(train, err)) != FW_OK || (rc = ends_check(train, err)) != FW_OK)
		return rc;
	for (size_t i = 0; i < train->pairs; i++) {
		if ((rc = pair_check(train, i, err)) != FW_OK)
			return rc;
	}
	for (size_t i = 0; i < train->locks; i++) {
		const struct fw_train_lock *l = &train->lock[i];
		if ((rc = joined_check(train, "lock", l->name, i, l->a, l->b, err)) != FW_OK)
			return rc;
	}
	for (size_t i = 0; i < train->bearings; i++) {
		if ((rc = bearing_check(train, i, err)) != FW_OK)
			return rc;
	}
	return FW_OK;
}

int fw_train_case_check(const struct fw_train *train, const struct fw_train_case *at,
                        struct fw_error *err)
{
	size_t gears = train->gears ? train->gears : 1;

	if (!at)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: no gear given");
	if (at->load != FW_DRIVE && at->load != FW_FLOAT && at->load != FW_OVERRUN)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: the load is neither drive nor float nor overrun");
	if (at->gear != FW_NEUTRAL && at->gear >= gears)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: it has %zu gears, no number %zu", gears,
		               at->gear + 1);
	if (at->declutched && at->gear != FW_NEUTRAL)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: with the clutch out only neutral, standing, is worked out");
	return FW_OK;
}
