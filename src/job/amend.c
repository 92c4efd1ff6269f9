/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An answer is amended: the correction, what lapses with it, and what is found anew, in one go. */
#include "amend.h"

static int record_amendment(struct fw_job *second, struct fw_error *err)
{
	const struct fw_record *last = &second->records.list[second->records.count - 1];
	const struct fw_entry entry = {.kind = "amend",
	                               .step = last->step,
	                               .ask = last->ask_text,
	                               .typed = last->typed,
	                               .value = last->value_text};

	return fw_job_record_behind(second, &entry, err);
}

int fw_job_amend(struct fw_job *job, int64_t seq, const char *typed, bool confirmed,
                 const char *reason, struct fw_error *err)
{
	struct fw_amend_try trial;
	int code = fw_job_check_name("the reason for amending an answer", reason, err);

	if (code == FW_OK)
		code = fw_amend_try(&trial, job, seq, typed, confirmed, reason, err);
	if (code != FW_OK)
		return code;
	code = fw_job_take_lease(job, err);
	if (code == FW_OK)
		code = record_amendment(trial.job, err);
	fw_amend_try_free(&trial);
	return code == FW_OK ? fw_job_reload(job, err) : code;
}
