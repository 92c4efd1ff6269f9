/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stored procedure, run again through what was recorded. */
#include <string.h>

#include "job_internal.h"

/* The next record that stands, or NULL. */
static const struct fw_record *next_record(struct fw_job *job)
{
	while (job->cursor < job->records.count && job->records.list[job->cursor].struck)
		job->cursor++;
	return job->cursor < job->records.count ? &job->records.list[job->cursor] : NULL;
}

static bool same_text(const char *a, const char *b)
{
	return a && b ? strcmp(a, b) == 0 : a == b;
}

static int mismatch(const struct fw_job *job, const struct fw_record *record, const char *what,
                    struct fw_error *err)
{
	return fw_fail(
	    err, FW_ERR_REPLAY,
	    "job %lld, entry %lld (%s%s%s): %s; nothing was changed. The stored procedure, or the "
	    "program that runs it, is not the one that was recorded: audit the job",
	    (long long)job->number, (long long)record->seq, record->kind, record->step ? " " : "",
	    record->step ? record->step : "", what);
}

static int on_finding(void *context, const char *step, const json_t *ask, const json_t *value,
                      struct fw_error *err)
{
	struct fw_job *job = context;
	const struct fw_record *record = next_record(job);

	if (!record)
		return fw_job_keep_finding(job, step, ask, value, false, err);
	if (!fw_record_is(record, "finding"))
		return mismatch(job, record,
		                "the procedure now works something out where this was recorded", err);
	bool alike = same_text(record->step, step) &&
	             fw_json_alike(record->ask, ask, FW_AUDIT_TOLERANCE) &&
	             fw_json_alike(record->value, value, FW_AUDIT_TOLERANCE);
	if (job->watch)
		job->watch->finding(job->watch->context, record, alike, ask, value);
	else if (!alike)
		return mismatch(job, record, "worked out again it comes to something else", err);
	job->cursor++;
	return fw_job_keep_finding(job, step, ask, value, true, err);
}

static int on_module(void *context, const char *name, char **bytes, size_t *size,
                     struct fw_error *err)
{
	struct fw_job *job = context;
	return fw_sources_module(&job->sources, name, bytes, size, err);
}

static int make_script(struct fw_job *job, struct fw_error *err)
{
	const struct fw_script_host host = {job, on_finding, on_module, job->rules};
	const struct fw_named_source *procedure = &job->sources.procedure, *sheet = &job->sources.sheet;
	const struct fw_script_text procedure_text = {procedure->name, procedure->bytes,
	                                              procedure->size};
	const struct fw_script_text sheet_text = {sheet->name, sheet->bytes, sheet->size};

	return fw_script_new(&job->script, &procedure_text, sheet->name ? &sheet_text : NULL, &host,
	                     err);
}

/* Hands one recorded answer over. */
static int feed(struct fw_job *job, const struct fw_record *record, json_t *question,
                struct fw_error *err)
{
	struct fw_answer answer;

	if (!fw_record_is(record, "answer") && !fw_record_is(record, "sign"))
		return mismatch(job, record, "the procedure now asks something where this was recorded",
		                err);
	int code = fw_question_view_set(&job->pending, question, err);
	if (code != FW_OK)
		return code;
	const struct fw_question *q = &job->pending.question;
	if (!json_equal(record->ask, question) || !same_text(record->step, q->step) ||
	    fw_record_is(record, "sign") != (q->ask == FW_ASK_SIGN))
		return mismatch(job, record, "the procedure now asks otherwise", err);
	if (!fw_json_answer_read(&answer, &job->pending.question, record->value))
		return mismatch(job, record, "the recorded answer doesn't fit its question", err);
	if (job->watch)
		job->watch->answer(job->watch->context, record, &job->pending.question);
	job->cursor++;
	job->answered++;
	fw_job_drop_findings(job);
	return fw_script_answer(job->script, &answer, err);
}

/* The script has ended: so must the record. */
static int meet_end(struct fw_job *job, const struct fw_record *record, struct fw_error *err)
{
	fw_question_view_clear(&job->pending); /* it shows the last question that was fed */
	if (!record)
		return FW_OK;
	if (!fw_record_is(record, "release"))
		return mismatch(job, record, "the procedure now ends before this", err);
	job->cursor++;
	job->released = true;
	return FW_OK;
}

static int run_records(struct fw_job *job, struct fw_error *err)
{
	int code = fw_script_start(job->script, err);

	while (code == FW_OK) {
		json_t *question = fw_script_question(job->script);
		const struct fw_record *record = next_record(job);
		if (!question)
			return meet_end(job, record, err);
		if (!record)
			return fw_question_view_set(&job->pending, question, err);
		code = feed(job, record, question, err);
	}
	return code;
}

int fw_job_replay(struct fw_job *job, struct fw_error *err)
{
	fw_job_drop_findings(job);
	fw_question_view_clear(&job->pending);
	job->answered = 0;
	job->cursor = job->records.count > 0 ? 1 : 0; /* the first entry is the beginning */
	job->released = false;
	fw_script_free(job->script);
	job->script = NULL;
	int code = make_script(job, err);
	if (code == FW_OK)
		code = run_records(job, err);
	if (code == FW_OK)
		code = fw_job_show_findings(job, err);
	if (code != FW_OK)
		fw_question_view_clear(&job->pending);
	return code;
}
