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

/** Threads per inch of the Unified series ('C' coarse, 'F' fine) at that diameter, in; 0 if it has
 *  none. ASME B1.1. */
double fw_unified_tpi(double diameter, char series);

#endif
