/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The entries of a job, in memory. Which of them stand is worked out in fold.c. */
#include <stdlib.h>
#include <string.h>

#include "job_internal.h"

bool fw_record_is(const struct fw_record *record, const char *kind)
{
	return record->kind && strcmp(record->kind, kind) == 0;
}

bool fw_record_answers(const struct fw_record *record)
{
	return fw_record_is(record, "answer") || fw_record_is(record, "sign") ||
	       fw_record_is(record, "amend");
}

/* Room for texts, handed out from the front: an audit would spend much of its time on many small
 * pieces. */
struct fw_record_texts {
	struct fw_record_texts *before;
	size_t used, room;
	char bytes[];
};

#define TEXTS_ROOM ((size_t)60 * 1024)

static char *room_for(struct fw_records *records, size_t size)
{
	struct fw_record_texts *texts = records->texts;

	if (!texts || texts->room - texts->used < size) {
		size_t room = size > TEXTS_ROOM ? size : TEXTS_ROOM;
		texts = malloc(sizeof *texts + room);
		if (!texts)
			return NULL;
		*texts = (struct fw_record_texts){records->texts, 0, room};
		records->texts = texts;
	}
	texts->used += size;
	return texts->bytes + texts->used - size;
}

/* Copies of the texts, which go with the records. */
static bool copy_texts(struct fw_records *records, struct fw_record *record,
                       const struct fw_entry *entry)
{
	const struct {
		char **to;
		const char *from;
	} texts[] = {
	    {&record->kind, entry->kind},
	    {&record->step, entry->step},
	    {&record->at, entry->at},
	    {&record->who, entry->who},
	    {&record->typed, entry->typed},
	    {&record->ask_text, entry->ask},
	    {&record->value_text, entry->value},
	};
	enum { TEXTS = sizeof texts / sizeof *texts };
	size_t size[TEXTS], all = 0;

	for (size_t i = 0; i < TEXTS; i++)
		all += size[i] = texts[i].from ? strlen(texts[i].from) + 1 : 0;
	char *at = room_for(records, all);
	if (!at)
		return false;
	for (size_t i = 0; i < TEXTS; i++) {
		*texts[i].to = texts[i].from ? at : NULL;
		if (texts[i].from)
			memcpy(at, texts[i].from, size[i]);
		at += size[i];
	}
	return true;
}

static int read_json(json_t **out, const char *text, int64_t job, int64_t seq, const char *column,
                     struct fw_error *err)
{
	json_error_t why;

	if (!text || *out)
		return FW_OK;
	*out = json_loads(text, JSON_REJECT_DUPLICATES, &why);
	if (*out)
		return FW_OK;
	return fw_fail(err, FW_ERR_TRAIL,
	               "job %lld, entry %lld: its %s isn't JSON (%s); the record is damaged",
	               (long long)job, (long long)seq, column, why.text);
}

int fw_record_parse_value(struct fw_record *record, int64_t job, struct fw_error *err)
{
	return read_json(&record->value, record->value_text, job, record->seq, "value", err);
}

int fw_record_parse(struct fw_record *record, int64_t job, struct fw_error *err)
{
	int code = read_json(&record->ask, record->ask_text, job, record->seq, "question", err);

	return code == FW_OK ? fw_record_parse_value(record, job, err) : code;
}

static void free_record(struct fw_record *record)
{
	json_decref(record->ask);
	json_decref(record->value);
}

/* Kinds whose value the fold, or the beginning, needs. */
static bool is_wanted(const struct fw_record *record)
{
	return fw_record_is(record, "begin") || fw_record_is(record, "withdraw") ||
	       fw_record_is(record, "amend") || fw_record_is(record, "lapse") ||
	       fw_record_is(record, "reopen");
}

static int fill_record(struct fw_record *record, struct fw_records *records,
                       const struct fw_entry *entry, struct fw_error *err)
{
	record->seq = entry->seq;
	memcpy(record->hash, entry->hash, FW_HASH);
	if (!copy_texts(records, record, entry))
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	return records->raw && !is_wanted(record) ? FW_OK : fw_record_parse(record, records->job, err);
}

int fw_records_add(struct fw_records *records, const struct fw_entry *entry, struct fw_error *err)
{
	if (records->count == records->room) {
		size_t room = records->room ? 2 * records->room : 64;
		struct fw_record *list = realloc(records->list, room * sizeof *list);
		if (!list)
			return fw_fail(err, FW_ERR_MEMORY, "out of memory");
		records->list = list;
		records->room = room;
	}
	struct fw_record *record = &records->list[records->count];
	memset(record, 0, sizeof *record);
	records->count++;
	return fill_record(record, records, entry, err);
}

void fw_records_begin(struct fw_records *out, int64_t job, bool raw, struct fw_error *err)
{
	*out = (struct fw_records){.job = job, .raw = raw, .error = err};
}

int fw_records_visit(void *records, const struct fw_entry *entry)
{
	struct fw_records *to = records;

	return fw_records_add(to, entry, to->error);
}

int fw_records_end(struct fw_records *records, int code)
{
	records->error = NULL;
	if (code == FW_OK)
		fw_records_strike(records);
	else
		fw_records_free(records);
	return code;
}

static int read_records(struct fw_records *out, struct fw_trail *trail, int64_t job, bool raw,
                        struct fw_error *err)
{
	fw_records_begin(out, job, raw, err);
	return fw_records_end(out, fw_trail_walk(trail, job, fw_records_visit, out, err));
}

int fw_records_read(struct fw_records *out, struct fw_trail *trail, int64_t job,
                    struct fw_error *err)
{
	return read_records(out, trail, job, false, err);
}

int fw_records_read_raw(struct fw_records *out, struct fw_trail *trail, int64_t job,
                        struct fw_error *err)
{
	return read_records(out, trail, job, true, err);
}

void fw_records_free(struct fw_records *records)
{
	for (size_t i = 0; i < records->count; i++)
		free_record(&records->list[i]);
	free(records->list);
	for (struct fw_record_texts *texts = records->texts, *before; texts; texts = before) {
		before = texts->before;
		free(texts);
	}
	memset(records, 0, sizeof *records);
}

struct fw_record *fw_records_find(const struct fw_records *records, int64_t seq)
{
	size_t low = 0, high = records->count;

	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (records->list[middle].seq < seq)
			low = middle + 1;
		else
			high = middle;
	}
	return low < records->count && records->list[low].seq == seq ? &records->list[low] : NULL;
}

const struct fw_record *fw_records_last_answer(const struct fw_records *records)
{
	for (size_t i = records->count; i > 0; i--) {
		const struct fw_record *record = &records->list[i - 1];
		if (!record->struck && fw_record_answers(record))
			return record;
	}
	return NULL;
}

bool fw_records_released(const struct fw_records *records)
{
	for (size_t i = records->count; i > 0; i--)
		if (!records->list[i - 1].struck && fw_record_is(&records->list[i - 1], "release"))
			return true;
	return false;
}
