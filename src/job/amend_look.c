/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an amendment would do; nothing is recorded. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "amend.h"

void fw_amendment_free(struct fw_amendment *amendment)
{
	if (!amendment)
		return;
	for (size_t i = 0; amendment->lapsed_text && i < amendment->lapsed; i++)
		free(amendment->lapsed_text[i]);
	free(amendment->lapsed_text);
	free(amendment->step);
	free(amendment->item);
	free(amendment->was);
	free(amendment->will_be);
	free(amendment->next);
	free(amendment);
}

static bool copy_text(char **out, const char *text)
{
	*out = text ? strdup(text) : NULL;
	return !text || *out;
}

static const char *item_of(const struct fw_record *record)
{
	return json_string_value(json_object_get(record->ask, "item"));
}

/* "float-on-trial (reading 1 of 3): 0.41" */
static char *joined(const char *step, const char *item, const char *text)
{
	char *place = fw_amend_place(step, item);
	size_t size = place ? strlen(place) + strlen(text) + 3 : 0;
	char *out = place ? malloc(size) : NULL;

	if (out)
		snprintf(out, size, "%s: %s", place, text);
	free(place);
	return out;
}

static int tell_lapsed(struct fw_amendment *out, struct fw_job *second, struct fw_error *err)
{
	struct fw_records *records = &second->records;

	out->lapsed_text = calloc(records->count + 1, sizeof *out->lapsed_text);
	if (!out->lapsed_text)
		return fw_no_memory(err);
	for (size_t i = 0; i < records->count; i++) {
		struct fw_record *record = &records->list[i];
		if (!record->due)
			continue;
		int code = fw_record_parse(record, records->job, err);
		if (code != FW_OK)
			return code;
		char *text = joined(record->step ? record->step : "?", item_of(record),
		                    record->typed ? record->typed : "");
		if (!text)
			return fw_no_memory(err);
		out->lapsed_text[out->lapsed++] = text;
	}
	return FW_OK;
}

static int tell(struct fw_amendment *out, const struct fw_amend_try *trial, struct fw_error *err)
{
	struct fw_job *second = trial->job;
	struct fw_record *old = fw_records_find(&second->records, trial->seq);
	const struct fw_record *now = &second->records.list[second->records.count - 1];
	const struct fw_question *next = fw_job_pending(second);
	int code = fw_record_parse(old, second->number, err);

	if (code != FW_OK)
		return code;
	out->seq = trial->seq;
	out->kept = trial->later - trial->lapsed;
	out->waiting = second->run.unmet;
	if (!copy_text(&out->step, old->step) || !copy_text(&out->item, item_of(old)) ||
	    !copy_text(&out->was, old->typed) || !copy_text(&out->will_be, now->typed))
		return fw_no_memory(err);
	if (next) {
		out->next = joined(next->step, next->item, next->say);
		if (!out->next)
			return fw_no_memory(err);
	}
	return tell_lapsed(out, second, err);
}

int fw_job_amend_look(struct fw_job *job, int64_t seq, const char *typed, bool confirmed,
                      struct fw_amendment **out, struct fw_error *err)
{
	struct fw_amend_try trial;

	*out = NULL;
	int code = fw_amend_try(&trial, job, seq, typed, confirmed, NULL, err);
	if (code != FW_OK)
		return code;
	struct fw_amendment *amendment = calloc(1, sizeof *amendment);
	code = amendment ? tell(amendment, &trial, err) : fw_no_memory(err);
	fw_amend_try_free(&trial);
	if (code != FW_OK) {
		fw_amendment_free(amendment);
		return code;
	}
	*out = amendment;
	return FW_OK;
}
