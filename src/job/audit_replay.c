/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the replay of an audit hears: each finding worked out again, each answer read again. */
#include <stdio.h>
#include <string.h>

#include "audit_internal.h"

void fw_audit_on_finding(void *context, const struct fw_record *record, bool alike,
                         const json_t *ask, const json_t *value)
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
void fw_audit_on_answer(void *context, const struct fw_record *record,
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
