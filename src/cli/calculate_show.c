/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a calculation gave, as a person reads it. */
#include <stdio.h>
#include <string.h>

#include "cli/calculate.h"
#include "face/glyph.h"
#include "face/wrap.h"
#include "script/calc_json.h"

enum { MARGIN = 2, GAP = 2, LABEL_MOST = 36, COLUMNS_MOST = 24 };

static void heading(const struct fw_screen *screen, const char *text)
{
	fputc('\n', screen->out);
	fw_wrap(screen, text, 0, FW_STYLE_STRONG);
}

static void show_warnings(const struct fw_screen *screen, const struct fw_calc_out *out)
{
	char text[1100];

	if (fw_calc_warnings(out) > 0)
		fputc('\n', screen->out);
	for (size_t i = 0; i < fw_calc_warnings(out); i++) {
		snprintf(text, sizeof text, "Beware: %s", fw_calc_warning_text(out, i));
		fw_wrap(screen, text, 0, FW_STYLE_CAUTION);
	}
}

static void show_working(const struct fw_screen *screen, const struct fw_calc_out *out)
{
	if (fw_calc_lines(out) == 0)
		return;
	heading(screen, "Working");
	for (size_t i = 0; i < fw_calc_lines(out); i++)
		fw_wrap(screen, fw_calc_line_text(out, i), MARGIN, FW_STYLE_PLAIN);
}

static int label_width(const struct fw_screen *screen, const struct fw_calc_out *out)
{
	int widest = 0;

	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *result = fw_calc_result(out, i);
		int width = fw_text_width(result->label, screen->utf8);
		if (!result->table && width > widest)
			widest = width;
	}
	return widest < LABEL_MOST ? widest : LABEL_MOST;
}

static void show_single(const struct fw_screen *screen, const struct fw_calc_out *out)
{
	int width = label_width(screen, out);
	bool first = true;
	char text[64];

	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *result = fw_calc_result(out, i);
		if (result->table)
			continue;
		if (first)
			heading(screen, "Results");
		first = false;
		const char *value = fw_calc_result_text(result, text, sizeof text);
		fprintf(screen->out, "%*s", MARGIN, "");
		int used = fw_text_print(screen, result->label, -1);
		if (used > width ||
		    MARGIN + width + GAP + fw_text_width(value, screen->utf8) > screen->width) {
			fputc('\n', screen->out);
			fw_wrap(screen, value, 2 * MARGIN, FW_STYLE_STRONG);
			continue;
		}
		fprintf(screen->out, "%*s", width - used + GAP, "");
		fw_style_on(screen, FW_STYLE_STRONG);
		fw_text_print(screen, value, -1);
		fw_style_off(screen, FW_STYLE_STRONG);
		fputc('\n', screen->out);
	}
}

/* Tables. */

struct columns {
	const char *name[COLUMNS_MOST], *label[COLUMNS_MOST];
	int width[COLUMNS_MOST];
	size_t count;
};

static size_t column_of(struct columns *columns, const struct fw_calc_result *result)
{
	size_t i = 0;

	while (i < columns->count && strcmp(columns->name[i], result->name) != 0)
		i++;
	if (i == columns->count && i < COLUMNS_MOST) {
		columns->name[i] = result->name;
		columns->label[i] = result->label;
		columns->width[i] = 0;
		columns->count++;
	}
	return i;
}

static bool in_table(const struct fw_calc_result *result, const char *table)
{
	return result->table && strcmp(result->table, table) == 0;
}

static void measure(const struct fw_screen *screen, const struct fw_calc_out *out,
                    const char *table, struct columns *columns)
{
	char text[64];

	columns->count = 0;
	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *result = fw_calc_result(out, i);
		size_t at = in_table(result, table) ? column_of(columns, result) : COLUMNS_MOST;
		if (at >= COLUMNS_MOST)
			continue;
		int width = fw_text_width(fw_calc_result_text(result, text, sizeof text), screen->utf8);
		int label = fw_text_width(result->label, screen->utf8);
		width = width > label ? width : label;
		if (width > columns->width[at])
			columns->width[at] = width;
	}
}

