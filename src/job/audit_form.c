/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The form of a record: what each kind of entry holds and what it doesn't. */
#include <string.h>

#include "audit_internal.h"

/* Columns in use: a letter each of step, ask, typed, value. */
struct form {
	const char *kind, *uses;
};

static const struct form forms[] = {
    {"begin", "v"},     {"answer", "satv"},  {"sign", "satv"},
    {"finding", "sav"}, {"withdraw", "stv"}, {"release", "v"},
};

static bool uses(const struct form *form, char column)
{
	return strchr(form->uses, column) != NULL;
}

static bool has_form(const struct fw_record *record)
{
	for (size_t i = 0; i < sizeof forms / sizeof *forms; i++)
		if (fw_record_is(record, forms[i].kind))
			return uses(&forms[i], 's') == (record->step != NULL) &&
			       uses(&forms[i], 'a') == (record->ask != NULL) &&
			       uses(&forms[i], 't') == (record->typed != NULL) &&
			       uses(&forms[i], 'v') == (record->value != NULL);
	return false;
}

/* The last answer before `at` that no withdrawal before `at` struck out, or NULL. */
static const struct fw_record *stood_before(const struct fw_records *records, size_t at)
{
	int64_t struck_from = INT64_MAX;

	for (size_t i = at; i > 0; i--) {
		const struct fw_record *record = &records->list[i - 1];
		if (fw_record_is(record, "withdraw")) {
			int64_t from = json_integer_value(json_object_get(record->value, "entry"));
			if (from < struck_from)
				struck_from = from;
		} else if (record->seq < struck_from &&
		           (fw_record_is(record, "answer") || fw_record_is(record, "sign"))) {
			return record;
		}
	}
	return NULL;
}

static bool withdraws_last(const struct fw_records *records, size_t at)
{
	const struct fw_record *record = &records->list[at];
	const struct fw_record *last = stood_before(records, at);

	return last && last->step && record->step && strcmp(last->step, record->step) == 0 &&
	       json_object_size(record->value) == 1 &&
	       json_integer_value(json_object_get(record->value, "entry")) == last->seq;
}

void fw_audit_form(struct fw_audit *audit, const struct fw_records *records)
{
	for (size_t i = 0; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		if (!has_form(record))
			fw_audit_say(
			    audit, FW_AUDIT_BROKEN, record->seq,
			    "it lacks a column that its kind of entry has, or holds one that it hasn't",
			    "no release of this program wrote it so");
		else if (fw_record_is(record, "withdraw") && !withdraws_last(records, i))
			fw_audit_say(audit, FW_AUDIT_BROKEN, record->seq,
			             "it doesn't take back the last answer that stood then",
			             "no release of this program wrote it so");
	}
}
