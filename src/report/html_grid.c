/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grids of answers, such as where a noise is heard: before and after stand side by side. */
#include <string.h>

#include "report/html.h"
#include "report/put.h"
#include "report/svg.h"

/* A grid of more rows or columns is an odd trail; the log has all of it. */
#define MOST       40
#define MOST_GRIDS 100
/* Most columns beside each other, and most on a telephone. */
#define BLOCK   6
#define STACKED 3

struct grid {
	const struct fw_report_entry *first;
	const char *rows[MOST], *columns[MOST];
	size_t row_count, column_count;
	bool cut; /* there is more of it */
};

static const char *row_of(const struct fw_report_entry *entry)
{
	return fw_get_text(entry->ask, "row");
}

static const char *column_of(const struct fw_report_entry *entry)
{
	return fw_get_text(entry->ask, "column");
}

static bool is_item(const struct fw_report_entry *entry)
{
	return !fw_report_is(entry, "sign") && row_of(entry) && column_of(entry);
}

/* Items of one step in one round belong together. */
static bool same_grid(const struct fw_report_entry *a, const struct fw_report_entry *b)
{
	return strcmp(a->step ? a->step : "", b->step ? b->step : "") == 0 &&
	       fw_get_whole(a->ask, "round", 0) == fw_get_whole(b->ask, "round", 0);
}

static const struct fw_report_entry *next_item(const struct fw_report_job *job,
                                               const struct fw_report_entry *entry)
{
	while ((entry = fw_report_next_asked(job, entry)))
		if (is_item(entry))
			return entry;
	return NULL;
}

/* The first items of the grids, as many as are shown. */
struct openings {
	const struct fw_report_entry *first[MOST_GRIDS];
	size_t count;
	bool cut; /* there are more grids */
};

static void find_openings(struct openings *out, const struct fw_report_job *job)
{
	const struct fw_report_entry *item = NULL;

	out->count = 0;
	out->cut = false;
	while (!out->cut && (item = next_item(job, item))) {
		bool known = false;
		for (size_t i = 0; i < out->count && !known; i++)
			known = same_grid(out->first[i], item);
		out->cut = !known && out->count == MOST_GRIDS;
		if (!known && !out->cut)
			out->first[out->count++] = item;
	}
}

/* False when there is no room for it. */
static bool add_once(const char **names, size_t *count, const char *name)
{
	for (size_t i = 0; i < *count; i++)
		if (strcmp(names[i], name) == 0)
			return true;
	if (*count == MOST)
		return false;
	names[(*count)++] = name;
	return true;
}

static void read_grid(struct grid *grid, const struct fw_report_job *job,
                      const struct fw_report_entry *first)
{
	const struct fw_report_entry *item = NULL;

	*grid = (struct grid){.first = first};
	while ((item = next_item(job, item)))
		if (same_grid(item, first)) {
			bool row = add_once(grid->rows, &grid->row_count, row_of(item));
			bool column = add_once(grid->columns, &grid->column_count, column_of(item));
			grid->cut = grid->cut || !row || !column;
		}
}

static const struct fw_report_entry *find_item(const struct fw_report_job *job,
                                               const struct grid *grid, const char *row,
                                               const char *column)
{
	const struct fw_report_entry *item = NULL, *found = NULL;

	while ((item = next_item(job, item)))
		if (same_grid(item, grid->first) && strcmp(row_of(item), row) == 0 &&
		    strcmp(column_of(item), column) == 0)
			found = item;
	return found;
}

static void put_item(FILE *out, const char *column, const struct fw_report_entry *item)
{
	char text[192];

	fw_html_open_cell(out, column, item ? fw_report_understood(text, sizeof text, item) : NULL);
	if (!item) {
		fputs("–</td>", out);
		return;
	}
	size_t options = json_array_size(json_object_get(item->ask, "options"));
	int64_t index = fw_get_whole(item->value, "index", -1);
	if (index >= 0 && options > 1)
		fw_svg_pie(out, index, options);
	fputs(index > 0 ? "<strong>" : "<span>", out);
	fw_put(out, fw_report_understood(text, sizeof text, item));
	fputs(index > 0 ? "</strong></td>" : "</span></td>", out);
}

static void put_name(FILE *out, const char *scope, const char *name)
{
	fprintf(out, "<th%s scope=\"%s\">", fw_html_long(name), scope);
	fw_put(out, name);
	fputs("</th>", out);
}

static void put_caption(FILE *out, const struct grid *grid, bool more)
{
	fputs("<caption>", out);
	fw_put(out, grid->first->phase ? grid->first->phase : grid->first->step);
	fputs(" <span class=\"step\">", out);
	fw_put(out, grid->first->step);
	fputs(more ? ", further columns</span></caption>\n" : "</span></caption>\n", out);
}

/* The columns [from, to) with all rows. Many of them are stacked on a narrow screen. */
static void put_block(FILE *out, const struct fw_report_job *job, const struct grid *grid,
                      size_t from, size_t to)
{
	fputs(grid->column_count > STACKED ? "<table class=\"cards wide\">" : "<table>", out);
	put_caption(out, grid, from > 0);
	fputs("<thead><tr><th></th>", out);
	for (size_t c = from; c < to; c++) {
		put_name(out, "col", grid->columns[c]);
	}
	fputs("</tr></thead>\n<tbody>\n", out);
	for (size_t r = 0; r < grid->row_count; r++) {
		fputs("<tr>", out);
		put_name(out, "row", grid->rows[r]);
		for (size_t c = from; c < to; c++)
			put_item(out, grid->columns[c], find_item(job, grid, grid->rows[r], grid->columns[c]));
		fputs("</tr>\n", out);
	}
	fputs("</tbody></table>\n", out);
}

/* In blocks as wide as each other: a page has room for so many columns and the names of the rows.
 */
static void put_grid(FILE *out, const struct fw_report_job *job, const struct grid *grid)
{
	size_t blocks = (grid->column_count + BLOCK - 1) / BLOCK;
	size_t width = blocks > 0 ? (grid->column_count + blocks - 1) / blocks : 1;

	for (size_t from = 0; from < grid->column_count; from += width)
		put_block(out, job, grid, from,
		          from + width < grid->column_count ? from + width : grid->column_count);
	if (grid->cut)
		fprintf(out, "<p class=\"small\">More than %d rows or columns: the log has them all.</p>\n",
		        MOST);
}

/* Wide grids stand below each other; the others side by side. */
static bool any_wide(const struct fw_report_job *job, const struct openings *openings)
{
	struct grid grid;

	for (size_t i = 0; i < openings->count; i++) {
		read_grid(&grid, job, openings->first[i]);
		if (grid.column_count > STACKED)
			return true;
	}
	return false;
}

void fw_html_grids(FILE *out, const struct fw_report_job *job)
{
	struct openings openings;
	struct grid grid;

	find_openings(&openings, job);
	if (openings.count == 0)
		return;
	fw_html_section(out, "Before and after");
	fprintf(out, "<div class=\"grids%s\">\n", any_wide(job, &openings) ? " block" : "");
	for (size_t i = 0; i < openings.count; i++) {
		read_grid(&grid, job, openings.first[i]);
		put_grid(out, job, &grid);
	}
	fputs("</div>\n", out);
	if (openings.cut)
		fprintf(out, "<p class=\"small\">More than %d such tables: the log has them all.</p>\n",
		        MOST_GRIDS);
	fw_html_close(out);
}
