/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file figure.h  Small things that calculators of every trade need. */
#ifndef FITWRIGHT_CALC_FIGURE_H
#define FITWRIGHT_CALC_FIGURE_H

#include "fitwright/calc.h"
#include "fitwright/conform.h"

/** Room for one figure in a line of working. */
#define FW_FIGURE 48

/** Inputs min, max and aim as limits; a side not given is open, an aim not given (or not asked for)
 * NAN. False when neither side is given. Not checked. */
bool fw_calc_take_limits(struct fw_limits *out, const struct fw_calc_values *in);

/** The end of every list of inputs. */
#define FW_INPUT_END                                                                               \
	{                                                                                              \
		NULL, FW_CALC_FLAG, NULL, FW_CALC_ANY, false, NULL, NULL, NULL, NULL                       \
	}

/** The unit of that symbol, from the static table. */
const struct fw_unit *fw_calc_symbol(const char *symbol);

/** A plain number with six significant figures. Returns `buffer`. */
const char *fw_calc_plain(double value, char buffer[FW_FIGURE]);

/** `si` in the unit of that symbol. Returns `buffer`. */
const char *fw_calc_in(double si, const char *symbol, char buffer[FW_FIGURE]);

/** The unit of a difference: K for a temperature on a scale. */
const struct fw_unit *fw_calc_span_unit(const struct fw_unit *unit);

/** A unit in which a thousandth of the other's step is still seen: µm for metric lengths, thou for
 *  inches; of other quantities that of a difference. */
const struct fw_unit *fw_calc_fine(const struct fw_unit *unit);

#endif
