/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The gauges that the readings were taken with, each as it was then. */
#include "report/html.h"
#include "report/put.h"

static void put_fact(FILE *out, const char *column, const struct fw_report_gauge *gauge,
                     const char *key)
{
	char text[200];

	fw_html_cell(out, column, fw_report_gauge_fact(text, sizeof text, gauge, key));
}

/* A day stays in one piece. */
static void put_day(FILE *out, const char *column, const struct fw_report_gauge *gauge,
                    const char *key)
{
	char text[200];

	fw_report_gauge_fact(text, sizeof text, gauge, key);
	if (fw_report_utf8_length(text) != 10) {
		fw_html_cell(out, column, text);
		return;
	}
	fprintf(out, "<td class=\"quantity day\" data-column=\"%s\">", column);
	fw_put(out, text);
	fputs("</td>", out);
}

static void put_tag(FILE *out, size_t count, size_t all, const char *what)
{
	char text[96];

	if (count == 0)
		return;
	if (count == all)
		fw_report_print(text, sizeof text, "%s", what);
	else
		fw_report_print(text, sizeof text, "%zu of them %s", count, what);
	fputs(" ", out);
	fw_html_tag(out, text);
}

static void put_readings(FILE *out, const struct fw_report_gauge *gauge)
{
	fprintf(out, "<td data-column=\"Readings\">%zu", gauge->readings);
	put_tag(out, gauge->overdue, gauge->readings, "overdue");
	put_tag(out, gauge->bad, gauge->readings, "found bad later");
	fputs("</td>", out);
}

static void put_gauge(FILE *out, const struct fw_report_gauge *gauge)
{
	const char *id = fw_get_text(gauge->gauge, "id");
	char text[200];

	fputs("<tr>", out);
	fw_html_cell(out, "Number", gauge->gauge ? id : "typical");
	fw_html_cell(out, "Kind", gauge->kind);
	put_fact(out, "Reads to", gauge, "resolution");
	put_fact(out, "Error", gauge, "error");
	put_day(out, "Calibrated", gauge, "calibrated");
	put_day(out, "Due", gauge, "due");
	fw_report_gauge_fact(text, sizeof text, gauge, "source");
	fw_html_cell(out, "Source",
	             text[0]        ? text
	             : gauge->gauge ? NULL
	                            : fw_report_grade_text("practice"));
	put_readings(out, gauge);
	fputs("</tr>\n", out);
}

void fw_html_gauges(FILE *out, const struct fw_report_outcome *outcome)
{
	static const char *const columns[] = {"Number",         "Kind",       "Reads to",
	                                      "Limit of error", "Calibrated", "Due",
	                                      "Source",         "Readings",   NULL};
	const struct fw_report_gauges *gauges = &outcome->gauges;

	if (gauges->count == 0)
		return;
	fw_html_section(out, "Gauges, as they were");
	fw_html_table(out, "cards many", columns);
	for (size_t i = 0; i < gauges->count; i++)
		put_gauge(out, &gauges->list[i]);
	fw_html_end(out);
	if (gauges->more)
		fprintf(out, "<p class=\"small\">And %zu readings with others: the log has them.</p>\n",
		        gauges->more);
	if (gauges->typical)
		fputs("<p class=\"small\">Typical: no gauge of the shop&#39;s register was named; figures "
		      "of a usual one of its kind were taken, common practice, no source.</p>\n",
		      out);
	fw_html_close(out);
}
