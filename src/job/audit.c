/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Audit of one job: the chain, then the whole job worked out again and compared. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "audit_internal.h"
#include "fitwright/fitwright.h"
#include "trail/verify.h"

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

/* A job of a thousand entries, each looked for in all others, is far from it. */
#define LOOKED_MOST 30000000

bool fw_audit_may_look(struct fw_audit *audit, size_t entries)
{
	if (audit->looked > LOOKED_MOST)
		return false;
	audit->looked += entries;
	if (audit->looked <= LOOKED_MOST)
		return true;
	fw_audit_say(audit, FW_AUDIT_OPEN, 0,
	             "the record is so long that not all its checks, gauges and signatures were held "
	             "against one another",
	             "what a later entry may have settled is shown as open, and not all signers were "
	             "looked at for whether they are other people");
	return false;
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

/* `code` and `error` are how the reading of its records ended. */
static void replay(struct fw_audit *audit, struct fw_job *job, int code, struct fw_error *error)
{
	const struct fw_replay_watch watch = {audit, fw_audit_on_finding, fw_audit_on_answer,
	                                      fw_audit_again};

	job->watch = &watch;
	if (code == FW_OK)
		code = fw_job_load_records(job, NULL, error);
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
		    audit, FW_AUDIT_OPEN, 0, error->text,
		    "the record is sound as far as it goes, but its procedure fails there: take the last "
		    "answer back, or begin anew with a mended procedure");
	else
		fw_audit_say(audit, FW_AUDIT_BROKEN, 0, error->text,
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

/* The chain is checked, and the records read, in one go. */
static int audit_job(struct fw_audit *audit, struct fw_job *job, struct fw_error *err)
{
	const struct fw_verify_walk walk = {on_flaw, audit, fw_records_visit, &job->records};
	struct fw_error error = {0};
	int walked;

	job->number = audit->number;
	fw_records_begin(&job->records, job->number, true, &error);
	int code = fw_trail_verify_walk(audit->trail, job->number, &walk, &walked, &error, err);
	walked = fw_records_end(&job->records, walked);
	if (code != FW_OK)
		return code;
	replay(audit, job, walked, &error);
	if (audit->sum->broken == 0)
		fw_audit_branches(audit, job);
	return FW_OK;
}

int fw_audit_apart(struct fw_trail *trail, int64_t number, const struct fw_audit_given *given,
                   void (*report)(void *context, const struct fw_audit_line *line), void *context,
                   struct fw_audit_sum *sum, struct fw_error *err)
{
	struct fw_audit audit = {number, given, report, context, sum, trail, 1, 0};
	struct fw_job *job = fw_job_new(trail, NULL, NULL);

	memset(sum, 0, sizeof *sum);
	if (!job)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	int code = audit_job(&audit, job, err);
	fw_job_close(job);
	return code;
}

/* What is wrong with the file as a whole the check of the job has said. */
static void on_flaw_of_log(void *context, const struct fw_flaw *flaw)
{
	if (flaw->seq > 0)
		on_flaw(context, flaw);
}

int fw_job_audit(struct fw_trail *trail, int64_t number, const struct fw_audit_given *given,
                 void (*report)(void *context, const struct fw_audit_line *line), void *context,
                 struct fw_audit_sum *sum, struct fw_error *err)
{
	struct fw_audit log = {FW_SHOP, given, report, context, sum, trail, 1, 0};
	size_t flaws;
	int code = fw_audit_apart(trail, number, given, report, context, sum, err);

	/* Whose keys they are, and what the gauges were, rests on it. */
	if (code == FW_OK && number != FW_SHOP && fw_trail_format(trail) > 1)
		code = fw_trail_verify(trail, FW_SHOP, on_flaw_of_log, &log, &flaws, err);
	if (code != FW_ERR_NOT_FOUND || sum->entries == 0)
		return code;
	fw_error_clear(err); /* there is none: the check of the job has said so */
	return FW_OK;
}
