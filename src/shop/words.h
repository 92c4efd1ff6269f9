/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file words.h  Names and roles as they may be recorded and signed. */
#ifndef FITWRIGHT_SHOP_WORDS_H
#define FITWRIGHT_SHOP_WORDS_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"

/** Longest name and longest role in bytes. */
#define FW_NAME_MOST 200
#define FW_ROLE_MOST 60

/** Why `text` is no name of at most `most` bytes ("is empty"), or NULL when it is one: one line, no
 * blanks at its ends, nothing in it that can't be seen. */
const char *fw_words_fault(const char *text, size_t most);

/** Whether two texts are alike when 'A' to 'Z' count as small letters, blanks in a row as one and
 * those at the ends as none, and what can't be seen isn't counted. */
bool fw_words_alike(const char *a, const char *b);

/** A role stands in a list with commas when it is signed, so it holds none. NULL: it is one. */
const char *fw_role_fault(const char *role);

/** The roles joined by ", " as they are signed; malloc'ed, NULL when out of memory. */
char *fw_roles_join(const char *const *role, size_t roles);

#endif
