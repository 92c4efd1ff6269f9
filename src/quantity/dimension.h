/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file dimension.h  Arithmetic of exponents, and what the room needs to know about a unit. */
#ifndef FITWRIGHT_QUANTITY_DIMENSION_H
#define FITWRIGHT_QUANTITY_DIMENSION_H

#include "fitwright/quantity.h"

/* a + sign · b; false when an exponent would leave -9 … 9, which nothing at the bench does. */
bool fw_dimension_combine(struct fw_dimension *out, struct fw_dimension a, struct fw_dimension b,
                          int sign);

/* "m^2·kg"; "1" for a plain number. `size` of 40 is always enough. */
const char *fw_dimension_exponents(struct fw_dimension dimension, char *buffer, size_t size);

bool fw_dimension_is_plain(struct fw_dimension dimension);

/* A temperature scale, such as °C, whose zero is set by agreement: its points are not amounts. */
bool fw_unit_is_scale(const struct fw_unit *unit);

/* What follows a number: " mm" with a space, "°" of an angle without, nothing for a plain number.
 */
const char *fw_unit_suffix(const struct fw_unit *unit, char *buffer, size_t size);

/* What `q` is written in: its unit, else SI's own, else NULL. */
const struct fw_unit *fw_quantity_unit(const struct fw_quantity *q);

/* Spelling as typed compared with one of the table's: 2 alike, 1 alike but for case, 0 different.
 */
int fw_unit_match(const char *typed, const char *end, const char *spelling);

/* As fw_unit_find(), where the unit asked for helps: 25 lb on a spring scale is 25 lbf. */
const struct fw_unit *fw_unit_find_for(const char *text, size_t length,
                                       const struct fw_unit *asked);

/* Why a spelling that people use is refused, or NULL. */
const char *fw_unit_refusal(const char *text, size_t length);

#endif
