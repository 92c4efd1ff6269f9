/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job in memory: made, resumed, looked at, closed. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "job_internal.h"

struct fw_job *fw_job_new(struct fw_trail *trail, fw_clock clock, void *clock_context)
{
	struct fw_job *job = calloc(1, sizeof *job);
	struct fw_job_gauges *gauges = calloc(1, sizeof *gauges);

	if (!job || !gauges) {
		free(job);
		free(gauges);
		return NULL;
	}
	job->gauges = gauges;
	job->trail = trail;
	job->clock = clock;
	job->clock_context = clock_context;
	job->rules = FW_RULES;
	return job;
}

void fw_job_close(struct fw_job *job)
{
	if (!job)
		return;
	fw_job_drop_lease(job);
	fw_job_drop_findings(job);
	free(job->finding);
	fw_question_view_clear(&job->pending);
	fw_job_clear_run(job);
	fw_records_free(&job->records);
	fw_script_free(job->script);
	fw_sources_free(&job->sources);
	fw_job_gauges_clear(job->gauges);
	free(job->gauges);
	free(job->who);
	free(job->title);
	free(job->unit);
	free(job);
}

static int take_text(char **out, const char *text, struct fw_error *err)
{
	char *copy = strdup(text ? text : ""); /* before the old one goes: `text` may be it */

	free(*out);
	*out = copy;
	return copy ? FW_OK : fw_no_memory(err);
}

/* What the words meant when the job began; a beginning that doesn't say is of the first rules. */
static int take_rules(struct fw_job *job, const json_t *begin, struct fw_error *err)
{
	const json_t *rules = json_object_get(begin, "rules");
	json_int_t number = rules ? json_integer_value(rules) : 1;

	if (number < 1 || number > FW_RULES)
		return fw_fail(
		    err, FW_ERR_REPLAY,
		    "job %lld goes by rules that this program doesn't know: a newer one began it",
		    (long long)job->number);
	job->rules = (unsigned)number;
	return FW_OK;
}

int fw_job_take_beginning(struct fw_job *job, const char *who, struct fw_error *err)
{
	if (job->records.count == 0 || !fw_record_is(&job->records.list[0], "begin"))
		return fw_fail(err, FW_ERR_TRAIL, "job %lld doesn't start with its beginning; audit it",
		               (long long)job->number);
	const struct fw_record *first = &job->records.list[0];
	const struct fw_record *last = &job->records.list[job->records.count - 1];
	job->last_seq = last->seq;
	memcpy(job->head, last->hash, FW_HASH);
	snprintf(job->last_at, sizeof job->last_at, "%s", last->at ? last->at : "");
	int code = take_rules(job, first->value, err);
	if (code == FW_OK)
		code = take_text(&job->who, fw_job_is_blank(who) ? last->who : who, err);
	if (code == FW_OK)
		code =
		    take_text(&job->title, json_string_value(json_object_get(first->value, "title")), err);
	if (code == FW_OK)
		code = take_text(&job->unit, json_string_value(json_object_get(first->value, "unit")), err);
	if (code == FW_OK)
		code = fw_sources_recorded(&job->sources, job->trail, first->value, err);
	return code;
}

/* An audit looks at all entries; most of them are parsed by now. */
static int parse_rest(struct fw_job *job, int code, struct fw_error *err)
{
	struct fw_error error = {0};
	int parsed = FW_OK;

	for (size_t i = 0; parsed == FW_OK && i < job->records.count; i++)
		parsed = fw_record_parse(&job->records.list[i], job->number, &error);
	if (parsed == FW_OK)
		return code;
	fw_records_free(&job->records);
	return fw_fail(err, parsed, "%s", error.text);
}

int fw_job_load_records(struct fw_job *job, const char *who, struct fw_error *err)
{
	int code = fw_job_take_beginning(job, who, err);

	if (code == FW_OK)
		code = fw_job_replay(job, err);
	return job->watch ? parse_rest(job, code, err) : code;
}

int fw_job_load(struct fw_job *job, int64_t number, const char *who, struct fw_error *err)
{
	fw_job_clear_run(job);
	fw_records_free(&job->records);
	fw_sources_free(&job->sources);
	job->number = number;
	int code = fw_records_read_raw(&job->records, job->trail, number, err);
	return code == FW_OK ? fw_job_load_records(job, who, err) : code;
}

int fw_job_reload(struct fw_job *job, struct fw_error *err)
{
	int code = fw_job_load(job, job->number, job->who, err);

	if (code == FW_OK)
		code = fw_job_record_findings(job, err);
	if (code == FW_OK)
		fw_job_forget_records(job);
	return code;
}

int fw_job_resume(struct fw_job **out, struct fw_trail *trail, int64_t number, const char *who,
                  fw_clock clock, void *clock_context, struct fw_error *err)
{
	struct fw_job *job = fw_job_new(trail, clock, clock_context);

	*out = NULL;
	if (!job)
		return fw_no_memory(err);
	int code =
	    fw_job_is_blank(who) ? FW_OK : fw_job_check_name("the name of who works on it", who, err);
	job->number = number;
	if (code == FW_OK)
		code = fw_job_open_for_work(job, who, err);
	if (code == FW_OK)
		code =
		    fw_job_record_findings(job, err); /* a stop may have come between answer and findings */
	if (code != FW_OK) {
		fw_job_close(job);
		return code;
	}
	fw_job_forget_records(job);
	*out = job;
	return FW_OK;
}

int64_t fw_job_number(const struct fw_job *job)
{
	return job->number;
}

const char *fw_job_title(const struct fw_job *job)
{
	return job->title;
}

const char *fw_job_unit(const struct fw_job *job)
{
	return job->unit;
}

const char *fw_job_who(const struct fw_job *job)
{
	return job->who;
}

size_t fw_job_answered(const struct fw_job *job)
{
	return job->answered;
}

const struct fw_question *fw_job_pending(const struct fw_job *job)
{
	return job->pending.json ? &job->pending.question : NULL;
}
