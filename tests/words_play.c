/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_play.h"

#include <stdlib.h>
#include <string.h>

#include "script/json.h"
#include "script/script.h"

static void write_json(FILE *out, const json_t *json)
{
	char *text = fw_json_text(json);

	assert_non_null(text);
	fputs(text, out);
	free(text);
}

static int on_finding(void *context, const char *step, const json_t *ask, const json_t *value,
                      struct fw_error *err)
{
	struct play *play = context;

	(void)err;
	fprintf(play->out, "! %s ", step);
	write_json(play->out, ask);
	fputc(' ', play->out);
	write_json(play->out, value);
	fputc('\n', play->out);
	return FW_OK;
}

static int on_module(void *context, const char *name, char **bytes, size_t *size,
                     struct fw_error *err)
{
	const struct play *play = context;

	for (const struct play_module *m = play->modules; m && m->name; m++)
		if (strcmp(m->name, name) == 0) {
			*bytes = strdup(m->text);
			*size = strlen(m->text);
			fprintf(play->out, "module %s\n", name);
			return FW_OK;
		}
	return fw_fail(err, FW_ERR_NOT_FOUND, "%s.lua: there is no such module", name);
}

/* Answers the pending question; false when no answer is left or the procedure failed. */
static bool give_next(struct play *play, struct fw_script *script, char **rest)
{
	struct fw_question_view view = {0};
	struct fw_answer answer;
	char buffer[8192];
	char *typed = *rest;

	if (!typed)
		return false;
	char *bar = strchr(typed, '|');
	*rest = bar ? bar + 1 : NULL;
	if (bar)
		*bar = '\0';
	struct fw_error error = {0};
	assert_ok(fw_question_view_set(&view, fw_script_question(script), &error));
	int code = fw_answer_read(&answer, &view.question, typed, true, buffer, sizeof buffer, &error);
	if (code != FW_OK)
		fail_msg("'%s' asks %s, '%s' was given: %s", view.question.step,
		         fw_ask_name(view.question.ask), typed, error.text);
	play->code = fw_script_answer(script, &answer, &play->error);
	play->given++;
	fw_question_view_clear(&view);
	return play->code == FW_OK;
}

static void run_script(struct play *play, struct fw_script *script, const char *answers)
{
	char *copy = answers ? strdup(answers) : NULL;
	char *rest = copy;

	play->code = fw_script_start(script, &play->error);
	while (play->code == FW_OK && fw_script_question(script)) {
		fputs("? ", play->out);
		write_json(play->out, fw_script_question(script));
		fputc('\n', play->out);
		if (!give_next(play, script, &rest))
			break;
	}
	if (play->code == FW_OK && rest)
		fail_msg("nothing is asked any more, and '%s' is left", rest);
	play->ended = play->code == FW_OK && !fw_script_question(script);
	free(copy);
}

void play_run(struct play *play, const char *procedure, const char *sheet, const char *answers)
{
	const struct fw_script_text text = {"p.lua", procedure, strlen(procedure)};
	const struct fw_script_text figures = {"s.lua", sheet, sheet ? strlen(sheet) : 0};
	const struct fw_script_host host = {play, on_finding, on_module,
	                                    play->rules ? play->rules : FW_RULES};
	struct fw_script *script;

	play->out = open_memstream(&play->log, &play->size);
	assert_non_null(play->out);
	play->code = fw_script_new(&script, &text, sheet ? &figures : NULL, &host, &play->error);
	if (play->code == FW_OK)
		run_script(play, script, answers);
	fw_script_free(script);
	fclose(play->out);
}

void play_free(struct play *play)
{
	free(play->log);
	play->log = NULL;
}

void play_well(struct play *play, const char *procedure, const char *sheet, const char *answers)
{
	play_run(play, procedure, sheet, answers);
	if (play->code != FW_OK)
		fail_msg("%s\nfailed: %s", procedure, play->error.text);
}

void play_holds(const char *procedure, const char *answers, const char *parts)
{
	struct play play = {0};
	char part[512];

	play_well(&play, procedure, NULL, answers);
	if (!play.ended)
		fail_msg("%s\ndoesn't end:\n%s", procedure, play.log);
	const char *from = play.log;
	for (const char *at = parts; *at;) {
		size_t length = strcspn(at, "|");
		assert_true(length < sizeof part);
		memcpy(part, at, length);
		part[length] = '\0';
		const char *found = strstr(from, part);
		if (!found)
			fail_msg("%s\nlacks, or has too early: %s\n%s", procedure, part, play.log);
		from = found + length;
		at += length + (at[length] == '|');
	}
	play_free(&play);
}

void play_badly(const char *procedure, const char *sheet, const char *answers, const char *parts)
{
	struct play play = {0};
	char part[256];

	play_run(&play, procedure, sheet, answers);
	if (play.code != FW_ERR_SCRIPT)
		fail_msg("%s\ncame to %d (%s), not to an error of the script", procedure, play.code,
		         play.error.text);
	for (const char *at = parts; *at;) {
		size_t length = strcspn(at, "|");
		assert_true(length < sizeof part);
		memcpy(part, at, length);
		part[length] = '\0';
		if (!strstr(play.error.text, part))
			fail_msg("%s\nsays: %s\nwithout: %s", procedure, play.error.text, part);
		at += length + (at[length] == '|');
	}
	play_free(&play);
}
