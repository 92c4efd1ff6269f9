/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file parse.h  The number at the start of what a person types. */
#ifndef FITWRIGHT_QUANTITY_PARSE_H
#define FITWRIGHT_QUANTITY_PARSE_H

#include <stddef.h>

/* Reads a number off [*at, end) into *value and moves *at behind it. NULL, or why it can't be read,
 * with *at where it went wrong. Understands 0.41 .016 0,41 1e-3 5/16 "1 3/8" 1-3/8 ½ 1½ and U+2212.
 */
const char *fw_parse_number(double *value, const char **at, const char *end);

#endif
