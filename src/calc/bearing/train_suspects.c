/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "calc/bearing/common.h"
#include "calc/bearing/train.h"

#define EXPLAINED 3
#define NAME      60

/* Adds what one record says, an observation for each load that was tried. */
static int take_record(struct fw_train_heard *heard, size_t *count,
                       const struct fw_typed_train *train, const struct fw_calc_values *record,
                       struct fw_error *err)
{
	struct fw_train_case at;
	size_t before = *count;
	int rc = fw_train_gear(&at, train, fw_calc_text(record, "gear"), err);

	if (rc != FW_OK)
		return rc;
	for (int load = FW_DRIVE; load <= FW_OVERRUN; load++) {
		const char *name = fw_train_load_name((enum fw_train_load)load);
		if (!fw_calc_given(record, name))
			continue;
		if (at.gear == FW_NEUTRAL && load != FW_FLOAT)
			return fw_fail(err, FW_ERR_ARGUMENT, "%s: there is only float= in neutral", name);
		if (*count == FW_HEARD_MOST)
			return fw_fail(err, FW_ERR_ARGUMENT, "at most %d observations", FW_HEARD_MOST);
		at.load = (enum fw_train_load)load;
		heard[(*count)++] = (struct fw_train_heard){at, fw_calc_choice(record, name) == 1};
	}
	if (*count == before)
		return fw_fail(err, FW_ERR_ARGUMENT, "say drive=, float= or overrun=, yes or no");
	return FW_OK;
}

/* "second, drive side". */
static const char *name_of(const struct fw_train *t, const struct fw_suspect *s, char text[NAME])
{
	static const char *const sides[] = {"side never loaded", "drive side", "overrun side",
	                                    "either side"};
	unsigned drive = s->drives >> FW_DRIVE & 1u, overrun = s->drives >> FW_OVERRUN & 1u;

	if (s->is_bearing)
		snprintf(text, NAME, "%.58s", t->bearing[s->index].name);
	else
		snprintf(text, NAME, "%.38s, %s", t->pair[s->index].name, sides[drive + 2 * overrun]);
	return text;
}

/* "0.9^3·0.1^1" for one habit; 1 when there is nothing. */
static void product(char *text, size_t size, const struct fw_suspect *s, double idle)
{
	double chance[FW_DOINGS] = {FW_HEARD_AT_REST, idle, FW_HEARD_MOSTLY};
	size_t used = 0;

	text[0] = '\0';
	for (int d = 0; d < FW_DOINGS; d++) {
		unsigned times[2] = {s->heard[d], s->silent[d]};
		for (int i = 0; i < 2; i++) {
			double factor = i == 0 ? chance[d] : 1.0 - chance[d];
			if (times[i] && used < size)
				used += (size_t)snprintf(text + used, size - used, "%s%.4g^%u", used ? "·" : "",
				                         factor, times[i]);
		}
	}
}

static void explain(struct fw_calc_out *out, const struct fw_train *t, const struct fw_suspect *s)
{
	char name[NAME], load[160], turn[160];

	product(load, sizeof load, s, FW_HEARD_SELDOM);
	product(turn, sizeof turn, s, FW_HEARD_MOSTLY);
	fw_calc_line(out, "%s: (%s + %s)/2", name_of(t, s, name), load, turn);
	fw_calc_line(out,
	             "  heard %u times under load, %u idle, %u at rest; silent %u, %u and %u times",
	             s->heard[FW_LOADED], s->heard[FW_IDLE], s->heard[FW_AT_REST], s->silent[FW_LOADED],
	             s->silent[FW_IDLE], s->silent[FW_AT_REST]);
}

static const char *verdict(const struct fw_suspect *s)
{
	if (s->out)
		return "out: heard at rest";
	if (s->silent[FW_LOADED] > 0)
		return "silent under load";
	return s->heard[FW_IDLE] > 0 ? "heard when idle" : "fits";
}

static void put_suspect(struct fw_calc_out *out, const struct fw_train *t,
                        const struct fw_suspect *s)
{
	char name[NAME], heard[64];

	fw_calc_row(out, "suspects", "Suspects");
	fw_calc_put_text(out, "name", "part", name_of(t, s, name));
	fw_calc_put(out, "share", "share", s->share, fw_calc_symbol("%"));
	snprintf(heard, sizeof heard, "%u of %u", s->heard[FW_LOADED],
	         s->heard[FW_AT_REST] + s->heard[FW_IDLE] + s->heard[FW_LOADED]);
	fw_calc_put_text(out, "loaded", "heard loaded", heard);
	fw_calc_put_text(out, "verdict", "verdict", verdict(s));
	fw_calc_row_end(out);
}

/* The first, and how many explain the noise as well. */
static void put_first(struct fw_calc_out *out, const struct fw_train *t,
                      const struct fw_suspect *suspect, size_t count)
{
	char name[NAME], text[NAME + 48];
	size_t alike = 0;

	while (alike + 1 < count && suspect[alike + 1].share > suspect[0].share * (1.0 - 1e-9))
		alike++;
	name_of(t, &suspect[0], name);
	if (alike > 0)
		snprintf(text, sizeof text, "%s, and %zu more as good", name, alike);
	fw_calc_put_text(out, "first", "first suspect", alike > 0 ? text : name);
}

static int rank(struct fw_calc_out *out, const struct fw_train *t,
                const struct fw_train_heard *heard, size_t observations, struct fw_error *err)
{
	size_t count = 2 * t->pairs + t->bearings;
	struct fw_suspect *suspect = calloc(count + 1, sizeof *suspect);

	if (!suspect)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	int rc = fw_train_rank(suspect, &count, t, heard, observations, err);
	if (rc == FW_OK) {
		fw_calc_line(out,
		             "chance to be heard: at rest 0.01, under load 0.9, idle 0.1 or 0.9 by its "
		             "habit; each suspect:");
		for (size_t i = 0; i < count && i < EXPLAINED; i++)
			explain(out, t, &suspect[i]);
		for (size_t i = 0; i < count; i++)
			put_suspect(out, t, &suspect[i]);
		if (suspect[0].out)
			fw_calc_warn(out, "no part turns wherever the noise is heard: two faults, or something "
			                  "outside the train");
		put_first(out, t, suspect, count);
	}
	free(suspect);
	return rc;
}

int fw_train_show_suspects(struct fw_calc_out *out, const struct fw_calc_values *in,
                           const struct fw_typed_train *train, struct fw_error *err)
{
	struct fw_train_heard *heard = calloc(FW_HEARD_MOST, sizeof *heard);
	size_t count = 0;
	int rc = FW_OK;

	if (!heard)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	for (size_t i = 0; rc == FW_OK && i < fw_calc_count(in, "heard"); i++) {
		rc = take_record(heard, &count, train, fw_calc_record(in, "heard", i), err);
		if (rc != FW_OK)
			fw_error_prefix(err, "heard %zu: ", i + 1);
	}
	if (rc == FW_OK)
		rc = rank(out, &train->train, heard, count, err);
	free(heard);
	return rc;
}
