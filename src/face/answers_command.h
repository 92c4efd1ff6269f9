/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file answers_command.h  What can stand in a file of answers beside answers. */
#ifndef FITWRIGHT_FACE_ANSWERS_COMMAND_H
#define FITWRIGHT_FACE_ANSWERS_COMMAND_H

#include "face/screen.h"
#include "fitwright/job.h"

struct fw_answers_command {
	const char *name;  /* "/back" */
	const char *needs; /* what must stand behind it: "a reason" */
	/* Does it and says so on the screen. `text` is what stands behind the command, never empty. */
	int (*run)(struct fw_job *job, const struct fw_screen *screen, const char *text,
	           struct fw_error *err);
};

/* The command of this name of `length` bytes, or NULL. */
const struct fw_answers_command *fw_answers_command_find(const char *name, size_t length);

/* All of them, for messages. */
extern const char fw_answers_commands[];

#endif
