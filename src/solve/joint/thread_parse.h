/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file thread_parse.h  Pieces that the reader of thread designations is made of. */
#ifndef FITWRIGHT_SOLVE_THREAD_PARSE_H
#define FITWRIGHT_SOLVE_THREAD_PARSE_H

#include <stdbool.h>

/** Reads digits with at most one point or comma at `*at`, moves it on; false leaves it there.
 * Doesn't depend on the locale. */
bool fw_read_decimal(const char **at, double *out);

/** Moves `*at` past blanks. */
void fw_skip_blanks(const char **at);

/** Coarse pitch, mm, of the metric thread of that nominal diameter, mm; 0 if it has none. ISO 261.
 */
double fw_metric_coarse_pitch(double diameter);

/** Moves `*at` past `word` (small letters; `*at` in either case) and blanks behind it, unless more
 * letters or digits follow. */
bool fw_skip_thread_word(const char **at, const char *word);

/** Reads what may stand behind size and pitch: the usual tolerance class and LH. False when there
 * is anything else. */
bool fw_read_thread_end(const char *at, bool inch, bool *left_hand);

/** Threads per inch of the Unified series ('C' coarse, 'F' fine, 'E' extra fine) at that diameter,
 * in; 0 if it has none. ASME B1.1. */
double fw_unified_tpi(double diameter, char series);

#endif
