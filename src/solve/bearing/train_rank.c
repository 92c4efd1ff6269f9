/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solve/bearing/train.h"

#define ROUNDING 1e8

/* What makes it sound. */
enum habit { UNDER_LOAD, TURNING, HABITS };

/* A suspect and the logarithms of its likelihood, by habit and of both; `order` parts equals. */
struct candidate {
	struct fw_suspect suspect;
	double by_habit[HABITS];
	double log;
	size_t order;
};

static enum fw_doing doing(const struct fw_suspect *s, const struct fw_pair_state *pair,
                           const struct fw_bearing_state *bearing)
{
	if (s->is_bearing) {
		const struct fw_bearing_state *b = &bearing[s->index];
		return !b->turning ? FW_AT_REST : b->loaded ? FW_LOADED : FW_IDLE;
	}
	const struct fw_pair_state *p = &pair[s->index];
	return !p->turning ? FW_AT_REST : p->flank == s->flank ? FW_LOADED : FW_IDLE;
}

static void weigh(struct candidate *c, enum fw_doing what, const struct fw_train_heard *h)
{
	static const double chance[HABITS][FW_DOINGS] = {
	    [UNDER_LOAD] = {FW_HEARD_AT_REST, FW_HEARD_SELDOM, FW_HEARD_MOSTLY},
	    [TURNING] = {FW_HEARD_AT_REST, FW_HEARD_MOSTLY, FW_HEARD_MOSTLY},
	};

	for (int i = 0; i < HABITS; i++)
		c->by_habit[i] += log(h->heard ? chance[i][what] : 1.0 - chance[i][what]);
	if (h->heard)
		c->suspect.heard[what]++;
	else
		c->suspect.silent[what]++;
	c->suspect.out = c->suspect.heard[FW_AT_REST] > 0;
}

static void list(struct candidate *c, const struct fw_train *t)
{
	size_t n = 0;

	for (size_t i = 0; i < 2 * t->pairs; i++, n++)
		c[n] = (struct candidate){.suspect = {.index = i / 2, .flank = i % 2 ? -1 : 1}, .order = n};
	for (size_t i = 0; i < t->bearings; i++, n++)
		c[n] = (struct candidate){.suspect = {.is_bearing = true, .index = i}, .order = n};
}

/* Adds one observation to all candidates. */
static int observe(struct candidate *c, size_t count, const struct fw_train *t,
                   const struct fw_train_heard *h, struct fw_error *err)
{
	struct fw_pair_state pair[FW_TRAIN_MOST];
	struct fw_bearing_state bearing[FW_TRAIN_MOST];
	int rc = fw_train_run(NULL, pair, bearing, t, &h->at, 1.0, err);

	for (size_t i = 0; rc == FW_OK && i < count; i++)
		weigh(&c[i], doing(&c[i].suspect, pair, bearing), h);
	return rc;
}

/* Which loads put force on each flank, in any gear. */
static void see_flanks(struct candidate *c, const struct fw_train *t)
{
	struct fw_pair_state pair[FW_TRAIN_MOST];
	size_t gears = t->gears ? t->gears : 1;

	for (size_t g = 0; g < gears; g++) {
		for (int load = FW_DRIVE; load <= FW_OVERRUN; load += FW_OVERRUN - FW_DRIVE) {
			struct fw_train_case at = {g, (enum fw_train_load)load, false};
			/* a gear nobody tried may lock up; it then says nothing */
			if (fw_train_run(NULL, pair, NULL, t, &at, 1.0, NULL) != FW_OK)
				continue;
			for (size_t i = 0; i < 2 * t->pairs; i++) {
				struct fw_suspect *s = &c[i].suspect;
				if (pair[s->index].flank == s->flank)
					s->drives = (uint8_t)(s->drives | 1u << load);
			}
		}
	}
}

static int better(const void *a, const void *b)
{
	const struct candidate *x = a, *y = b;

	if (x->log != y->log)
		return x->log > y->log ? -1 : 1;
	return x->order < y->order ? -1 : 1;
}

/* The mean of both habits, from their logarithms. Rounded, so that parts that do the same are equal
 * whatever the order of the additions, and sorting is one of exact numbers. */
static void both_habits(struct candidate *c)
{
	double most = fmax(c->by_habit[UNDER_LOAD], c->by_habit[TURNING]);
	double least = fmin(c->by_habit[UNDER_LOAD], c->by_habit[TURNING]);

	c->log = round((most + log(0.5 * (1.0 + exp(least - most)))) * ROUNDING) / ROUNDING;
}

static void share_out(struct candidate *c, size_t count)
{
	double sum = 0.0;

	for (size_t i = 0; i < count; i++)
		sum += exp(c[i].log - c[0].log);
	for (size_t i = 0; i < count; i++)
		c[i].suspect.share = exp(c[i].log - c[0].log) / sum;
}

static int heard_check(const struct fw_train_heard *heard, size_t observations,
                       struct fw_error *err)
{
	if (!heard || observations == 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: nothing was listened to; give at least one gear and load");
	if (observations > FW_HEARD_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: at most %d observations", FW_HEARD_MOST);
	for (size_t i = 0; i < observations; i++) {
		for (size_t j = 0; j < i; j++) {
			const struct fw_train_case *a = &heard[i].at, *b = &heard[j].at;
			if (a->gear == b->gear && a->load == b->load && a->declutched == b->declutched)
				return fw_fail(err, FW_ERR_ARGUMENT,
				               "gear train: observations %zu and %zu are of the same gear and load",
				               j + 1, i + 1);
		}
	}
	return FW_OK;
}

static int rank(struct candidate *c, size_t count, const struct fw_train *t,
                const struct fw_train_heard *heard, size_t observations, struct fw_error *err)
{
	list(c, t);
	for (size_t i = 0; i < observations; i++) {
		int rc = observe(c, count, t, &heard[i], err);
		if (rc != FW_OK)
			return rc;
	}
	see_flanks(c, t);
	for (size_t i = 0; i < count; i++)
		both_habits(&c[i]);
	qsort(c, count, sizeof *c, better);
	share_out(c, count);
	return FW_OK;
}

int fw_train_rank(struct fw_suspect *out, size_t *count, const struct fw_train *train,
                  const struct fw_train_heard *heard, size_t observations, struct fw_error *err)
{
	int rc = fw_train_check(train, err);

	if (rc == FW_OK)
		rc = heard_check(heard, observations, err);
	if (rc != FW_OK)
		return rc;
	size_t all = 2 * train->pairs + train->bearings;
	if (!out || !count || *count < all)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: no room for %zu suspects", all);
	if (all == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: it has neither gears nor bearings");
	struct candidate *c = calloc(all, sizeof *c);
	if (!c)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	rc = rank(c, all, train, heard, observations, err);
	for (size_t i = 0; rc == FW_OK && i < all; i++)
		out[i] = c[i].suspect;
	if (rc == FW_OK)
		*count = all;
	free(c);
	return rc;
}
