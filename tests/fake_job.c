/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fake_job.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int64_t fw_job_number(const struct fw_job *job)
{
	(void)job;
	return 7;
}

const char *fw_job_title(const struct fw_job *job)
{
	(void)job;
	return "End float of an invented shaft";
}

const char *fw_job_unit(const struct fw_job *job)
{
	(void)job;
	return "gearbox 4-118";
}

const struct fw_question *fw_job_pending(const struct fw_job *job)
{
	return job->at < job->count ? &job->steps[job->at].question : NULL;
}

size_t fw_job_answered(const struct fw_job *job)
{
	return job->at;
}

const struct fw_finding *fw_job_findings(const struct fw_job *job, size_t *count)
{
	*count = job->at > 0 ? job->steps[job->at - 1].finding_count : 0;
	return job->at > 0 ? job->steps[job->at - 1].findings : NULL;
}

static int judge(const struct fw_question *question, const char *typed, bool confirmed,
                 struct fw_error *err)
{
	struct fw_quantity q;
	char slip[256];

	if (question->ask == FW_ASK_TEXT && !*typed && !question->optional)
		return fw_fail(err, FW_ERR_INPUT, "words are expected");
	if (question->ask == FW_ASK_CHOICE &&
	    (atoi(typed) < 1 || atoi(typed) > (int)question->option_count))
		return fw_fail(err, FW_ERR_INPUT, "'%s' is none of the choices", typed);
	if (question->ask != FW_ASK_QUANTITY)
		return FW_OK;
	int code = fw_quantity_parse(&q, typed, question->unit, err);
	if (code == FW_OK && !confirmed &&
	    fw_quantity_implausible(&q, question->low, question->high, slip, sizeof slip))
		code = fw_fail(err, FW_ERR_IMPLAUSIBLE, "%s", slip);
	return code;
}

int fw_job_answer(struct fw_job *job, const char *typed, bool confirmed, struct fw_error *err)
{
	const struct fw_question *question = fw_job_pending(job);

	if (!question)
		return fw_fail(err, FW_ERR_STATE, "nothing is pending");
	if (job->fail)
		return fw_fail(err, job->fail, "made to fail");
	int code = judge(question, typed, confirmed, err);
	if (code != FW_OK)
		return code;
	snprintf(job->typed[job->at], sizeof job->typed[0], "%s", typed);
	job->confirmed[job->at] = confirmed;
	job->at++;
	return FW_OK;
}

int fw_job_withdraw(struct fw_job *job, const char *reason, struct fw_error *err)
{
	if (job->at == 0 || job->at == job->count)
		return fw_fail(err, FW_ERR_STATE, "there is no answer to take back");
	snprintf(job->reason, sizeof job->reason, "%s", reason);
	job->withdrawn++;
	job->at--;
	return FW_OK;
}
