/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "calc/bearing/common.h"
#include "calc/bearing/train.h"

/* One record, for messages: "pair 2". */
struct place {
	const char *input;
	size_t index;
};

static int find_body(size_t *out, const struct fw_typed_train *t, const char *name, struct place at,
                     struct fw_error *err)
{
	for (size_t i = 0; i < t->train.bodies; i++) {
		if (strcmp(t->body[i], name) == 0) {
			*out = i;
			return FW_OK;
		}
	}
	return fw_fail(err, FW_ERR_NOT_FOUND, "%s %zu: there is no shaft '%.60s'", at.input,
	               at.index + 1, name);
}

static int add_body(struct fw_typed_train *t, const char *name, const char *input,
                    struct fw_error *err)
{
	if (t->train.bodies == FW_TRAIN_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "shaft: at most %d with the case", FW_TRAIN_MOST);
	for (size_t i = 0; i < t->train.bodies; i++) {
		if (strcmp(t->body[i], name) == 0)
			return fw_fail(err, FW_ERR_ARGUMENT, "%s: '%.60s' is there already", input, name);
	}
	t->body[t->train.bodies++] = name;
	return FW_OK;
}

static int add_gear(struct fw_typed_train *t, const char *name, size_t length, uint64_t *bits,
                    struct place at, struct fw_error *err)
{
	size_t g = 0;

	if (length == 0 || length >= FW_GEAR_NAME)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s %zu: gears: a gear's name has 1 to %d bytes",
		               at.input, at.index + 1, FW_GEAR_NAME - 1);
	while (g < t->train.gears &&
	       (strlen(t->gear_name[g]) != length || memcmp(t->gear_name[g], name, length) != 0))
		g++;
	if (g == FW_TRAIN_GEARS)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s %zu: gears: at most %d gears", at.input,
		               at.index + 1, FW_TRAIN_GEARS);
	if (g == t->train.gears) {
		memcpy(t->gear_name[g], name, length);
		t->gear[g] = t->gear_name[g];
		t->train.gears++;
		if (strcmp(t->gear[g], FW_NAME_NEUTRAL) == 0 || strcmp(t->gear[g], FW_NAME_CLUTCH) == 0)
			return fw_fail(err, FW_ERR_ARGUMENT, "%s %zu: gears: '%s' is no gear", at.input,
			               at.index + 1, t->gear[g]);
	}
	*bits |= UINT64_C(1) << g;
	return FW_OK;
}

/* "1st/2nd": the gears in which it holds; all when not given. */
static int take_gears(uint64_t *bits, struct fw_typed_train *t, const struct fw_calc_values *record,
                      struct place at, struct fw_error *err)
{
	const char *text = fw_calc_text(record, "gears");

	if (!text) {
		*bits = FW_ALWAYS;
		return FW_OK;
	}
	*bits = 0;
	for (;;) {
		const char *end = text + strcspn(text, "/");
		const char *from = text + strspn(text, " "), *to = end;
		while (to > from && to[-1] == ' ')
			to--;
		if (from > to)
			from = to;
		int rc = add_gear(t, from, (size_t)(to - from), bits, at, err);
		if (rc != FW_OK || *end == '\0')
			return rc;
		text = end + 1;
	}
}

static int take_pair(struct fw_typed_train *t, const struct fw_calc_values *record, size_t index,
                     struct fw_error *err)
{
	struct fw_train_pair *p = &t->pair[index];
	struct place at = {"pair", index};
	int rc;

	p->name = fw_calc_text(record, "name");
	p->internal = fw_calc_choice(record, "ring") == 1;
	if ((rc = fw_bearing_whole(&p->teeth_a, record, "teeth-a", FW_TEETH_MOST, err)) != FW_OK ||
	    (rc = fw_bearing_whole(&p->teeth_b, record, "teeth-b", FW_TEETH_MOST, err)) != FW_OK) {
		fw_error_prefix(err, "pair %zu: ", index + 1);
		return rc;
	}
	if ((rc = find_body(&p->a, t, fw_calc_text(record, "a"), at, err)) != FW_OK ||
	    (rc = find_body(&p->b, t, fw_calc_text(record, "b"), at, err)) != FW_OK)
		return rc;
	return take_gears(&p->gears, t, record, at, err);
}

static int take_lock(struct fw_typed_train *t, const struct fw_calc_values *record, size_t index,
                     struct fw_error *err)
{
	struct fw_train_lock *l = &t->lock[index];
	struct place at = {"lock", index};
	int rc;

	l->name = fw_calc_text(record, "name");
	if ((rc = find_body(&l->a, t, fw_calc_text(record, "a"), at, err)) != FW_OK ||
	    (rc = find_body(&l->b, t, fw_calc_text(record, "b"), at, err)) != FW_OK)
		return rc;
	return take_gears(&l->gears, t, record, at, err);
}

