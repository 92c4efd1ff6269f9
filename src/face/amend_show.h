/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file amend_show.h  Answers that stand, to choose from, and what amending one would do. */
#ifndef FITWRIGHT_FACE_AMEND_SHOW_H
#define FITWRIGHT_FACE_AMEND_SHOW_H

#include "face/screen.h"
#include "fitwright/job.h"

/* Step, item and what was typed, cut to fit. */
#define FW_GIVEN_WORDS 700
/** "float-on-trial (reading 1 of 3): 0.41", "noise (third, drive): 2 (slight)" */
void fw_given_words(const struct fw_given *given, char *out, size_t size);

/** Lists the answers that stand with the numbers of their entries, at most the last `most` of them
 * (0: all), and says how many came before. `count` (may be NULL) gets how many there are. */
int fw_given_show(const struct fw_screen *screen, struct fw_job *job, size_t most, size_t *count,
                  struct fw_error *err);

/** After an answer was given: how many of those that waited since an amendment lapsed with it.
 * `before`: answers that stood before it. Says nothing when none did. */
void fw_lapsed_show(const struct fw_screen *screen, const struct fw_job *job, size_t before);

/** What is corrected, what stays, what lapses, and what is asked next. */
void fw_amendment_show(const struct fw_screen *screen, const struct fw_amendment *amendment);

#endif
