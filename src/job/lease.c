/* SPDX-License-Identifier: GPL-3.0-or-later */
/* While a job is open for work nobody else works on it. */
#include <string.h>

#include "job_internal.h"

int fw_job_take_lease(struct fw_job *job, struct fw_error *err)
{
	if (job->lease || job->released)
		return FW_OK;
	return fw_lease_take(&job->lease, job->trail, job->number, job->who, err);
}

void fw_job_drop_lease(struct fw_job *job)
{
	fw_lease_free(job->lease);
	job->lease = NULL;
}

/* Whether somebody wrote to the job between its reading and the lease. */
static int has_gone_on(struct fw_job *job, bool *gone_on, struct fw_error *err)
{
	uint8_t head[FW_HASH];
	int64_t seq;
	int code = fw_trail_head(job->trail, job->number, &seq, head, err);

	*gone_on = code == FW_OK && memcmp(head, job->head, FW_HASH) != 0;
	return code;
}

int fw_job_open_for_work(struct fw_job *job, const char *who, struct fw_error *err)
{
	bool gone_on = false;
	int code = fw_job_load(job, job->number, who, err);

	/* Only now is it known whether the job is open at all, and by whom it is worked on. */
	if (code == FW_OK && !job->released)
		code = fw_job_take_lease(job, err);
	if (code == FW_OK && job->lease)
		code = has_gone_on(job, &gone_on, err);
	if (code == FW_OK && gone_on)
		code = fw_job_load(job, job->number, who, err);
	if (job->released)
		fw_job_drop_lease(job);
	return code;
}
