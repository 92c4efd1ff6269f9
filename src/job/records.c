/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The entries of a job, in memory. */
#include <stdlib.h>
#include <string.h>

#include "job_internal.h"

bool fw_record_is(const struct fw_record *record, const char *kind)
{
	return record->kind && strcmp(record->kind, kind) == 0;
}

static bool copy_text(char **out, const char *text)
{
	*out = text ? strdup(text) : NULL;
	return !text || *out;
}

static int read_json(json_t **out, const char *text, const struct fw_entry *entry,
                     const char *column, struct fw_error *err)
{
	json_error_t why;

	if (!text)
		return FW_OK;
	*out = json_loads(text, JSON_REJECT_DUPLICATES, &why);
	if (*out)
		return FW_OK;
	return fw_fail(err, FW_ERR_TRAIL,
	               "job %lld, entry %lld: its %s isn't JSON (%s); the record is damaged",
	               (long long)entry->job, (long long)entry->seq, column, why.text);
}

static void free_record(struct fw_record *record)
{
	free(record->kind);
	free(record->step);
	free(record->at);
	free(record->who);
	free(record->typed);
	json_decref(record->ask);
	json_decref(record->value);
}

static int fill_record(struct fw_record *record, const struct fw_entry *entry, struct fw_error *err)
{
	record->seq = entry->seq;
	memcpy(record->hash, entry->hash, FW_HASH);
	if (!copy_text(&record->kind, entry->kind) || !copy_text(&record->step, entry->step) ||
	    !copy_text(&record->at, entry->at) || !copy_text(&record->who, entry->who) ||
	    !copy_text(&record->typed, entry->typed))
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	int code = read_json(&record->ask, entry->ask, entry, "question", err);
	return code == FW_OK ? read_json(&record->value, entry->value, entry, "value", err) : code;
}

static int add_record(void *context, const struct fw_entry *entry)
{
	struct fw_records *records = context;

	if (records->count == records->room) {
		size_t room = records->room ? 2 * records->room : 64;
		struct fw_record *list = realloc(records->list, room * sizeof *list);
		if (!list)
			return fw_fail(records->error, FW_ERR_MEMORY, "out of memory");
		records->list = list;
		records->room = room;
	}
	struct fw_record *record = &records->list[records->count];
	memset(record, 0, sizeof *record);
	records->count++;
	return fill_record(record, entry, records->error);
}

/* Strikes out the answer that a "withdraw" takes back, and all after it. */
static void strike(struct fw_records *records, size_t withdraw)
{
	int64_t from = json_integer_value(json_object_get(records->list[withdraw].value, "entry"));

	records->list[withdraw].struck = true;
	if (from < 2) /* the beginning can't be taken back */
		return;
	for (size_t i = withdraw; i > 0 && records->list[i - 1].seq >= from; i--)
		records->list[i - 1].struck = true;
}

void fw_records_strike(struct fw_records *records)
{
	for (size_t i = 0; i < records->count; i++)
		records->list[i].struck = false;
	for (size_t i = 0; i < records->count; i++)
		if (fw_record_is(&records->list[i], "withdraw"))
			strike(records, i);
}

int fw_records_read(struct fw_records *out, struct fw_trail *trail, int64_t job,
                    struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	out->job = job;
	out->error = err;
	int code = fw_trail_walk(trail, job, add_record, out, err);
	out->error = NULL;
	if (code != FW_OK) {
		fw_records_free(out);
		return code;
	}
	fw_records_strike(out);
	return FW_OK;
}

void fw_records_free(struct fw_records *records)
{
	for (size_t i = 0; i < records->count; i++)
		free_record(&records->list[i]);
	free(records->list);
	memset(records, 0, sizeof *records);
}

const struct fw_record *fw_records_last_answer(const struct fw_records *records)
{
	for (size_t i = records->count; i > 0; i--) {
		const struct fw_record *record = &records->list[i - 1];
		if (!record->struck && (fw_record_is(record, "answer") || fw_record_is(record, "sign")))
			return record;
	}
	return NULL;
}

bool fw_records_released(const struct fw_records *records)
{
	return records->count > 0 && fw_record_is(&records->list[records->count - 1], "release");
}
