/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Leave to use what isn't within its limits. */
#include <stdlib.h>
#include <string.h>

#include "report/signature.h"

static bool is_concession(const struct fw_report_entry *entry)
{
	const char *purpose = fw_get_text(entry->ask, "purpose");

	return fw_report_is(entry, "sign") && purpose && strcmp(purpose, "concession") == 0;
}

/* Place in the list of the signature from which the finding follows; the list is in order of them.
 */
static size_t place_of(const struct fw_report_concession *list, size_t signs, int64_t seq)
{
	size_t low = 0, high = signs;

	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (list[middle].sign->seq < seq)
			low = middle + 1;
		else
			high = middle;
	}
	return low < signs && list[low].sign->seq == seq ? low : signs;
}

int fw_report_concessions(struct fw_report_concession **out, size_t *count,
                          const struct fw_report_job *job, struct fw_error *err)
{
	const struct fw_report_entry *entry = NULL;
	size_t used = 0, room = 0;

	*out = NULL;
	*count = 0;
	while ((entry = fw_report_next_kind(job, entry, "sign")))
		room += is_concession(entry);
	while ((entry = fw_report_next(job, entry, "concession")))
		room++;
	if (room == 0)
		return FW_OK;
	struct fw_report_concession *list = calloc(room, sizeof *list);
	if (!list)
		return fw_fail(err, FW_ERR_MEMORY, "job %lld: out of memory", (long long)job->number);
	while ((entry = fw_report_next_kind(job, entry, "sign")))
		if (is_concession(entry))
			list[used++].sign = entry;
	size_t signs = used;
	while ((entry = fw_report_next(job, entry, "concession"))) {
		size_t place = place_of(list, signs, entry->after);
		if (place < signs && !list[place].finding)
			list[place].finding = entry;
		else
			list[used++].finding = entry;
	}
	*out = list;
	*count = used;
	return FW_OK;
}

const char *fw_report_conceded_name(const struct fw_report_concession *concession)
{
	const char *name = concession->finding ? fw_get_text(concession->finding->ask, "name") : NULL;
	const struct fw_report_entry *entry =
	    concession->finding ? concession->finding : concession->sign;

	return name ? name : entry->step ? entry->step : "not named";
}

const char *fw_report_conceded_reason(const struct fw_report_concession *concession)
{
	const char *reason = NULL;

	if (concession->sign)
		reason = fw_get_text(concession->sign->ask, "reason");
	if (!reason && concession->sign)
		reason = fw_get_text(concession->sign->value, "reason");
	if (!reason && concession->finding)
		reason = fw_get_text(concession->finding->value, "reason");
	return reason && *reason ? reason : "none given";
}
