/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answers that stand, found by their questions. */
#include <stdlib.h>
#include <string.h>

#include "run.h"

/* FNV-1a, 64 bits. */
static size_t hash_of(const char *text)
{
	uint64_t hash = 0xCBF29CE484222325U;

	for (const unsigned char *c = (const unsigned char *)text; *c; c++)
		hash = (hash ^ *c) * 0x100000001B3U;
	return (size_t)(hash ^ (hash >> 32));
}

int fw_standing_make(struct fw_standing *out, struct fw_records *records, struct fw_error *err)
{
	*out = (struct fw_standing){.records = records, .slots = 16};
	while (out->slots < 2 * records->count)
		out->slots *= 2;
	out->slot = calloc(out->slots, sizeof *out->slot);
	if (!out->slot)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	for (size_t i = 0; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		if (!fw_record_waits(record) || !record->ask_text)
			continue;
		size_t at = hash_of(record->ask_text) & (out->slots - 1);
		while (out->slot[at])
			at = (at + 1) & (out->slots - 1);
		out->slot[at] = i + 1;
	}
	return FW_OK;
}

void fw_standing_free(struct fw_standing *standing)
{
	free(standing->slot);
	*standing = (struct fw_standing){0};
}

static struct fw_record *find_text(const struct fw_standing *standing, const char *text)
{
	size_t at = hash_of(text) & (standing->slots - 1);

	for (; standing->slot[at]; at = (at + 1) & (standing->slots - 1)) {
		struct fw_record *record = &standing->records->list[standing->slot[at] - 1];
		if (fw_record_waits(record) && strcmp(record->ask_text, text) == 0)
			return record;
	}
	return NULL;
}

static bool same_key(const json_t *a, const json_t *b, const char *key)
{
	const json_t *left = json_object_get(a, key), *right = json_object_get(b, key);

	return left && right ? json_equal((json_t *)left, (json_t *)right) : left == right;
}

/* Those of the step are looked through; mostly there are none left. */
static int find_place(struct fw_record **out, const struct fw_standing *standing,
                      const json_t *question, struct fw_error *err)
{
	const char *step = json_string_value(json_object_get(question, "step"));

	for (size_t i = standing->next; i < standing->records->count; i++) {
		struct fw_record *record = &standing->records->list[i];
		if (!fw_record_waits(record) || !record->step || !step || strcmp(record->step, step) != 0)
			continue;
		int code = fw_record_parse(record, standing->records->job, err);
		if (code != FW_OK)
			return code;
		if (same_key(record->ask, question, "item") && same_key(record->ask, question, "round")) {
			*out = record;
			return FW_OK;
		}
	}
	return FW_OK;
}

/* Out of order: by the text of the question. */
static int find_any(struct fw_record **out, struct fw_standing *standing, const json_t *question,
                    struct fw_error *err)
{
	char *text = fw_json_text(question);

	if (!text)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	*out = find_text(standing, text);
	free(text);
	return *out ? FW_OK : find_place(out, standing, question, err);
}

int fw_standing_find(struct fw_record **out, bool *same, struct fw_standing *standing,
                     const json_t *question, struct fw_error *err)
{
	const struct fw_records *records = standing->records;

	*out = NULL;
	*same = false;
	if (!records)
		return FW_OK;
	while (standing->next < records->count && !fw_record_waits(&records->list[standing->next]))
		standing->next++;
	if (standing->next == records->count)
		return FW_OK;
	/* Nearly always the next in order. */
	struct fw_record *next = &records->list[standing->next];
	*same = fw_json_reads(question, next->ask_text);
	if (!*same)
		return find_any(out, standing, question, err);
	*out = next;
	return FW_OK;
}
