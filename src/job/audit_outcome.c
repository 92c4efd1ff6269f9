/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an audit says about a sound record: last verdicts, concessions, surprises, sources of
 * figures. */
#include <stdio.h>
#include <string.h>

#include "audit_internal.h"
#include "base/text.h"

static const char *text_of(const json_t *value, const char *key)
{
	return json_string_value(json_object_get(value, key));
}

static bool finds(const struct fw_record *record, const char *find)
{
	const char *own = text_of(record->ask, "find");

	return own && strcmp(own, find) == 0;
}

static bool is_last_of_step(const struct fw_records *records, size_t at, const char *find)
{
	for (size_t i = at + 1; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		const char *other = json_string_value(json_object_get(record->ask, "find"));
		if (!record->struck && record->step && records->list[at].step && other &&
		    strcmp(other, find) == 0 && strcmp(record->step, records->list[at].step) == 0)
			return false;
	}
	return true;
}

/* Whether a later entry that stands settles the figure that was checked at `at`: a check against
 * the same limits that is within, or a concession. */
static const struct fw_record *settled_by(const struct fw_records *records, size_t at)
{
	const json_t *limits = json_object_get(records->list[at].ask, "limits");

	for (size_t i = at + 1; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		const char *verdict = text_of(record->value, "verdict");
		bool within = verdict && strcmp(verdict, "within") == 0;
		if (!record->struck && (within || finds(record, "concession")) &&
		    json_equal(json_object_get(record->ask, "limits"), limits))
			return record;
	}
	return NULL;
}

/* What becomes of a figure that wasn't within when it was checked last. */
static const char *means_of(const struct fw_audit *audit, const struct fw_record *record,
                            const struct fw_record *settled)
{
	if (settled)
		return finds(settled, "concession") ? "a later value against the same limits was conceded"
		                                    : "a later check against the same limits is within";
	if (json_is_true(json_object_get(record->ask, "found")))
		return "as found, and nothing later shows this figure within its limits";
	return audit->rules > 1
	           ? "the check is open: nothing is signed before it is within, or conceded"
	           : "nothing later shows this figure within its limits";
}

/* A check whose last verdict isn't within. As found is as found: what a step found and a later
 * check of the same limits set right is only noted. What was conceded at this very step is told
 * there. */
static void audit_verdict(struct fw_audit *audit, const struct fw_records *records, size_t at)
{
	const struct fw_record *record = &records->list[at];
	const char *verdict = text_of(record->value, "verdict");
	const char *text = text_of(record->value, "text");
	char what[512];

	if (!verdict || strcmp(verdict, "within") == 0)
		return;
	const bool looks = fw_audit_may_look(audit, 2 * (records->count - at));
	if (looks && !is_last_of_step(records, at, "verdict"))
		return;
	const struct fw_record *settled = looks ? settled_by(records, at) : NULL;
	if (settled && finds(settled, "concession") && settled->step && record->step &&
	    strcmp(settled->step, record->step) == 0)
		return;
	snprintf(what, sizeof what, "last check of '%.80s': %.300s, %.20s",
	         record->step ? record->step : "?", text ? text : "", verdict);
	fw_audit_say(audit, settled ? FW_AUDIT_NOTE : FW_AUDIT_OPEN, record->seq, what,
	             means_of(audit, record, settled));
}

/* The signature under a concession: the last one of its step before it. */
static const struct fw_record *signature_of(const struct fw_records *records, size_t at)
{
	for (size_t i = at; i > 0; i--) {
		const struct fw_record *record = &records->list[i - 1];
		if (!record->struck && fw_record_is(record, "sign") && record->step &&
		    records->list[at].step && strcmp(record->step, records->list[at].step) == 0)
			return record;
	}
	return NULL;
}

