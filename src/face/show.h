/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file show.h  What the terminal face prints: questions, findings, messages. */
#ifndef FITWRIGHT_FACE_SHOW_H
#define FITWRIGHT_FACE_SHOW_H

#include <stddef.h>

#include "face/screen.h"
#include "fitwright/job.h"

/** Longest prompt in bytes, with its zero. */
#define FW_PROMPT 256

/** Which question was shown last, so that a step that goes on needn't say everything again. Begin
 * zeroed. */
struct fw_shown {
	uint64_t step, say, options, gauge; /**< from fw_source_name() */
};

/** What was found since the last answer, and the pending question: in full, or what is new when the
 * same step goes on. */
void fw_job_show_next(const struct fw_screen *screen, const struct fw_job *job,
                      struct fw_shown *shown);

/** The question in full: rule with phase and progress, what to do, caution, options, order. */
void fw_question_show(const struct fw_screen *screen, const struct fw_question *question,
                      size_t answered);

/** What is new when a step goes on with its next item: order, and the options unless they are the
 * same. */
void fw_question_show_item(const struct fw_screen *screen, const struct fw_question *question,
                           bool options);

/** "reading 2 of 3 [mm, 0 to 3] > ". Returns `buffer` of FW_PROMPT bytes. */
const char *fw_question_prompt(const struct fw_screen *screen, const struct fw_question *question,
                               char *buffer);

/** What `?` shows: what is expected, the step's own help, the commands. */
void fw_question_help(const struct fw_screen *screen, const struct fw_question *question);

/** A finding: its text, the number line, the verdict; a surprise is set off. */
void fw_finding_show(const struct fw_screen *screen, const struct fw_finding *finding);

/** Title, unit, number, how far. */
void fw_job_show_head(const struct fw_screen *screen, const struct fw_job *job);

/** A message in answer to what was typed. */
void fw_message_show(const struct fw_screen *screen, const char *text);

/** FW_ERR_TRAIL when writing failed: nobody sees what is asked, so nothing more must be asked. */
int fw_screen_check(const struct fw_screen *screen, struct fw_error *err);

#endif
