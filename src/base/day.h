/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file day.h  Days of the calendar, "2026-03-05". As texts they sort by time. */
#ifndef FITWRIGHT_BASE_DAY_H
#define FITWRIGHT_BASE_DAY_H

#include <stdbool.h>

/** Bytes of a day, with its zero. */
#define FW_DAY 11

/** Whether `text` is exactly one day that there is, years 0001 to 9999. */
bool fw_day_check(const char *text);

/** The day of "2026-03-05T14:03:11.250Z", into `out`; false (`out` "") when it doesn't begin with one. */
bool fw_day_of(char out[FW_DAY], const char *at);

/** The day after the valid `day`, into `out`; that of 9999-12-31 is itself. */
void fw_day_next(char out[FW_DAY], const char *day);

#endif
