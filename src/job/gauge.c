/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "job/gauge.h"
#include "job_internal.h"

static const char none[] = "none";

static int no_memory(struct fw_error *err)
{
	return fw_fail(err, FW_ERR_MEMORY, "out of memory");
}

static bool same_letters(const char *a, const char *b)
{
	while (*a && fw_ascii_lower(*a) == fw_ascii_lower(*b)) {
		a++;
		b++;
	}
	return *a == *b;
}

void fw_job_gauges_clear(struct fw_job_gauges *gauges)
{
	for (size_t i = 0; i < gauges->choices; i++) {
		free(gauges->choice[i].kind);
		free(gauges->choice[i].used);
		free(gauges->choice[i].chosen);
	}
	free(gauges->choice);
	fw_shop_gauges_free(&gauges->shelf);
	memset(gauges, 0, sizeof *gauges);
}

/* ---- what was used, and chosen ---- */

static struct fw_gauge_choice *find_choice(const struct fw_job_gauges *gauges, const char *kind)
{
	for (size_t i = 0; i < gauges->choices; i++)
		if (same_letters(gauges->choice[i].kind, kind))
			return &gauges->choice[i];
	return NULL;
}

static int make_choice(struct fw_gauge_choice **out, struct fw_job_gauges *gauges, const char *kind,
                       struct fw_error *err)
{
	*out = find_choice(gauges, kind);
	if (*out)
		return FW_OK;
	struct fw_gauge_choice *list =
	    realloc(gauges->choice, (gauges->choices + 1) * sizeof *gauges->choice);
	if (!list)
		return no_memory(err);
	gauges->choice = list;
	list[gauges->choices] = (struct fw_gauge_choice){.kind = strdup(kind)};
	if (!list[gauges->choices].kind)
		return no_memory(err);
	*out = &list[gauges->choices++];
	return FW_OK;
}

static int keep_text(char **out, const char *text, struct fw_error *err)
{
	if (*out && strcmp(*out, text) == 0)
		return FW_OK;
	char *copy = strdup(text);
	if (!copy)
		return no_memory(err);
	free(*out);
	*out = copy;
	return FW_OK;
}

void fw_job_gauges_rewind(struct fw_job *job)
{
	struct fw_job_gauges *gauges = job->gauges;

	for (size_t i = 0; i < gauges->choices; i++) {
		free(gauges->choice[i].used);
		gauges->choice[i].used = NULL;
	}
	gauges->number = 0;
}

/* Which of how many readings of its measurement is asked for; false: it is no reading of one. */
static bool place_of(const struct fw_question *question, unsigned *number, unsigned *of)
{
	if (question->ask != FW_ASK_QUANTITY || strcmp(question->word, "measure") != 0)
		return false;
	*number = *of = 1;
	return !question->item || sscanf(question->item, "reading %u of %u", number, of) == 2;
}

int fw_job_gauges_met(struct fw_job *job, const struct fw_question *question,
                      const struct fw_answer *answer, struct fw_error *err)
{
	struct fw_job_gauges *gauges = job->gauges;
	const struct fw_answer_gauge *gauge = &answer->gauge;
	struct fw_gauge_choice *choice;

	gauges->number = 0;
	if (place_of(question, &gauges->number, &gauges->of)) {
		gauges->step = fw_source_name(question->step);
		gauges->entry = gauge->id ? gauge->entry : 0;
	}
	if (!gauge->id || !question->gauge)
		return FW_OK;
	int code = make_choice(&choice, gauges, question->gauge, err);
	return code == FW_OK ? keep_text(&choice->used, gauge->id, err) : code;
}

/* Whether the pending reading goes on with a measurement that has begun: all readings of one are
 * taken with one gauge. */
static bool goes_on(const struct fw_job *job)
{
	const struct fw_job_gauges *gauges = job->gauges;
	unsigned number, of;

	return place_of(&job->pending.question, &number, &of) && number > 1 &&
	       gauges->number == number - 1 && gauges->of == of &&
	       gauges->step == fw_source_name(job->pending.question.step);
}

/* ---- the shelf ---- */

/* Reads the register anew if something was recorded about it since. */
static int look_at_shelf(const struct fw_job *job, struct fw_error *err)
{
	struct fw_job_gauges *gauges = job->gauges;
	struct fw_shop_gauges fresh;
	int64_t end = 0;
	int code = fw_trail_head(job->trail, FW_SHOP, &end, NULL, err);

	if (code == FW_ERR_NOT_FOUND) { /* a trail of format 1 */
		fw_error_clear(err);
		end = 0;
	} else if (code != FW_OK) {
		return code;
	}
	if (gauges->read && end == gauges->shelf.entries)
		return FW_OK;
	code = fw_shop_gauges_read(&fresh, job->trail, err);
	if (code != FW_OK)
		return code;
	fw_shop_gauges_free(&gauges->shelf);
	gauges->shelf = fresh;
	gauges->read = true;
	return FW_OK;
}

