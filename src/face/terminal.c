/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "face/face.h"
#include "face/glyph.h"
#include "face/input.h"
#include "face/show.h"
#include "face/wrap.h"

struct session {
	struct fw_job *job;
	const struct fw_face *face;
	const struct fw_screen *screen;
	struct fw_input *input;
	char *doubted; /* what was typed and found implausible; NULL: nothing */
	struct fw_shown shown;
	bool left;
};

static char *copy(const char *text)
{
	size_t size = strlen(text) + 1;
	char *out = malloc(size);
	if (out)
		memcpy(out, text, size);
	return out;
}

static void forget_doubt(struct session *session)
{
	free(session->doubted);
	session->doubted = NULL;
}

/* The pending question changed: show what was found, and what comes next. */
static void show_next(struct session *session)
{
	forget_doubt(session);
	fw_job_show_next(session->screen, session->job, &session->shown);
}

/* Asks for a line; false when the person left instead, or typed what can't be used. */
static bool ask_line(struct session *session, const char *prompt, const char **line)
{
	switch (fw_input_ask(session->input, prompt, line)) {
	case FW_INPUT_LINE:
		return true;
	case FW_INPUT_END:
	case FW_INPUT_INTERRUPTED:
		session->left = true;
		return false;
	case FW_INPUT_TOO_LONG:
		fw_message_show(session->screen,
		                "That line is too long: 4096 bytes at most. Nothing was taken.");
		return false;
	case FW_INPUT_UNREADABLE:
		fw_message_show(session->screen,
		                "That line holds control characters, or bytes that are not UTF-8 "
		                "text. Nothing was taken; type it again.");
		return false;
	}
	return false;
}

static bool blank(const char *text)
{
	return text[strspn(text, " \t")] == '\0';
}

/* Answers of the engine after which the same question is asked again. */
static bool ask_again(int code)
{
	return code == FW_ERR_INPUT || code == FW_ERR_DIMENSION;
}

static const char no_command[] = "No such command; there are ?, /back, /pause.";

/* "/bcak" was meant as a command at every kind of question; "/4 bolts" wasn't. */
static bool is_command(const char *text)
{
	if (text[0] != '/')
		return false;
	char letter = fw_ascii_lower(text[1]);
	return letter >= 'a' && letter <= 'z';
}

/* Whether `text` is the command `name` alone or with words behind it, which `*rest` gets. */
static bool command_is(const char *text, const char *name, const char **rest)
{
	size_t length = strlen(name);

	if (strncmp(text, name, length) != 0 || (text[length] && !strchr(" \t", text[length])))
		return false;
	*rest = text + length + strspn(text + length, " \t");
	return true;
}

/* `reason` is what stands behind the command; if nothing does, it is asked for. */
static int take_back(struct session *session, const char *reason, struct fw_error *err)
{
	struct fw_error refused = {0};

	if (fw_job_answered(session->job) == 0) {
		fw_message_show(session->screen, "There is no answer to take back yet.");
		return FW_OK;
	}
	if (blank(reason)) {
		fw_wrap(session->screen,
		        "The last answer will be struck out and asked for again. It stays in the record, "
		        "with your reason.",
		        2, FW_STYLE_PLAIN);
		if (!ask_line(session, "reason, or Enter to leave it > ", &reason) || blank(reason))
			return FW_OK;
	}
	if (is_command(reason + strspn(reason, " \t"))) {
		fw_message_show(session->screen,
		                "A command is no reason; nothing was taken back. To do it, type /back "
		                "again.");
		return FW_OK;
	}
	int code = fw_job_withdraw(session->job, reason, &refused);
	if (code == FW_OK) {
		session->shown = (struct fw_shown){0}; /* in full again */
		show_next(session);
		return FW_OK;
	}
	if (code != FW_ERR_STATE && !ask_again(code))
		return fw_fail(err, code, "%s", refused.text);
	fw_message_show(session->screen, refused.text);
	return FW_OK;
}

