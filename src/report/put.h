/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file put.h  Writing strings that come from a trail, and numbers, without trusting either. */
#ifndef FITWRIGHT_REPORT_PUT_H
#define FITWRIGHT_REPORT_PUT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "fitwright/error.h"

/** Reads one code point at `*text` and steps over it; bytes that are no UTF-8 give U+FFFD, one
 * each. */
uint32_t fw_report_utf8_next(const char **text);

/** Writes a code point. */
void fw_put_point(FILE *out, uint32_t point);

/** The code point as it may be shown: controls, and the marks that turn the direction of writing
 *  around, become U+FFFD; tab and newline stay. */
uint32_t fw_report_utf8_shown(uint32_t point);

/** Columns that `text` takes, counted in code points. NULL counts 0. */
size_t fw_report_utf8_length(const char *text);

/** A malloc'ed copy that is valid UTF-8; NULL gives NULL. `*failed` is set when memory ran out. */
char *fw_report_utf8_repair(const char *text, bool *failed);

/** As snprintf(), and what doesn't fit is cut between characters. */
void fw_report_print(char *buffer, size_t size, const char *format, ...) FW_PRINTF(3, 4);

/** Text for XML content and for attributes in double quotes. NULL writes nothing. */
void fw_put(FILE *out, const char *text);

/** As fw_put(), cut to `most` code points with an ellipsis. */
void fw_put_cut(FILE *out, const char *text, size_t most);

/** A coordinate with at most two decimals, never with a comma. */
void fw_put_coord(FILE *out, double value);

/** `value` with `decimals` places (0 to 12), never "-0", never with a comma. Returns `buffer`. */
const char *fw_report_decimal(char *buffer, size_t size, double value, int decimals);

/** `value` to nine figures: what no gauge shows is left out. Returns `buffer`. */
const char *fw_report_plain(char *buffer, size_t size, double value);

/** `value` to two significant figures: an uncertainty is not known better. Returns `buffer`. */
const char *fw_report_two_figures(char *buffer, size_t size, double value);

/** "99.4 %" for 0.994 with a space that doesn't break, never rounded up to 100 % nor down to 0 %.
 * Returns `buffer`. */
const char *fw_report_percent(char *buffer, size_t size, double share);

#endif