/* Whether it is of the kind that the pending question asks for, and reads what is asked for. Those
 * that were retired aren't there any more. */
static bool is_candidate(const struct fw_job *job, const struct fw_shop_gauge *gauge)
{
	const struct fw_question *q = &job->pending.question;
	const struct fw_unit *unit = fw_unit_find(gauge->unit, strlen(gauge->unit));

	return !gauge->retired && same_letters(gauge->kind, q->gauge) && unit &&
	       fw_dimension_equal(unit->dimension, q->unit->dimension);
}

static const struct fw_shop_gauge *find_candidate(const struct fw_job *job, const char *id)
{
	const struct fw_shop_gauge *gauge = id ? fw_shop_gauge_find(&job->gauges->shelf, id) : NULL;

	return gauge && is_candidate(job, gauge) ? gauge : NULL;
}

/* Whether the pending question asks for a reading off a gauge at all. A job of rules 1 knows none.
 */
static bool asks_for_gauge(const struct fw_job *job)
{
	const struct fw_question *q = &job->pending.question;

	return job->rules > 1 && job->pending.json && q->ask == FW_ASK_QUANTITY && q->gauge;
}

const struct fw_shop_gauge *fw_job_gauge_at(const struct fw_job *job, size_t index)
{
	struct fw_error error = {0};

	if (!asks_for_gauge(job) || look_at_shelf(job, &error) != FW_OK)
		return NULL;
	const struct fw_shop_gauges *shelf = &job->gauges->shelf;
	for (size_t i = 0; i < shelf->count; i++)
		if (is_candidate(job, &shelf->list[i]) && index-- == 0)
			return &shelf->list[i];
	return NULL;
}

/* The time that the gauges' days are held against. */
static void look_at_clock(const struct fw_job *job, char at[32])
{
	struct fw_error error = {0};

	if (fw_job_now(job, at, &error) != FW_OK)
		memcpy(at, job->last_at, sizeof job->last_at);
}

/* ---- which one ---- */

/* What is to be said, and what comes of an answer now. */
struct outlook {
	const struct fw_shop_gauge *gauge;
	int code; /* FW_OK, or that with which an answer is refused */
	char at[32];
	char note[512];
};

static void append(struct outlook *out, const char *text)
{
	size_t used = strlen(out->note);

	snprintf(out->note + used, sizeof out->note - used, "%s", text);
	fw_utf8_drop_cut(out->note);
}

/* "/gauge DI-1 or /gauge DI-2, or /gauge none" */
static void append_ways(const struct fw_job *job, struct outlook *out)
{
	const struct fw_shop_gauges *shelf = &job->gauges->shelf;
	size_t ways = 0;
	char way[FW_GAUGE_ID_MOST + 32];

	for (size_t i = 0; i < shelf->count; i++) {
		const struct fw_shop_gauge *gauge = &shelf->list[i];
		if (!is_candidate(job, gauge) || fw_shop_gauge_barred(gauge, out->at, NULL, 0))
			continue;
		snprintf(way, sizeof way, "%s/gauge %s", ways ? " or " : "", gauge->id);
		if (ways++ < 6)
			append(out, way);
	}
	append(out, ways > 6 ? " …, or /gauge none" : ways ? ", or /gauge none" : "/gauge none");
}

static void refuse(struct outlook *out, const char *text)
{
	out->gauge = NULL;
	out->code = FW_ERR_INPUT;
	append(out, text);
}

/* The measurement has begun with a gauge, or without. */
static void keep_on(const struct fw_job *job, struct outlook *out)
{
	const struct fw_job_gauges *gauges = job->gauges;
	char why[64], text[256];

	if (gauges->entry == 0)
		return;
	const struct fw_shop_gauge *then = fw_shop_gauge_at(&gauges->shelf, gauges->entry);
	const struct fw_shop_gauge *now = then ? fw_shop_gauge_find(&gauges->shelf, then->id) : NULL;
	out->gauge = then;
	if (!now) {
		refuse(out, "the gauge that this measurement began with isn't in the shop's register; take "
		            "its readings back, and audit the job");
	} else if (fw_shop_gauge_barred(now, out->at, why, sizeof why)) {
		snprintf(text, sizeof text,
		         "%s, with which this measurement began, was %s: take its readings back (/back), "
		         "then use another gauge",
		         now->id, why);
		refuse(out, text);
	}
}

