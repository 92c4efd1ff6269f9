/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The history of checks in plain lines of at most 80 columns. */
#include <math.h>
#include <string.h>

#include "report/history.h"
#include "report/put.h"
#include "report/text_lines.h"

/* Decimals that tell the points of a check apart: a hundredth of their scatter, or of the limits.
 */
static int decimals_of(const struct fw_history_check *check)
{
	double scale = check->max - check->min;

	if (check->control.count && check->control.sd > 0)
		scale = check->control.sd;
	if (!isfinite(scale) || !(scale > 0))
		scale = fmax(fabs(check->min), fabs(check->max));
	scale /= check->unit.factor;
	if (!isfinite(scale) || !(scale > 0))
		return 3;
	double places = ceil(1 - log10(scale));
	return places < 0 ? 0 : places > 9 ? 9 : (int)places;
}

const char *fw_history_value(char *buffer, size_t size, const struct fw_history_check *check,
                             double si)
{
	buffer[0] = '\0';
	if (isfinite(si))
		fw_report_decimal(buffer, size, fw_report_in(&check->unit, si), decimals_of(check));
	return buffer;
}

static void put_control(FILE *out, const struct fw_history_check *check)
{
	const struct fw_control *control = &check->control;
	char text[256], mean[64], low[64], high[64], range[64];

	if (control->count == 0) {
		fw_report_print(text, sizeof text, "none: %zu released value%s, %d are needed",
		                check->charted, check->charted == 1 ? "" : "s", FW_CONTROL_LEAST);
		fw_lines_wrapped(out, 2, "control", 14, text);
		return;
	}
	fw_report_print(text, sizeof text, "mean %s, limits %s to %s, moving range up to %s %s%s",
	                fw_history_value(mean, sizeof mean, check, control->mean),
	                fw_history_value(low, sizeof low, check, control->low),
	                fw_history_value(high, sizeof high, check, control->high),
	                fw_report_decimal(range, sizeof range, control->range_high / check->unit.factor,
	                                  decimals_of(check)),
	                check->unit.unit,
	                control->count < FW_CONTROL_SETTLED ? " (provisional: few values)" : "");
	fw_lines_wrapped(out, 2, "control", 14, text);
	if (check->limits_differ)
		fw_lines_wrapped(
		    out, 2, "", 14,
		    "over jobs with different limits, set to different values: what stands out "
		    "may be no more than that");
}

static void put_sums(FILE *out, const struct fw_history_check *check)
{
	size_t marked = 0;
	char text[256];

	for (size_t i = 0; i < check->count; i++)
		marked += check->points[i].marks != 0;
	fw_report_print(text, sizeof text,
	                "%zu job%s: %zu within, %zu outside, %zu doubtful; %zu conceded; %zu trial%s",
	                check->count, check->count == 1 ? "" : "s", check->within, check->outside,
	                check->doubtful, check->conceded, check->trials, check->trials == 1 ? "" : "s");
	fw_lines_wrapped(out, 2, "as left", 14, text);
	fw_report_print(text, sizeof text, "values below in %s",
	                check->unit.unit[0] ? check->unit.unit : "SI");
	fw_lines_wrapped(out, 2, "", 14, text);
	fw_lines_wrapped(out, 2, "limits", 14, check->limits);
	if (check->limits_differ)
		fw_lines_wrapped(out, 2, "", 14, "those of the newest job; others had other limits");
	put_control(out, check);
	if (marked) {
		fw_report_print(text, sizeof text,
		                "%zu value%s stand%s out: !beyond the limits, a !jump from the one before, "
		                "the eighth or later of a !run on one side of the mean",
		                marked, marked == 1 ? "" : "s", marked == 1 ? "s" : "");
		fw_lines_wrapped(out, 2, "", 14, text);
	}
}

/* Of a text that is too long the end is kept: units of one kind differ there. */
static void put_cell(FILE *out, const char *text, size_t width, bool right)
{
	size_t length = fw_report_utf8_length(text);
	size_t skip = length > width ? length - width + 1 : 0;

	for (size_t i = length; right && i < width; i++)
		fputc(' ', out);
	for (size_t i = 0; i < skip; i++)
		fw_report_utf8_next(&text);
	fputs(skip ? "…" : "", out);
	while (*text) {
		uint32_t point = fw_report_utf8_shown(fw_report_utf8_next(&text));
		fw_put_point(out, point == '\n' || point == '\t' ? ' ' : point);
	}
	for (size_t i = length; !right && i < width; i++)
		fputc(' ', out);
	fputs("  ", out);
}

/* Columns: job 6, began 10, unit 12, found 8, left 8, trials 6, and what is said of it from 62 on.
 */
#define SAID 62

/* Words behind each other, on further lines where they don't fit. */
static void put_said(FILE *out, const char *const *words, size_t count)
{
	size_t used = 0;

	for (size_t i = 0; i < count; i++) {
		size_t length = strlen(words[i]);
		if (length == 0)
			continue;
		if (used && used + 1 + length > 80 - SAID) {
			fprintf(out, "\n%*s", SAID, "");
			used = 0;
		}
		fprintf(out, "%s%s", used ? " " : "", words[i]);
		used += length + (used > 0);
	}
	fputs("\n", out);
}

static void put_point(FILE *out, const struct fw_history_check *check,
                      const struct fw_history_point *point)
{
	char text[64];
	const char *const said[] = {point->left_verdict ? point->left_verdict : "-",
	                            point->released ? "" : "(open)",
	                            point->conceded ? "CONCEDED" : "",
	                            point->marks & FW_CONTROL_BEYOND ? "!beyond" : "",
	                            point->marks & FW_CONTROL_JUMPED ? "!jump" : "",
	                            point->marks & FW_CONTROL_ONE_SIDE ? "!run" : ""};

	fw_report_print(text, sizeof text, "%lld", (long long)point->job);
	put_cell(out, text, 5, true);
	put_cell(out, point->began, 10, false);
	put_cell(out, point->unit, 14, false);
	fw_history_value(text, sizeof text, check, point->found);
	put_cell(out, text[0] ? text : "-", 8, true);
	fw_history_value(text, sizeof text, check, point->left);
	put_cell(out, text[0] ? text : "-", 8, true);
	fw_report_print(text, sizeof text, "%zu", point->trials);
	put_cell(out, text, 6, true);
	put_said(out, said, sizeof said / sizeof *said);
}

static void put_check(FILE *out, const struct fw_history_check *check)
{
	const char *const said[] = {"as left"};

	fw_lines_heading(out, check->name);
	put_sums(out, check);
	fputs("\n", out);
	put_cell(out, "job", 5, true);
	put_cell(out, "began", 10, false);
	put_cell(out, "unit", 14, false);
	put_cell(out, "found", 8, true);
	put_cell(out, "left", 8, true);
	put_cell(out, "trials", 6, true);
	put_said(out, said, 1);
	for (size_t i = 0; i < check->count; i++)
		put_point(out, check, &check->points[i]);
}

void fw_history_text(FILE *out, const struct fw_history *history)
{
	const char *title = NULL;

	for (size_t i = 0; i < history->count; i++) {
		const struct fw_history_check *check = &history->checks[i];
		if (!title || strcmp(title, check->title) != 0) {
			fputs(title ? "\n\n" : "", out);
			fw_lines_wrapped(out, 0, "", 0, check->title[0] ? check->title : "Without a title");
		}
		title = check->title;
		put_check(out, check);
	}
}
