/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file together_take.h  Several places and responses as they were given. */
#ifndef FITWRIGHT_CALC_SHIM_TOGETHER_TAKE_H
#define FITWRIGHT_CALC_SHIM_TOGETHER_TAKE_H

#include "calc/shim/kit.h"
#include "fitwright/together.h"

/** All pointers in `fit` lead into this struct, or are borrowed from the input. */
struct fw_calc_together {
	const struct fw_calc_values *in;
	struct fw_calc_kit kit;
	struct fw_together_place place[FW_PLACES_MOST];
	struct fw_together_response response[FW_RESPONSES_MOST];
	struct fw_together fit;
	bool *fits; /**< for each place the sizes that go there */
	double stack[FW_PLACES_MOST], stack_u[FW_PLACES_MOST]; /**< as found */
	bool found[FW_PLACES_MOST];                            /**< was given */
	struct fw_together_reading reading[FW_RESPONSES_MOST];
	const struct fw_unit *unit[FW_RESPONSES_MOST]; /**< each response is written in */
};

/** FW_ERR_ARGUMENT naming the record. fw_calc_together_free() in any case. */
int fw_calc_together_take(struct fw_calc_together *out, const struct fw_calc_values *in,
                          struct fw_error *err);
void fw_calc_together_free(struct fw_calc_together *t);

#endif
