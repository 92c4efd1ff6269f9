/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "calc/joint/common.h"
#include "fitwright/pattern.h"

/* What was asked for. */
struct pattern {
	size_t rows, columns, count; /* rows 0: a circle; points: columns 0 */
	struct fw_point point[FW_BOLTS_MOST];
	unsigned order[FW_BOLTS_MOST];
	unsigned turn[FW_BOLTS_MOST];
};

static size_t whole(const struct fw_calc_values *in, const char *name)
{
	double value = fw_calc_value(in, name);

	/* beyond what any pattern holds, and short of what a size_t does */
	return isnan(value) ? 0 : (size_t)fmin(value, 1e9);
}

static int read_points(struct pattern *p, const struct fw_calc_values *in, struct fw_error *err)
{
	p->count = fw_calc_count(in, "points");
	if (p->count > FW_BOLTS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "points: %zu bolts, must be 1 to %d", p->count,
		               FW_BOLTS_MOST);
	for (size_t i = 0; i < p->count; i++) {
		const struct fw_calc_values *record = fw_calc_record(in, "points", i);
		p->point[i] = (struct fw_point){fw_calc_value(record, "x"), fw_calc_value(record, "y")};
	}
	return fw_points_order(p->order, p->point, p->count, err);
}

static int read_circle(struct pattern *p, const struct fw_calc_values *in, struct fw_error *err)
{
	p->count = whole(in, "bolts");
	int rc = fw_circle_order(p->order, p->count, err);

	for (size_t i = 0; rc == FW_OK && i < p->count; i++) {
		double angle = 6.28318530717958647693 * (double)i / (double)p->count;
		p->point[i] = (struct fw_point){sin(angle), cos(angle)};
	}
	return rc;
}

static int read_grid(struct pattern *p, const struct fw_calc_values *in, struct fw_error *err)
{
	p->rows = whole(in, "rows");
	p->columns = whole(in, "columns");
	int rc = fw_grid_order(p->order, p->rows, p->columns, err);

	if (rc != FW_OK)
		return rc;
	p->count = p->rows * p->columns;
	for (size_t row = 0; row < p->rows; row++)
		for (size_t column = 0; column < p->columns; column++)
			p->point[row * p->columns + column] = (struct fw_point){(double)column, (double)row};
	return FW_OK;
}

static int read_pattern(struct pattern *p, const struct fw_calc_values *in, struct fw_error *err)
{
	bool bolts = fw_calc_given(in, "bolts"), points = fw_calc_given(in, "points");
	bool rows = fw_calc_given(in, "rows"), columns = fw_calc_given(in, "columns");

	if (bolts + points + (rows || columns) > 1)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "give one of: bolts for a circle, rows and columns, or points");
	if (points)
		return read_points(p, in, err);
	if (bolts)
		return read_circle(p, in, err);
	if (rows && columns)
		return read_grid(p, in, err);
	return fw_fail(err, FW_ERR_ARGUMENT,
	               "%s is missing: bolts for a circle, rows and columns, or points",
	               rows      ? "columns"
	               : columns ? "rows"
	                         : "bolts");
}

/* "3, 8, 2, 9", over as many lines as it takes. */
static void put_sequence(struct fw_calc_out *out, const struct pattern *p)
{
	char line[80] = "";
	const char *head = "tighten bolts";

	for (size_t i = 0; i < p->count; i++) {
		size_t used = strlen(line);
		snprintf(line + used, sizeof line - used, " %u%s", p->order[i],
		         i + 1 < p->count ? "," : "");
		if (strlen(line) > 48 || i + 1 == p->count) {
			fw_calc_line(out, "%s%s", head, line);
			line[0] = '\0';
			head = "then";
		}
	}
}

/* The pattern as it lies, each bolt as its turn. */
static void put_layout(struct fw_calc_out *out, const struct pattern *p)
{
	const size_t across = 16; /* turns in a line */

	if (p->rows == 0)
		return;
	fw_calc_line(out, "the turn of each bolt, where it lies (bolts count along the rows):");
	for (size_t row = 0; row < p->rows; row++)
		for (size_t from = 0; from < p->columns; from += across) {
			char line[96] = "";
			for (size_t c = from; c < p->columns && c < from + across; c++) {
				size_t used = strlen(line);
				snprintf(line + used, sizeof line - used, "%4u", p->turn[row * p->columns + c]);
			}
			fw_calc_line(out, "row %zu:%s", row + 1, line);
		}
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct pattern p = {.rows = 0};
	double imbalance = 0.0;
	int rc = read_pattern(&p, in, err);

	if (rc == FW_OK)
		rc = fw_order_imbalance(&imbalance, p.order, p.point, p.count, err);
	if (rc != FW_OK)
		return rc;
	for (size_t i = 0; i < p.count; i++)
		p.turn[p.order[i] - 1] = (unsigned)i + 1;
	put_sequence(out, &p);
	put_layout(out, &p);
	for (size_t i = 0; i < p.count; i++) {
		fw_calc_row(out, "order", "Order");
		fw_calc_put_number(out, "turn", "turn", (double)i + 1.0);
		fw_calc_put_number(out, "bolt", "bolt", p.order[i]);
		fw_calc_row_end(out);
	}
	fw_calc_put_number(out, "imbalance", "at worst out of balance, in bolts at the edge",
	                   imbalance);
	return FW_OK;
}

static const struct fw_calc_input point_fields[] = {
    {"x", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, true, NULL, NULL, NULL, "across"},
    {"y", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, true, NULL, NULL, NULL, "up"},
    FW_INPUT_END};

static const struct fw_calc_input inputs[] = {
    {"bolts", FW_CALC_WHOLE, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "bolts in a circle, numbered clockwise"},
    {"rows", FW_CALC_WHOLE, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "rows of a cover or cylinder head"},
    {"columns", FW_CALC_WHOLE, NULL, FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "bolts in each row, numbered along the rows"},
    {"points", FW_CALC_RECORDS, NULL, FW_CALC_ANY, false, NULL, NULL, point_fields,
     "where each bolt lies, numbered as given"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_order = {
    .name = "order",
    .summary = "the order in which to tighten bolts",
    .about = "A circle goes crosswise. Rows and bolts anywhere go from the middle outwards\n"
             "and crosswise: of the loose bolts that lie near enough to the nearest (within\n"
             "half the greatest distance) the one comes next that brings the centre of\n"
             "those tightened nearest the middle. Go round in passes, and loosen in the\n"
             "reverse order. The maker's order comes first where there is one.",
    .source = "circles: ASME PCC-1, legacy cross-pattern, from memory; from the middle\n"
              "outwards: common practice, no source",
    .example = "--rows 2 --columns 5",
    .inputs = inputs,
    .plain = true,
    .run = run};
