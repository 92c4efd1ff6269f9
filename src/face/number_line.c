/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/number_line.h"

#include <math.h>
#include <string.h>

#include "face/glyph.h"

#define COLUMNS_MOST 66
#define INDENT       2

struct axis {
	double low, high; /* SI, at the first and the last column */
	int columns;
};

/* A word at a column of a row of labels. */
struct label {
	char text[64];
	int at, width, row; /* row < 0: no room */
};

/* How much of the axis to give to what matters: the limits, or for a one-sided limit the way from
 * it to the value. Never zero. */
static double extent(const struct fw_number_line *line)
{
	const struct fw_limits *limits = &line->limits;
	double finest = line->unit ? line->unit->step * line->unit->factor * 10 : 1e-9;

	if (isfinite(limits->min) && isfinite(limits->max) && limits->max > limits->min)
		return limits->max - limits->min;
	double limit = isfinite(limits->min) ? limits->min : limits->max;
	double way = fmax(fabs(line->value - limit), 4 * line->u);
	if (isfinite(limits->aim))
		way = fmax(way, fabs(limits->aim - limit));
	return fmax(way, fmax(finest, fabs(limit) * 1e-9));
}

/* A quarter to spare on both sides; more for a value outside, until the limits have a quarter of
 * the width left. Beyond that an arrow at the edge says where the value went. */
static bool make_axis(struct axis *axis, const struct fw_number_line *line, int columns)
{
	double min = isfinite(line->limits.min) ? line->limits.min : line->limits.max;
	double max = isfinite(line->limits.max) ? line->limits.max : line->limits.min;
	double length = extent(line);

	axis->columns = columns;
	axis->low = fmin(min - length / 4, line->value - 2 * line->u);
	axis->high = fmax(max + length / 4, line->value + 2 * line->u);
	axis->low = fmax(axis->low, min - length * 1.5);
	axis->high = fmin(axis->high, max + length * 1.5);
	return isfinite(min) && isfinite(axis->low) && isfinite(axis->high) &&
	       isfinite(axis->high - axis->low) && axis->high > axis->low;
}

static int column(const struct axis *axis, double x)
{
	double at = (x - axis->low) / (axis->high - axis->low) * (axis->columns - 1);
	return at <= 0 ? 0 : at >= axis->columns - 1 ? axis->columns - 1 : (int)lround(at);
}

/* Rounding to a column must not carry a value across a limit. */
static int value_column(const struct axis *axis, const struct fw_number_line *line)
{
	int at = column(axis, line->value);

	if (line->value < line->limits.min && at >= column(axis, line->limits.min))
		at = column(axis, line->limits.min) - 1;
	if (line->value > line->limits.max && at <= column(axis, line->limits.max))
		at = column(axis, line->limits.max) + 1;
	return at < 0 ? 0 : at >= axis->columns ? axis->columns - 1 : at;
}

static void indent(const struct fw_screen *screen, int columns)
{
	fprintf(screen->out, "%*s", columns, "");
}

static void label_text(struct label *label, const char *word, double value, double u,
                       const struct fw_unit *unit)
{
	struct fw_quantity q;
	char number[64] = "?";

	if (unit && fw_quantity_make(&q, (value - unit->offset) / unit->factor, unit, NULL) == FW_OK) {
		if (u > 0)
			fw_quantity_add_term(&q, fw_source_name("shown"), u, INFINITY, NULL);
		fw_quantity_text(&q, u > 0, number, sizeof number);
	} else {
		fw_number_text(value, number, sizeof number);
	}
	snprintf(label->text, sizeof label->text, "%.10s%.50s", word, number);
}

/* Centres a label over its column, in the first of `rows` rows where it touches no other. */
static void place(struct label *labels, size_t index, int centre, int columns, int rows, bool utf8)
{
	struct label *label = &labels[index];

	label->width = fw_text_width(label->text, utf8);
	label->at = centre - label->width / 2;
	if (label->at + label->width > columns)
		label->at = columns - label->width;
	if (label->at < 0)
		label->at = 0;
	for (label->row = 0; label->row < rows; label->row++) {
		bool room = true;
		for (size_t i = 0; i < index; i++) {
			room = room &&
			       (labels[i].row != label->row || labels[i].at + labels[i].width < label->at ||
			        label->at + label->width < labels[i].at);
		}
		if (room)
			return;
	}
	label->row = -1;
}

