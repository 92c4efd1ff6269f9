/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/answers_command.h"

#include <string.h>

#include "face/amend_words.h"
#include "face/attach_words.h"
#include "face/glyph.h"

static int back(struct fw_job *job, const struct fw_screen *screen, const char *text,
                struct fw_error *err)
{
	int code = fw_job_withdraw(job, text, err);

	if (code != FW_OK)
		return code;
	fputs("\n  The last answer is taken back: ", screen->out);
	fw_text_print(screen, text, -1);
	fputc('\n', screen->out);
	return FW_OK;
}

static int gauge(struct fw_job *job, const struct fw_screen *screen, const char *text,
                 struct fw_error *err)
{
	(void)screen; /* the question is shown again, and the gauge with it */
	return fw_job_use_gauge(job, text, err);
}

static const struct fw_answers_command commands[] = {
    {"/amend", "a step, its new answer and a reason", fw_amend_and_say},
    {"/attach", "a file", fw_attach_and_say},
    {"/back", "a reason", back},
    {"/gauge", "a gauge's number, or none,", gauge},
};

const char fw_answers_commands[] =
    "/amend STEP ITEM: ANSWER -- REASON, /attach FILE WORDS, /back REASON, /gauge NUMBER";

const struct fw_answers_command *fw_answers_command_find(const char *name, size_t length)
{
	for (size_t i = 0; i < sizeof commands / sizeof *commands; i++)
		if (strlen(commands[i].name) == length && strncmp(name, commands[i].name, length) == 0)
			return &commands[i];
	return NULL;
}
