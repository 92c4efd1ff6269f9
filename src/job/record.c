/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a job writes to its trail, and when. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/moment.h"
#include "job_internal.h"

/* A clock set back by no more than this is taken as a correction in passing: the new entry then
 * bears the time of the one before. */
#define CLOCK_SLACK_SECONDS 120

static void system_clock(void *context, char out[32])
{
	(void)context;
	fw_moment_now(out);
}

/* Seconds of "2026-03-05T14:03:11.250Z" since some fixed day; good for differences. */
static double seconds_of(const char *at)
{
	int y, mo, d, h, mi;
	double s;

	if (sscanf(at, "%4d-%2d-%2dT%2d:%2d:%lf", &y, &mo, &d, &h, &mi, &s) != 6)
		return 0.0;
	/* Days by the civil calendar, counted from March so that the leap day comes last. */
	int shift = mo < 3;
	long years = y - shift;
	long days = 365 * years + years / 4 - years / 100 + years / 400 +
	            (153 * (mo + (shift ? 9 : -3)) + 2) / 5 + d;
	return 86400.0 * (double)days + 3600.0 * h + 60.0 * mi + s;
}

int fw_job_now(const struct fw_job *job, char at[32], struct fw_error *err)
{
	(job->clock ? job->clock : system_clock)(job->clock_context, at);
	if (job->last_at[0] == '\0' || strcmp(at, job->last_at) >= 0)
		return FW_OK;
	if (seconds_of(job->last_at) - seconds_of(at) > CLOCK_SLACK_SECONDS)
		return fw_fail(
		    err, FW_ERR_STATE,
		    "the clock says %s, and the job's last entry is of %s: set the clock, then resume", at,
		    job->last_at);
	memcpy(at, job->last_at, sizeof job->last_at);
	return FW_OK;
}

/* Texts of an entry in the making. */
struct draft {
	char *ask, *value;
	struct fw_entry entry;
};

static int make_draft(struct draft *out, const char *kind, const char *step, const json_t *ask,
                      const char *typed, const json_t *value, struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	out->ask = ask ? fw_json_text(ask) : NULL;
	out->value = value ? fw_json_text(value) : NULL;
	if ((ask && !out->ask) || (value && !out->value))
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	out->entry = (struct fw_entry){
	    .kind = kind, .step = step, .ask = out->ask, .typed = typed, .value = out->value};
	return FW_OK;
}

static void free_draft(struct draft *draft)
{
	free(draft->ask);
	free(draft->value);
}

/* `given`: the time of the entries; NULL: now. */
static int append(struct fw_job *job, const char *given, struct fw_entry *entries, size_t count,
                  struct fw_error *err)
{
	char at[32] = "";
	uint8_t head[FW_HASH];
	int code = given ? FW_OK : fw_job_now(job, at, err);

	if (given)
		snprintf(at, sizeof at, "%s", given);
	if (code != FW_OK)
		return code;
	for (size_t i = 0; i < count; i++) {
		entries[i].at = at;
		entries[i].who = job->who;
	}
	code = fw_trail_append(job->trail, job->number, job->last_seq, entries, count, head, err);
	for (size_t i = 0; i < count; i++)
		entries[i].at = NULL; /* it points at what ends here */
	if (code != FW_OK)
		return code;
	job->last_seq += (int64_t)count;
	memcpy(job->head, head, sizeof head);
	memcpy(job->last_at, at, sizeof at);
	return FW_OK;
}

int fw_job_record_at(struct fw_job *job, const char *at, const char *kind, const char *step,
                     const json_t *ask, const char *typed, const json_t *value,
                     struct fw_error *err)
{
	struct draft draft;
	int code = make_draft(&draft, kind, step, ask, typed, value, err);

	if (code == FW_OK)
		code = append(job, at, &draft.entry, 1, err);
	free_draft(&draft);
	return code;
}

int fw_job_record(struct fw_job *job, const char *kind, const char *step, const json_t *ask,
                  const char *typed, const json_t *value, struct fw_error *err)
{
	return fw_job_record_at(job, NULL, kind, step, ask, typed, value, err);
}

