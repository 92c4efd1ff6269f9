/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Audit of one job: the chain, then the whole job worked out again and compared. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "audit_internal.h"

void fw_audit_say(struct fw_audit *audit, enum fw_audit_weight weight, int64_t seq, const char *what,
                  const char *means)
{
	struct fw_audit_line line = {weight, audit->number, seq, what, means};

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

/* What was typed must read as what was recorded. */
static void on_answer(void *context, const struct fw_record *record,
                      const struct fw_question *question)
{
	struct fw_audit *audit = context;
	struct fw_answer answer;
	struct fw_error error = {0};
	char buffer[8192], what[512];

	audit->sum->answers++;
	bool confirmed = json_is_true(json_object_get(record->value, "confirmed"));
	int code = fw_answer_read(&answer, question, record->typed ? record->typed : "", confirmed, buffer,
	                          sizeof buffer, &error);
	json_t *now = code == FW_OK ? fw_json_answer(&answer, confirmed) : NULL;
	bool fits = now != NULL;
	const char *key;
	json_t *part;
	if (now)
		json_object_foreach(now, key, part)
			fits = fits && fw_json_alike(json_object_get(record->value, key), part, 0.0);
	json_decref(now);
	if (fits)
		return;
	snprintf(what, sizeof what, "\"%.120s\" was typed at '%.80s', and doesn't read as what was recorded%s%.200s",
	         record->typed ? record->typed : "", question->step, code ? ": " : "",
	         code ? error.text : "");
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
			fw_audit_say(audit, FW_AUDIT_BROKEN, 1,
			             "the beginning names other figures, phases or another title than the stored "
			             "procedure and sheet hold",
			             "the cover of the report can't be trusted");
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
		fw_audit_signatures(audit, &job->records);
		fw_audit_outcome(audit, &job->records);
	}
	if (code != FW_OK)
		fw_audit_say(audit, FW_AUDIT_BROKEN, 0, error.text,
		             "the job can't be worked out again to its end");
	else
		check_beginning(audit, job);
	if (code == FW_OK && !audit->sum->released)
		fw_audit_unfinished(audit, job);
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
	fw_job_close(job);
	return FW_OK;
}
