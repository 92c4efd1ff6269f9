/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a list of jobs says of one. */
#include <stdlib.h>
#include <string.h>

#include "fitwright/report.h"
#include "report/put.h"
#include "report/signature.h"

static void add_signature(struct fw_job_points *out, const struct fw_report_entry *entry)
{
	const char *purpose = fw_get_text(entry->ask, "purpose");
	const char *name = fw_get_text(entry->value, "name");

	if (fw_report_is(entry, "reopen")) {
		out->reopened = true;
		return;
	}
	out->holds += purpose && strcmp(purpose, "hold") == 0;
	out->dependent += json_is_false(json_object_get(entry->value, "independent"));
	out->by_name += !json_object_get(entry->value, "key");
	if ((!purpose || strcmp(purpose, "sign") == 0) && name)
		fw_report_print(out->released_by, sizeof out->released_by, "%s", name);
}

static int look(struct fw_job_points *out, const struct fw_report_job *job, struct fw_error *err)
{
	const struct fw_report_entry *entry = NULL;
	struct fw_report_concession *concessions = NULL;
	int code = fw_report_concessions(&concessions, &out->concessions, job, err);

	free(concessions);
	while ((entry = fw_report_next_signature(job, entry)))
		add_signature(out, entry);
	while ((entry = fw_report_next_kind(job, entry, "amend")))
		out->amended++;
	while ((entry = fw_report_next_kind(job, entry, "evidence")))
		out->evidence++;
	out->released = fw_report_release(job) != NULL;
	if (!out->released)
		out->released_by[0] = '\0';
	return code;
}

int fw_report_points(struct fw_job_points *out, struct fw_trail *trail, int64_t job,
                     struct fw_error *err)
{
	struct fw_report_job read;
	struct fw_job_points points = {.concessions = 0};
	int code = fw_report_read_entries(&read, trail, job, err);

	if (code == FW_OK)
		code = look(&points, &read, err);
	fw_report_free(&read);
	if (code == FW_OK)
		*out = points;
	return code;
}
