/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bolts of a joint with their turn in the order of tightening: round a circle, numbered
 * clockwise from the top, or in rows, numbered along them. */
#include <math.h>

#include "report/put.h"
#include "report/svg.h"

#define TURN       6.28318530717958648
#define GRID_WIDE  12 /* columns that fit, each with its number below */
#define GRID_STEP  48.0
#define GRID_LEAST 30.0

struct place {
	double x, y;               /* of the bolt */
	double number_x, number_y; /* of its number */
};

struct bolts {
	size_t count, rows, columns; /* rows 0: a circle */
	size_t turn[FW_SVG_BOLTS];   /* of bolt i + 1, from 1 */
	size_t bolt[FW_SVG_BOLTS];   /* at turn i + 1, from 1 */
	struct place place[FW_SVG_BOLTS];
	double head, height;
};

/* An order names each bolt once; anything else isn't drawn as one. */
static bool read_order(struct bolts *bolts, const json_t *order)
{
	*bolts = (struct bolts){.count = json_array_size(order)};
	if (bolts->count < 2 || bolts->count > FW_SVG_BOLTS)
		return false;
	for (size_t i = 0; i < bolts->count; i++) {
		const json_t *item = json_array_get(order, i);
		json_int_t bolt = json_is_integer(item) ? json_integer_value(item) : 0;
		if (bolt < 1 || bolt > (json_int_t)bolts->count || bolts->turn[bolt - 1])
			return false;
		bolts->turn[bolt - 1] = i + 1;
		bolts->bolt[i] = (size_t)bolt;
	}
	return true;
}

/* Rows and columns that don't make the number of bolts aren't drawn; without them it is a circle.
 */
static bool read_rows(struct bolts *bolts, const json_t *value)
{
	const json_t *rows = json_object_get(value, "rows"),
	             *columns = json_object_get(value, "columns");
	json_int_t down = json_integer_value(rows), across = json_integer_value(columns);

	if (!rows && !columns)
		return true;
	if (down < 1 || down > FW_SVG_BOLTS || across < 1 || across > GRID_WIDE ||
	    (size_t)(down * across) != bolts->count)
		return false;
	bolts->rows = (size_t)down;
	bolts->columns = (size_t)across;
	return true;
}

static void place_circle(struct bolts *bolts)
{
	size_t n = bolts->count;
	double radius = n > 20 ? 160 : n > 12 ? 110 : n > 6 ? 84 : 62;

	bolts->head = n > 20 ? 11 : 12;
	double centre = radius + bolts->head + 20, number = radius + bolts->head + 9;
	bolts->height = 2 * centre;
	for (size_t i = 0; i < n; i++) {
		double angle = TURN * (double)i / (double)n;
		bolts->place[i] = (struct place){
		    FW_SVG_WIDTH / 2.0 + radius * sin(angle), centre - radius * cos(angle),
		    FW_SVG_WIDTH / 2.0 + number * sin(angle), centre - number * cos(angle) + 4};
	}
}

static void place_rows(struct bolts *bolts)
{
	double gaps = (double)bolts->columns - 1.0;
	double step = gaps > 0 ? fmin(GRID_STEP, (FW_SVG_WIDTH - 40.0) / gaps) : GRID_STEP;
	double left = FW_SVG_WIDTH / 2.0 - step * gaps / 2.0, down = fmax(step, GRID_LEAST + 8);

	bolts->head = step < 36 ? 11 : 12;
	bolts->height = down * (double)(bolts->rows - 1) + 2 * bolts->head + 32;
	for (size_t i = 0; i < bolts->count; i++) {
		size_t row = i / bolts->columns;
		double x = left + step * (double)(i % bolts->columns);
		double y = 10 + bolts->head + down * (double)row;
		bolts->place[i] = (struct place){x, y, x, y + bolts->head + 12};
	}
}

static void draw_bolt(FILE *out, const struct bolts *bolts, size_t i)
{
	const struct place *at = &bolts->place[i];
	char number[24];

	fputs("<circle class=\"bolt\" cx=\"", out);
	fw_put_coord(out, at->x);
	fputs("\" cy=\"", out);
	fw_put_coord(out, at->y);
	fputs("\" r=\"", out);
	fw_put_coord(out, bolts->head);
	fputs("\"/>\n", out);
	snprintf(number, sizeof number, "%zu", bolts->turn[i]);
	fw_svg_text(out, "turn", "middle", at->x, at->y + 4.5, 40, number);
	snprintf(number, sizeof number, "%zu", i + 1);
	fw_svg_text(out, "tick", "middle", at->number_x, at->number_y, 40, number);
}

const char *fw_svg_bolts(FILE *out, const struct fw_report_entry *joint)
{
	struct bolts bolts;

	if (!read_order(&bolts, json_object_get(joint->value, "order")) ||
	    !read_rows(&bolts, joint->value))
		return NULL;
	if (bolts.rows)
		place_rows(&bolts);
	else
		place_circle(&bolts);
	fw_svg_open(out, bolts.height,
	            bolts.rows ? "Rows of bolts with the order of tightening"
	                       : "Bolt circle with the order of tightening");
	for (size_t i = 0; i + 1 < bolts.count; i++) {
		const struct place *from = &bolts.place[bolts.bolt[i] - 1];
		const struct place *to = &bolts.place[bolts.bolt[i + 1] - 1];
		fw_svg_line(out, "path", from->x, from->y, to->x, to->y);
	}
	for (size_t i = 0; i < bolts.count; i++)
		draw_bolt(out, &bolts, i);
	fputs("</svg>\n", out);
	return bolts.rows
	           ? "In the circle: the turn in which a bolt is tightened. Below: its number, "
	             "along the rows from the top left."
	           : "In the circle: the turn in which a bolt is tightened. Outside: its number, "
	             "clockwise from the top.";
}
