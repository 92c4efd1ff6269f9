/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file values.h  What was given for the inputs of a calculator. */
#ifndef FITWRIGHT_CALC_VALUES_H
#define FITWRIGHT_CALC_VALUES_H

#include <stdint.h>

#include "fitwright/calc.h"

/* A number or quantity, small: there may be a million. */
struct fw_calc_item {
	double value; /* SI */
	const struct fw_unit *unit;
	struct fw_term *terms; /* owned */
	size_t count;
};

/* What was given for one input. */
struct fw_calc_slot {
	struct fw_calc_item *items;
	size_t count, room;
	struct fw_calc_values *
	    *records; /* count and room are theirs where the input is one of records */
	char *text;
	int choice;
	bool given;
	struct fw_quantity *view; /* what fw_calc_quantity() lent out last */
	bool taken;               /* whether it did */
};

/* One source of uncertainty, moved by so many standard uncertainties. */
struct fw_calc_shift {
	uint64_t source;
	double by; /* 0: nothing is moved */
};

struct fw_calc_values {
	const struct fw_calc_input *inputs;
	size_t count;
	const struct fw_calc_values *parent; /* of a record */
	const char *parent_name;
	size_t parent_index;
	struct fw_calc_shift shift; /* the root's counts */
	bool broken;                /* the root's: a moved input lost the sign it must have */
	struct fw_calc_slot slots[];
};

/* The input of that name (either spelling) and its slot; NULL when there is none. */
const struct fw_calc_input *fw_calc_input_find(const struct fw_calc_values *values,
                                               const char *name, struct fw_calc_slot **slot);

/* The same; FW_ERR_NOT_FOUND names those there are. */
int fw_calc_input_wanted(const struct fw_calc_input **out, struct fw_calc_slot **slot,
                         struct fw_calc_values *values, const char *name, struct fw_error *err);

/* Where an input stands, for messages: "links 3, size". Returns `buffer`. */
const char *fw_calc_where(const struct fw_calc_values *values, const struct fw_calc_input *input,
                          char *buffer, size_t size);

/* What a bare number is counted in; NULL: there is no telling, so the unit must be typed. */
const struct fw_unit *fw_calc_bare_unit(const struct fw_calc_values *values,
                                        const struct fw_calc_input *input);

/* That a value fits its input, as far as the inputs given so far tell. */
int fw_calc_check_dimension(const struct fw_calc_values *values, const struct fw_calc_input *input,
                            const struct fw_unit *unit, struct fw_error *err);

/* A name for a source that also tells these bytes (FNV-1a goes on where `name` ended). */
uint64_t fw_calc_mix(uint64_t name, const void *bytes, size_t size);

/* Takes the last record back. */
void fw_calc_drop_record(struct fw_calc_values *values, const struct fw_calc_input *input);

/* The same name in either spelling, '-' or '_'. */
bool fw_calc_same_name(const char *a, const char *b);

/* Whether a number is of the sign that its input asks for. */
bool fw_calc_right_sign(const struct fw_calc_input *input, double value);

#endif