/* Hands the line to the engine. What was doubted and is typed again, or affirmed, is kept. */
static int submit(struct session *session, const char *line, struct fw_error *err)
{
	struct fw_error refused = {0};
	bool confirmed =
	    session->doubted && (strcmp(line, session->doubted) == 0 || strcasecmp(line, "yes") == 0);
	int code =
	    fw_job_answer(session->job, confirmed ? session->doubted : line, confirmed, &refused);

	if (code == FW_OK) {
		show_next(session);
		return FW_OK;
	}
	forget_doubt(session);
	if (code != FW_ERR_IMPLAUSIBLE && !ask_again(code))
		return fw_fail(err, code, "%s", refused.text);
	fw_message_show(session->screen, refused.text);
	if (code == FW_ERR_IMPLAUSIBLE) {
		session->doubted = copy(line);
		fw_input_forget(session->input);
		if (!session->doubted)
			return fw_fail(err, FW_ERR_MEMORY, "out of memory; all answers so far are recorded");
	}
	return FW_OK;
}

/* Takes leading and trailing white space off, in place. */
static char *trimmed(char *text)
{
	text += strspn(text, " \t");
	size_t length = strlen(text);
	while (length > 0 && strchr(" \t", text[length - 1]))
		length--;
	text[length] = '\0';
	return text;
}

static int obey(struct session *session, const char *line, struct fw_error *err)
{
	char buffer[FW_INPUT_LONGEST + 1];
	const struct fw_question *question = fw_job_pending(session->job);

	snprintf(buffer, sizeof buffer, "%s", line);
	const char *word = trimmed(buffer);
	const char *rest;
	if (strcmp(word, "?") == 0 || command_is(word, "/help", &rest))
		fw_question_help(session->screen, question);
	else if (command_is(word, "/back", &rest))
		return take_back(session, rest, err);
	else if (command_is(word, "/pause", &rest))
		session->left = true;
	else if (is_command(word) || (word[0] == '/' && question->ask != FW_ASK_TEXT))
		fw_message_show(session->screen, no_command);
	else
		return submit(session, word, err);
	return FW_OK;
}

static int converse(struct session *session, struct fw_error *err)
{
	const struct fw_question *question;
	int code = FW_OK;

	fw_job_show_head(session->screen, session->job);
	show_next(session);
	while (code == FW_OK && !session->left && (question = fw_job_pending(session->job)) != NULL) {
		char prompt[FW_PROMPT];
		const char *line;

		fw_question_prompt(session->screen, question, prompt);
		code = fw_screen_check(session->screen, err);
		if (code == FW_OK &&
		    ask_line(session,
		             session->doubted ? "Enter it again to keep it, or correct it: " : prompt,
		             &line))
			code = obey(session, line, err);
	}
	return code;
}

int fw_face_terminal(struct fw_job *job, const struct fw_face *face, FILE *in,
                     enum fw_face_end *end, struct fw_error *err)
{
	struct session session = {.job = job, .face = face, .screen = &face->screen};
	int code = fw_input_new(&session.input, in, &face->screen, face->stop, err);

	if (code == FW_OK)
		code = converse(&session, err);
	fw_input_free(session.input);
	forget_doubt(&session);
	if (code != FW_OK)
		return code;
	*end = fw_job_pending(job) ? FW_FACE_PAUSED : FW_FACE_RELEASED;
	fw_face_say_end(face, job, *end);
	return fw_screen_check(&face->screen, err);
}

void fw_face_say_end(const struct fw_face *face, const struct fw_job *job, enum fw_face_end end)
{
	const struct fw_screen *screen = &face->screen;

	char text[160];

	fputc('\n', screen->out);
	if (end == FW_FACE_RELEASED) {
		snprintf(text, sizeof text, "Job %lld is released: all %zu answers are recorded.",
		         (long long)fw_job_number(job), fw_job_answered(job));
		fw_wrap(screen, text, 0, FW_STYLE_PLAIN);
		return;
	}
	snprintf(text, sizeof text,
	         "Paused; nothing is lost. %zu answered so far. To go on:", fw_job_answered(job));
	fw_wrap(screen, text, 0, FW_STYLE_PLAIN);
	/* Not wrapped: it may be taken over with the mouse. */
	fputs("\n    ", screen->out);
	fw_style_on(screen, FW_STYLE_STRONG);
	fw_text_print(screen, face->go_on ? face->go_on : "fitwright resume", -1);
	fw_style_off(screen, FW_STYLE_STRONG);
	fputc('\n', screen->out);
}
