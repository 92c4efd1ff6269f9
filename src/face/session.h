/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file session.h  A person at the terminal, and what they can type beside answers. */
#ifndef FITWRIGHT_FACE_SESSION_H
#define FITWRIGHT_FACE_SESSION_H

#include "face/face.h"
#include "face/input.h"
#include "face/show.h"

struct fw_session {
	struct fw_job *job;
	const struct fw_face *face;
	const struct fw_screen *screen;
	struct fw_input *input;
	char *doubted; /* what was typed and found implausible; NULL: nothing */
	struct fw_shown shown;
	bool left;
};

/* The pending question changed: show what was found, and what comes next. */
void fw_session_show_next(struct fw_session *session);
/* Asks for a line; false when the person left instead, or typed what can't be used. */
bool fw_session_line(struct fw_session *session, const char *prompt, const char **line);
/* Answers of the engine after which the same question is asked again. */
bool fw_ask_again(int code);
/* "/bcak" was meant as a command at every kind of question; "/4 bolts" wasn't. */
bool fw_is_command(const char *text);

/* The commands. `rest` is what stands behind the command, without blanks; "" for nothing. An error ends
 * the session. */
int fw_session_back(struct fw_session *session, const char *rest, struct fw_error *err);
int fw_session_amend(struct fw_session *session, const char *rest, struct fw_error *err);
int fw_session_gauge(struct fw_session *session, const char *rest, struct fw_error *err);
int fw_session_attach(struct fw_session *session, const char *rest, struct fw_error *err);

#endif
