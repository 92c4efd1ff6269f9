/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every entry in order, what no longer counts among them, and the figures the job began with. */
#include <string.h>

#include "report/gauge.h"
#include "report/html.h"
#include "report/put.h"
#include "report/signature.h"

static const char *const columns[] = {"No.",      "Time",          "Asked or found",
                                      "As typed", "As understood", NULL};

static void put_phase(FILE *out, const char *phase)
{
	fputs("<tr class=\"phase\"><th colspan=\"5\" scope=\"rowgroup\">", out);
	fw_put(out, phase);
	fputs("</th></tr>\n", out);
}

static void open_cell(FILE *out, const char *column, bool struck)
{
	fprintf(out, "<td data-column=\"%s\">%s", column, struck ? "<s>" : "");
}

static void close_cell(FILE *out, bool struck)
{
	fputs(struck ? "</s></td>" : "</td>", out);
}

static const char *const kinds[][2] = {
    {"begin", "Job begun"},
    {"withdraw", "Taken back"},
    {"lapse", "Lapsed"},
    {"release", "Procedure ended, job released"},
    {"reopen", "Job opened again"},
    {"evidence", "File attached"},
};

/* What was asked, or what an entry without question is. */
static void put_what(FILE *out, const struct fw_report_entry *entry)
{
	const char *find = fw_report_find(entry);

	for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
		if (fw_report_is(entry, kinds[i][0])) {
			fprintf(out, "<strong>%s</strong>", kinds[i][1]);
			return;
		}
	if (fw_report_is(entry, "amend"))
		fprintf(out, "<strong>Amended: entry %lld.</strong> ",
		        (long long)fw_get_whole(entry->value, "amends", 0));
	fputs(find ? "Found: " : "", out);
	fw_put(out, find ? find : fw_get_text(entry->ask, "say"));
}

static void put_asked(FILE *out, const struct fw_report_entry *entry)
{
	const char *item = fw_get_text(entry->ask, "item");
	const char *caution = fw_get_text(entry->ask, "caution");

	put_what(out, entry);
	if (item) {
		fputs(" <em>", out);
		fw_put(out, item);
		fputs("</em>", out);
	}
	if (caution) {
		fputs("<br/><strong>Caution:</strong> ", out);
		fw_put(out, caution);
	}
	if (entry->ask_text) {
		fputs("<br/>Not readable as JSON: ", out);
		fw_put(out, entry->ask_text);
	}
	if (entry->step) {
		fputs("<br/><span class=\"step\">", out);
		fw_put(out, entry->step);
		fputs("</span>", out);
	}
}

static void put_line(FILE *out, const char *text)
{
	if (!text || !*text)
		return;
	fputs("<br/><span class=\"step\">", out);
	fw_put(out, text);
	fputs("</span>", out);
}

static void put_tagged(FILE *out, const char *word)
{
	fputs(" ", out);
	fw_html_tag(out, word);
}

/* The gauge of a reading. */
static void put_gauge(FILE *out, const struct fw_report_entry *entry)
{
	char text[256];

	put_line(out, fw_report_reading_gauge(text, sizeof text, entry));
	if (fw_report_overdue(entry))
		put_tagged(out, "overdue");
}

static void put_signed(FILE *out, const struct fw_report_job *job,
                       const struct fw_report_entry *entry)
{
	struct fw_report_signature sign;
	char text[160];

	fw_report_signature(&sign, job, entry);
	put_line(out, fw_report_hand_text(text, sizeof text, &sign));
	if (sign.purpose != FW_FOR_SIGN)
		put_tagged(out, fw_report_purpose_text(sign.purpose));
	if (sign.dependent)
		put_tagged(out, "not independent");
	if (fw_report_hand_wrong(&sign))
		put_tagged(out, sign.hand == FW_HAND_RETIRED ? "key out of use" : "does not fit");
}

/* "1 h 5 min after entry 7" of an amendment. */
static void put_late(FILE *out, const struct fw_report_job *job,
                     const struct fw_report_entry *entry)
{
	const struct fw_report_entry *old =
	    fw_report_entry(job, fw_get_whole(entry->value, "amends", 0));
	char text[96], span[64];

	if (!old || !*fw_report_span(span, sizeof span, old->at, entry->at))
		return;
	fw_report_print(text, sizeof text, "late entry: %s after entry %lld", span,
	                (long long)old->seq);
	put_tagged(out, text);
}

static void put_value(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_entry *entry)
{
	const char *find = fw_report_find(entry);
	char text[400];

	if (find && strcmp(find, "verdict") == 0) {
		fw_html_tag(out, fw_report_verdict(entry));
		fputs(" ", out);
	}
	if (fw_get_true(entry->value, "surprise")) {
		fw_html_tag(out, "surprise");
		fputs(" ", out);
	}
	fw_put(out, fw_report_understood(text, sizeof text, entry));
	if (fw_get_true(entry->value, "confirmed"))
		put_tagged(out, "implausible, kept against a query");
	if (find && strcmp(find, "verdict") == 0 && fw_report_too_coarse(entry))
		put_tagged(out, "gauges too coarse");
	if (fw_report_is(entry, "sign") || fw_report_is(entry, "reopen"))
		put_signed(out, job, entry);
	else if (!find)
		put_gauge(out, entry);
	if (fw_report_is(entry, "amend"))
		put_late(out, job, entry);
	if (fw_report_is(entry, "amend") || fw_report_is(entry, "reopen")) {
		fputs("<br/>Reason: ", out);
		fw_put(out, fw_report_reason(entry));
	}
}

