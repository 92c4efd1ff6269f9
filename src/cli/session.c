/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"

/* Adds `text` so that a shell reads it back as one word. */
static void append_quoted(char *out, size_t size, const char *text)
{
	static const char safe[] =
	    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./-+,:@%=";
	size_t used = strlen(out);

	if (*text && text[strspn(text, safe)] == '\0') {
		snprintf(out + used, size - used, "%s", text);
		return;
	}
	snprintf(out + used, size - used, "'");
	for (used = strlen(out); *text && used + 6 < size; text++)
		used += (size_t)snprintf(out + used, size - used, *text == '\'' ? "'\\''" : "%c", *text);
	snprintf(out + used, size - used, "'");
}

static void make_go_on(char *out, size_t size, const struct fw_cli *cli, int64_t job)
{
	snprintf(out, size, "fitwright resume %lld", (long long)job);
	if (cli->trail) {
		size_t used = strlen(out);
		snprintf(out + used, size - used, " --trail ");
		append_quoted(out, size, cli->trail);
	}
}

int fw_cli_answers(struct fw_answers **out, const char *path, struct fw_error *err)
{
	if (!path)
		return FW_OK;
	if (strcmp(path, "-") == 0)
		return fw_answers_read(out, stdin, "standard input", err);
	FILE *file = fopen(path, "r");
	if (!file)
		return fw_fail(err, FW_ERR_NOT_FOUND, "%s: can't open the answers: %s", path,
		               strerror(errno));
	int code = fw_answers_read(out, file, path, err);
	fclose(file);
	return code;
}

/* What the engine has recorded stays recorded, whatever went wrong after it. */
static void say_how_to_go_on(int code, const char *go_on, int64_t job)
{
	if (code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT)
		fw_cli_fail(FW_EXIT_TROUBLE,
		            "if it is the last answer that the procedure can't take: fitwright back %lld "
		            "--reason TEXT",
		            (long long)job);
	if (code == FW_ERR_BUSY)
		fw_cli_fail(FW_EXIT_TROUBLE, "someone else went on with this job; look where it stands: %s",
		            go_on);
	else
		fw_cli_fail(FW_EXIT_TROUBLE, "answers taken so far are recorded; to go on: %s", go_on);
}

int fw_cli_session(const struct fw_cli *cli, struct fw_job *job, const struct fw_answers *answers)
{
	char go_on[4096 + 64];
	struct fw_face face = {.screen = fw_cli_screen(cli), .go_on = go_on, .stop = cli->stop};
	enum fw_face_end end = FW_FACE_PAUSED;
	struct fw_error err = {0};

	make_go_on(go_on, sizeof go_on, cli, fw_job_number(job));
	int code = answers ? fw_face_answers(job, &face, answers, &end, &err)
	                   : fw_face_terminal(job, &face, stdin, &end, &err);
	if (code == FW_OK)
		return FW_EXIT_FINE;
	fw_cli_trouble(&err);
	say_how_to_go_on(code, go_on, fw_job_number(job));
	return FW_EXIT_TROUBLE;
}
