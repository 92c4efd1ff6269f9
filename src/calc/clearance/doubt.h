/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file doubt.h  Uncertainty of a result from those of many inputs, source by source: what two
 *  inputs share adds up, or cancels, before it is squared (JCGM 100:2008, 5.2). */
#ifndef FITWRIGHT_CALC_CLEARANCE_DOUBT_H
#define FITWRIGHT_CALC_CLEARANCE_DOUBT_H

#include "fitwright/calc.h"

/** Zero-initialise; end with fw_doubt_end(). */
struct fw_doubt {
	struct fw_term *list;
	size_t count, room;
	bool lost; /* out of memory */
};

/** Takes in the input `name` of `in`, by which the result grows `by` for each unit of it in SI. An
 * input that isn't given adds nothing. */
void fw_doubt_add(struct fw_doubt *doubt, const struct fw_calc_values *in, const char *name,
                  double by);

/** The standard uncertainty, and frees what it took. FW_ERR_MEMORY when something was lost. */
int fw_doubt_end(double *u, struct fw_doubt *doubt, struct fw_error *err);

#endif
