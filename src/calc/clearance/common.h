/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file common.h  What the calculators of clearance share: figures, limits, materials. */
#ifndef FITWRIGHT_CALC_CLEARANCE_COMMON_H
#define FITWRIGHT_CALC_CLEARANCE_COMMON_H

#include "calc/figure.h"
#include "fitwright/calc.h"
#include "fitwright/conform.h"
#include "fitwright/thermal.h"

/** Names of all materials, as FW_CALC_CHOICE takes them; the test holds it against the table. */
#define FW_MATERIAL_CHOICES                                                                        \
	"steel|bearing-steel|stainless|stainless-hardenable|cast-iron|ductile-iron|aluminium|"         \
	"cast-aluminium|piston-aluminium|magnesium|titanium|copper|brass|bronze"

/** A temperature, "80 °C". */
const char *fw_clearance_celsius(double kelvin, char buffer[FW_FIGURE]);

/** Limits from the inputs "min" and "max"; `*given` tells if there are any. */
int fw_clearance_limits(struct fw_limits *out, bool *given, const struct fw_calc_values *in,
                        struct fw_error *err);

/** Greatest factor of a link, either way; beyond, it is a slip. */
#define FW_FACTOR_MOST 1e6

/** FW_OK, or FW_ERR_RANGE when the field "factor" of a link is beyond FW_FACTOR_MOST. */
int fw_clearance_factor(double *out, const struct fw_calc_values *link, struct fw_error *err);

/** Coefficient of a part: from the number in `expansion` (millionths per kelvin) if given, else
 * from the choice in `material` between two temperatures. `*u` is what is not known of a material;
 * that of a number, its ±, is 0 here and for fw_doubt_add(). */
int fw_clearance_alpha(double *alpha, double *u, const struct fw_calc_values *in,
                       const char *expansion, const char *material, double cold, double hot,
                       struct fw_error *err);

/** The line that puts together the standard uncertainties from materials and from inputs; gives
 * both together. */
double fw_clearance_doubt_line(struct fw_calc_out *out, double materials, double inputs,
                               const struct fw_unit *unit);

#endif
