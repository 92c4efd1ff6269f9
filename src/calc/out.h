/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file out.h  What a calculation gave. */
#ifndef FITWRIGHT_CALC_OUT_H
#define FITWRIGHT_CALC_OUT_H

#include "fitwright/calc.h"

struct fw_calc_texts {
	char **text;
	size_t count, room;
};

struct fw_calc_out {
	struct fw_calc_texts lines, warnings;
	struct fw_calc_texts names; /* owns every name, label and text of the results */
	struct fw_calc_result *results;
	size_t count, room;
	const char *table, *table_label; /* of the row that is open; NULL: none */
	size_t row;
	bool quiet; /* only results count: no lines, no warnings */
	bool lost;  /* memory ran out */
	bool full;  /* more results than are kept */
};

struct fw_calc_out *fw_calc_out_new(bool quiet);

#endif
