/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Audit of one job: the chain, then the whole job worked out again and compared. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "audit_internal.h"
#include "fitwright/fitwright.h"

void fw_audit_say(struct fw_audit *audit, enum fw_audit_weight weight, int64_t seq,
                  const char *what, const char *means)
{
	struct fw_error whole; /* what was quoted may have been cut in half a character */
	struct fw_audit_line line = {weight, audit->number, seq, whole.text, means};

	fw_fail(&whole, FW_OK, "%s", what);

	switch (weight) {
	case FW_AUDIT_BROKEN:
		audit->sum->broken++;
		break;
	case FW_AUDIT_OPEN:
		audit->sum->open++;
		break;
	case FW_AUDIT_NOTE:
		audit->sum->notes++;
		break;
	}
	if (audit->report)
		audit->report(audit->context, &line);
}

static void on_flaw(void *context, const struct fw_flaw *flaw)
{
	fw_audit_say(context, FW_AUDIT_BROKEN, flaw->seq, flaw->what, flaw->means);
}

/* The procedure's own facts must be those that the beginning names. */
static void check_beginning(struct fw_audit *audit, const struct fw_job *job)
{
	const json_t *facts = fw_script_facts(job->script);
	const json_t *begin = job->records.list[0].value;
	static const char *const keys[] = {"title", "phases", "figures"};

	for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
		if (!fw_json_alike(json_object_get(begin, keys[i]), json_object_get(facts, keys[i]),
		                   FW_AUDIT_TOLERANCE))
			fw_audit_say(
			    audit, FW_AUDIT_BROKEN, 1,
			    "the beginning names other figures, phases or another title than the stored "
			    "procedure and sheet hold",
			    "the cover of the report can't be trusted");
}

/* Another release may round or compile otherwise; what it changed would show as a finding that
 * differs. */
static void note_release(struct fw_audit *audit, const json_t *begin, const char *key,
                         const char *now)
{
	const char *then = json_string_value(json_object_get(begin, key));
	char what[256];

	if (!then || strcmp(then, now) == 0)
		return;
	snprintf(what, sizeof what, "recorded with %.60s%.60s, audited with %.60s",
	         strcmp(key, "fitwright") == 0 ? "Fitwright " : "", then, now);
	fw_audit_say(audit, FW_AUDIT_NOTE, 1, what, "the audit is of what this release works out");
}

/* Whether the procedure failed only once it had met all that stands. */
bool fw_audit_fails_at_end(const struct fw_job *job, int code)
{
	return (code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT) && fw_job_met_all(job);
}

static void replay(struct fw_audit *audit, struct fw_job *job)
{
	const struct fw_replay_watch watch = {audit, fw_audit_on_finding, fw_audit_on_answer,
	                                      fw_audit_again};
	struct fw_error error = {0};

	job->watch = &watch;
	int code = fw_job_load(job, audit->number, NULL, &error);
	job->watch = NULL;
	bool due = code == FW_OK && job->run.due; /* what follows folds the records anew */
	if (job->records.count > 0) {
		audit->sum->entries = job->records.count;
		audit->rules = job->rules;
		fw_hash_text(audit->sum->head, job->records.list[job->records.count - 1].hash);
		audit->sum->released = fw_records_released(&job->records);
		fw_audit_form(audit, &job->records);
		fw_audit_signatures(audit, &job->records);
		fw_audit_outcome(audit, &job->records);
		fw_audit_amended(audit, &job->records);
		fw_audit_gauges(audit, &job->records);
	}
	if (code == FW_OK)
		check_beginning(audit, job);
	else if (fw_audit_fails_at_end(job, code))
		fw_audit_say(
		    audit, FW_AUDIT_OPEN, 0, error.text,
		    "the record is sound as far as it goes, but its procedure fails there: take the last "
		    "answer back, or begin anew with a mended procedure");
	else
		fw_audit_say(audit, FW_AUDIT_BROKEN, 0, error.text,
		             "the job can't be worked out again to its end");
	if (job->records.count > 0) {
		note_release(audit, job->records.list[0].value, "fitwright", fw_version());
		note_release(audit, job->records.list[0].value, "lua", fw_script_language());
	}
	if (due)
		fw_audit_say(audit, FW_AUDIT_OPEN, 0,
		             "answers of work that went another way are not marked as lapsed yet",
		             "the work was interrupted there; resuming the job marks them");
	if (code == FW_OK && !audit->sum->released)
		fw_audit_unfinished(audit, job);
}

int fw_job_audit(struct fw_trail *trail, int64_t number, const struct fw_audit_given *given,
                 void (*report)(void *context, const struct fw_audit_line *line), void *context,
                 struct fw_audit_sum *sum, struct fw_error *err)
{
	struct fw_audit audit = {number, given, report, context, sum, trail, 1};
	uint8_t head[FW_HASH];
	int64_t seq;
	size_t flaws;

	memset(sum, 0, sizeof *sum);
	int code = fw_trail_head(trail, number, &seq, head, err);
	if (code == FW_OK)
		code = fw_trail_verify(trail, number, on_flaw, &audit, &flaws, err);
	if (code != FW_OK)
		return code;
	struct fw_job *job = fw_job_new(trail, NULL, NULL);
	if (!job)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	replay(&audit, job);
	if (sum->broken == 0)
		fw_audit_branches(&audit, job);
	fw_job_close(job);
	return FW_OK;
}
