/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The elements that the parts of the page share. */
#include "report/html.h"

#include <string.h>

#include "report/put.h"

void fw_html_section(FILE *out, const char *heading)
{
	fputs("<section>\n<h2>", out);
	fw_put(out, heading);
	fputs("</h2>\n", out);
}

void fw_html_close(FILE *out)
{
	fputs("</section>\n", out);
}

void fw_html_fact(FILE *out, const char *name, const char *text)
{
	if (!text || !*text)
		return;
	fputs("<div><dt>", out);
	fw_put(out, name);
	fputs("</dt><dd>", out);
	fw_put(out, text);
	fputs("</dd></div>\n", out);
}

/* A word without a place to break would push the table out of the page. */
const char *fw_html_long(const char *text)
{
	size_t length = 0;

	while (text && *text) {
		uint32_t point = fw_report_utf8_next(&text);
		length = point == ' ' || point == '\n' || point == '-' ? 0 : length + 1;
		if (length > 20)
			return " class=\"long\"";
	}
	return "";
}

static void open_cell(FILE *out, const char *class, const char *column)
{
	fprintf(out, "<td%s data-column=\"", class);
	fw_put(out, column);
	fputs("\">", out);
}

void fw_html_open_cell(FILE *out, const char *column, const char *text)
{
	open_cell(out, fw_html_long(text), column);
}

void fw_html_cell(FILE *out, const char *column, const char *text)
{
	fw_html_open_cell(out, column, text);
	fw_put(out, text && *text ? text : "–");
	fputs("</td>", out);
}

void fw_html_quantity(FILE *out, const char *column, const json_t *quantity)
{
	char text[192];

	fw_report_quantity_text(text, sizeof text, quantity, true);
	bool together = fw_report_utf8_length(text) <= 32; /* longer is odd, and may wrap */
	open_cell(out, together ? " class=\"quantity\"" : fw_html_long(text), column);
	fw_put(out, text[0] ? text : "–");
	fputs("</td>", out);
}

void fw_html_table(FILE *out, const char *class, const char *const *columns)
{
	fprintf(out, "<table class=\"%s\">\n<thead><tr>", class);
	for (; *columns; columns++) {
		fputs("<th scope=\"col\">", out);
		fw_put(out, *columns);
		fputs("</th>", out);
	}
	fputs("</tr></thead>\n<tbody>\n", out);
}

void fw_html_end(FILE *out)
{
	fputs("</tbody></table>\n", out);
}

void fw_html_tag(FILE *out, const char *word)
{
	static const char *const known[] = {"within", "outside", "doubtful", "surprise", "conceded"};
	const char *class = "plain";

	for (size_t i = 0; i < sizeof known / sizeof *known; i++)
		if (strcmp(word, known[i]) == 0)
			class = known[i];
	fprintf(out, "<strong class=\"tag %s\">", class);
	fw_put(out, word);
	fputs("</strong>", out);
}

void fw_html_hash(FILE *out, const char *hex)
{
	fputs("<code class=\"hash\">", out);
	for (size_t i = 0; hex && *hex; i++, hex++) {
		if (!strchr("0123456789abcdefABCDEF", *hex)) { /* no hash: shown as it is */
			fw_put(out, hex);
			break;
		}
		fputs(i && i % 8 == 0 ? " " : "", out);
		fputc(*hex, out);
	}
	fputs("</code>", out);
}

void fw_html_source(FILE *out, const json_t *source)
{
	const char *text = fw_get_text(source, "text");
	const char *grade = fw_get_text(source, "grade");

	fw_put(out, fw_report_grade_text(grade));
	if (text && *text) {
		fputs(": ", out);
		fw_put(out, text);
	}
}
