/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The chart of one check over its jobs: values as left with their own limits and the control
 * limits, and below them the moving ranges. One file of its own. */
#include <math.h>
#include <stdlib.h>

#include "report/history.h"
#include "report/html.h"
#include "report/put.h"
#include "report/svg.h"

#define LEFT   46.0
#define RIGHT  (FW_SVG_WIDTH - 8.0)
#define TOP    50.0
#define HEIGHT 190.0
#define GAP    34.0
#define LOW    62.0 /* height of the moving ranges */
#define FOOT   82.0
/* More values than this are small dots; more than that aren't joined by a line. */
#define CROWD 30
#define DUST  120

struct chart {
	const struct fw_history_check *check;
	const struct fw_history_point **points; /* those that are charted */
	size_t count;
	struct fw_scale y, range;
};

static double in_unit(const struct chart *chart, double si)
{
	return fw_report_in(&chart->check->unit, si);
}

static double x_of(const struct chart *chart, size_t i)
{
	double room = RIGHT - LEFT;

	return LEFT + room * ((double)i + 0.5) / (double)chart->count;
}

static double range_of(const struct chart *chart, size_t i)
{
	return fabs(chart->points[i]->left - chart->points[i - 1]->left) / chart->check->unit.factor;
}

static void stretch(struct fw_scale *y, double value)
{
	if (isfinite(value)) {
		y->low = fmin(y->low, value);
		y->high = fmax(y->high, value);
	}
}

static bool widen(struct fw_scale *y)
{
	double width = y->high - y->low;

	if (!isfinite(width))
		return false;
	if (!(width > 0))
		width = y->low != 0 ? fabs(y->low) : 1;
	y->low -= 0.06 * width;
	y->high += 0.06 * width;
	return true;
}

static bool set_scales(struct chart *chart)
{
	const struct fw_history_check *check = chart->check;
	const struct fw_control *control = &check->control;

	chart->y = (struct fw_scale){INFINITY, -INFINITY, TOP + HEIGHT, TOP};
	stretch(&chart->y, in_unit(chart, check->min));
	stretch(&chart->y, in_unit(chart, check->max));
	if (control->count) {
		stretch(&chart->y, in_unit(chart, control->low));
		stretch(&chart->y, in_unit(chart, control->high));
	}
	double most = control->count ? control->range_high / check->unit.factor : 0;
	for (size_t i = 0; i < chart->count; i++) {
		stretch(&chart->y, in_unit(chart, chart->points[i]->left));
		if (i > 0)
			most = fmax(most, range_of(chart, i));
	}
	double top = TOP + HEIGHT + GAP;
	chart->range = (struct fw_scale){0, most > 0 ? 1.08 * most : 1, top + LOW, top};
	return widen(&chart->y) && isfinite(most);
}

static void draw_axis(FILE *out, const struct fw_scale *y, int most)
{
	struct fw_ticks ticks;
	char label[64];

	fw_svg_line(out, "axis", LEFT, y->to, LEFT, y->from);
	if (!fw_ticks_make(&ticks, y->low, y->high, most))
		return;
	for (int i = 0; i < ticks.count; i++) {
		double at = fw_scale_at(y, fw_ticks_at(&ticks, i));
		fw_report_decimal(label, sizeof label, fw_ticks_at(&ticks, i), ticks.decimals);
		fw_svg_line(out, "axis", LEFT - 4, at, LEFT, at);
		fw_svg_text(out, "tick", "end", LEFT - 6, at + 4, LEFT, label);
	}
}

static void draw_level(FILE *out, const struct chart *chart, const char *class, double si)
{
	double y = fw_scale_at(&chart->y, in_unit(chart, si));

	if (isfinite(y))
		fw_svg_line(out, class, LEFT, y, RIGHT, y);
}

/* The limits of the check behind the values. */
static void draw_band(FILE *out, const struct chart *chart)
{
	const struct fw_history_check *check = chart->check;
	double min = fw_scale_at(&chart->y, in_unit(chart, check->min));
	double max = fw_scale_at(&chart->y, in_unit(chart, check->max));
	double top = isfinite(max) ? max : TOP, bottom = isfinite(min) ? min : TOP + HEIGHT;

	if (isfinite(min) || isfinite(max))
		fw_svg_rect(out, "band", LEFT, top, RIGHT - LEFT, bottom - top);
	draw_level(out, chart, "edge", check->min);
	draw_level(out, chart, "edge", check->max);
}

