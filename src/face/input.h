/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file input.h  Lines as typed: edited at a terminal, as they come from a pipe. */
#ifndef FITWRIGHT_FACE_INPUT_H
#define FITWRIGHT_FACE_INPUT_H

#include <signal.h>

#include "face/screen.h"
#include "fitwright/error.h"

/** Longest line taken, in bytes, without its end. */
#define FW_INPUT_LONGEST 4096

struct fw_input; /* opaque */

enum fw_input_got {
	FW_INPUT_LINE,
	FW_INPUT_END,         /**< end of file */
	FW_INPUT_INTERRUPTED, /**< ctrl-C */
	FW_INPUT_TOO_LONG,    /**< read to its end and thrown away */
	FW_INPUT_UNREADABLE   /**< not UTF-8, or control characters in it */
};

/**
 * Reads from `in`, prompts on `screen->out`. Lines are edited when both are terminals; else a line
 * that doesn't come from a terminal is echoed behind its prompt, so that a transcript can be read.
 * `stop` (may be NULL) is what a signal handler sets; it is looked at whenever a read is
 * interrupted.
 */
int fw_input_new(struct fw_input **out, FILE *in, const struct fw_screen *screen,
                 const volatile sig_atomic_t *stop, struct fw_error *err);
void fw_input_free(struct fw_input *input);

/** Asks for one line. `*line` is borrowed until the next call; "" unless FW_INPUT_LINE. */
enum fw_input_got fw_input_ask(struct fw_input *input, const char *prompt, const char **line);

/** Throws away what was typed ahead at a terminal: it answers no question that wasn't seen. Lines
 * from a file or a pipe stay. */
void fw_input_forget(struct fw_input *input);

#endif