static int total_width(const struct columns *columns)
{
	int total = MARGIN;

	for (size_t i = 0; i < columns->count; i++)
		total += columns->width[i] + GAP;
	return total - GAP;
}

static void print_cell(const struct fw_screen *screen, const char *text, int width, bool last)
{
	int used = fw_text_print(screen, text, -1);
	if (!last)
		fprintf(screen->out, "%*s", width - used + GAP, "");
}

/* Cells of one row, from result `from` on; gives the result behind the row. */
static size_t print_row(const struct fw_screen *screen, const struct fw_calc_out *out, size_t from,
                        const struct columns *columns)
{
	const struct fw_calc_result *first = fw_calc_result(out, from);
	char text[64];
	size_t end = from;

	while (end < fw_calc_results(out) && in_table(fw_calc_result(out, end), first->table) &&
	       fw_calc_result(out, end)->row == first->row)
		end++;
	fprintf(screen->out, "%*s", MARGIN, "");
	for (size_t c = 0; c < columns->count; c++) {
		const char *value = "";
		for (size_t i = from; i < end; i++)
			if (strcmp(fw_calc_result(out, i)->name, columns->name[c]) == 0)
				value = fw_calc_result_text(fw_calc_result(out, i), text, sizeof text);
		print_cell(screen, value, columns->width[c], c + 1 == columns->count);
	}
	fputc('\n', screen->out);
	return end;
}

/* Where a table is wider than the screen, each row is a list. */
static void print_row_list(const struct fw_screen *screen, const struct fw_calc_result *result,
                           bool first)
{
	char text[64], line[1200];

	snprintf(line, sizeof line, "%s%s: %s", first ? "- " : "  ", result->label,
	         fw_calc_result_text(result, text, sizeof text));
	fw_wrap(screen, line, MARGIN, FW_STYLE_PLAIN);
}

static void show_table(const struct fw_screen *screen, const struct fw_calc_out *out, size_t from)
{
	const struct fw_calc_result *first = fw_calc_result(out, from);
	struct columns columns;

	heading(screen, first->table_label);
	measure(screen, out, first->table, &columns);
	bool wide = total_width(&columns) > screen->width;
	if (!wide) {
		fprintf(screen->out, "%*s", MARGIN, "");
		for (size_t c = 0; c < columns.count; c++)
			print_cell(screen, columns.label[c], columns.width[c], c + 1 == columns.count);
		fputc('\n', screen->out);
	}
	for (size_t i = from; i < fw_calc_results(out);) {
		const struct fw_calc_result *result = fw_calc_result(out, i);
		if (!in_table(result, first->table))
			i++;
		else if (wide)
			print_row_list(screen, result,
			               i == from || result->row != fw_calc_result(out, i - 1)->row),
			    i++;
		else
			i = print_row(screen, out, i, &columns);
	}
}

static bool table_begins(const struct fw_calc_out *out, size_t index)
{
	const struct fw_calc_result *result = fw_calc_result(out, index);

	if (!result->table || result->row != 0)
		return false;
	for (size_t i = 0; i < index; i++)
		if (in_table(fw_calc_result(out, i), result->table))
			return false;
	return true;
}

void fw_cli_calculate_show(const struct fw_screen *screen, const struct fw_calculator *calculator,
                           const struct fw_calc_out *out)
{
	show_working(screen, out);
	show_warnings(screen, out);
	show_single(screen, out);
	for (size_t i = 0; i < fw_calc_results(out); i++)
		if (table_begins(out, i))
			show_table(screen, out, i);
	heading(screen, "Source");
	fw_wrap(screen, calculator->source, MARGIN, FW_STYLE_PLAIN);
}