static void draw_control(FILE *out, const struct chart *chart)
{
	const struct fw_control *control = &chart->check->control;

	if (control->count == 0)
		return;
	draw_level(out, chart, "mean", control->mean);
	draw_level(out, chart, "control", control->low);
	draw_level(out, chart, "control", control->high);
}

static void draw_thread(FILE *out, const struct chart *chart)
{
	fputs("<polyline class=\"thread\" points=\"", out);
	for (size_t i = 0; i < chart->count; i++) {
		fputs(i ? " " : "", out);
		fw_put_coord(out, x_of(chart, i));
		fputs(",", out);
		fw_put_coord(out, fw_scale_at(&chart->y, in_unit(chart, chart->points[i]->left)));
	}
	fputs("\"/>\n", out);
}

static void draw_dot(FILE *out, const char *class, double x, double y, double radius)
{
	fprintf(out, "<circle class=\"%s\" cx=\"", class);
	fw_put_coord(out, x);
	fputs("\" cy=\"", out);
	fw_put_coord(out, y);
	fputs("\" r=\"", out);
	fw_put_coord(out, radius);
	fputs("\"/>\n", out);
}

/* Numbers of jobs beside what stands out, as long as they don't overlap. */
static void draw_values(FILE *out, const struct chart *chart)
{
	double free_from = 0;
	bool crowd = chart->count > CROWD;
	char label[32];

	if (chart->count <= DUST)
		draw_thread(out, chart);
	for (size_t i = 0; i < chart->count; i++) {
		const struct fw_history_point *point = chart->points[i];
		double x = x_of(chart, i), y = fw_scale_at(&chart->y, in_unit(chart, point->left));
		if (point->marks)
			draw_dot(out, "ring", x, y, chart->count > DUST ? 3 : crowd ? 4.5 : 8);
		if (crowd)
			draw_dot(out, "dot", x, y, chart->count > DUST ? 0.8 : 1.8);
		else
			fw_svg_mark(out, point->left_verdict, x, y);
		if (!point->marks || x < free_from)
			continue;
		snprintf(label, sizeof label, "%lld", (long long)point->job);
		bool high = y < TOP + 22;
		fw_svg_text(out, "alarm halo", "middle", fmin(x, RIGHT - 12), high ? y + 20 : y - 11, 60,
		            label);
		free_from = x + 34;
	}
}

static void draw_ranges(FILE *out, const struct chart *chart)
{
	const struct fw_control *control = &chart->check->control;
	double base = fw_scale_at(&chart->range, 0);

	fw_svg_text(out, "unit", "start", LEFT, chart->range.to - 8, RIGHT - LEFT,
	            "moving range, from job to job");
	draw_axis(out, &chart->range, 3);
	fw_svg_line(out, "axis", LEFT, base, RIGHT, base);
	for (size_t i = 1; i < chart->count; i++) {
		double x = x_of(chart, i), range = range_of(chart, i);
		bool jumped = chart->points[i]->marks & FW_CONTROL_JUMPED;
		const char *usual = chart->count > DUST ? "hair" : "bar";
		fw_svg_line(out, jumped ? "jump" : usual, x, base, x, fw_scale_at(&chart->range, range));
	}
	if (control->count) {
		double y = fw_scale_at(&chart->range, control->range_high / chart->check->unit.factor);
		fw_svg_line(out, "control", LEFT, y, RIGHT, y);
	}
}

/* First and last job, and some between them. */
static void draw_jobs(FILE *out, const struct chart *chart)
{
	size_t step = (chart->count + 7) / 8;
	double y = chart->range.from + 14;
	char label[32];

	for (size_t i = 0; i < chart->count; i += step) {
		snprintf(label, sizeof label, "%lld", (long long)chart->points[i]->job);
		fw_svg_text(out, "tick", "middle", x_of(chart, i), y, 48, label);
	}
	fw_svg_text(out, "unit", "end", LEFT - 6, y, LEFT, "job");
}

