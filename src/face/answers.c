/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "face/amend_show.h"
#include "face/answers_command.h"
#include "face/face.h"
#include "face/glyph.h"
#include "face/input.h"
#include "face/show.h"

/* Bytes of a line that a message quotes. */
#define QUOTED 60

/* One line of the file that isn't a comment. Both texts point into `held`. */
struct answer {
	size_t line;
	const char *step; /* NULL: a command */
	const struct fw_answers_command *command;
	const char *text; /* the answer, or what stands behind the command */
	bool confirmed;
	char *held;
};

struct fw_answers {
	char *name;
	struct answer *list;
	size_t count, room;
};

static const char *skip_blanks(const char *text)
{
	return text + strspn(text, " \t");
}

static void cut_blanks(char *text)
{
	size_t length = strlen(text);
	while (length > 0 && strchr(" \t\r\n", text[length - 1]))
		length--;
	text[length] = '\0';
}

static int split_command(struct answer *answer, const char *text, const char *name,
                         struct fw_error *err)
{
	size_t length = strcspn(text, " \t");

	answer->command = fw_answers_command_find(text, length);
	if (!answer->command)
		return fw_fail(err, FW_ERR_INPUT, "%s:%zu: no such command '%.*s'; here can stand %s", name,
		               answer->line, fw_utf8_fit(text, QUOTED), text, fw_answers_commands);
	answer->text = skip_blanks(text + length);
	if (!*answer->text)
		return fw_fail(err, FW_ERR_INPUT, "%s:%zu: %s needs %s behind it", name, answer->line,
		               answer->command->name, answer->command->needs);
	return FW_OK;
}

/* Splits "step!: answer" in place. */
static int split(struct answer *answer, const char *name, struct fw_error *err)
{
	char *text = answer->held + strspn(answer->held, " \t");

	if (text[0] == '/')
		return split_command(answer, text, name, err);

	char *colon = strchr(text, ':');
	answer->text = colon ? skip_blanks(colon + 1) : "";
	if (colon)
		*colon = '\0';
	cut_blanks(text);
	size_t length = strlen(text);
	answer->confirmed = length > 0 && text[length - 1] == '!';
	if (answer->confirmed) {
		text[length - 1] = '\0';
		cut_blanks(text);
	}
	answer->step = text;
	if (!*text || strpbrk(text, " \t"))
		return fw_fail(err, FW_ERR_INPUT,
		               "%s:%zu: '%.*s' is no id of a step; a line reads 'step: answer'", name,
		               answer->line, fw_utf8_fit(text, QUOTED), text);
	return FW_OK;
}

static struct answer *add(struct fw_answers *answers)
{
	if (answers->count == answers->room) {
		size_t room = answers->room ? answers->room * 2 : 64;
		struct answer *list = realloc(answers->list, room * sizeof *list);
		if (!list)
			return NULL;
		answers->list = list;
		answers->room = room;
	}
	struct answer *answer = &answers->list[answers->count++];
	memset(answer, 0, sizeof *answer);
	return answer;
}

static char *copy(const char *text, size_t length)
{
	char *out = malloc(length + 1);
	if (out) {
		memcpy(out, text, length);
		out[length] = '\0';
	}
	return out;
}

