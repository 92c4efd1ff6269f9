/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/list.h"
#include "calc/shim/kit.h"
#include "fitwright/preload.h"

static struct fw_turning take(const struct fw_calc_values *record)
{
	const struct fw_quantity *torque = fw_calc_quantity(record, "torque");

	return (struct fw_turning){.stack = fw_calc_value(record, "stack"),
	                           .torque = torque->value,
	                           .torque_u = fw_quantity_u(torque)};
}

static void show(struct fw_calc_out *out, const struct fw_turning *a, const struct fw_turning *b,
                 const struct fw_turning_line *line, double aim, const struct fw_unit *length,
                 const struct fw_unit *torque)
{
	char t1[FW_FIGURE], t2[FW_FIGURE], s1[FW_FIGURE], s2[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	fw_calc_figure(a->torque, torque, t1, sizeof t1);
	fw_calc_figure(b->torque, torque, t2, sizeof t2);
	fw_calc_figure(a->stack, length, s1, sizeof s1);
	fw_calc_figure(b->stack, length, s2, sizeof s2);
	fw_calc_line(out, "way = (aim - T1)/(T2 - T1) = (%s - %s)/(%s - %s) = %s",
	             fw_calc_figure(aim, torque, c, sizeof c), t1, t2, t1,
	             fw_calc_plain((line->stack - a->stack) / (b->stack - a->stack), d));
	fw_calc_line(out, "stack = s1 + way·(s2 - s1) = %s + %s·(%s - %s) = %s", s1, d, s2, s1,
	             fw_calc_figure(line->stack, length, c, sizeof c));
}

static void put(struct fw_calc_out *out, const struct fw_turning_line *line, double span,
                const struct fw_unit *length, const struct fw_unit *torque)
{
	static const char thin[] = "within at least down to", thick[] = "within at least up to";
	char end[FW_FIGURE];

	if (line->low_cut)
		fw_calc_line(out, "thinner than %s the line is not trusted: a limit lies further on",
		             fw_calc_figure(line->low, length, end, sizeof end));
	if (line->high_cut)
		fw_calc_line(out, "thicker than %s the line is not trusted: a limit lies further on",
		             fw_calc_figure(line->high, length, end, sizeof end));
	fw_calc_put_known(out, "stack", "stack for the torque aimed at", line->stack, line->stack_u,
	                  INFINITY, length);
	fw_calc_put(out, "stack-u", "its standard uncertainty", line->stack_u, fw_calc_fine(length));
	fw_calc_put(out, "stack-min", line->low_cut ? thin : "thinnest stack within", line->low,
	            length);
	fw_calc_put(out, "stack-max", line->high_cut ? thick : "thickest stack within", line->high,
	            length);
	fw_calc_put_number(out, "slope", "N·m for each mm of shims", line->slope * 1e-3);
	fw_calc_put(out, "torque-u", "standard uncertainty of the torque", line->torque_u, torque);
	if (line->torque_u == 0.0)
		fw_calc_warn(out, "no uncertainty is given: type torques with their ±");
	else if (4.0 * line->torque_u > span)
		fw_calc_warn(
		    out, "the limits are narrower than the torque is known: a stack within them can't be "
		         "told; read the torques better");
	if (line->beyond)
		fw_calc_warn(out, "the torque aimed at lies beyond both readings: try a stack on the way "
		                  "there first");
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_limits limits;
	struct fw_turning_line line;

	if (fw_calc_count(in, "reading") != 2)
		return fw_fail(err, FW_ERR_ARGUMENT, "reading: give two, at two stacks");
	int rc = fw_calc_kit_limits(&limits, in, err);
	if (rc != FW_OK)
		return rc;

	const struct fw_calc_values *first = fw_calc_record(in, "reading", 0);
	struct fw_turning a = take(first), b = take(fw_calc_record(in, "reading", 1));
	rc = fw_turning_stack(&line, &a, &b, &limits, err);
	if (rc != FW_OK)
		return rc;
	const struct fw_unit *length = fw_calc_unit(first, "stack"),
	                     *torque = fw_calc_unit(first, "torque");
	show(out, &a, &b, &line, fw_limits_aim(&limits), length, torque);
	put(out, &line, limits.max - limits.min, length, torque);
	return FW_OK;
}

static const struct fw_calc_input reading_fields[] = {{.name = "stack",
                                                       .kind = FW_CALC_QUANTITY,
                                                       .unit = "mm",
                                                       .sign = FW_CALC_NOT_NEGATIVE,
                                                       .required = true,
                                                       .doc = "shims that were in"},
                                                      {.name = "torque",
                                                       .kind = FW_CALC_QUANTITY,
                                                       .unit = "N·m",
                                                       .sign = FW_CALC_POSITIVE,
                                                       .required = true,
                                                       .doc = "that kept it turning, ± (k = 2)"},
                                                      {.name = NULL}};

static const struct fw_calc_input inputs[] = {
    {.name = "reading",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = reading_fields,
     .doc = "two stacks with preload, and the torque at each"},
    {.name = "min",
     .kind = FW_CALC_QUANTITY,
     .unit = "N·m",
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "least turning torque"},
    {.name = "max",
     .kind = FW_CALC_QUANTITY,
     .unit = "N·m",
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "most turning torque"},
    {.name = "aim",
     .kind = FW_CALC_QUANTITY,
     .unit = "N·m",
     .sign = FW_CALC_POSITIVE,
     .doc = "torque aimed at; the middle if not given"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_preload_stack = {
    .name = "preload-stack",
    .summary = "stack of shims for a turning torque, from two readings",
    .about = "Once a pair of bearings is preloaded its play can't be read; the torque that\n"
             "keeps it turning tells the preload. Near two readings it follows the shims in\n"
             "a straight line, which is drawn through them. Holds between the readings and\n"
             "as far beyond as they are apart, no further; both must have preload.",
    .source = "straight line; uncertainty: JCGM 100:2008, equation 10",
    .example = "--reading \"1.60 mm, torque=1.0 N·m ± 0.2 N·m\" --reading \"1.66 mm, torque=2.5 "
               "N·m ± 0.2 N·m\" --min 1.5 --max 2.5",
    .inputs = inputs,
    .plain = true,
    .run = run};