static void draw_key(FILE *out, const char *class, double x, double y, const char *text)
{
	fw_svg_line(out, class, x, y - 4, x + 18, y - 4);
	fw_svg_text(out, "tick", "start", x + 23, y, 175, text);
}

static void draw_legend(FILE *out, const struct chart *chart)
{
	const struct fw_control *control = &chart->check->control;
	double y = chart->range.from + 34;

	draw_key(out, "edge", LEFT, y,
	         chart->check->limits_differ ? "newest limits; they differ" : "limits of the check");
	if (control->count) {
		draw_key(out, "control", LEFT + 170, y,
		         control->count < FW_CONTROL_SETTLED ? "provisional control limits"
		                                             : "control limits");
		draw_key(out, "mean", LEFT, y + 16, "mean");
		draw_dot(out, "ring", LEFT + 179, y + 12, 5);
		fw_svg_text(out, "tick", "start", LEFT + 193, y + 16, 165, "stands out; job's number");
	} else {
		fw_svg_text(out, "tick", "start", LEFT, y + 16, RIGHT - LEFT,
		            "too few values for control limits");
	}
}

/* What the marks mean, where they can be told apart. */
static void draw_verdicts(FILE *out, const struct chart *chart)
{
	static const char *const words[] = {"within", "outside", "doubtful"};
	double y = chart->range.from + 66;

	for (size_t i = 0; chart->count <= CROWD && i < sizeof words / sizeof *words; i++) {
		double x = LEFT + 92 * (double)i;
		fw_svg_mark(out, words[i], x + 9, y - 4);
		fw_svg_text(out, "tick", "start", x + 23, y, 70, words[i]);
	}
}

static void draw_title(FILE *out, const struct chart *chart)
{
	const struct fw_history_check *check = chart->check;
	char text[128];

	fw_svg_text(out, "name", "start", 0, 12, FW_SVG_WIDTH, check->name);
	fw_svg_text(out, "unit", "start", 0, 27, FW_SVG_WIDTH, check->title);
	fw_report_print(text, sizeof text, "%s, as left, %zu jobs",
	                check->unit.unit[0] ? check->unit.unit : "SI", chart->count);
	fw_svg_text(out, "unit", "start", 0, 42, FW_SVG_WIDTH, text);
}

static int collect(struct chart *chart, const struct fw_history_check *check, struct fw_error *err)
{
	*chart =
	    (struct chart){.check = check, .points = calloc(check->count + 1, sizeof *chart->points)};
	if (!chart->points)
		return fw_fail(err, FW_ERR_MEMORY, "history: out of memory");
	for (size_t i = 0; i < check->count; i++)
		if (fw_history_charted(&check->points[i]))
			chart->points[chart->count++] = &check->points[i];
	if (chart->count < 2)
		return fw_fail(err, FW_ERR_RANGE, "'%s' has %zu released value%s; a chart needs two",
		               check->name, chart->count, chart->count == 1 ? "" : "s");
	if (!set_scales(chart))
		return fw_fail(err, FW_ERR_RANGE, "'%s' has values too large for a chart", check->name);
	return FW_OK;
}

int fw_history_svg(FILE *out, const struct fw_history_check *check, struct fw_error *err)
{
	struct chart chart;
	int code = collect(&chart, check, err);

	if (code == FW_OK) {
		double height = TOP + HEIGHT + GAP + LOW + FOOT;
		fw_svg_open(out, height, check->name);
		fw_html_svg_style(out);
		fputs("<rect class=\"paper\" width=\"100%\" height=\"100%\"/>\n", out);
		draw_title(out, &chart);
		draw_band(out, &chart);
		draw_axis(out, &chart.y, 7);
		draw_control(out, &chart);
		draw_values(out, &chart);
		draw_ranges(out, &chart);
		draw_jobs(out, &chart);
		draw_legend(out, &chart);
		draw_verdicts(out, &chart);
		fputs("</svg>\n", out);
	}
	free(chart.points);
	return code;
}
