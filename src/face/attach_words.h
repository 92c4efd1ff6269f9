/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file attach_words.h  "/attach FILE words": which file, which words, and what is said about it.
 */
#ifndef FITWRIGHT_FACE_ATTACH_WORDS_H
#define FITWRIGHT_FACE_ATTACH_WORDS_H

#include "face/screen.h"
#include "fitwright/job.h"

/* The name of a file at the beginning of `text`, and in `*note` what stands behind it ("" for
 * nothing). A name with blanks stands in quotes of either kind, or has a \ before each, as a
 * terminal writes it into which a file is dragged. "~/" is the person's own folder. FW_ERR_INPUT.
 */
int fw_attach_split(char *path, size_t size, const char **note, const char *text,
                    struct fw_error *err);

/* Attaches the file of "FILE words" to the job, and says so. */
int fw_attach_and_say(struct fw_job *job, const struct fw_screen *screen, const char *text,
                      struct fw_error *err);

#endif