static void print_row(const struct fw_screen *screen, const struct label *labels, size_t count,
                      int row)
{
	int used = 0;

	for (int at = 0; at < FW_SCREEN_WIDEST; at++) { /* left to right */
		for (size_t i = 0; i < count; i++) {
			if (labels[i].row != row || labels[i].at != at)
				continue;
			indent(screen, (used ? 0 : INDENT) + at - used);
			fw_text_print(screen, labels[i].text, -1);
			used = at + labels[i].width;
		}
	}
	if (used)
		fputc('\n', screen->out);
}

/* Names of the limits over the bar; the row next to the bar is row 0. */
static void print_limits(const struct fw_screen *screen, const struct fw_number_line *line,
                         const struct axis *axis)
{
	const struct {
		const char *word;
		double value;
	} marks[] = {
	    {"min ", line->limits.min}, {"max ", line->limits.max}, {"aim ", line->limits.aim}};
	struct label labels[3];
	size_t count = 0;

	for (size_t i = 0; i < 3; i++) {
		if (!isfinite(marks[i].value))
			continue;
		label_text(&labels[count], marks[i].word, marks[i].value, 0, line->unit);
		place(labels, count, column(axis, marks[i].value), axis->columns, 3, screen->utf8);
		count++;
	}
	for (int row = 2; row >= 0; row--)
		print_row(screen, labels, count, row);
}

static void print_bar(const struct fw_screen *screen, const struct fw_number_line *line,
                      const struct axis *axis)
{
	const struct fw_limits *limits = &line->limits;
	bool utf8 = screen->utf8;
	int min = isfinite(limits->min) ? column(axis, limits->min) : -1;
	int max = isfinite(limits->max) ? column(axis, limits->max) : axis->columns;
	int aim = isfinite(limits->aim) ? column(axis, limits->aim) : -1;

	indent(screen, INDENT);
	for (int i = 0; i < axis->columns; i++) {
		const char *mark = i < min || i > max ? (utf8 ? "·" : ".") : (utf8 ? "═" : "=");
		if (i == min || i == max)
			mark = min == max ? "|" : i == min ? (utf8 ? "╞" : "[") : (utf8 ? "╡" : "]");
		else if (i == aim)
			mark = utf8 ? "╪" : "+";
		fputs(mark, screen->out);
	}
	fputc('\n', screen->out);
}

static void print_value(const struct fw_screen *screen, const struct fw_number_line *line,
                        const struct axis *axis)
{
	bool utf8 = screen->utf8;
	bool below = line->value<axis->low, above = line->value> axis->high;
	int at = value_column(axis, line);
	int first = at, last = at;

	if (line->u > 0 && !below && !above) {
		int left = column(axis, line->value - 2 * line->u);
		int right = column(axis, line->value + 2 * line->u);
		first = left < at ? left : at;
		last = right > at ? right : at;
	}
	indent(screen, INDENT + first);
	for (int i = first; i <= last; i++) {
		const char *mark = i == first && i < at  ? (utf8 ? "├" : "(")
		                   : i == last && i > at ? (utf8 ? "┤" : ")")
		                                         : (utf8 ? "─" : "-");
		if (i == at) {
			mark = below ? (utf8 ? "◄" : "<") : above ? (utf8 ? "►" : ">") : (utf8 ? "●" : "o");
			fw_style_on(screen, FW_STYLE_STRONG);
		}
		fputs(mark, screen->out);
		if (i == at)
			fw_style_off(screen, FW_STYLE_STRONG);
	}
	fputc('\n', screen->out);

	struct label label[1];
	label_text(&label[0], "", line->value, line->u, line->unit);
	place(label, 0, at, axis->columns, 1, utf8);
	print_row(screen, label, 1, 0);
}

bool fw_number_line_draw(const struct fw_screen *screen, const struct fw_number_line *line)
{
	struct fw_number_line clean = *line;
	struct axis axis;
	int columns = screen->width - 2 * INDENT;

	if (!isfinite(clean.u) || clean.u < 0)
		clean.u = 0;
	if (!isfinite(clean.value) || isnan(clean.limits.min) || isnan(clean.limits.max))
		return false;
	if (!make_axis(&axis, &clean, columns < COLUMNS_MOST ? columns : COLUMNS_MOST))
		return false;
	print_limits(screen, &clean, &axis);
	print_bar(screen, &clean, &axis);
	print_value(screen, &clean, &axis);
	return true;
}
