/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "face/amend_show.h"
#include "face/face.h"
#include "face/glyph.h"
#include "face/input.h"
#include "face/session.h"
#include "face/show.h"
#include "face/wrap.h"

static char *copy(const char *text)
{
	size_t size = strlen(text) + 1;
	char *out = malloc(size);
	if (out)
		memcpy(out, text, size);
	return out;
}

static void forget_doubt(struct fw_session *session)
{
	free(session->doubted);
	session->doubted = NULL;
}

void fw_session_show_next(struct fw_session *session)
{
	forget_doubt(session);
	fw_job_show_next(session->screen, session->job, &session->shown);
}

bool fw_session_line(struct fw_session *session, const char *prompt, const char **line)
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

bool fw_ask_again(int code)
{
	return code == FW_ERR_INPUT || code == FW_ERR_DIMENSION;
}

bool fw_is_command(const char *text)
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

/* Hands the line to the engine. What was doubted and is typed again, or affirmed, is kept. */
static int submit(struct fw_session *session, const char *line, struct fw_error *err)
{
	struct fw_error refused = {0};
	bool confirmed =
	    session->doubted && (strcmp(line, session->doubted) == 0 || strcasecmp(line, "yes") == 0);
	size_t before = fw_job_answered(session->job);
	int code =
	    fw_job_answer(session->job, confirmed ? session->doubted : line, confirmed, &refused);

	if (code == FW_OK) {
		fw_lapsed_show(session->screen, session->job, before);
		fw_session_show_next(session);
		return FW_OK;
	}
	forget_doubt(session);
	if (code != FW_ERR_IMPLAUSIBLE && !fw_ask_again(code))
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

static int leave(struct fw_session *session, const char *rest, struct fw_error *err)
{
	(void)rest;
	(void)err;
	session->left = true;
	return FW_OK;
}

static int help(struct fw_session *session, const char *rest, struct fw_error *err)
{
	(void)rest;
	(void)err;
	fw_question_help(session->screen, fw_job_pending(session->job));
	return FW_OK;
}

/* What a person can type beside answers; fw_question_help() explains them. */
static const struct {
	const char *name;
	int (*run)(struct fw_session *session, const char *rest, struct fw_error *err);
} commands[] = {
    {"/help", help},
    {"/back", fw_session_back},
    {"/amend", fw_session_amend},
    {"/gauge", fw_session_gauge},
    {"/attach", fw_session_attach},
    {"/pause", leave},
};

static void say_no_command(const struct fw_session *session)
{
	char text[256] = "No such command; there are ?";

	for (size_t i = 1; i < sizeof commands / sizeof *commands; i++) {
		size_t used = strlen(text);
		snprintf(text + used, sizeof text - used, ", %s", commands[i].name);
	}
	size_t used = strlen(text);
	snprintf(text + used, sizeof text - used, ".");
	fw_message_show(session->screen, text);
}

static int obey(struct fw_session *session, const char *line, struct fw_error *err)
{
	char buffer[FW_INPUT_LONGEST + 1];
	const struct fw_question *question = fw_job_pending(session->job);
	const char *rest;

	snprintf(buffer, sizeof buffer, "%s", line);
	const char *word = trimmed(buffer);
	if (strcmp(word, "?") == 0)
		return help(session, "", err);
	for (size_t i = 0; i < sizeof commands / sizeof *commands; i++)
		if (command_is(word, commands[i].name, &rest))
			return commands[i].run(session, rest, err);
	if (!fw_is_command(word) && (word[0] != '/' || question->ask == FW_ASK_TEXT))
		return submit(session, word, err);
	say_no_command(session);
	return FW_OK;
}

static int converse(struct fw_session *session, struct fw_error *err)
{
	const struct fw_question *question;
	int code = FW_OK;

	fw_job_show_head(session->screen, session->job);
	fw_session_show_next(session);
	while (code == FW_OK && !session->left && (question = fw_job_pending(session->job)) != NULL) {
		char prompt[FW_PROMPT];
		const char *line;

		fw_question_prompt(session->screen, question, prompt);
		code = fw_screen_check(session->screen, err);
		if (code == FW_OK &&
		    fw_session_line(
		        session, session->doubted ? "Enter it again to keep it, or correct it: " : prompt,
		        &line))
			code = obey(session, line, err);
	}
	return code;
}

int fw_face_terminal(struct fw_job *job, const struct fw_face *face, FILE *in,
                     enum fw_face_end *end, struct fw_error *err)
{
	struct fw_session session = {.job = job, .face = face, .screen = &face->screen};
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
