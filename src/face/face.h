/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file face.h  The faces: a person at a terminal, a file of answers. Both drive the engine's
 * calls. */
#ifndef FITWRIGHT_FACE_FACE_H
#define FITWRIGHT_FACE_FACE_H

#include <signal.h>

#include "face/screen.h"
#include "fitwright/job.h"

enum fw_face_end {
	FW_FACE_RELEASED, /**< the procedure came to its end */
	FW_FACE_PAUSED    /**< the person left, or the answers ran out; nothing is lost */
};

struct fw_face {
	struct fw_screen screen;
	const char *go_on; /**< the command that goes on with the job, shown on leaving */
	const volatile sig_atomic_t *stop; /**< set by a signal handler on ctrl-C; or NULL */
};

/**
 * Leads a person through the job: asks, takes answers from `in`, shows findings, until the job is
 * released or the person leaves. Errors of the engine that end the session are returned as they
 * are.
 */
int fw_face_terminal(struct fw_job *job, const struct fw_face *face, FILE *in,
                     enum fw_face_end *end, struct fw_error *err);

struct fw_answers; /* opaque: a file of answers, read */

/**
 * Reads a file of answers to its end. One answer a line, "step: answer"; "step" or "step:" alone is
 * an empty answer; "step!: answer" confirms an implausible reading; "/back reason" takes the last
 * answer back; "/amend step item: answer -- reason" corrects the last answer that stands there ("item" only where
 * the step has items, "!:" confirms); "/gauge DI-2" takes that gauge for readings of its kind; "#" begins a comment line. FW_ERR_INPUT names file and line. `name` is kept for
 * messages.
 */
int fw_answers_read(struct fw_answers **out, FILE *in, const char *name, struct fw_error *err);
void fw_answers_free(struct fw_answers *answers);

/** Feeds the answers to the job. Stops with an error at the first that isn't what the job asks or
 * isn't accepted; nothing is recorded for it. Returns paused when they run out. */
int fw_face_answers(struct fw_job *job, const struct fw_face *face,
                    const struct fw_answers *answers, enum fw_face_end *end, struct fw_error *err);

/** What is said on leaving, and at the end. */
void fw_face_say_end(const struct fw_face *face, const struct fw_job *job, enum fw_face_end end);

#endif
