/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/cli.h"

#include <errno.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "face/glyph.h"

#define MESSAGE (2 * FW_ERROR_TEXT)
/* More than any trail of ours asks of SQLite: the largest piece of evidence, several times, in each of some threads. */
#define MEMORY_MOST ((int64_t)2 * 1024 * 1024 * 1024)

/* Messages quote what was typed and what stands in files: shown harmless, like all else. */
static void say(char *text)
{
	struct fw_screen screen = fw_screen_make(stderr);

	fw_utf8_drop_cut(text);
	fflush(stdout); /* keeps the order when both go to one place */
	fputs("fitwright: ", stderr);
	fw_text_print(&screen, text, -1);
	fputc('\n', stderr);
}

int fw_cli_fail(enum fw_exit status, const char *format, ...)
{
	char text[MESSAGE];
	va_list args;

	va_start(args, format);
	vsnprintf(text, sizeof text, format, args);
	va_end(args);
	say(text);
	return (int)status;
}

int fw_cli_usage(const struct fw_cli *cli, const char *format, ...)
{
	char text[MESSAGE];
	va_list args;

	va_start(args, format);
	vsnprintf(text, sizeof text, format, args);
	va_end(args);
	say(text);
	fprintf(stderr, "Try 'fitwright %s%s--help'.\n", cli->command ? cli->command : "",
	        cli->command ? " " : "");
	return FW_EXIT_USAGE;
}

int fw_cli_trouble(const struct fw_error *err)
{
	return fw_cli_fail(FW_EXIT_TROUBLE, "%s",
	                   err->text[0] ? err->text : "failed without saying why");
}

const char *fw_cli_trail_path(const struct fw_cli *cli, char *buffer, size_t size,
                              struct fw_error *err)
{
	return cli->trail ? cli->trail : fw_trail_default_path(buffer, size, err);
}

int fw_cli_open(const struct fw_cli *cli, struct fw_trail **out, enum fw_trail_mode mode,
                struct fw_error *err)
{
	char buffer[FW_CLI_PATH];
	const char *path = fw_cli_trail_path(cli, buffer, sizeof buffer, err);

	if (!path)
		return err->code ? err->code : FW_ERR_TRAIL;
	fw_trail_limit_memory(MEMORY_MOST); /* the file may be a stranger's */
	return fw_trail_open(out, path, mode, err);
}

int fw_cli_with_trail(const struct fw_cli *cli, enum fw_trail_mode mode, fw_cli_use *use,
                      void *context)
{
	struct fw_trail *trail = NULL;
	struct fw_error err = {0};

	int code = fw_cli_open(cli, &trail, mode, &err);
	if (code == FW_OK)
		code = use(trail, context, &err);
	fw_trail_close(trail);
	return code == FW_OK ? FW_EXIT_FINE : fw_cli_trouble(&err);
}

const char *fw_cli_who(const char *given)
{
	const char *who = given ? given : getenv("FITWRIGHT_WHO");

	return who && *who ? who : NULL;
}

bool fw_cli_choice(size_t *out, const char *const *names, size_t count, const char *text)
{
	for (size_t i = 0; i < count; i++) {
		if (strcmp(names[i], text) == 0) {
			*out = i;
			return true;
		}
	}
	return false;
}

bool fw_cli_job(int64_t *out, const char *text)
{
	char *end;

	if (text[0] < '0' || text[0] > '9')
		return false;
	errno = 0;
	long long number = strtoll(text, &end, 10);
	if (errno != 0 || *end != '\0' || number < 1)
		return false;
	*out = number;
	return true;
}

int fw_cli_one_job(const struct fw_cli *cli, int argc, char **argv, int64_t *job)
{
	if (optind == argc)
		return fw_cli_usage(cli, "which job? 'fitwright list' gives their numbers");
	if (optind + 1 < argc)
		return fw_cli_usage(cli, "one job at a time; '%s' is too much", argv[optind + 1]);
	if (!fw_cli_job(job, argv[optind]))
		return fw_cli_usage(cli, "'%s' is not a job's number; 'fitwright list' gives them",
		                    argv[optind]);
	return FW_EXIT_FINE;
}

int fw_cli_put_json(const json_t *json)
{
	char *text = json_dumps(json, JSON_INDENT(2));

	if (!text)
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory while writing JSON");
	puts(text); /* a failure shows when the program ends */
	free(text);
	return FW_EXIT_FINE;
}

struct fw_screen fw_cli_screen(const struct fw_cli *cli)
{
	struct fw_screen screen = fw_screen_make(stdout);
	const char *no_colour = getenv("NO_COLOR");
	const char *term = getenv("TERM");

	screen.colour = cli->colour == FW_COLOUR_ALWAYS ||
	                (cli->colour == FW_COLOUR_AUTO && isatty(STDOUT_FILENO) &&
	                 !(no_colour && *no_colour) && term && strcmp(term, "dumb") != 0);
	return screen;
}
