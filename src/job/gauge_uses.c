/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every reading that a gauge took, and every check that rests on one. */
#include <string.h>

#include "base/day.h"
#include "job_internal.h"
#include "shop/words.h"

struct search {
	struct fw_trail *trail;
	const char *id, *from;
	int (*visit)(void *context, const struct fw_gauge_use *use);
	void *context;
	struct fw_error *err;
	bool found;
};

static bool same_id(const char *a, const char *b)
{
	return a && fw_words_alike(a, b);
}

/* Whether it is one of the gauges that a check rests on. */
static bool names(const json_t *gauges, const char *id)
{
	for (size_t i = 0; i < json_array_size(gauges); i++)
		if (same_id(json_string_value(json_array_get(gauges, i)), id))
			return true;
	return false;
}

/* Fills in what the entry is, if it is one of those looked for. */
static bool is_use(struct fw_gauge_use *use, const struct fw_record *record, const char *id)
{
	if (fw_record_is(record, "answer") || fw_record_is(record, "amend")) {
		use->item = json_string_value(json_object_get(record->ask, "item"));
		use->typed = record->typed;
		return same_id(
		    json_string_value(json_object_get(json_object_get(record->value, "gauge"), "id")), id);
	}
	if (!fw_record_is(record, "finding"))
		return false;
	use->check = json_string_value(json_object_get(record->ask, "name"));
	use->verdict = json_string_value(json_object_get(record->value, "verdict"));
	return use->check && use->verdict && names(json_object_get(record->value, "gauges"), id);
}

/* A cheap first look: most jobs never had this gauge in hand. */
static int look_for_name(void *context, const struct fw_entry *entry)
{
	struct search *search = context;

	search->found = search->found || (entry->value && strstr(entry->value, "\"gauge"));
	return 0;
}

static int visit_records(struct search *search, const struct fw_records *records)
{
	bool released = fw_records_released(records), touched = false;
	const char *unit = json_string_value(json_object_get(records->list[0].value, "unit"));
	int code = 0;

	for (size_t i = 1; code == 0 && i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		struct fw_gauge_use use = {.job = records->job,
		                           .seq = record->seq,
		                           .unit_on_bench = unit ? unit : "",
		                           .at = record->at ? record->at : "",
		                           .who = record->who ? record->who : "",
		                           .step = record->step ? record->step : "",
		                           .struck = record->struck,
		                           .released = released};
		if (!is_use(&use, record, search->id))
			continue;
		if (search->from && strncmp(use.at, search->from, FW_DAY - 1) < 0 && !touched)
			continue;
		/* A check is in question when a reading is: later in the job, whatever its day. */
		touched = touched || !use.check;
		if (touched)
			code = search->visit(search->context, &use);
	}
	return code;
}

static int visit_job(void *context, const struct fw_job_line *line)
{
	struct search *search = context;
	struct fw_records records;

	search->found = false;
	int code = fw_trail_walk(search->trail, line->job, look_for_name, search, search->err);
	if (code != FW_OK || !search->found)
		return code;
	code = fw_records_read(&records, search->trail, line->job, search->err);
	if (code != FW_OK)
		return code;
	code = visit_records(search, &records);
	fw_records_free(&records);
	return code;
}

int fw_shop_gauge_uses(struct fw_trail *trail, const char *id, const char *from,
                       int (*visit)(void *context, const struct fw_gauge_use *use), void *context,
                       struct fw_error *err)
{
	struct search search = {trail, id, from, visit, context, err, false};

	if (from && !fw_day_check(from))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "from '%.40s': a day of the calendar is written 2026-03-01", from);
	return fw_trail_jobs(trail, visit_job, &search, err);
}
