/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "cli/passphrase.h"
#include "cli/unlock.h"
#include "cli/who.h"

static volatile sig_atomic_t stop_asked;

static void on_stop(int number)
{
	(void)number;
	stop_asked = 1;
}

/* Only there to end a wait, so that the line being typed is drawn again. */
static void on_continue(int number)
{
	(void)number;
}

/* Leaving politely says how to go on, and gives the terminal back as it was. Outside a session
 * nothing has to be given back, and a signal ends the program at once. No SA_RESTART: a waiting
 * read has to end. */
static void catch_signals(void)
{
	struct sigaction action = {.sa_handler = on_stop};
	static const int leave[] = {SIGINT, SIGTERM, SIGHUP};

	sigemptyset(&action.sa_mask);
	for (size_t i = 0; i < sizeof leave / sizeof *leave; i++) {
		struct sigaction before;
		/* A signal that was ignored when the program started stays so (nohup). */
		if (sigaction(leave[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
			sigaction(leave[i], &action, NULL);
	}
	action.sa_handler = on_continue;
	sigaction(SIGCONT, &action, NULL);
}

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

void fw_cli_append_trail(char *out, size_t size, const struct fw_cli *cli)
{
	size_t used = strlen(out);

	if (!cli->trail)
		return;
	snprintf(out + used, size - used, " --trail ");
	append_quoted(out, size, cli->trail);
}

static void make_go_on(char *out, size_t size, const struct fw_cli *cli, int64_t job)
{
	snprintf(out, size, "fitwright resume %lld", (long long)job);
	fw_cli_append_trail(out, size, cli);
}

static int read_answers(struct fw_answers **out, const char *path, struct fw_error *err)
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

/* The procedure fails on what is recorded: either the last answer is wrong, or the procedure is. */
static void say_ways_on(const struct fw_cli *cli, int64_t job)
{
	char trail[4096] = "";
	long long number = (long long)job;

	fw_cli_append_trail(trail, sizeof trail, cli);
	fw_cli_fail(FW_EXIT_TROUBLE, "all answers are recorded; there are three ways on");
	fw_cli_fail(FW_EXIT_TROUBLE,
	            "if the last answer was wrong: fitwright back %lld --reason TEXT%s", number, trail);
	fw_cli_fail(FW_EXIT_TROUBLE, "if an earlier one was: fitwright amend %lld%s lists them all",
	            number, trail);
	fw_cli_fail(
	    FW_EXIT_TROUBLE,
	    "if the procedure is at fault: mend a copy of it, then fitwright report %lld --format "
	    "answers%s",
	    number, trail);
	fw_cli_fail(FW_EXIT_TROUBLE, "and fitwright begin MENDED … --answers job-%lld.answers%s",
	            number, trail);
}

/* What the engine has recorded stays recorded, whatever went wrong after it. */
static void say_how_to_go_on(const struct fw_cli *cli, int code, const char *go_on, int64_t job)
{
	if (code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT)
		say_ways_on(cli, job);
	else if (code == FW_ERR_BUSY)
		fw_cli_fail(FW_EXIT_TROUBLE, "someone else went on with this job; look where it stands: %s",
		            go_on);
	else
		fw_cli_fail(FW_EXIT_TROUBLE, "answers taken so far are recorded; to go on: %s", go_on);
}

/* Answers down a pipe come from a program; a terminal behind it isn't asked. */
static bool answers_on_stdin(const char *path)
{
	return !path || strcmp(path, "-") == 0;
}

static int run_face(const struct fw_cli *cli, struct fw_job *job, const struct fw_answers *answers)
{
	char go_on[4096 + 64];
	struct fw_face face = {.screen = fw_cli_screen(cli), .go_on = go_on, .stop = &stop_asked};
	enum fw_face_end end = FW_FACE_PAUSED;
	struct fw_error err = {0};

	catch_signals();
	make_go_on(go_on, sizeof go_on, cli, fw_job_number(job));
	int code = answers ? fw_face_answers(job, &face, answers, &end, &err)
	                   : fw_face_terminal(job, &face, stdin, &end, &err);
	if (code == FW_OK)
		return FW_EXIT_FINE;
	fw_cli_trouble(&err);
	say_how_to_go_on(cli, code, go_on, fw_job_number(job));
	return FW_EXIT_TROUBLE;
}

int fw_cli_work(const struct fw_cli *cli, enum fw_trail_mode mode, const char *path,
                fw_cli_start *start, void *context, const int64_t *resumed)
{
	struct fw_answers *answers = NULL;
	struct fw_trail *trail = NULL;
	struct fw_job *job = NULL;
	struct fw_error err = {0};
	struct fw_unlocker unlocker = {.cli = cli, .answers_on_stdin = answers_on_stdin(path)};
	const struct fw_unlock unlock = fw_cli_unlock(&unlocker);

	/* The answers before anything is recorded: a file with a slip in it begins no job. */
	int code = read_answers(&answers, path, &err);
	if (code == FW_OK)
		code = fw_cli_open(cli, &trail, mode, &err);
	if (code == FW_OK)
		code = start(&job, trail, context, &err);
	if (code == FW_OK) {
		unlocker.trail = trail;
		unlocker.job = fw_job_number(job);
		fw_job_set_unlock(job, &unlock);
		fw_passphrase_warn(cli->passphrases);
		fw_cli_say_stranger(trail, fw_job_who(job));
	}
	int status = code == FW_OK ? run_face(cli, job, answers) : fw_cli_trouble(&err);
	if (resumed && (code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT))
		say_ways_on(cli, *resumed);
	fw_job_close(job);
	fw_trail_close(trail);
	fw_answers_free(answers);
	return status;
}
