/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Trials at one place: what each was predicted to give, and what it gave. */
#include <math.h>
#include <string.h>

#include "report/put.h"
#include "report/svg.h"

#define LEFT   46.0
#define TOP    22.0
#define HEIGHT 180.0
#define LEGEND 17.0 /* from row to row */
/* More trials than this are drawn from the last backwards; the table has them all. */
#define MOST 12

struct trial {
	int64_t number;
	double play, spread, predicted, predicted_spread; /* in the unit drawn; NAN where absent */
	bool surprise;
};

struct plot {
	struct trial trials[MOST];
	size_t count;
	double min, max;
	struct fw_report_quantity unit;
	struct fw_scale y;
};

static bool at_place(const struct fw_report_entry *entry, const char *place)
{
	const char *own = fw_get_text(entry->ask, "place");

	return own && place ? strcmp(own, place) == 0 : !own && !place;
}

static double in_unit(struct plot *plot, const json_t *json, double *spread)
{
	struct fw_report_quantity q;

	*spread = 0;
	if (!fw_report_quantity(&q, json))
		return NAN;
	if (plot->unit.factor == 0)
		plot->unit = q;
	*spread = 2 * q.u / plot->unit.factor;
	return fw_report_in(&plot->unit, q.si);
}

/* One place alone has them with its stack, one of several responses with what it should come to. */
static void read_limits(struct plot *plot, const struct fw_report_job *job, const char *place)
{
	static const char *const finds[] = {"stack", "response"};
	double none;

	plot->min = plot->max = NAN;
	for (size_t i = 0; i < sizeof finds / sizeof finds[0]; i++) {
		const struct fw_report_entry *entry = NULL;
		while ((entry = fw_report_next(job, entry, finds[i]))) {
			const json_t *limits = json_object_get(entry->ask, "limits");
			if (!at_place(entry, place) || !limits)
				continue;
			plot->min = in_unit(plot, json_object_get(limits, "min"), &none);
			plot->max = in_unit(plot, json_object_get(limits, "max"), &none);
		}
	}
}

static void read_trial(struct plot *plot, const struct fw_report_entry *entry)
{
	struct trial trial = {.surprise = fw_get_true(entry->value, "surprise")};

	trial.play = in_unit(plot, json_object_get(entry->ask, "play"), &trial.spread);
	if (!isfinite(trial.play))
		return;
	trial.predicted =
	    in_unit(plot, json_object_get(entry->value, "predicted"), &trial.predicted_spread);
	trial.number = fw_get_whole(entry->ask, "trial", (int64_t)plot->count + 1);
	if (plot->count == MOST) {
		memmove(plot->trials, plot->trials + 1, (MOST - 1) * sizeof *plot->trials);
		plot->count--;
	}
	plot->trials[plot->count++] = trial;
}

static void stretch(struct fw_scale *y, double low, double high)
{
	if (isfinite(low))
		y->low = fmin(y->low, low);
	if (isfinite(high))
		y->high = fmax(y->high, high);
}

static bool set_scale(struct plot *plot)
{
	struct fw_scale *y = &plot->y;

	*y = (struct fw_scale){INFINITY, -INFINITY, TOP + HEIGHT, TOP};
	stretch(y, plot->min, plot->max);
	for (size_t i = 0; i < plot->count; i++) {
		const struct trial *t = &plot->trials[i];
		stretch(y, t->play - t->spread, t->play + t->spread);
		stretch(y, t->predicted - t->predicted_spread, t->predicted + t->predicted_spread);
	}
	double width = y->high - y->low;
	if (!isfinite(width))
		return false;
	if (!(width > 0))
		width = y->low != 0 ? fabs(y->low) : 1;
	/* A play below nothing is drawn only when one was read. */
	y->low = y->low >= 0 ? fmax(y->low - 0.08 * width, 0) : y->low - 0.08 * width;
	y->high += 0.08 * width;
	return true;
}

static void draw_frame(FILE *out, const struct plot *plot)
{
	struct fw_ticks ticks;
	char label[64];
	double min = fw_scale_at(&plot->y, plot->min), max = fw_scale_at(&plot->y, plot->max);
	double top = isfinite(max) ? max : TOP, bottom = isfinite(min) ? min : TOP + HEIGHT;

	if (isfinite(min) || isfinite(max))
		fw_svg_rect(out, "band", LEFT, top, FW_SVG_WIDTH - LEFT, bottom - top);
	if (isfinite(min))
		fw_svg_line(out, "edge", LEFT, min, FW_SVG_WIDTH, min);
	if (isfinite(max))
		fw_svg_line(out, "edge", LEFT, max, FW_SVG_WIDTH, max);
	fw_svg_line(out, "axis", LEFT, TOP, LEFT, TOP + HEIGHT);
	fw_svg_text(out, "unit", "start", 0, 11, 200, plot->unit.unit[0] ? plot->unit.unit : "SI");
	if (!fw_ticks_make(&ticks, plot->y.low, plot->y.high, 7))
		return;
	for (int i = 0; i < ticks.count; i++) {
		double y = fw_scale_at(&plot->y, fw_ticks_at(&ticks, i));
		fw_report_decimal(label, sizeof label, fw_ticks_at(&ticks, i), ticks.decimals);
		fw_svg_line(out, "axis", LEFT - 4, y, LEFT, y);
		fw_svg_text(out, "tick", "end", LEFT - 6, y + 4, LEFT, label);
	}
}

