/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The form of a record: what each kind of entry holds and what it doesn't. */
#include <string.h>

#include "audit_internal.h"

/* Columns in use: a letter each of step, ask, typed, value; a capital: it may be empty. */
struct form {
	const char *kind, *uses;
};

static const struct form forms[] = {
    {"begin", "v"},      {"answer", "satv"}, {"sign", "satv"}, {"amend", "satv"},
    {"finding", "sav"},  {"lapse", "v"},     {"release", "v"}, {"withdraw", "stv"},
    {"evidence", "STv"}, {"reopen", "tv"},
};

static bool fits(const struct form *form, char column, bool there)
{
	if (strchr(form->uses, column))
		return there;
	return !there || strchr(form->uses, column - 'a' + 'A');
}

static bool has_form(const struct fw_record *record)
{
	for (size_t i = 0; i < sizeof forms / sizeof *forms; i++)
		if (fw_record_is(record, forms[i].kind))
			return fits(&forms[i], 's', record->step) && fits(&forms[i], 'a', record->ask) &&
			       fits(&forms[i], 't', record->typed) && fits(&forms[i], 'v', record->value);
	return false;
}

void fw_audit_form(struct fw_audit *audit, const struct fw_records *records)
{
	bool sound = true;

	for (size_t i = 0; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		if (has_form(record))
			continue;
		sound = false;
		fw_audit_say(audit, FW_AUDIT_BROKEN, record->seq,
		             "it lacks a column that its kind of entry has, or holds one that it hasn't",
		             "no release of this program wrote it so");
	}
	if (sound)
		fw_audit_names(audit, records);
}