/* Who struck it out, how, why, and what stands in its place. */
static void put_struck(FILE *out, const struct fw_report_job *job,
                       const struct fw_report_entry *entry)
{
	const struct fw_report_entry *by = fw_report_entry(job, entry->struck_by);
	const char *how = fw_report_struck(job, entry);
	bool answers = fw_report_answers(entry);
	char text[400];

	fprintf(out, "<br/><strong>struck out by entry %lld</strong>: ", (long long)entry->struck_by);
	fputs(how ? how : "", out);
	if (!by || !answers) /* a finding follows its answer */
		return;
	if (fw_report_is(by, "amend") && entry->seq == fw_get_whole(by->value, "amends", 0)) {
		fputs(" to ", out);
		fw_put(out, by->typed);
		fw_report_understood(text, sizeof text, by);
	}
	const char *reason = fw_report_reason(by);
	if (reason && *reason) {
		fputs("; ", out);
		fw_put(out, reason);
	}
	if (by->who) {
		fputs(" (", out);
		fw_put(out, by->who);
		fputs(", ", out);
		fw_put(out, fw_report_time(text, sizeof text, by->at, false));
		fputs(")", out);
	}
}

/* Who is said where it changes. */
static void put_time(FILE *out, const struct fw_report_entry *entry, const char *who_before)
{
	char text[64];

	fw_put(out, fw_report_time(text, sizeof text, entry->at, true));
	if (entry->who && (!who_before || strcmp(who_before, entry->who) != 0)) {
		fputs("<br/> ", out);
		fw_put(out, entry->who);
	}
}

static void put_entry(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_entry *entry, const char *who_before)
{
	bool struck = entry->struck_by != 0;

	fprintf(out, "<tr class=\"%s%s\">", fw_report_find(entry) ? "finding" : "entry",
	        struck ? " struck" : "");
	fprintf(out, "<td data-column=\"%s\">%lld</td>", columns[0], (long long)entry->seq);
	open_cell(out, columns[1], struck);
	put_time(out, entry, who_before);
	close_cell(out, struck);
	open_cell(out, columns[2], struck);
	put_asked(out, entry);
	close_cell(out, struck);
	bool typed = entry->typed && *entry->typed;
	open_cell(out, columns[3], struck && typed);
	fw_put(out, entry->typed);
	close_cell(out, struck && typed);
	open_cell(out, columns[4], struck);
	put_value(out, job, entry);
	fputs(struck ? "</s>" : "", out);
	if (struck)
		put_struck(out, job, entry);
	fputs("</td></tr>\n", out);
}

static void put_day(FILE *out, const char *at, const char *before)
{
	char text[64];

	if (!at || strlen(at) < 10 || (before && strncmp(at, before, 10) == 0))
		return;
	fw_report_print(text, sizeof text, "%.10s", at);
	fputs("<tr class=\"phase\"><th colspan=\"5\">", out);
	fw_put(out, text);
	fputs(", times in UTC</th></tr>\n", out);
}

/* An amendment, and what is found anew behind it, belongs to earlier phases and heads none. */
static bool opens_phase(const struct fw_report_entry *entry, const char *phase)
{
	bool asked = fw_report_is(entry, "answer") || fw_report_is(entry, "sign");

	return asked && entry->phase && (!phase || strcmp(phase, entry->phase) != 0);
}

void fw_html_log(FILE *out, const struct fw_report_job *job)
{
	const char *phase = NULL, *who = NULL, *at = NULL;

	fputs("<section class=\"long\">\n<h2>Log of entries</h2>\n", out);
	fputs("<p class=\"small\">Everything that was recorded, in order. What is struck out was taken "
	      "back, amended or lapsed, and no longer counts.</p>\n",
	      out);
	fw_html_table(out, "log", columns);
	for (size_t i = 0; i < job->count; i++) {
		const struct fw_report_entry *entry = &job->entries[i];
		put_day(out, entry->at, at);
		if (opens_phase(entry, phase)) {
			put_phase(out, entry->phase);
			phase = entry->phase;
		}
		put_entry(out, job, entry, who);
		who = entry->who;
		at = entry->at;
	}
	fw_html_end(out);
	fw_html_close(out);
}

void fw_html_sources(FILE *out, const struct fw_report_job *job)
{
	static const char *const heads[] = {"Figure", "Value", "Source", NULL};
	const json_t *figures = json_object_get(fw_report_begin(job), "figures");
	size_t i;
	const json_t *figure;

	if (json_array_size(figures) == 0)
		return;
	fw_html_section(out, "Figures used and their sources");
	fw_html_table(out, "cards", heads);
	json_array_foreach(figures, i, figure)
	{
		fputs("<tr>", out);
		fw_html_cell(out, "Figure", fw_get_text(figure, "name"));
		fw_html_cell(out, "Value", fw_get_text(figure, "text"));
		fw_html_open_cell(out, "Source", fw_get_text(json_object_get(figure, "source"), "text"));
		fw_html_source(out, json_object_get(figure, "source"));
		fputs("</td></tr>\n", out);
	}
	fw_html_end(out);
	fw_html_close(out);
}