/* {"count", "head"} of what the job holds, so that a cut tail shows. */
static int record_release(struct fw_job *job, struct fw_error *err)
{
	char hex[FW_HASH_TEXT];
	json_t *value = json_pack("{s:I, s:s}", "count", (json_int_t)job->last_seq, "head",
	                          fw_hash_text(hex, job->head));
	int code = value ? fw_job_record(job, "release", NULL, NULL, NULL, value, err)
	                 : fw_fail(err, FW_ERR_MEMORY, "out of memory");

	json_decref(value);
	if (code == FW_OK) {
		job->released = true;
		fw_job_drop_lease(job);
	}
	return code;
}

/* Entries in the making that go to the trail together. */
struct drafts {
	struct draft *draft;
	struct fw_entry *entry;
	size_t count;
};

static int make_drafts(struct drafts *out, size_t most, struct fw_error *err)
{
	out->count = 0;
	out->draft = calloc(most, sizeof *out->draft);
	out->entry = calloc(most, sizeof *out->entry);
	return out->draft && out->entry ? FW_OK : fw_fail(err, FW_ERR_MEMORY, "out of memory");
}

static void free_drafts(struct drafts *drafts)
{
	for (size_t i = 0; i < drafts->count; i++)
		free_draft(&drafts->draft[i]);
	free(drafts->draft);
	free(drafts->entry);
}

static int add_draft(struct drafts *out, const char *kind, const char *step, const json_t *ask,
                     const json_t *value, struct fw_error *err)
{
	struct draft *draft = &out->draft[out->count++];
	int code = make_draft(draft, kind, step, ask, NULL, value, err);

	if (code == FW_OK)
		out->entry[out->count - 1] = draft->entry;
	return code;
}

/* Answers that lapse, in one entry. */
static int draft_lapse(struct drafts *out, const struct fw_job *job, struct fw_error *err)
{
	const struct fw_records *records = job->run.records;
	json_t *list = json_array();
	json_t *value = json_pack("{s:o}", "entries", list);
	int code = value ? FW_OK : fw_fail(err, FW_ERR_MEMORY, "out of memory");

	for (size_t i = 0; code == FW_OK && i < records->count; i++)
		if (records->list[i].due &&
		    json_array_append_new(list, json_integer((json_int_t)records->list[i].seq)) != 0)
			code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
	if (code == FW_OK)
		code = add_draft(out, "lapse", NULL, NULL, value, err);
	json_decref(value);
	return code;
}

static int draft_findings(struct drafts *out, const struct fw_job *job, struct fw_error *err)
{
	int code = FW_OK;

	for (size_t i = 0; code == FW_OK && i < job->findings; i++) {
		const struct fw_kept_finding *kept = &job->finding[i];
		if (!kept->recorded)
			code = add_draft(out, "finding", kept->step, kept->ask, kept->value, err);
	}
	return code;
}

/* They are on the disk. */
static void mark_recorded(struct fw_job *job)
{
	struct fw_run *run = &job->run;

	for (size_t i = 0; i < job->findings; i++)
		job->finding[i].recorded = true;
	for (size_t i = 0; run->due && i < run->records->count; i++) {
		run->records->list[i].struck = run->records->list[i].struck || run->records->list[i].due;
		run->records->list[i].due = false;
	}
	run->due = false;
}

int fw_job_record_behind(struct fw_job *job, const struct fw_entry *first, struct fw_error *err)
{
	struct drafts drafts;
	int code = make_drafts(&drafts, job->findings + 2, err);

	if (code == FW_OK && first)
		drafts.entry[drafts.count++] = *first; /* its texts are the caller's */
	if (code == FW_OK && job->run.due)
		code = draft_lapse(&drafts, job, err);
	if (code == FW_OK)
		code = draft_findings(&drafts, job, err);
	if (code == FW_OK && drafts.count > 0)
		code = append(job, NULL, drafts.entry, drafts.count, err);
	if (code == FW_OK)
		mark_recorded(job);
	free_drafts(&drafts);
	return code;
}

int fw_job_record_findings(struct fw_job *job, struct fw_error *err)
{
	int code = fw_job_record_behind(job, NULL, err);

	if (code == FW_OK && !job->released && job->script && !fw_script_question(job->script))
		code = record_release(job, err);
	return code;
}
