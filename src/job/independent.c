/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether somebody who signs is another person than those who did the work. */
#include <string.h>

#include "job_internal.h"
#include "shop/words.h"

static bool is_purpose(const struct fw_record *record, const char *purpose)
{
	const char *own = json_string_value(json_object_get(record->ask, "purpose"));

	return fw_record_is(record, "sign") && strcmp(own ? own : "sign", purpose) == 0;
}

/* Index behind the last hold that stands among the first `count`; 0: there is none. */
static size_t after_last_hold(const struct fw_records *records, size_t count)
{
	for (size_t i = count; i > 0; i--)
		if (!records->list[i - 1].struck && is_purpose(&records->list[i - 1], "hold"))
			return i;
	return 0;
}

static bool is_same(const char *a, const char *b)
{
	return a && b && fw_words_alike(a, b);
}

size_t fw_records_stretch(struct fw_records *records, size_t count)
{
	/* As it stood then: what was struck out later stood, and a later hold divides nothing. */
	size_t all = records->count;

	records->count = count;
	fw_records_strike(records);
	size_t from = after_last_hold(records, count);
	records->count = all;
	fw_records_strike(records);
	return from;
}

const char *fw_records_worker(struct fw_records *records, size_t count, const char *name)
{
	/* Work that was taken back was done all the same. */
	for (size_t i = fw_records_stretch(records, count); i < count; i++) {
		const struct fw_record *record = &records->list[i];
		const char *signer = json_string_value(json_object_get(record->value, "name"));
		if (!fw_record_answers(record))
			continue;
		if (is_same(record->who, name))
			return record->who;
		if (is_purpose(record, "sign") && is_same(signer, name)) /* who leads may be a nickname */
			return signer;
	}
	return NULL;
}
