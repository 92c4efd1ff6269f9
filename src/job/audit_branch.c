/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Branches of a job that were left. */
#include "audit_internal.h"

/* What was taken back counts no more, and is kept: each branch is worked out again up to where it
 * was left. */

struct branch {
	struct fw_audit *audit;
	int64_t from; /* entries before this one were audited with the whole */
};

static void on_branch_finding(void *context, const struct fw_record *record, bool alike,
                              const json_t *ask, const json_t *value)
{
	struct branch *branch = context;

	if (record->seq >= branch->from)
		fw_audit_on_finding(branch->audit, record, alike, ask, value);
}

static void on_branch_answer(void *context, const struct fw_record *record,
                             const struct fw_question *question)
{
	struct branch *branch = context;

	if (record->seq < branch->from)
		return;
	fw_audit_on_answer(branch->audit, record, question);
	branch->audit->sum->answers--; /* it counts no more */
}

static void replay_branch(struct fw_audit *audit, struct fw_job *job, size_t withdraw,
                          struct fw_error *error)
{
	struct branch branch = {
	    audit, json_integer_value(json_object_get(job->records.list[withdraw].value, "entry"))};
	const struct fw_replay_watch watch = {&branch, on_branch_finding, on_branch_answer};
	size_t count = job->records.count;

	job->records.count = withdraw;
	fw_records_strike(&job->records);
	job->watch = &watch;
	int code = fw_job_replay(job, error);
	job->watch = NULL;
	/* The procedure may have failed on that very answer: then it was taken back for that. */
	bool failed = fw_audit_fails_at_end(job, code);
	job->records.count = count;
	if (code != FW_OK && !failed)
		fw_audit_say(audit, FW_AUDIT_BROKEN, job->records.list[withdraw].seq, error->text,
		             "what was taken back can't be worked out again");
}

void fw_audit_branches(struct fw_audit *audit, struct fw_job *job)
{
	struct fw_error error = {0};

	for (size_t i = 1; i < job->records.count; i++)
		if (fw_record_is(&job->records.list[i], "withdraw"))
			replay_branch(audit, job, i, &error);
}