/* Leave to use what isn't within its limits: it weighs as much as whoever gave it. */
static void audit_concession(struct fw_audit *audit, const struct fw_records *records, size_t at)
{
	const struct fw_record *record = &records->list[at];
	const struct fw_record *sign = fw_audit_may_look(audit, at) ? signature_of(records, at) : NULL;
	const char *text = text_of(record->value, "text");
	bool keyed = sign && json_object_get(sign->value, "key");
	bool independent = sign && json_is_true(json_object_get(sign->value, "independent"));
	char what[640];

	audit->sum->concessions++;
	snprintf(what, sizeof what, "conceded at '%.80s': %.*s", record->step ? record->step : "?",
	         fw_utf8_fit(text ? text : "", 480), text ? text : "");
	fw_audit_say(audit, keyed && independent ? FW_AUDIT_NOTE : FW_AUDIT_OPEN, record->seq, what,
	             !independent ? "who did the work gave leave for it too"
	             : !keyed     ? "leave was given by name alone; no key answers for it"
	                      : "leave was given with a key, by another person than those who did the "
	                        "work");
}

static void audit_surprise(struct fw_audit *audit, const struct fw_record *record)
{
	struct fw_quantity difference;
	char text[64], what[512];

	if (!json_is_true(json_object_get(record->value, "surprise")) ||
	    !fw_json_quantity_read(&difference, json_object_get(record->value, "difference")))
		return;
	bool less = difference.value < 0;
	difference.value = less ? -difference.value : difference.value;
	snprintf(what, sizeof what,
	         "a surprise at '%.80s': the trial read %s %s than its shims explain",
	         record->step ? record->step : "?",
	         fw_quantity_text(&difference, false, text, sizeof text), less ? "less" : "more");
	fw_audit_say(audit, FW_AUDIT_NOTE, record->seq, what,
	             "something else had moved; see what was noted after it");
}

/* A joint tightened otherwise than asked, or so that it may not stand it. */
static void audit_joint(struct fw_audit *audit, const struct fw_record *record)
{
	const char *text = json_string_value(json_object_get(record->value, "text"));
	const char *step = record->step ? record->step : "?";
	char what[512];

	if (json_real_value(json_object_get(record->value, "share")) > 1.0 ||
	    json_array_size(json_object_get(record->value, "warnings")) > 0) {
		snprintf(what, sizeof what, "joint '%.80s': %.380s", step, text ? text : "");
		fw_audit_say(audit, FW_AUDIT_OPEN, record->seq, what,
		             "the bolts, and what they are screwed into, want looking at");
	}
	if (json_is_true(json_object_get(record->value, "otherwise"))) {
		const char *asked =
		    json_string_value(json_object_get(json_object_get(record->ask, "torque"), "text"));
		snprintf(what, sizeof what,
		         "joint '%.80s' was tightened otherwise than the %.60s asked for: %.300s", step,
		         asked ? asked : "torque", text ? text : "");
		fw_audit_say(audit, FW_AUDIT_OPEN, record->seq, what,
		             "the last setting of the wrench is more than 4 % from the figure");
	}
}

/* A calculator said to beware of something. */
static void audit_worked(struct fw_audit *audit, const struct fw_record *record)
{
	const json_t *warnings = json_object_get(record->value, "warnings");
	const char *text = json_string_value(json_object_get(json_array_get(warnings, 0), "text"));
	char what[512];

	if (!text)
		return;
	snprintf(what, sizeof what, "worked out at '%.80s': beware: %.*s%s",
	         record->step ? record->step : "?", fw_utf8_fit(text, 340), text,
	         json_array_size(warnings) > 1 ? " (and more)" : "");
	fw_audit_say(audit, FW_AUDIT_NOTE, record->seq, what,
	             "see what was done about it; the working stands in the report");
}

static void audit_spread(struct fw_audit *audit, const struct fw_record *record)
{
	const char *text = json_string_value(json_object_get(record->value, "text"));
	char what[512];

	if (!json_object_get(record->value, "spread"))
		return;
	snprintf(what, sizeof what, "scattered readings were kept at '%.80s': %.300s",
	         record->step ? record->step : "?", text ? text : "");
	fw_audit_say(audit, FW_AUDIT_NOTE, record->seq, what,
	             "they lie further apart than the gauge explains; the uncertainty says so");
}