/* The person's own choice stands, or nothing does. */
static void obey(const struct fw_job *job, struct outlook *out, const char *chosen)
{
	const struct fw_shop_gauge *gauge = find_candidate(job, chosen);
	char why[64] = "retired", text[160];

	if (strcmp(chosen, none) == 0)
		return;
	if (gauge && !fw_shop_gauge_barred(gauge, out->at, why, sizeof why)) {
		out->gauge = gauge;
		return;
	}
	snprintf(text, sizeof text, "%s was %s; say which: ", chosen, why);
	refuse(out, text);
	append_ways(job, out);
}

/* The one used last, or the only one. */
static void pick(const struct fw_job *job, struct outlook *out, const char *used)
{
	const struct fw_shop_gauges *shelf = &job->gauges->shelf;
	const struct fw_shop_gauge *only = NULL, *bad = NULL, *last = find_candidate(job, used);
	size_t usable = 0;
	char why[64], text[256];

	for (size_t i = 0; i < shelf->count; i++) {
		const struct fw_shop_gauge *gauge = &shelf->list[i];
		if (!is_candidate(job, gauge))
			continue;
		if (fw_shop_gauge_barred(gauge, out->at, NULL, 0)) {
			bad = gauge;
			continue;
		}
		only = gauge;
		usable++;
	}
	if (last && !fw_shop_gauge_barred(last, out->at, NULL, 0)) {
		out->gauge = last;
	} else if (usable == 1) {
		out->gauge = only;
	} else if (usable > 1) {
		refuse(out, "say which: ");
		append_ways(job, out);
	} else if (bad) {
		fw_shop_gauge_barred(bad, out->at, why, sizeof why);
		snprintf(text, sizeof text,
		         "%s was %s, and no other %s is registered; to read off one that isn't: ", bad->id,
		         why, bad->kind);
		refuse(out, text);
		append_ways(job, out);
	}
}

static bool has_candidates(const struct fw_job *job)
{
	const struct fw_shop_gauges *shelf = &job->gauges->shelf;

	for (size_t i = 0; i < shelf->count; i++)
		if (is_candidate(job, &shelf->list[i]))
			return true;
	return false;
}

/* ---- what there is to say about it ---- */

/* The largest reading that is plausible: an error that grows with the reading is at most so large.
 */
static double largest(const struct fw_question *q)
{
	double most = fmax(isfinite(q->low) ? fabs(q->low) : 0, isfinite(q->high) ? fabs(q->high) : 0);
	return q->unit->offset != 0 ? 0 : most;
}

static void say_whether_fine(const struct fw_job *job, struct outlook *out)
{
	const struct fw_question *q = &job->pending.question;
	const struct fw_gauge *typical = fw_gauge_typical(q->gauge);
	char text[256];
	struct fw_gauge_fit fit;

	if (out->gauge)
		fit = fw_gauge_fit_of(q->width, out->gauge->resolution,
		                      out->gauge->error + out->gauge->relative * largest(q));
	else if (typical)
		fit = fw_gauge_fit_of(q->width, typical->resolution, fw_gauge_limit(typical, largest(q)));
	else
		return;
	fw_gauge_fit_text(&fit, text, sizeof text);
	if (!*text)
		return;
	append(out, out->note[0] ? "; coarse for this: " : "coarse for this: ");
	append(out, text);
}

static int look(const struct fw_job *job, struct outlook *out, struct fw_error *err)
{
	char why[64];

	memset(out, 0, sizeof *out);
	if (!asks_for_gauge(job))
		return FW_OK;
	int code = look_at_shelf(job, err);
	if (code != FW_OK)
		return code;
	const struct fw_gauge_choice *choice = find_choice(job->gauges, job->pending.question.gauge);
	bool begun = goes_on(job);
	if ((begun && job->gauges->entry != 0) || has_candidates(job))
		look_at_clock(job, out->at);
	if (begun)
		keep_on(job, out);
	else if (choice && choice->chosen)
		obey(job, out, choice->chosen);
	else if (has_candidates(job))
		pick(job, out, choice ? choice->used : NULL);
	if (out->code != FW_OK)
		return FW_OK;
	if (out->gauge && !fw_shop_gauge_usable(out->gauge, out->at, why, sizeof why))
		append(out, why);
	say_whether_fine(job, out);
	return FW_OK;
}

