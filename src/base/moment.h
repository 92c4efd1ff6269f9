/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file moment.h  Moments as the trail writes them. */
#ifndef FITWRIGHT_BASE_MOMENT_H
#define FITWRIGHT_BASE_MOMENT_H

#include <time.h>

/* "2026-03-05T14:03:11.250Z" of a moment. Returns `out`. */
const char *fw_moment_text(char out[32], const struct timespec *moment);
/* The same of now, by the system's wall clock. */
const char *fw_moment_now(char out[32]);

#endif
