/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which entries of a job stand: the fold over what takes back, amends, lapses and reopens. Each
 * pass goes over the entries once, however many of these there are. */
#include "job_internal.h"

static int64_t number_of(const struct fw_record *record, const char *key)
{
	return json_integer_value(json_object_get(record->value, key));
}

/* A withdrawal takes back all from the entry it names up to itself; files that were attached stay.
 */
static void take_back(struct fw_records *records)
{
	int64_t from = INT64_MAX; /* the lowest that a later withdrawal names */

	for (size_t i = records->count; i > 0; i--) {
		struct fw_record *record = &records->list[i - 1];
		bool withdraw = fw_record_is(record, "withdraw");

		record->withdrawn = withdraw || (record->seq >= from && !fw_record_is(record, "evidence"));
		record->struck = record->withdrawn;
		record->due = record->met = false;
		if (!withdraw)
			continue;
		int64_t entry = number_of(record, "entry");
		if (entry >= 2 && entry < from) /* the beginning can't be taken back */
			from = entry;
	}
}

/* The answer (or amendment) that an amendment names; NULL when it names none before it. */
static struct fw_record *amended_by(const struct fw_records *records, const struct fw_record *amend)
{
	struct fw_record *old = fw_records_find(records, number_of(amend, "amends"));

	return old && old->seq < amend->seq && fw_record_answers(old) ? old : NULL;
}

/* What a lapse, or a reopening, lists: answers, and what was found after them. */
static void strike_listed(const struct fw_records *records, const struct fw_record *by)
{
	const json_t *list = json_object_get(by->value, "entries");

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct fw_record *old =
		    fw_records_find(records, json_integer_value(json_array_get(list, i)));
		if (old && old->seq < by->seq && (fw_record_answers(old) || fw_record_is(old, "finding")))
			old->struck = true;
	}
}

/* Amendments, lapses and reopenings that weren't taken back strike what they name. */
static void strike_named(struct fw_records *records)
{
	struct fw_record *release = NULL;

	for (size_t i = 0; i < records->count; i++) {
		struct fw_record *record = &records->list[i];
		bool amend = fw_record_is(record, "amend");
		struct fw_record *old = amend ? amended_by(records, record) : NULL;

		record->root = old ? old->root : record->seq;
		if (record->withdrawn)
			continue;
		if (old)
			old->struck = true;
		if (fw_record_is(record, "release"))
			release = record;
		bool reopen = fw_record_is(record, "reopen");
		if (reopen && release)
			release->struck = true;
		if (reopen || fw_record_is(record, "lapse"))
			strike_listed(records, record);
	}
}

/* Findings from an amended answer up to its amendment are struck; signatures there lapse. */
static void strike_amended(struct fw_records *records)
{
	int64_t from = INT64_MAX; /* the lowest that a later amendment names */

	for (size_t i = records->count; i > 0; i--) {
		struct fw_record *record = &records->list[i - 1];
		if (record->seq > from && fw_record_is(record, "finding"))
			record->struck = true;
		if (record->seq > from && !record->struck && fw_record_is(record, "sign"))
			record->due = true;
		if (record->withdrawn || !fw_record_is(record, "amend"))
			continue;
		const struct fw_record *old = amended_by(records, record);
		if (old && old->seq < from)
			from = old->seq;
	}
}

void fw_records_strike(struct fw_records *records)
{
	take_back(records);
	strike_named(records);
	strike_amended(records);
}