static int take_line(struct fw_answers *answers, const char *text, size_t length, size_t number,
                     struct fw_error *err)
{
	while (length > 0 && strchr("\r\n", text[length - 1]))
		length--;
	if (number == 1 && length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
		text += 3, length -= 3; /* byte order mark */
	if (length > FW_INPUT_LONGEST)
		return fw_fail(err, FW_ERR_INPUT, "%s:%zu: the line is too long, %d bytes at most",
		               answers->name, number, FW_INPUT_LONGEST);
	if (!fw_text_clean(text, length))
		return fw_fail(err, FW_ERR_INPUT,
		               "%s:%zu: control characters, or bytes that are not UTF-8 text",
		               answers->name, number);
	const char *first = skip_blanks(text);
	if (first >= text + length || *first == '#')
		return FW_OK;

	struct answer *answer = add(answers);
	if (answer)
		answer->held = copy(text, length);
	if (!answer || !answer->held)
		return fw_fail(err, FW_ERR_MEMORY, "%s:%zu: out of memory", answers->name, number);
	cut_blanks(answer->held);
	answer->line = number;
	return split(answer, answers->name, err);
}

static int read_lines(struct fw_answers *answers, FILE *in, struct fw_error *err)
{
	char *text = NULL;
	size_t size = 0;
	ssize_t length;
	int code = FW_OK;

	for (size_t number = 1; code == FW_OK && (length = getline(&text, &size, in)) >= 0; number++)
		code = take_line(answers, text, (size_t)length, number, err);
	if (code == FW_OK && ferror(in))
		code = fw_fail(err, FW_ERR_INPUT, "%s: can't read: %s", answers->name, strerror(errno));
	free(text);
	return code;
}

int fw_answers_read(struct fw_answers **out, FILE *in, const char *name, struct fw_error *err)
{
	struct fw_answers *answers = calloc(1, sizeof *answers);
	int code;

	if (answers)
		answers->name = copy(name, strlen(name));
	if (!answers || !answers->name)
		code = fw_fail(err, FW_ERR_MEMORY, "%s: out of memory", name);
	else
		code = read_lines(answers, in, err);
	if (code == FW_OK)
		*out = answers;
	else
		fw_answers_free(answers);
	return code;
}

void fw_answers_free(struct fw_answers *answers)
{
	if (!answers)
		return;
	for (size_t i = 0; i < answers->count; i++)
		free(answers->list[i].held);
	free(answers->list);
	free(answers->name);
	free(answers);
}

static int check_step(const struct fw_question *question, const struct answer *answer,
                      const char *name, struct fw_error *err)
{
	if (!question)
		return fw_fail(err, FW_ERR_INPUT,
		               "%s:%zu: the job asks nothing more, the file answers '%s'", name,
		               answer->line, answer->step);
	if (strcmp(question->step, answer->step) == 0)
		return FW_OK;
	return fw_fail(err, FW_ERR_INPUT, "%s:%zu: the job asks '%s'%s%s%s, the file answers '%s'",
	               name, answer->line, question->step, question->item ? " (" : "",
	               question->item ? question->item : "", question->item ? ")" : "", answer->step);
}

/* Shows the answer behind its prompt, and hands it to the engine. */
static int give(struct fw_job *job, const struct fw_screen *screen,
                const struct fw_answers *answers, const struct answer *answer, struct fw_error *err)
{
	const struct fw_question *question = fw_job_pending(job);
	int code = check_step(question, answer, answers->name, err);
	char prompt[FW_PROMPT];

	if (code != FW_OK)
		return code;
	fw_text_print(screen, fw_question_prompt(screen, question, prompt), -1);
	fw_text_print(screen, answer->text, -1);
	fputs(answer->confirmed ? "   (confirmed)\n" : "\n", screen->out);
	size_t before = fw_job_answered(job);
	code = fw_job_answer(job, answer->text, answer->confirmed, err);
	if (code == FW_OK)
		fw_lapsed_show(screen, job, before);
	if (code == FW_ERR_IMPLAUSIBLE) {
		char message[FW_ERROR_TEXT];
		snprintf(message, sizeof message, "%s", err ? err->text : "");
		fw_fail(err, code, "%.*s (to keep it, write '%s!: %.*s')", fw_utf8_fit(message, 500),
		        message, answer->step, fw_utf8_fit(answer->text, QUOTED), answer->text);
	}
	if (code != FW_OK)
		fw_error_prefix(err, "%s:%zu: ", answers->name, answer->line);
	return code;
}

static int obey(struct fw_job *job, const struct fw_screen *screen,
                const struct fw_answers *answers, const struct answer *answer, struct fw_error *err)
{
	int code = answer->command->run(job, screen, answer->text, err);

	if (code != FW_OK)
		fw_error_prefix(err, "%s:%zu: ", answers->name, answer->line);
	return code;
}

static bool interrupted(const struct fw_face *face)
{
	return face->stop && *face->stop;
}

/* What is asked now, at the end of the file. */
static void show_prompt(const struct fw_screen *screen, const struct fw_question *question)
{
	char prompt[FW_PROMPT];

	fw_text_print(screen, fw_question_prompt(screen, question, prompt), -1);
	fputc('\n', screen->out);
}

static int feed(struct fw_job *job, const struct fw_face *face, const struct fw_answers *answers,
                struct fw_error *err)
{
	const struct fw_screen *screen = &face->screen;
	struct fw_shown shown = {0};
	int code = FW_OK;

	fw_job_show_head(screen, job);
	fw_job_show_next(screen, job, &shown);
	for (size_t i = 0; i < answers->count && code == FW_OK && !interrupted(face); i++) {
		const struct answer *answer = &answers->list[i];
		code = answer->step ? give(job, screen, answers, answer, err)
		                    : obey(job, screen, answers, answer, err);
		if (code != FW_OK)
			break;
		if (!answer->step)
			shown = (struct fw_shown){0};
		fw_job_show_next(screen, job, &shown);
		code = fw_screen_check(screen, err);
	}
	return code;
}

int fw_face_answers(struct fw_job *job, const struct fw_face *face,
                    const struct fw_answers *answers, enum fw_face_end *end, struct fw_error *err)
{
	int code = feed(job, face, answers, err);
	if (code != FW_OK)
		return code;

	const struct fw_question *question = fw_job_pending(job);
	if (question)
		show_prompt(&face->screen, question);
	*end = question ? FW_FACE_PAUSED : FW_FACE_RELEASED;
	fw_face_say_end(face, job, *end);
	return fw_screen_check(&face->screen, err);
}