/* A reading that was queried as implausible and entered again. */
static void audit_confirmed(struct fw_audit *audit, const struct fw_record *record)
{
	char what[512];

	if (!json_is_true(json_object_get(record->value, "confirmed")))
		return;
	snprintf(what, sizeof what,
	         "\"%.120s\" was kept at '%.80s' though it is outside what is plausible",
	         record->typed ? record->typed : "", record->step ? record->step : "?");
	fw_audit_say(audit, FW_AUDIT_NOTE, record->seq, what,
	             "the technician was asked, and stood by it");
}

/* Whether a figure rests on somebody's word. A list holds names, not figures. */
static bool is_unpublished(const json_t *figure, const char **grade)
{
	const char *kind = json_string_value(json_object_get(figure, "kind"));

	*grade = json_string_value(json_object_get(json_object_get(figure, "source"), "grade"));
	return *grade && kind && strcmp(kind, "list") != 0 && strcmp(*grade, "standard") != 0 &&
	       strcmp(*grade, "maker") != 0;
}

static void audit_figures(struct fw_audit *audit, const json_t *begin)
{
	const json_t *figures = json_object_get(begin, "figures");
	char what[512] = "figures without a published source:";

	bool any = false;
	for (size_t i = 0; i < json_array_size(figures); i++) {
		const json_t *figure = json_array_get(figures, i);
		const char *name = json_string_value(json_object_get(figure, "name"));
		const char *grade;
		if (!name || !is_unpublished(figure, &grade))
			continue;
		size_t used = strlen(what);
		snprintf(what + used, sizeof what - used, "%s %.60s (%.20s)", any ? "," : "", name, grade);
		any = true;
	}
	if (any)
		fw_audit_say(audit, FW_AUDIT_NOTE, 1, what,
		             "their weight is that of whoever said so; the report shows their sources");
}

static void audit_standing(struct fw_audit *audit, const struct fw_records *records, size_t at)
{
	const struct fw_record *record = &records->list[at];
	const char *find = json_string_value(json_object_get(record->ask, "find"));

	if (fw_record_is(record, "answer"))
		audit_confirmed(audit, record);
	if (!fw_record_is(record, "finding") || !find)
		return;
	if (strcmp(find, "verdict") == 0)
		audit_verdict(audit, records, at);
	else if (strcmp(find, "concession") == 0)
		audit_concession(audit, records, at);
	else if (strcmp(find, "trial") == 0)
		audit_surprise(audit, record);
	else if (strcmp(find, "tightened") == 0)
		audit_joint(audit, record);
	else if (strcmp(find, "worked") == 0)
		audit_worked(audit, record);
	else if (strcmp(find, "measurement") == 0)
		audit_spread(audit, record);
}

void fw_audit_outcome(struct fw_audit *audit, const struct fw_records *records)
{
	size_t struck = 0;

	audit_figures(audit, records->list[0].value);
	for (size_t i = 0; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		struck += fw_record_is(record, "withdraw");
		if (!record->struck)
			audit_standing(audit, records, i);
	}
	if (struck > 0) {
		char what[128];
		snprintf(what, sizeof what, "%zu answer%s taken back", struck,
		         struck == 1 ? " was" : "s were");
		fw_audit_say(audit, FW_AUDIT_NOTE, 0, what, "each is kept, struck out, with the reason");
	}
}

void fw_audit_unfinished(struct fw_audit *audit, const struct fw_job *job)
{
	const struct fw_question *q = fw_job_pending(job);
	char what[512];

	if (q)
		snprintf(what, sizeof what, "the job isn't finished; it waits at '%.80s'%s%.80s%s", q->step,
		         q->item ? " (" : "", q->item ? q->item : "", q->item ? ")" : "");
	else
		snprintf(what, sizeof what,
		         "the last answer is recorded, and what follows from it isn't: the work was "
		         "interrupted there");
	fw_audit_say(audit, FW_AUDIT_OPEN, 0, what,
	             "no end is recorded: go on with it, or ask why it was left, or whether its end "
	             "was cut off");
}
