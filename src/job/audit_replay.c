/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the replay of an audit hears: each finding worked out again, each answer read again. */
#include <stdio.h>
#include <string.h>

#include "audit_internal.h"
#include "shop/words.h"

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

/* Takes over what the record holds under `key`, if it does: it is checked elsewhere. */
static bool take(json_t *now, const json_t *recorded, const char *key)
{
	json_t *value = json_object_get(recorded, key);

	return !value || json_object_set(now, key, value) == 0;
}

static bool put(json_t *now, const char *key, const char *text)
{
	return !text || json_object_set_new(now, key, json_string(text)) == 0;
}

/* With a key: all of its parts, and the name as the shop has it, of which the letters were typed.
 */
static bool add_key(json_t *now, const json_t *recorded)
{
	const char *name = json_string_value(json_object_get(recorded, "name"));
	const char *typed = json_string_value(json_object_get(now, "name"));

	if (!json_object_get(recorded, "key") || !json_object_get(recorded, "signature") ||
	    !json_object_get(recorded, "shop"))
		return true;
	if (name && typed && fw_words_alike(name, typed) && !take(now, recorded, "name"))
		return false;
	return take(now, recorded, "key") && take(now, recorded, "signature") &&
	       take(now, recorded, "shop");
}

/* What a signature holds beside the name. */
static bool add_signature(json_t *now, const struct fw_question *question, const json_t *recorded)
{
	bool another =
	    strcmp(question->purpose, "hold") == 0 || strcmp(question->purpose, "concession") == 0;

	return put(now, "role", question->role ? question->role : "") &&
	       put(now, "meaning", question->meaning ? question->meaning : "") &&
	       put(now, "reason", question->reason) && take(now, recorded, "count") &&
	       take(now, recorded, "head") && (!another || take(now, recorded, "independent")) &&
	       add_key(now, recorded);
}

/* What each kind of record may hold beside what was typed, and no other. */
static bool add_rest(json_t *now, const struct fw_question *question,
                     const struct fw_record *record)
{
	const json_t *recorded = record->value;

	if (question->ask == FW_ASK_SIGN && !add_signature(now, question, recorded))
		return false;
	if (question->ask == FW_ASK_QUANTITY && question->gauge && !take(now, recorded, "gauge"))
		return false;
	return !fw_record_is(record, "amend") ||
	       (take(now, recorded, "amends") && take(now, recorded, "reason"));
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
	if (now && add_rest(now, question, record))
		return now;
	json_decref(now);
	fw_fail(error, FW_ERR_MEMORY, "out of memory");
	return NULL;
}

/* A gauge, a signature and what an amendment says beside its answer aren't typed: they take the
 * long way. */
json_t *fw_audit_again(const struct fw_question *question, const struct fw_record *record)
{
	struct fw_answer answer;
	struct fw_error error;
	char buffer[8192];

	if (!fw_record_is(record, "answer") || !record->typed || !record->value_text ||
	    fw_answer_read(&answer, question, record->typed, false, buffer, sizeof buffer, &error) !=
	        FW_OK)
		return NULL;
	json_t *now = fw_json_answer(&answer, false);
	if (now && fw_json_reads(now, record->value_text))
		return now;
	json_decref(now);
	return NULL;
}

/* What was typed must read as what was recorded. */
void fw_audit_on_answer(void *context, const struct fw_record *record,
                        const struct fw_question *question)
{
	struct fw_audit *audit = context;
	struct fw_error error = {0};
	char what[512];

	audit->sum->answers++;
	if (record->again)
		return;
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
