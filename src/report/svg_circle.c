/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bolts of a joint, numbered clockwise from the top, with their turn in the order of
 * tightening. */
#include <math.h>

#include "report/put.h"
#include "report/svg.h"

#define TURN 6.28318530717958648

struct circle {
	size_t count;
	size_t turn[FW_SVG_BOLTS]; /* of bolt i + 1, from 1 */
	size_t bolt[FW_SVG_BOLTS]; /* at turn i + 1, from 1 */
};

/* An order names each bolt once; anything else isn't drawn as one. */
static bool read_circle(struct circle *circle, const json_t *order)
{
	*circle = (struct circle){.count = json_array_size(order)};
	if (circle->count < 2 || circle->count > FW_SVG_BOLTS)
		return false;
	for (size_t i = 0; i < circle->count; i++) {
		const json_t *item = json_array_get(order, i);
		json_int_t bolt = json_is_integer(item) ? json_integer_value(item) : 0;
		if (bolt < 1 || bolt > (json_int_t)circle->count || circle->turn[bolt - 1])
			return false;
		circle->turn[bolt - 1] = i + 1;
		circle->bolt[i] = (size_t)bolt;
	}
	return true;
}

static double x_of(const struct circle *circle, size_t bolt, double radius)
{
	return FW_SVG_WIDTH / 2.0 + radius * sin(TURN * (double)(bolt - 1) / (double)circle->count);
}

static double y_of(const struct circle *circle, size_t bolt, double centre, double radius)
{
	return centre - radius * cos(TURN * (double)(bolt - 1) / (double)circle->count);
}

static void draw_bolt(FILE *out, const struct circle *circle, size_t bolt, double centre,
                      double radius, double head)
{
	char number[24];
	double x = x_of(circle, bolt, radius), y = y_of(circle, bolt, centre, radius);

	fputs("<circle class=\"bolt\" cx=\"", out);
	fw_put_coord(out, x);
	fputs("\" cy=\"", out);
	fw_put_coord(out, y);
	fputs("\" r=\"", out);
	fw_put_coord(out, head);
	fputs("\"/>\n", out);
	snprintf(number, sizeof number, "%zu", circle->turn[bolt - 1]);
	fw_svg_text(out, "turn", "middle", x, y + 4.5, 40, number);
	snprintf(number, sizeof number, "%zu", bolt);
	fw_svg_text(out, "tick", "middle", x_of(circle, bolt, radius + head + 9),
	            y_of(circle, bolt, centre, radius + head + 9) + 4, 40, number);
}

bool fw_svg_circle(FILE *out, const struct fw_report_entry *joint)
{
	struct circle circle;

	if (!read_circle(&circle, json_object_get(joint->value, "order")))
		return false;
	double head = circle.count > 20 ? 11 : 12;
	double radius = circle.count > 20 ? 160 : circle.count > 12 ? 110 : circle.count > 6 ? 84 : 62;
	double centre = radius + head + 20;
	fw_svg_open(out, 2 * centre, "Bolt circle with the order of tightening");
	for (size_t i = 0; i + 1 < circle.count; i++)
		fw_svg_line(out, "path", x_of(&circle, circle.bolt[i], radius),
		            y_of(&circle, circle.bolt[i], centre, radius),
		            x_of(&circle, circle.bolt[i + 1], radius),
		            y_of(&circle, circle.bolt[i + 1], centre, radius));
	for (size_t bolt = 1; bolt <= circle.count; bolt++)
		draw_bolt(out, &circle, bolt, centre, radius, head);
	fputs("</svg>\n", out);
	return true;
}
