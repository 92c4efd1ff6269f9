/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A checked figure on its number line. */
#include <math.h>
#include <string.h>

#include "report/put.h"
#include "report/svg.h"

struct lane {
	const char *label;
	const char *verdict;
	struct fw_report_quantity value;
	char text[160];
};

struct line {
	struct lane lanes[2];
	int count;
	double min, max, aim; /* NAN where absent, in the unit drawn */
	struct fw_report_quantity unit;
	struct fw_scale x;
};

static void add_lane(struct line *line, const char *label, const struct fw_report_entry *verdict)
{
	struct lane *lane = &line->lanes[line->count];
	char value[128];

	if (!verdict || !fw_report_quantity(&lane->value, json_object_get(verdict->ask, "value")))
		return;
	lane->label = label;
	lane->verdict = fw_get_text(verdict->value, "verdict");
	fw_report_quantity_text(value, sizeof value, json_object_get(verdict->ask, "value"), true);
	fw_report_print(lane->text, sizeof lane->text, "%s: %s", label, value);
	line->count++;
}

/* The unit the limits are written in; a value may have been read in another. */
static double take_limit(struct line *line, const json_t *limits, const char *key)
{
	struct fw_report_quantity q;

	if (!fw_report_quantity(&q, json_object_get(limits, key)))
		return NAN;
	if (line->unit.factor == 0)
		line->unit = q;
	return fw_report_in(&line->unit, q.si);
}

static void stretch(struct fw_scale *x, double value)
{
	if (isfinite(value)) {
		x->low = fmin(x->low, value);
		x->high = fmax(x->high, value);
	}
}

static bool set_scale(struct line *line)
{
	struct fw_scale *x = &line->x;

	*x = (struct fw_scale){INFINITY, -INFINITY, 10, FW_SVG_WIDTH - 10};
	stretch(x, line->min);
	stretch(x, line->max);
	stretch(x, line->aim);
	for (int i = 0; i < line->count; i++) {
		double value = fw_report_in(&line->unit, line->lanes[i].value.si);
		double spread = 2 * line->lanes[i].value.u / line->unit.factor;
		stretch(x, value - spread);
		stretch(x, value + spread);
	}
	double width = x->high - x->low;
	if (!isfinite(width))
		return false;
	if (!(width > 0))
		width = x->low != 0 ? fabs(x->low) : 1;
	x->low -= 0.12 * width;
	x->high += 0.12 * width;
	return true;
}

static bool read_line(struct line *line, const struct fw_report_entry *found,
                      const struct fw_report_entry *left)
{
	const struct fw_report_entry *last = left ? left : found;
	const json_t *limits = last ? json_object_get(last->ask, "limits") : NULL;

	*line = (struct line){.count = 0};
	line->min = take_limit(line, limits, "min");
	line->max = take_limit(line, limits, "max");
	line->aim = take_limit(line, limits, "aim");
	add_lane(line, "As found", found);
	add_lane(line, "As left", left);
	if (line->count == 0)
		return false;
	if (line->unit.factor == 0)
		line->unit = line->lanes[0].value;
	return set_scale(line);
}

/* As many ticks as leave their labels apart. */
static bool fit_ticks(struct fw_ticks *ticks, const struct fw_scale *x)
{
	for (int most = 7; most >= 2; most--) {
		char first[64], last[64];
		if (!fw_ticks_make(ticks, x->low, x->high, most))
			return false;
		fw_report_decimal(first, sizeof first, ticks->first, ticks->decimals);
		fw_report_decimal(last, sizeof last, fw_ticks_at(ticks, ticks->count - 1), ticks->decimals);
		double widest = fmax((double)strlen(first), (double)strlen(last)) * FW_SVG_ADVANCE;
		double apart = fw_scale_at(x, ticks->first + ticks->step) - fw_scale_at(x, ticks->first);
		if (widest + 8 <= apart)
			return true;
	}
	return true;
}