static int take_bearing(struct fw_typed_train *t, const struct fw_calc_values *record, size_t index,
                        struct fw_error *err)
{
	struct fw_train_bearing *b = &t->bearing[index];
	struct place at = {"bearing", index};
	bool some = fw_calc_given(record, "balls") || fw_calc_given(record, "dia") ||
	            fw_calc_given(record, "pitch") || fw_calc_given(record, "angle");
	int rc;

	b->name = fw_calc_text(record, "name");
	if ((rc = find_body(&b->inner, t, fw_calc_text(record, "inner"), at, err)) != FW_OK ||
	    (rc = find_body(&b->outer, t, fw_calc_text(record, "outer"), at, err)) != FW_OK)
		return rc;
	if (!some)
		return FW_OK;
	if (!fw_calc_given(record, "balls") || !fw_calc_given(record, "dia") ||
	    !fw_calc_given(record, "pitch"))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing %zu: frequencies need balls, dia and pitch together", index + 1);
	b->geometry = &t->geometry[index];
	return fw_bearing_take(&t->geometry[index], record, err);
}

/* Reads the records of one input. */
static int take_list(struct fw_typed_train *t, const struct fw_calc_values *in, const char *input,
                     size_t *count,
                     int (*take)(struct fw_typed_train *, const struct fw_calc_values *, size_t,
                                 struct fw_error *),
                     struct fw_error *err)
{
	size_t given = fw_calc_count(in, input);

	if (given > FW_TRAIN_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: at most %d", input, FW_TRAIN_MOST);
	for (size_t i = 0; i < given; i++) {
		int rc = take(t, fw_calc_record(in, input, i), i, err);
		if (rc != FW_OK)
			return rc;
	}
	*count = given;
	return FW_OK;
}

static int take_bodies(struct fw_typed_train *t, const struct fw_calc_values *in,
                       struct fw_error *err)
{
	const char *engine = fw_calc_text(in, "engine");
	int rc = add_body(t, FW_NAME_CASE, "shaft", err);

	t->train.engine = FW_NOBODY;
	for (size_t i = 0; rc == FW_OK && i < fw_calc_count(in, "shaft"); i++)
		rc = add_body(t, fw_calc_text(fw_calc_record(in, "shaft", i), "name"), "shaft", err);
	if (rc == FW_OK && engine) {
		t->train.engine = t->train.bodies;
		rc = add_body(t, engine, "engine", err);
	}
	return rc;
}

static int take_end(size_t *out, const struct fw_typed_train *t, const struct fw_calc_values *in,
                    const char *input, struct fw_error *err)
{
	const char *name = fw_calc_text(in, input);

	for (size_t i = 0; i < t->train.bodies; i++) {
		if (strcmp(t->body[i], name) == 0) {
			*out = i;
			return FW_OK;
		}
	}
	return fw_fail(err, FW_ERR_NOT_FOUND, "%s: there is no shaft '%.60s'", input, name);
}

int fw_train_take(struct fw_typed_train *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_train *t = &out->train;
	int rc;

	memset(out, 0, sizeof *out);
	t->body = out->body;
	t->pair = out->pair;
	t->lock = out->lock;
	t->bearing = out->bearing;
	t->gear = out->gear;
	if ((rc = take_bodies(out, in, err)) != FW_OK ||
	    (rc = take_end(&t->input, out, in, "input", err)) != FW_OK ||
	    (rc = take_end(&t->output, out, in, "output", err)) != FW_OK ||
	    (rc = take_list(out, in, "pair", &t->pairs, take_pair, err)) != FW_OK ||
	    (rc = take_list(out, in, "lock", &t->locks, take_lock, err)) != FW_OK ||
	    (rc = take_list(out, in, "bearing", &t->bearings, take_bearing, err)) != FW_OK)
		return rc;
	return fw_train_check(t, err);
}

int fw_train_gear(struct fw_train_case *out, const struct fw_typed_train *train, const char *name,
                  struct fw_error *err)
{
	char list[300] = "";
	size_t used = 0;

	*out = (struct fw_train_case){.gear = FW_NEUTRAL, .load = FW_FLOAT};
	out->declutched = strcmp(name, FW_NAME_CLUTCH) == 0;
	if (out->declutched || strcmp(name, FW_NAME_NEUTRAL) == 0)
		return FW_OK;
	for (size_t g = 0; g < train->train.gears; g++) {
		if (strcmp(train->gear[g], name) == 0) {
			out->gear = g;
			return FW_OK;
		}
		if (used < sizeof list)
			used += (size_t)snprintf(list + used, sizeof list - used, "%s, ", train->gear[g]);
	}
	return fw_fail(err, FW_ERR_NOT_FOUND, "there is no gear '%.40s'; there are %s%s and %s", name,
	               list, FW_NAME_NEUTRAL, FW_NAME_CLUTCH);
}