const struct fw_shop_gauge *fw_job_gauge(const struct fw_job *job, const char **note)
{
	struct fw_error error = {0};
	struct outlook outlook;

	if (note)
		*note = NULL;
	if (look(job, &outlook, &error) != FW_OK)
		snprintf(outlook.note, sizeof outlook.note, "%.*s", fw_utf8_fit(error.text, 500),
		         error.text);
	if (note && outlook.note[0]) {
		memcpy(job->gauges->note, outlook.note, sizeof outlook.note);
		*note = job->gauges->note;
	}
	return outlook.gauge;
}

int fw_job_gauges_take(struct fw_job *job, struct fw_answer_gauge *out, struct fw_error *err)
{
	struct outlook outlook;

	memset(out, 0, sizeof *out);
	int code = look(job, &outlook, err);
	if (code == FW_OK && outlook.code != FW_OK)
		code = fw_fail(err, outlook.code, "%s", outlook.note);
	if (code != FW_OK || !outlook.gauge)
		return code;
	const struct fw_shop_gauge *gauge = outlook.gauge;
	*out = (struct fw_answer_gauge){.id = gauge->id,
	                                .kind = gauge->kind,
	                                .resolution = gauge->resolution,
	                                .error = gauge->error,
	                                .relative = gauge->relative,
	                                .unit = fw_unit_find(gauge->unit, strlen(gauge->unit)),
	                                .calibrated = gauge->calibrated,
	                                .due = gauge->due,
	                                .source = gauge->source,
	                                .entry = gauge->entry};
	return FW_OK;
}

/* ---- the person chooses ---- */

/* A measurement that has begun is finished with the gauge it began with. */
static int check_begun(const struct fw_job *job, const char *id, struct fw_error *err)
{
	const struct fw_job_gauges *gauges = job->gauges;
	const struct fw_shop_gauge *then = fw_shop_gauge_at(&gauges->shelf, gauges->entry);
	const char *with = then ? then->id : none;

	if (!goes_on(job) || same_letters(with, id))
		return FW_OK;
	return fw_fail(err, FW_ERR_INPUT,
	               "this measurement began with %s; take its readings back (/back) to use another",
	               then ? with : "a gauge that isn't registered");
}

/* The one of this id, or a message that says why it can't be. */
static int check_chosen(const struct fw_job *job, const char *id, struct fw_error *err)
{
	const struct fw_shop_gauge *gauge = find_candidate(job, id);
	const struct fw_shop_gauge *other = fw_shop_gauge_find(&job->gauges->shelf, id);
	const char *kind = job->pending.question.gauge;
	struct outlook ways = {0};
	char why[64];

	look_at_clock(job, ways.at);
	append_ways(job, &ways);
	if (gauge && !fw_shop_gauge_barred(gauge, ways.at, why, sizeof why))
		return FW_OK;
	if (gauge || (other && fw_shop_gauge_barred(other, ways.at, why, sizeof why)))
		return fw_fail(err, FW_ERR_INPUT, "%s was %s; there is %s", other->id, why, ways.note);
	if (other && !same_letters(other->kind, kind))
		return fw_fail(err, FW_ERR_INPUT, "%s is a %s, and a %s is asked for; there is %s",
		               other->id, other->kind, kind, ways.note);
	if (other)
		return fw_fail(err, FW_ERR_INPUT, "%s reads in %s, and %s are asked for; there is %s",
		               other->id, other->unit, job->pending.question.unit->symbol, ways.note);
	return fw_fail(err, FW_ERR_INPUT, "no gauge '%.*s' is registered; there is %s",
	               fw_utf8_fit(id, FW_GAUGE_ID_MOST), id, ways.note);
}

int fw_job_use_gauge(struct fw_job *job, const char *id, struct fw_error *err)
{
	struct fw_gauge_choice *choice;

	if (!asks_for_gauge(job))
		return fw_fail(err, FW_ERR_INPUT,
		               job->rules > 1 ? "no reading off a gauge is asked for here"
		                              : "this job was begun before gauges had numbers; it goes on "
		                                "with typical ones");
	int code = look_at_shelf(job, err);
	if (code == FW_OK)
		code = check_begun(job, id, err);
	if (code == FW_OK && !same_letters(id, none))
		code = check_chosen(job, id, err);
	if (code == FW_OK)
		code = make_choice(&choice, job->gauges, job->pending.question.gauge, err);
	if (code != FW_OK)
		return code;
	const struct fw_shop_gauge *gauge = find_candidate(job, id);
	return keep_text(&choice->chosen, gauge ? gauge->id : none, err);
}
