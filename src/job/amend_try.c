/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What becomes of a job when one of its answers is another. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "amend.h"

static bool fails(int code)
{
	return code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT;
}

int fw_amend_second(struct fw_job **out, const struct fw_job *job, struct fw_error *err)
{
	struct fw_error failed = {0};
	struct fw_job *second = fw_job_new(job->trail, job->clock, job->clock_context);

	*out = NULL;
	if (!second)
		return fw_no_memory(err);
	int code = fw_job_load(second, job->number, job->who, &failed);
	if (code == FW_OK || fails(code)) /* it goes as far as it goes */
		code = memcmp(second->head, job->head, FW_HASH) == 0
		           ? FW_OK
		           : fw_fail(err, FW_ERR_BUSY, "job %lld has gone on elsewhere; resume it",
		                     (long long)job->number);
	else
		fw_fail(err, code, "%s", failed.text);
	if (code != FW_OK) {
		fw_job_close(second);
		return code;
	}
	*out = second;
	return FW_OK;
}

/* The record that is to be amended: an answer that stands, and that the procedure has come to. */
static int find_amended(struct fw_record **out, const struct fw_job *job, int64_t seq,
                        struct fw_error *err)
{
	struct fw_record *record = fw_records_find(&job->records, seq);
	const long long number = (long long)seq;

	if (!record || !fw_record_answers(record))
		return fw_fail(err, FW_ERR_NOT_FOUND, "job %lld: no answer stands in entry %lld",
		               (long long)job->number, number);
	if (fw_records_released(&job->records))
		return fw_fail(err, FW_ERR_STATE,
		               "job %lld is released: open it again first (fitwright reopen)",
		               (long long)job->number);
	if (record->struck)
		return fw_fail(err, FW_ERR_NOT_FOUND,
		               "job %lld: the answer of entry %lld is struck out; amend the one that "
		               "stands in its place",
		               (long long)job->number, number);
	if (fw_record_is(record, "sign"))
		return fw_fail(err, FW_ERR_STATE,
		               "entry %lld is a signature: take it back instead of amending it", number);
	if (!record->met)
		return fw_fail(err, FW_ERR_NOT_FOUND,
		               "job %lld: the procedure hasn't come to the answer of entry %lld again; "
		               "answer what is asked first",
		               (long long)job->number, number);
	*out = record;
	return FW_OK;
}

/* The new answer as the trail keeps it. The gauge is that of the reading of old. */
static int make_value(json_t **out, const struct fw_record *record, const struct fw_answer *answer,
                      bool doubted, const char *reason, struct fw_error *err)
{
	json_t *gauge = json_object_get(record->value, "gauge");

	*out = fw_json_answer(answer, doubted);
	if (*out && (!gauge || json_object_set(*out, "gauge", gauge) == 0) &&
	    json_object_set_new(*out, "amends", json_integer((json_int_t)record->seq)) == 0 &&
	    json_object_set_new(*out, "reason", json_string(reason ? reason : "-")) == 0)
		return FW_OK;
	json_decref(*out);
	*out = NULL;
	return fw_no_memory(err);
}

/* What was typed, read as an answer to the question of old. */
static int read_answer(json_t **out, struct fw_record *record, const char *typed, bool confirmed,
                       const char *reason, struct fw_error *err)
{
	struct fw_question_view view = {0};
	struct fw_answer answer;
	char buffer[8192];
	int code = fw_question_view_set(&view, record->ask, err);

	if (code == FW_OK)
		code = fw_answer_read(&answer, &view.question, typed, false, buffer, sizeof buffer, err);
	bool doubted = code == FW_ERR_IMPLAUSIBLE;
	if (doubted && confirmed)
		code = fw_answer_read(&answer, &view.question, typed, true, buffer, sizeof buffer, err);
	if (code == FW_OK && record->typed && strcmp(record->typed, typed) == 0)
		code = fw_fail(err, FW_ERR_INPUT, "\"%.60s\" is the answer that stands in entry %lld",
		               typed, (long long)record->seq);
	if (code == FW_OK) {
		fw_error_clear(err);
		code = make_value(out, record, &answer, doubted, reason, err);
	}
	fw_question_view_clear(&view);
	return code;
}

/* Adds the amendment to the records, in memory. `seq` of the record stays good, its address
 * doesn't. */
static int add_amendment(struct fw_job *job, const struct fw_record *record, const char *typed,
                         const json_t *value, struct fw_error *err)
{
	char *text = fw_json_text(value);

	if (!text)
		return fw_no_memory(err);
	const struct fw_entry entry = {.job = job->number,
	                               .seq = job->last_seq + 1,
	                               .kind = "amend",
	                               .step = record->step,
	                               .at = job->last_at,
	                               .who = job->who,
	                               .ask = record->ask_text,
	                               .typed = typed,
	                               .value = text};
	int code = fw_records_add(&job->records, &entry, err);
	free(text);
	fw_records_strike(&job->records);
	return code;
}

/* Answers that the procedure met before that of entry `seq`; they stay. */
static size_t before(const struct fw_job *job, int64_t seq, size_t *list)
{
	size_t count = 0;

	for (size_t i = 0; i < job->run.recorded; i++) {
		if (job->records.list[job->run.order[i]].seq == seq)
			break;
		list[count++] = job->run.order[i];
	}
	return count;
}

static int try_it(struct fw_amend_try *trial, struct fw_record *record, const char *typed,
                  bool confirmed, const char *reason, struct fw_error *err)
{
	struct fw_job *job = trial->job;
	size_t *earlier = calloc(job->run.recorded + 1, sizeof *earlier);
	json_t *value = NULL;
	if (!earlier)
		return fw_no_memory(err);
	int code = read_answer(&value, record, typed, confirmed, reason, err);
	size_t count = before(job, trial->seq, earlier);
	trial->later = job->answered - 1 - count;
	if (code == FW_OK)
		code = add_amendment(job, record, typed, value, err);
	if (code == FW_OK)
		code = fw_job_replay(job, err);
	if (fails(code))
		fw_error_prefix(err, "with that answer the procedure fails: ");
	for (size_t i = 0; code == FW_OK && i < job->records.count; i++)
		trial->lapsed += job->records.list[i].due;
	for (size_t i = 0; code == FW_OK && i < count; i++) /* a signature given later, further up */
		trial->lapsed -= job->records.list[earlier[i]].due;
	json_decref(value);
	free(earlier);
	return code;
}

int fw_amend_try(struct fw_amend_try *out, const struct fw_job *job, int64_t seq, const char *typed,
                 bool confirmed, const char *reason, struct fw_error *err)
{
	struct fw_record *record = NULL;

	*out = (struct fw_amend_try){.seq = seq};
	int code = fw_amend_second(&out->job, job, err);
	if (out->job)
		code = find_amended(&record, out->job, seq, err);
	if (record)
		code = fw_record_parse(record, job->number, err);
	if (record && code == FW_OK)
		code = try_it(out, record, typed, confirmed, reason, err);
	if (code != FW_OK)
		fw_amend_try_free(out);
	return code;
}

void fw_amend_try_free(struct fw_amend_try *trial)
{
	fw_job_close(trial->job);
	*trial = (struct fw_amend_try){0};
}

char *fw_amend_place(const char *step, const char *item)
{
	size_t size = strlen(step) + (item ? strlen(item) + 3 : 0) + 1;
	char *out = malloc(size);

	if (out)
		snprintf(out, size, "%s%s%s%s", step, item ? " (" : "", item ? item : "", item ? ")" : "");
	return out;
}
