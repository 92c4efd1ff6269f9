/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job on a terminal or in a pipe: plain lines of at most 80 columns. */
#include <string.h>

#include "report/put.h"
#include "report/text_lines.h"
#include "report/writers.h"

static void put_cover(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_outcome *outcome)
{
	const json_t *begin = fw_report_begin(job);
	const struct fw_report_entry *last = &job->entries[job->count - 1];
	const struct fw_report_entry *release = fw_report_release(job);
	char number[32], time[64];

	fw_report_print(number, sizeof number, "%lld", (long long)job->number);
	fw_lines_fact(out, "Job", number);
	fw_lines_fact(out, "Unit", fw_get_text(begin, "unit"));
	fw_lines_fact(out, "Title", fw_get_text(begin, "title"));
	fw_lines_fact(out, "Procedure", fw_get_text(json_object_get(begin, "procedure"), "name"));
	fw_lines_fact(out, "Unit sheet", fw_get_text(json_object_get(begin, "sheet"), "name"));
	fw_lines_fact(out, "Began", fw_report_time(time, sizeof time, job->entries[0].at, false));
	fw_lines_fact(out, release ? "Finished" : "Latest entry",
	              fw_report_time(time, sizeof time, release ? release->at : last->at, false));
	fw_lines_people(out, job, outcome);
	fw_lines_fact(out, "Head", last->hash);
	if (job->flaws)
		fw_lines_fact(out, "DAMAGED", job->flaw);
}

static bool is_decision(const struct fw_report_entry *entry)
{
	static const char *const finds[] = {"part",  "stack",     "response", "gasket", "trial",
	                                    "joint", "tightened", "verdict",  "worked", "concession"};
	const char *find = entry->struck_by ? NULL : fw_report_find(entry);

	for (size_t i = 0; find && i < sizeof finds / sizeof *finds; i++)
		if (strcmp(find, finds[i]) == 0)
			return true;
	return false;
}

/* One line a finding that settled something. */
static void put_decisions(FILE *out, const struct fw_report_job *job)
{
	bool any = false;
	char label[64], text[64];

	for (size_t i = 0; i < job->count; i++) {
		const struct fw_report_entry *entry = &job->entries[i];
		if (!is_decision(entry))
			continue;
		if (!any)
			fw_lines_heading(out, "Decisions");
		any = true;
		fw_report_print(label, sizeof label, "%4lld  %s", (long long)entry->seq,
		                fw_get_true(entry->value, "surprise") ? "SURPRISE" : fw_report_find(entry));
		const char *verdict = fw_get_text(entry->value, "verdict");
		if (verdict)
			fw_report_print(label, sizeof label, "%4lld  %.20s", (long long)entry->seq, verdict);
		fw_lines_wrapped(out, 0, label, 16, fw_report_understood(text, sizeof text, entry));
	}
}

static void put_asked(FILE *out, const struct fw_report_entry *entry)
{
	fw_lines_wrapped(out, 6, "asked", 14, fw_get_text(entry->ask, "say"));
	fw_lines_wrapped(out, 6, "item", 14, fw_get_text(entry->ask, "item"));
	fw_lines_wrapped(out, 6, "caution", 14, fw_get_text(entry->ask, "caution"));
	fw_lines_wrapped(out, 6, "asked?", 14, entry->ask_text);
}

/* What was queried as implausible and entered again. */
static void put_kept(FILE *out, const struct fw_report_job *job,
                     const struct fw_report_entry *entry, const char *find)
{
	size_t readings = json_array_size(json_object_get(entry->ask, "readings"));
	char text[96];

	if (fw_get_true(entry->value, "confirmed"))
		fw_lines_wrapped(out, 6, "kept", 14, "against a query: implausible, and entered again");
	for (size_t i = 0; find && strcmp(find, "measurement") == 0 && i < readings; i++) {
		if (!fw_report_kept(job, entry, i))
			continue;
		fw_report_print(text, sizeof text, "reading %zu of %zu was kept against a query", i + 1,
		                readings);
		fw_lines_wrapped(out, 6, "kept", 14, text);
	}
}

static void put_entry(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_entry *entry)
{
	const char *find = fw_report_find(entry);
	bool withdraw = fw_report_is(entry, "withdraw");
	char label[96], time[64], text[400];

	fw_report_print(label, sizeof label, "%4lld", (long long)entry->seq);
	fw_report_time(time, sizeof time, entry->at, true);
	fw_report_print(text, sizeof text, "%s  %s%s%s%s%s", time, find ? "found " : "",
	                withdraw                        ? "TAKEN BACK"
	                : fw_report_is(entry, "amend")  ? "AMENDED"
	                : fw_report_is(entry, "lapse")  ? "LAPSED"
	                : fw_report_is(entry, "reopen") ? "REOPENED"
	                : find                          ? find
	                                                : entry->kind,
	                entry->step ? "  " : "", entry->step ? entry->step : "",
	                entry->struck_by ? "  [struck out]" : "");
	fw_lines_wrapped(out, 0, label, 6, text);
	put_asked(out, entry);
	fw_lines_wrapped(out, 6, withdraw ? "reason" : "typed", 14, entry->typed);
	fw_lines_wrapped(out, 6, find ? "shown" : "as", 14,
	                 fw_report_understood(text, sizeof text, entry));
	fw_lines_wrapped(out, 6, "verdict", 14, fw_get_text(entry->value, "verdict"));
	put_kept(out, job, entry, find);
	if (!find)
		fw_lines_wrapped(out, 6, "gauge", 14, fw_report_reading_gauge(text, sizeof text, entry));
	if (fw_report_overdue(entry))
		fw_lines_wrapped(out, 6, "gauge", 14, "OVERDUE");
	if (fw_report_is(entry, "amend")) {
		fw_report_print(text, sizeof text, "entry %lld",
		                (long long)fw_get_whole(entry->value, "amends", 0));
		fw_lines_wrapped(out, 6, "amends", 14, text);
	}
	if (!withdraw)
		fw_lines_wrapped(out, 6, "reason", 14, fw_get_text(entry->value, "reason"));
	if (entry->struck_by) {
		const char *how = fw_report_struck(job, entry);
		fw_report_print(text, sizeof text, "by entry %lld%s%s; no longer counts",
		                (long long)entry->struck_by, how ? ": " : "", how ? how : "");
		fw_lines_wrapped(out, 6, "struck", 14, text);
	}
}

void fw_report_text(FILE *out, const struct fw_report_job *job,
                    const struct fw_report_outcome *outcome)
{
	const char *phase = NULL;

	put_cover(out, job, outcome);
	fw_lines_outcome(out, job, outcome);
	fw_lines_joints(out, job);
	fw_lines_gauges(out, outcome);
	put_decisions(out, job);
	fw_lines_heading(out, "Log");
	for (size_t i = 0; i < job->count; i++) {
		const struct fw_report_entry *entry = &job->entries[i];
		if (entry->phase && (!phase || strcmp(phase, entry->phase) != 0)) {
			fputs("\n", out);
			fw_lines_wrapped(out, 0, "", 0, entry->phase);
		}
		phase = entry->phase;
		put_entry(out, job, entry);
	}
}
