/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file terms.h  The sources of uncertainty of a quantity: sorted by name, merged when alike. */
#ifndef FITWRIGHT_QUANTITY_TERMS_H
#define FITWRIGHT_QUANTITY_TERMS_H

#include "fitwright/quantity.h"

/* out's terms = ca · a's + cb · b's; `b` may be NULL. `out` must be neither. */
int fw_terms_combine(struct fw_quantity *out, const struct fw_quantity *a, double ca,
                     const struct fw_quantity *b, double cb, struct fw_error *err);

/* Refuses what isn't finite; every result passes here. `what` names the call for the message. */
int fw_quantity_check(const struct fw_quantity *q, const char *what, struct fw_error *err);

/* Goes on hashing: fw_source_name("ab") is fw_source_extend(fw_source_name("a"), "b"). */
uint64_t fw_source_extend(uint64_t name, const char *text);

#endif
