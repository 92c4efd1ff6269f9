/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scale, ticks and the parts that every figure is made of. */
#include <math.h>
#include <string.h>

#include "report/put.h"
#include "report/svg.h"

bool fw_ticks_make(struct fw_ticks *out, double low, double high, int most)
{
	static const double round[] = {1, 2, 5, 10};

	if (!isfinite(low) || !isfinite(high) || !isfinite(high - low) || most < 2 || most > 20)
		return false;
	/* Below this, rounding of the ends shows in the ticks. */
	if (!(high - low > 1e-9 * fmax(fabs(low), fabs(high))) || high - low < 1e-280)
		return false;

	int exponent = (int)floor(log10((high - low) / most));
	for (int i = 0; i < 8; i++) {
		int decade = exponent + i / 4;
		out->step = round[i % 4] * pow(10, decade);
		double first = ceil(low / out->step - 1e-9);
		double last = floor(high / out->step + 1e-9);
		out->first = first * out->step;
		out->count = (int)(last - first) + 1;
		out->decimals = -(decade + (i % 4 == 3));
		if (out->decimals < 0)
			out->decimals = 0;
		if (out->count <= most)
			return out->count > 0;
	}
	return false;
}

double fw_ticks_at(const struct fw_ticks *ticks, int i)
{
	return ticks->first + i * ticks->step;
}

double fw_scale_at(const struct fw_scale *scale, double value)
{
	double share = (value - scale->low) / (scale->high - scale->low);

	return scale->from + share * (scale->to - scale->from);
}

static void attribute(FILE *out, const char *name, double value)
{
	fprintf(out, " %s=\"", name);
	fw_put_coord(out, value);
	fputs("\"", out);
}

void fw_svg_open(FILE *out, double height, const char *title)
{
	fprintf(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" viewBox=\"0 0 %d ",
	        FW_SVG_WIDTH);
	fw_put_coord(out, height);
	fputs("\"><title>", out);
	fw_put(out, title);
	fputs("</title>\n", out);
}

void fw_svg_line(FILE *out, const char *class, double x1, double y1, double x2, double y2)
{
	fprintf(out, "<line class=\"%s\"", class);
	attribute(out, "x1", x1);
	attribute(out, "y1", y1);
	attribute(out, "x2", x2);
	attribute(out, "y2", y2);
	fputs("/>\n", out);
}

void fw_svg_rect(FILE *out, const char *class, double x, double y, double width, double height)
{
	fprintf(out, "<rect class=\"%s\"", class);
	attribute(out, "x", x);
	attribute(out, "y", y);
	attribute(out, "width", fmax(width, 0));
	attribute(out, "height", fmax(height, 0));
	fputs("/>\n", out);
}

void fw_svg_text(FILE *out, const char *class, const char *anchor, double x, double y, double room,
                 const char *text)
{
	double letters = fmax(room / FW_SVG_ADVANCE, 1);

	fprintf(out, "<text class=\"%s\" text-anchor=\"%s\"", class, anchor);
	attribute(out, "x", x);
	attribute(out, "y", y);
	fputs(">", out);
	fw_put_cut(out, text, (size_t)letters);
	fputs("</text>\n", out);
}

static void circle(FILE *out, const char *class, double x, double y, double radius)
{
	fprintf(out, "<circle class=\"%s\"", class);
	attribute(out, "cx", x);
	attribute(out, "cy", y);
	attribute(out, "r", radius);
	fputs("/>\n", out);
}

void fw_svg_mark(FILE *out, const char *verdict, double x, double y)
{
	const double r = 4.5;

	if (verdict && strcmp(verdict, "within") == 0) {
		circle(out, "full", x, y, r);
	} else if (verdict && strcmp(verdict, "outside") == 0) {
		fw_svg_line(out, "cross", x - r, y - r, x + r, y + r);
		fw_svg_line(out, "cross", x - r, y + r, x + r, y - r);
	} else if (verdict && strcmp(verdict, "doubtful") == 0) {
		fputs("<path class=\"hollow\" transform=\"translate(", out);
		fw_put_coord(out, x);
		fputs(" ", out);
		fw_put_coord(out, y);
		fputs(")\" d=\"M0 -6L6 0L0 6L-6 0Z\"/>\n", out);
	} else {
		circle(out, "hollow", x, y, r);
	}
}

void fw_svg_pie(FILE *out, int64_t index, size_t count)
{
	double share = count > 1 && index > 0 ? fmin((double)index / (double)(count - 1), 1) : 0;
	const double turn = 6.28318530717958648;

	fputs("<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"pie\" viewBox=\"0 0 16 16\" "
	      "aria-hidden=\"true\">",
	      out);
	if (share >= 1) {
		circle(out, "full", 8, 8, 6.5);
	} else {
		circle(out, "hollow", 8, 8, 6.5);
		if (share > 0) {
			fputs("<path class=\"full\" d=\"M8 8V1.5A6.5 6.5 0 ", out);
			fprintf(out, "%d 1 ", share > 0.5);
			fw_put_coord(out, 8 + 6.5 * sin(turn * share));
			fputs(" ", out);
			fw_put_coord(out, 8 - 6.5 * cos(turn * share));
			fputs("Z\"/>", out);
		}
	}
	fputs("</svg>", out);
}