static void draw_axis(FILE *out, const struct line *line, double y)
{
	struct fw_ticks ticks;
	char label[64];

	fw_svg_line(out, "axis", 0, y, FW_SVG_WIDTH, y);
	fw_svg_text(out, "unit", "end", FW_SVG_WIDTH, y + 30, 200,
	            line->unit.unit[0] ? line->unit.unit : "SI");
	if (!fit_ticks(&ticks, &line->x))
		return;
	for (int i = 0; i < ticks.count; i++) {
		double value = fw_ticks_at(&ticks, i);
		double at = fw_scale_at(&line->x, value);
		double room = fmin(at, FW_SVG_WIDTH - at);
		fw_report_decimal(label, sizeof label, value, ticks.decimals);
		fw_svg_line(out, "axis", at, y, at, y + 4);
		if (2 * room >= FW_SVG_ADVANCE * (double)strlen(label))
			fw_svg_text(out, "tick", "middle", at, y + 16, 100, label);
	}
}

/* The names of both edges stand outwards of them, and move in when there is no room. */
static void name_edges(FILE *out, const struct line *line, double y)
{
	const double word = 3 * FW_SVG_ADVANCE + 2;
	double min = fw_scale_at(&line->x, line->min), max = fw_scale_at(&line->x, line->max);
	double min_end = isfinite(min) ? fmax(min + 2, word) : 0;
	double max_start = isfinite(max) ? fmin(max - 2, FW_SVG_WIDTH - word) : 0;

	if (isfinite(min) && isfinite(max) && max_start - min_end < 4) {
		max_start = fmin(fmax(max_start, min_end + 4), FW_SVG_WIDTH - word);
		min_end = fmin(min_end, max_start - 4);
	}
	if (isfinite(min))
		fw_svg_text(out, "tick", "end", min_end, y, word + 2, "min");
	if (isfinite(max))
		fw_svg_text(out, "tick", "start", max_start, y, word + 2, "max");
}

/* Each lane has its strip of the band, so that no line runs through the words between them. */
static void draw_band(FILE *out, const struct line *line, double top, double bottom)
{
	double min = fw_scale_at(&line->x, line->min);
	double max = fw_scale_at(&line->x, line->max);
	double from = isfinite(min) ? min : 0;
	double to = isfinite(max) ? max : FW_SVG_WIDTH;

	if (isfinite(min) || isfinite(max))
		fw_svg_rect(out, "band", from, top, to - from, bottom - top);
	if (isfinite(min))
		fw_svg_line(out, "edge", min, top, min, bottom);
	if (isfinite(max))
		fw_svg_line(out, "edge", max, top, max, bottom);
	if (isfinite(line->aim)) {
		double aim = fw_scale_at(&line->x, line->aim);
		fw_svg_line(out, "aim", aim, top, aim, bottom);
	}
}

static void draw_lane(FILE *out, const struct line *line, const struct lane *lane, double y)
{
	double value = fw_report_in(&line->unit, lane->value.si);
	double spread = 2 * lane->value.u / line->unit.factor;
	double from = fw_scale_at(&line->x, value - spread);
	double to = fw_scale_at(&line->x, value + spread);

	if (to - from > 12) { /* shorter than the mark: not seen anyway */
		fw_svg_line(out, "bar", from, y, to, y);
		fw_svg_line(out, "bar", from, y - 4, from, y + 4);
		fw_svg_line(out, "bar", to, y - 4, to, y + 4);
	}
	fw_svg_mark(out, lane->verdict, fw_scale_at(&line->x, value), y);
}

void fw_svg_limits(FILE *out, const struct fw_report_entry *found,
                   const struct fw_report_entry *left)
{
	struct line line;

	if (!read_line(&line, found, left))
		return;
	/* Words, the names of the edges, the strip; from the second lane on without names. */
	const double strip = 22, first = 30, next = 20;
	double bottom = first + strip + (line.count - 1) * (next + strip);
	fw_svg_open(out, bottom + 34, "Number line of the limits with the values read");
	name_edges(out, &line, first - 4);
	for (int i = 0; i < line.count; i++) {
		double top = first + i * (next + strip);
		fw_svg_text(out, "name", "start", 0, i ? top - 5 : 11, FW_SVG_WIDTH, line.lanes[i].text);
		draw_band(out, &line, top, top + strip);
		draw_lane(out, &line, &line.lanes[i], top + strip / 2);
	}
	draw_axis(out, &line, bottom);
	fputs("</svg>\n", out);
}
