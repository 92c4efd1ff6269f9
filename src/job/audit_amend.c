/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an audit says about answers that were amended, and jobs that were opened again. */
#include <stdio.h>

#include "audit_internal.h"
#include "base/text.h"

static const char *text_of(const struct fw_record *record, const char *key)
{
	const char *text = json_string_value(json_object_get(record->value, key));

	return text ? text : "";
}

static void say_amended(struct fw_audit *audit, const struct fw_records *records,
                        const struct fw_record *record)
{
	const json_t *amends = json_object_get(record->value, "amends");
	const struct fw_record *old = fw_records_find(records, json_integer_value(amends));
	const char *was = old && old->typed ? old->typed : "",
	           *now = record->typed ? record->typed : "";
	const char *reason = text_of(record, "reason");
	char what[512];

	snprintf(what, sizeof what, "the answer at '%.80s' was amended from \"%.*s\" to \"%.*s\": %.*s",
	         record->step ? record->step : "?", fw_utf8_fit(was, 80), was, fw_utf8_fit(now, 80),
	         now, fw_utf8_fit(reason, 200), reason);
	fw_audit_say(audit, FW_AUDIT_NOTE, record->seq, what,
	             "the old answer is kept, struck out; what followed from it was worked out anew");
}

static void say_reopened(struct fw_audit *audit, const struct fw_record *record)
{
	const char *name = text_of(record, "name"), *reason = text_of(record, "reason");
	char what[512];

	snprintf(what, sizeof what, "the released job was opened again by %.*s: %.*s",
	         fw_utf8_fit(name, 100), name, fw_utf8_fit(reason, 200), reason);
	fw_audit_say(audit, FW_AUDIT_NOTE, record->seq, what,
	             "the release before it, and the report printed then, are superseded");
}

void fw_audit_amended(struct fw_audit *audit, const struct fw_records *records)
{
	for (size_t i = 0; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		if (!record->struck && fw_record_is(record, "amend"))
			say_amended(audit, records, record);
		else if (fw_record_is(record, "reopen")) /* even when what came after it was taken back */
			say_reopened(audit, record);
	}
}
