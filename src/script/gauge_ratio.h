/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file gauge_ratio.h
 * How fine the gauges are that a value was measured with, against the width of the limits it is for.
 *
 * Two rules of the bench, both common practice: a gauge should read to a tenth of the width ("ten to
 * one"), and the width should be four times the span of its limits of error ("four to one", as in
 * ANSI/NCSL Z540.3 for calibration; from memory). The ratios follow the value's own terms, so what two
 * readings off one gauge share and lose in their difference doesn't count.
 */
#ifndef FITWRIGHT_SCRIPT_GAUGE_RATIO_H
#define FITWRIGHT_SCRIPT_GAUGE_RATIO_H

#include <jansson.h>
#include <lua.h>

#include "fitwright/conform.h"
#include "fitwright/measure.h"

/* Remembers, for the script of `L`, which sources of uncertainty are the resolution and the error of a
 * gauge. `label` is the measurement's, `registered` whether gauge->name is an id of the shop's register. */
void fw_gauge_ratio_note(lua_State *L, const struct fw_gauge *gauge, const char *label,
                         bool registered);

/* Puts "ratio" (width / span of the limits of error) and "steps" (width / resolution) into `out` where
 * the limits have two sides and the value was measured, and "gauges", the ids of the registered ones it
 * rests on. */
void fw_gauge_ratio_put(lua_State *L, json_t *out, const struct fw_quantity *value,
                        const struct fw_limits *limits);

#endif
