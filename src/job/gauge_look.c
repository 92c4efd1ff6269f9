/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which gauge the pending reading is taken with, and what there is to say about it. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "job/gauge.h"
#include "job_internal.h"
#include "shop/words.h"

static const char none[] = "none";

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
		if (!fw_gauges_fits(job, gauge) || fw_shop_gauge_barred(gauge, out->at, NULL, 0))
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
	const struct fw_shop_gauge *gauge = fw_gauges_find(job, chosen);
	char why[64] = "retired", text[160];

	if (strcmp(chosen, none) == 0) {
		append(out, "off none of the shop's gauges; /gauge lists them");
		return;
	}
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
	const struct fw_shop_gauge *only = NULL, *bad = NULL, *last = fw_gauges_find(job, used);
	size_t usable = 0;
	char why[64], text[256];

	for (size_t i = 0; i < shelf->count; i++) {
		const struct fw_shop_gauge *gauge = &shelf->list[i];
		if (!fw_gauges_fits(job, gauge))
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
		if (last && fw_shop_gauge_barred(last, out->at, why, sizeof why)) {
			snprintf(text, sizeof text, "%s, used before in this job, was %s", last->id, why);
			append(out, text);
		}
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
		if (fw_gauges_fits(job, &shelf->list[i]))
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
	if (!fw_gauges_asked(job))
		return FW_OK;
	int code = fw_gauges_look_at_shelf(job, err);
	if (code != FW_OK)
		return code;
	const struct fw_gauge_choice *choice =
	    fw_gauges_choice(job->gauges, job->pending.question.gauge);
	bool begun = fw_gauges_goes_on(job);
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
	if (out->gauge && !fw_shop_gauge_usable(out->gauge, out->at, why, sizeof why)) {
		append(out, out->note[0] ? "; " : "");
		append(out, why);
	}
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

	if (!fw_gauges_goes_on(job) || fw_words_alike(with, id))
		return FW_OK;
	return fw_fail(err, FW_ERR_INPUT,
	               "this measurement began with %s; take its readings back (/back) to use another",
	               then ? with : "a gauge that isn't registered");
}

/* The one of this id, or a message that says why it can't be. */
static int check_chosen(const struct fw_job *job, const char *id, struct fw_error *err)
{
	const struct fw_shop_gauge *gauge = fw_gauges_find(job, id);
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
	if (other && !fw_words_alike(other->kind, kind))
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

	if (!fw_gauges_asked(job))
		return fw_fail(err, FW_ERR_INPUT,
		               job->rules > 1 ? "no reading off a gauge is asked for here"
		                              : "this job was begun before gauges had numbers; it goes on "
		                                "with typical ones");
	int code = fw_gauges_look_at_shelf(job, err);
	if (code == FW_OK)
		code = check_begun(job, id, err);
	if (code == FW_OK && !fw_words_alike(id, none))
		code = check_chosen(job, id, err);
	if (code == FW_OK)
		code = fw_gauges_make_choice(&choice, job->gauges, job->pending.question.gauge, err);
	if (code != FW_OK)
		return code;
	const struct fw_shop_gauge *gauge = fw_gauges_find(job, id);
	return fw_gauges_keep_text(&choice->chosen, gauge ? gauge->id : none, err);
}
