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

static void on_finding(void *context, const struct fw_record *record, bool alike, const json_t *ask,
                       const json_t *value)
{
	struct fw_audit *audit = context;
	char what[512];

	audit->sum->findings_recomputed++;
	if (alike)
		return;
	const char *now = json_string_value(json_object_get(value, "text"));
	const char *then = json_string_value(json_object_get(record->value, "text"));
	const char *find = json_string_value(json_object_get(ask, "find"));
	snprintf(what, sizeof what, "the %s of '%.80s' comes to \"%.150s\" now; recorded is \"%.150s\"",
	         find ? find : "finding", record->step ? record->step : "?", now ? now : "?",
	         then ? then : "?");
	fw_audit_say(audit, FW_AUDIT_BROKEN, record->seq, what,
	             "what was recorded doesn't follow from the readings");
}

/* What a signature holds beside the name. Count and head are checked where the chain is at hand. */
static json_t *with_signature(json_t *value, const struct fw_question *question,
                              const struct fw_record *record)
{
	json_t *count = json_object_get(record->value, "count");
	json_t *head = json_object_get(record->value, "head");
	json_t *rest =
	    json_pack("{s:s, s:s, s:O*, s:O*}", "role", question->role ? question->role : "", "meaning",
	              question->meaning ? question->meaning : "", "count", count, "head", head);

	if (!value || !rest || json_object_update(value, rest) != 0) {
		json_decref(value);
		value = NULL;
	}
	json_decref(rest);
	return value;
}

/* What the record of an answer must hold, by what was typed. NULL when it can't be read. */
static json_t *read_again(const struct fw_question *question, const struct fw_record *record,
                          struct fw_error *error)
{
	struct fw_answer answer;
	char buffer[8192];
	const char *typed = record->typed ? record->typed : "";
	int code = fw_answer_read(&answer, question, typed, false, buffer, sizeof buffer, error);
	bool doubted =
	    code == FW_ERR_IMPLAUSIBLE && json_is_true(json_object_get(record->value, "confirmed"));

	if (doubted)
		code = fw_answer_read(&answer, question, typed, true, buffer, sizeof buffer, error);
	if (code != FW_OK)
		return NULL;
	fw_error_clear(error);
	json_t *now = fw_json_answer(&answer, doubted);
	return question->ask == FW_ASK_SIGN ? with_signature(now, question, record) : now;
}

/* What was typed must read as what was recorded. */
static void on_answer(void *context, const struct fw_record *record,
                      const struct fw_question *question)
{
	struct fw_audit *audit = context;
	struct fw_error error = {0};
	char what[512];

	audit->sum->answers++;
	json_t *now = read_again(question, record, &error);
	bool fits = now && fw_json_alike(record->value, now, 0.0);
	json_decref(now);
	if (fits)
		return;
	snprintf(what, sizeof what,
	         "\"%.120s\" was typed at '%.80s', and doesn't read as what was recorded%s%.200s",
	         record->typed ? record->typed : "", question->step, error.text[0] ? ": " : "",
	         error.text);
	fw_audit_say(audit, FW_AUDIT_BROKEN, record->seq, what,
	             "the value in the record is not what the person entered");
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
static bool fails_at_end(const struct fw_job *job, int code)
{
	bool failed = code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT;

	for (size_t i = job->cursor; failed && i < job->records.count; i++)
		failed = job->records.list[i].struck;
	return failed;
}

static void replay(struct fw_audit *audit, struct fw_job *job)
{
	const struct fw_replay_watch watch = {audit, on_finding, on_answer};
	struct fw_error error = {0};

	job->watch = &watch;
	int code = fw_job_load(job, audit->number, NULL, &error);
	job->watch = NULL;
	if (job->records.count > 0) {
		audit->sum->entries = job->records.count;
		fw_hash_text(audit->sum->head, job->records.list[job->records.count - 1].hash);
		audit->sum->released = fw_records_released(&job->records);
		fw_audit_form(audit, &job->records);
		fw_audit_signatures(audit, &job->records);
		fw_audit_outcome(audit, &job->records);
	}
	if (code == FW_OK)
		check_beginning(audit, job);
	else if (fails_at_end(job, code))
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
	if (code == FW_OK && !audit->sum->released)
		fw_audit_unfinished(audit, job);
}

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
		on_finding(branch->audit, record, alike, ask, value);
}

static void on_branch_answer(void *context, const struct fw_record *record,
                             const struct fw_question *question)
{
	struct branch *branch = context;

	if (record->seq < branch->from)
		return;
	on_answer(branch->audit, record, question);
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
	bool failed = fails_at_end(job, code);
	job->records.count = count;
	if (code != FW_OK && !failed)
		fw_audit_say(audit, FW_AUDIT_BROKEN, job->records.list[withdraw].seq, error->text,
		             "what was taken back can't be worked out again");
}

static void replay_branches(struct fw_audit *audit, struct fw_job *job)
{
	struct fw_error error = {0};

	for (size_t i = 1; i < job->records.count; i++)
		if (fw_record_is(&job->records.list[i], "withdraw"))
			replay_branch(audit, job, i, &error);
}

int fw_job_audit(struct fw_trail *trail, int64_t number,
                 void (*report)(void *context, const struct fw_audit_line *line), void *context,
                 struct fw_audit_sum *sum, struct fw_error *err)
{
	struct fw_audit audit = {number, report, context, sum};
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
		replay_branches(&audit, job);
	fw_job_close(job);
	return FW_OK;
}
