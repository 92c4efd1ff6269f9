/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The last answer is taken back. */
#include <string.h>

#include "job_internal.h"

static int record_withdrawal(struct fw_job *job, const struct fw_records *records,
                             const char *reason, struct fw_error *err)
{
	const struct fw_record *last = fw_records_last_answer(records);

	if (fw_records_released(records))
		return fw_fail(err, FW_ERR_STATE, "the job is released; its answers stand");
	if (!last)
		return fw_fail(err, FW_ERR_STATE, "there is no answer to take back");
	json_t *value = json_pack("{s:I}", "entry", (json_int_t)last->seq);
	int code = value ? fw_job_record(job, "withdraw", last->step, NULL, reason, value, err)
	                 : fw_no_memory(err);
	json_decref(value);
	return code;
}

int fw_job_withdraw(struct fw_job *job, const char *reason, struct fw_error *err)
{
	int code = fw_job_check_name("the reason for taking an answer back", reason, err);
	if (code != FW_OK)
		return code;
	struct fw_records records;
	code = fw_records_read_raw(&records, job->trail, job->number, err);
	if (code != FW_OK)
		return code;
	code = fw_job_take_lease(job, err); /* a job that is only looked at has none yet */
	if (code == FW_OK)
		code = record_withdrawal(job, &records, reason, err);
	fw_records_free(&records);
	return code == FW_OK ? fw_job_reload(job, err) : code;
}

int fw_job_take_back(struct fw_trail *trail, int64_t number, const char *who, const char *reason,
                     fw_clock clock, void *clock_context, struct fw_error *err)
{
	int code = fw_job_check_name("the reason for taking an answer back", reason, err);
	if (code == FW_OK && !fw_job_is_blank(who))
		code = fw_job_check_name("the name of who works on it", who, err);
	if (code != FW_OK)
		return code;
	struct fw_job *job = fw_job_new(trail, clock, clock_context);
	if (!job)
		return fw_no_memory(err);
	job->number = number;
	code = fw_records_read(&job->records, trail, number, err);
	if (code == FW_OK)
		code = fw_job_take_beginning(job, who, err);
	if (code == FW_OK)
		code = fw_job_take_lease(job, err);
	if (code == FW_OK)
		code = record_withdrawal(job, &job->records, reason, err);
	fw_job_close(job);
	return code;
}
