/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every entry in order, what no longer counts among them, and the figures the job began with. */
#include <string.h>

#include "report/html.h"
#include "report/put.h"

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

static void put_asked(FILE *out, const struct fw_report_entry *entry)
{
	const char *find = fw_report_find(entry);
	const char *item = fw_get_text(entry->ask, "item");
	const char *caution = fw_get_text(entry->ask, "caution");

	if (strcmp(entry->kind, "begin") == 0)
		fputs("Job begun", out);
	else if (strcmp(entry->kind, "withdraw") == 0)
		fputs("<strong>Taken back</strong>, with this reason", out);
	else if (strcmp(entry->kind, "release") == 0)
		fputs("Procedure ended, job released", out);
	else if (find) {
		fputs("Found: ", out);
		fw_put(out, find);
	} else
		fw_put(out, fw_get_text(entry->ask, "say"));
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

static void put_value(FILE *out, const struct fw_report_entry *entry)
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
	if (fw_get_true(entry->value, "confirmed")) {
		fputs(" ", out);
		fw_html_tag(out, "implausible, kept against a query");
	}
	if (entry->struck_by)
		fprintf(out, "</s> <strong>struck out by entry %lld</strong><s>",
		        (long long)entry->struck_by);
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

static void put_entry(FILE *out, const struct fw_report_entry *entry, const char *who_before)
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
	put_value(out, entry);
	close_cell(out, struck);
	fputs("</tr>\n", out);
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

void fw_html_log(FILE *out, const struct fw_report_job *job)
{
	const char *phase = NULL, *who = NULL, *at = NULL;

	fputs("<section class=\"long\">\n<h2>Log of entries</h2>\n", out);
	fputs("<p class=\"small\">Everything that was recorded, in order. What is struck out was taken "
	      "back "
	      "and no longer counts.</p>\n",
	      out);
	fw_html_table(out, "log", columns);
	for (size_t i = 0; i < job->count; i++) {
		const struct fw_report_entry *entry = &job->entries[i];
		put_day(out, entry->at, at);
		if (entry->phase && (!phase || strcmp(phase, entry->phase) != 0))
			put_phase(out, entry->phase);
		put_entry(out, entry, who);
		phase = entry->phase;
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
