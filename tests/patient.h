/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file patient.h  Someone who can change a trail's file in every way, and works out anew all that needs no key:
 * each hash, each link, and each count and head that an entry names. */
#ifndef FITWRIGHT_TESTS_PATIENT_H
#define FITWRIGHT_TESTS_PATIENT_H

#include <stdbool.h>

/** Runs SQL on the file, past its guards, which stay in it to the letter; then, if `patient`, makes the chain fit
 *  from the first entry of the shop's log to the last of the newest job. Fails the test when the SQL can't be run. */
void patient_change(const char *file, const char *sql, bool patient);

#endif
