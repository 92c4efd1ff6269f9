/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/list.h"
#include "calc/shim/kit.h"
#include "fitwright/preload.h"

struct cord {
	double diameter, thickness;
	const struct fw_unit *length, *torque, *force;
};

static int put_torque(struct fw_calc_out *out, const struct cord *cord, double pull,
                      const struct fw_limits *limits, struct fw_error *err)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	double torque = 0.0;

	int rc = fw_turning_torque(&torque, pull, cord->diameter, cord->thickness, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_line(out, "T = F·(D + c)/2 = %s·(%s + %s)/2 = %s",
	             fw_calc_figure(pull, cord->force, a, sizeof a),
	             fw_calc_figure(cord->diameter, cord->length, b, sizeof b),
	             fw_calc_figure(cord->thickness, cord->length, c, sizeof c),
	             fw_calc_figure(torque, cord->torque, d, sizeof d));
	fw_calc_put(out, "torque", "turning torque", torque, cord->torque);
	if (torque < limits->min)
		fw_calc_warn(out, "the torque is below its least: too little preload");
	if (torque > limits->max)
		fw_calc_warn(out, "the torque is above its most: too much preload, or something drags");
	return FW_OK;
}

static int put_pull(struct fw_calc_out *out, const struct cord *cord, double torque,
                    const char *name, const char *label, struct fw_error *err)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	double pull = 0.0;

	if (isinf(torque))
		return FW_OK;
	int rc = fw_turning_pull(&pull, torque, cord->diameter, cord->thickness, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_line(out, "%s: F = 2·T/(D + c) = 2·%s/(%s + %s) = %s", label,
	             fw_calc_figure(torque, cord->torque, a, sizeof a),
	             fw_calc_figure(cord->diameter, cord->length, b, sizeof b),
	             fw_calc_figure(cord->thickness, cord->length, c, sizeof c),
	             fw_calc_figure(pull, cord->force, d, sizeof d));
	fw_calc_put(out, name, label, pull, cord->force);
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_limits limits;
	bool limited = fw_calc_take_limits(&limits, in);
	struct cord cord = {.diameter = fw_calc_value(in, "diameter"),
	                    .thickness = fw_calc_value(in, "cord"),
	                    .length = fw_calc_unit(in, "diameter"),
	                    .torque = fw_calc_unit(in, fw_calc_given(in, "min") ? "min" : "max"),
	                    .force = fw_calc_unit(in, "pull")};
	int rc = FW_OK;

	if (!limited && !fw_calc_given(in, "pull"))
		return fw_fail(err, FW_ERR_ARGUMENT, "give the pull, or min and max of the torque");
	if (limited)
		rc = fw_limits_check(&limits, err);
	if (rc == FW_OK && fw_calc_given(in, "pull"))
		rc = put_torque(out, &cord, fw_calc_value(in, "pull"), &limits, err);
	if (rc == FW_OK)
		rc = put_pull(out, &cord, limits.min, "pull-min", "least on the scale", err);
	if (rc == FW_OK)
		rc = put_pull(out, &cord, limits.max, "pull-max", "most on the scale", err);
	return rc;
}

static const struct fw_calc_input inputs[] = {
    {.name = "diameter",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .sign = FW_CALC_POSITIVE,
     .required = true,
     .doc = "of the round part that the cord goes around"},
    {.name = "pull",
     .kind = FW_CALC_QUANTITY,
     .unit = "N",
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "on the scale while it keeps turning"},
    FW_KIT_SPREAD("cord", "thickness of the cord"),
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
    {.name = NULL}};

const struct fw_calculator fw_calculator_turning_torque = {
    .name = "turning-torque",
    .summary = "turning torque of a preloaded shaft, by cord and spring scale",
    .about = "A cord wrapped around a round part of the shaft is pulled square to it by a\n"
             "spring scale. Read while the shaft keeps turning slowly: the pull that starts\n"
             "it is higher and tells nothing. Turn it some rounds first to seat the rollers.\n"
             "Seals drag: leave them out, or take limits that allow for them.",
    .source = "T = F·(D + c)/2, plain mechanics",
    .example = "\"102 mm\" --pull \"38 N\" --cord \"2 mm\" --min \"1.5 N·m\" --max \"2.5 N·m\"",
    .inputs = inputs,
    .run = run};