static void draw_bar(FILE *out, const struct plot *plot, double x, double value, double spread)
{
	double from = fw_scale_at(&plot->y, value - spread), to = fw_scale_at(&plot->y, value + spread);

	if (from - to > 12) { /* shorter than the mark: not seen anyway */
		fw_svg_line(out, "bar", x, from, x, to);
		fw_svg_line(out, "bar", x - 3, from, x + 3, from);
		fw_svg_line(out, "bar", x - 3, to, x + 3, to);
	}
}

static bool has_limits(const struct plot *plot)
{
	return isfinite(plot->min) || isfinite(plot->max);
}

/* Whether a limit (NAN: none) lies in the bar of a reading. */
static bool straddles(const struct trial *trial, double limit)
{
	return fabs(trial->play - limit) < trial->spread;
}

static const char *where(const struct plot *plot, const struct trial *trial)
{
	if (!has_limits(plot))
		return NULL;
	if (straddles(trial, plot->min) || straddles(trial, plot->max))
		return "doubtful";
	return trial->play < plot->min || trial->play > plot->max ? "outside" : "within";
}

static void draw_trial(FILE *out, const struct plot *plot, const struct trial *trial, double x,
                       double room)
{
	char label[64];

	if (isfinite(trial->predicted)) {
		double y = fw_scale_at(&plot->y, trial->predicted);
		draw_bar(out, plot, x - 8, trial->predicted, trial->predicted_spread);
		fw_svg_rect(out, "hollow", x - 12, y - 4, 8, 8);
	}
	draw_bar(out, plot, x + 8, trial->play, trial->spread);
	fw_svg_mark(out, where(plot, trial), x + 8, fw_scale_at(&plot->y, trial->play));
	snprintf(label, sizeof label, "%lld", (long long)trial->number);
	fw_svg_text(out, "tick", "middle", x, TOP + HEIGHT + 15, room, label);
	if (trial->surprise)
		fw_svg_text(out, "alarm", "middle", x, TOP + HEIGHT + 29, room,
		            room < 10 * FW_SVG_ADVANCE ? "!" : "! surprise");
}

static void draw_legend(FILE *out, const struct plot *plot, double y)
{
	static const char *const marks[][2] = {{"within", "read, within"},
	                                       {"outside", "read, outside"},
	                                       {"doubtful", "read, a limit in its bar"}};
	static const double at[] = {0, 92, 188};

	fw_svg_rect(out, "hollow", LEFT, y - 8, 8, 8);
	fw_svg_text(out, "tick", "start", LEFT + 13, y, 80, "predicted");
	fw_svg_text(out, "alarm", "start", LEFT + at[1], y, 14, "!");
	fw_svg_text(out, "tick", "start", LEFT + at[1] + 9, y, 80, "surprise");
	y += LEGEND;
	if (!has_limits(plot)) {
		fw_svg_mark(out, NULL, LEFT + 4, y - 4);
		fw_svg_text(out, "tick", "start", LEFT + 13, y, 90, "read");
		return;
	}
	for (size_t i = 0; i < 3; i++) {
		fw_svg_mark(out, marks[i][0], LEFT + at[i] + 4, y - 4);
		fw_svg_text(out, "tick", "start", LEFT + at[i] + 13, y, 165, marks[i][1]);
	}
}

void fw_svg_trials(FILE *out, const struct fw_report_job *job, const char *place)
{
	struct plot plot = {.unit = {.unit = ""}}; /* its factor 0: not known yet */
	const struct fw_report_entry *entry = NULL;

	read_limits(&plot, job, place);
	while ((entry = fw_report_next(job, entry, "trial")))
		if (at_place(entry, place))
			read_trial(&plot, entry);
	if (plot.count == 0 || !set_scale(&plot))
		return;
	fw_svg_open(out, TOP + HEIGHT + 56 + LEGEND,
	            "Play on each trial, predicted and read, against the limits");
	draw_frame(out, &plot);
	double room = (FW_SVG_WIDTH - LEFT) / (double)plot.count;
	for (size_t i = 0; i < plot.count; i++)
		draw_trial(out, &plot, &plot.trials[i], LEFT + room * ((double)i + 0.5), room);
	draw_legend(out, &plot, TOP + HEIGHT + 50);
	fputs("</svg>\n", out);
}
