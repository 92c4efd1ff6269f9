/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pending question and its answer. */
#include <stdio.h>
#include <string.h>

#include "job_internal.h"

static int no_memory(struct fw_error *err)
{
	return fw_fail(err, FW_ERR_MEMORY, "out of memory");
}

/* A signature says over what: the count and the head of what was recorded before it. */
static int add_signature(const struct fw_job *job, json_t *value, struct fw_error *err)
{
	char hex[FW_HASH_TEXT];
	const struct fw_question *q = &job->pending.question;

	if (json_object_set_new(value, "role", json_string(q->role ? q->role : "")) != 0 ||
	    json_object_set_new(value, "meaning", json_string(q->meaning ? q->meaning : "")) != 0 ||
	    json_object_set_new(value, "count", json_integer((json_int_t)job->last_seq)) != 0 ||
	    json_object_set_new(value, "head", json_string(fw_hash_text(hex, job->head))) != 0)
		return no_memory(err);
	return FW_OK;
}

static int record_answer(struct fw_job *job, const struct fw_answer *answer, const char *typed,
                         bool doubted, struct fw_error *err)
{
	const struct fw_question *q = &job->pending.question;
	bool sign = q->ask == FW_ASK_SIGN;
	json_t *value = fw_json_answer(answer, doubted);
	int code = value ? FW_OK : no_memory(err);

	if (code == FW_OK && sign)
		code = add_signature(job, value, err);
	if (code == FW_OK)
		code = fw_job_record(job, sign ? "sign" : "answer", q->step, job->pending.json, typed,
		                     value, err);
	json_decref(value);
	return code;
}

int fw_job_answer(struct fw_job *job, const char *typed, bool confirmed, struct fw_error *err)
{
	struct fw_answer answer;
	char buffer[8192];

	if (!job->pending.json)
		return fw_fail(
		    err, FW_ERR_STATE,
		    job->released
		        ? "the job is released; nothing is asked any more"
		        : "the work stopped at the last answer, which is recorded: resume the job, or "
		          "take that answer back");
	const struct fw_question *q = &job->pending.question;
	int code = fw_answer_read(&answer, q, typed, false, buffer, sizeof buffer, err);
	bool doubted = code == FW_ERR_IMPLAUSIBLE;
	if (doubted && confirmed)
		code = fw_answer_read(&answer, q, typed, true, buffer, sizeof buffer, err);
	if (code == FW_OK) {
		fw_error_clear(err);
		code = record_answer(job, &answer, typed, doubted, err);
	}
	return code == FW_OK ? fw_job_run_on(job, &answer, err) : code;
}
