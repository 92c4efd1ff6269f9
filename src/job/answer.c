/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pending question and its answer. */
#include <stdio.h>
#include <string.h>

#include "job_internal.h"

/* Records a signature. The answer becomes the one recorded: the signer's name as the shop has it,
 * borrowed from `*value`. */
static int record_signature(struct fw_job *job, struct fw_answer *answer, const char *typed,
                            json_t **value, struct fw_error *err)
{
	const struct fw_question *q = &job->pending.question;
	struct fw_to_sign what = {.question = q,
	                          .step = q->step,
	                          .name = answer->text,
	                          .role = q->role ? q->role : "",
	                          .meaning = q->meaning ? q->meaning : "",
	                          .reason = q->reason};
	char at[32] = "";

	if (!fw_purpose_find(&what.purpose, q->purpose))
		return fw_fail(err, FW_ERR_SCRIPT,
		               "step '%s' asks for a signature of an unknown purpose '%s'", q->step,
		               q->purpose);
	int code = fw_job_signature_value(job, &what, value, at, err);
	if (code == FW_OK)
		code = fw_job_record_at(job, at, "sign", q->step, job->pending.json, typed, *value, err);
	if (code == FW_OK && !fw_json_answer_read(answer, q, *value))
		code = fw_fail(err, FW_ERR_TRAIL, "the recorded signature can't be read back");
	return code;
}

static int record_answer(struct fw_job *job, struct fw_answer *answer, const char *typed,
                         bool doubted, json_t **value, struct fw_error *err)
{
	const struct fw_question *q = &job->pending.question;

	if (q->ask == FW_ASK_SIGN)
		return record_signature(job, answer, typed, value, err);
	*value = fw_json_answer(answer, doubted);
	return *value ? fw_job_record(job, "answer", q->step, job->pending.json, typed, *value, err)
	              : fw_no_memory(err);
}

int fw_job_answer(struct fw_job *job, const char *typed, bool confirmed, struct fw_error *err)
{
	struct fw_answer_gauge gauge;
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
	int code = fw_job_gauges_take(job, &gauge, err);
	if (code == FW_OK)
		code = fw_answer_read(&answer, q, typed, false, buffer, sizeof buffer, err);
	bool doubted = code == FW_ERR_IMPLAUSIBLE;
	if (doubted && confirmed)
		code = fw_answer_read(&answer, q, typed, true, buffer, sizeof buffer, err);
	json_t *value = NULL;
	if (code == FW_OK) {
		fw_error_clear(err);
		answer.gauge = gauge;
		code = record_answer(job, &answer, typed, doubted, &value, err);
	}
	if (code == FW_OK)
		code = fw_job_run_on(job, &answer, err);
	json_decref(value);
	return code;
}
