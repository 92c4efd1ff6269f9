/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a job writes to its trail, and when. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "job_internal.h"

/* A clock set back by no more than this is taken as a correction in passing: the new entry then
 * bears the time of the one before. */
#define CLOCK_SLACK_SECONDS 120

static void system_clock(void *context, char out[32])
{
	struct timespec now;
	struct tm utc;
	char date[24];

	(void)context;
	clock_gettime(CLOCK_REALTIME, &now);
	gmtime_r(&now.tv_sec, &utc);
	strftime(date, sizeof date, "%Y-%m-%dT%H:%M:%S", &utc);
	snprintf(out, 32, "%.19s.%03uZ", date, (unsigned)(now.tv_nsec / 1000000L) % 1000U);
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

int fw_job_now(struct fw_job *job, char at[32], struct fw_error *err)
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

static int append(struct fw_job *job, struct fw_entry *entries, size_t count, struct fw_error *err)
{
	char at[32] = "";
	uint8_t head[FW_HASH];
	int code = fw_job_now(job, at, err);

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

int fw_job_record(struct fw_job *job, const char *kind, const char *step, const json_t *ask,
                  const char *typed, const json_t *value, struct fw_error *err)
{
	struct draft draft;
	int code = make_draft(&draft, kind, step, ask, typed, value, err);

	if (code == FW_OK)
		code = append(job, &draft.entry, 1, err);
	free_draft(&draft);
	return code;
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

/* Drafts of the findings not yet recorded; `draft` and `entries` have room for all. */
static int draft_findings(const struct fw_job *job, struct draft *draft, struct fw_entry *entries,
                          size_t *made, struct fw_error *err)
{
	for (size_t i = 0; i < job->findings; i++) {
		const struct fw_kept_finding *kept = &job->finding[i];
		if (kept->recorded)
			continue;
		struct draft *next = &draft[(*made)++];
		int code = make_draft(next, "finding", kept->step, kept->ask, NULL, kept->value, err);
		if (code != FW_OK)
			return code;
		entries[*made - 1] = next->entry;
	}
	return FW_OK;
}

static int record_new_findings(struct fw_job *job, size_t fresh, struct fw_error *err)
{
	struct draft *draft = calloc(fresh, sizeof *draft);
	struct fw_entry *entries = calloc(fresh, sizeof *entries);
	size_t made = 0;

	if (!draft || !entries) {
		free(draft);
		free(entries);
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	}
	int code = draft_findings(job, draft, entries, &made, err);
	if (code == FW_OK)
		code = append(job, entries, made, err);
	for (size_t i = 0; code == FW_OK && i < job->findings; i++)
		job->finding[i].recorded = true;
	for (size_t i = 0; i < made; i++)
		free_draft(&draft[i]);
	free(draft);
	free(entries);
	return code;
}

int fw_job_record_findings(struct fw_job *job, struct fw_error *err)
{
	size_t fresh = 0;
	int code = FW_OK;

	for (size_t i = 0; i < job->findings; i++)
		fresh += !job->finding[i].recorded;
	if (fresh > 0)
		code = record_new_findings(job, fresh, err);
	if (code == FW_OK && !job->released && job->script && !fw_script_question(job->script))
		code = record_release(job, err);
	return code;
}
