/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file text.h  UTF-8 as typed, and numbers as text, without the locale. */
#ifndef FITWRIGHT_QUANTITY_TEXT_H
#define FITWRIGHT_QUANTITY_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/text.h"

/* White space that keyboards and copied text bring along, thin and no-break spaces included. */
bool fw_text_is_space(uint32_t c);

/* Moves *at past white space, and `end` back before it. */
void fw_text_skip_space(const char **at, const char *end);
const char *fw_text_trim_end(const char *at, const char *end);

/* ASCII letters alone, so that no locale has a say. */
uint32_t fw_text_fold(uint32_t c);

/* Shows typed text in a message: bad bytes and control characters as '?', cut with "…". */
const char *fw_text_clip(const char *at, const char *end, char *buffer, size_t size);

/* The double nearest to digits · 10^exponent; infinity when too large. At most 64 digits. */
double fw_number_read(const char *digits, int exponent);

/* As fw_number_text(), rounded to `figures` (1 to 17) significant ones. */
const char *fw_number_figures(double value, int figures, char *buffer, size_t size);

/* With `decimals` (0 to 9) places, never "-0". For |value| < 1e9. */
const char *fw_number_fixed(double value, int decimals, char *buffer, size_t size);

#endif
