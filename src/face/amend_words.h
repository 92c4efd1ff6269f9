/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file amend_words.h  /amend in a file of answers. */
#ifndef FITWRIGHT_FACE_AMEND_WORDS_H
#define FITWRIGHT_FACE_AMEND_WORDS_H

#include "face/screen.h"
#include "fitwright/job.h"

/** Does "STEP: ANSWER -- REASON", "STEP ITEM: …", or with "!:" for an implausible reading, and says
 * so. The last answer that stands at that step and item is meant. FW_ERR_INPUT: not understood. */
int fw_amend_and_say(struct fw_job *job, const struct fw_screen *screen, const char *text,
                     struct fw_error *err);

#endif
