/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <signal.h>
#include <stdio.h>
#include <unistd.h>

#include "cli/cli.h"

enum { COMPACT = FW_OPTION_OWN };

struct wanted {
	const char *path;
	bool compact, shown; /* whether progress is shown */
	int percent;         /* shown last */
};

static volatile sig_atomic_t stop_asked;

static void on_stop(int number)
{
	(void)number;
	stop_asked = 1;
}

/* Stopped, the copy is taken away. */
static void catch_signals(void)
{
	static const int leave[] = {SIGINT, SIGTERM, SIGHUP};
	struct sigaction action = {.sa_handler = on_stop};

	sigemptyset(&action.sa_mask);
	for (size_t i = 0; i < sizeof leave / sizeof *leave; i++) {
		struct sigaction before;
		if (sigaction(leave[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
			sigaction(leave[i], &action, NULL);
	}
}

static int progress(void *context, int64_t done, int64_t all)
{
	struct wanted *wanted = context;
	int percent = all > 0 ? (int)(100 * done / all) : 0;

	if (wanted->shown && percent != wanted->percent)
		fprintf(stderr, percent < 100 ? "\rcopied %d %% " : "\rcopied; checking it …", percent);
	wanted->percent = percent;
	return stop_asked;
}

static int back_up(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct wanted *wanted = context;
	int code = fw_trail_backup(trail, wanted->path, wanted->compact, progress, wanted, err);

	if (wanted->shown)
		fputs("\r\033[K", stderr); /* the progress goes */
	return code;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {
	    FW_COMMON_OPTIONS, {"compact", no_argument, NULL, COMPACT}, {NULL, 0, NULL, 0}};
	struct wanted wanted = {.percent = -1};
	int status = FW_EXIT_FINE;
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option != COMPACT)
			return status;
		wanted.compact = true;
	}
	if (optind == argc)
		return fw_cli_usage(cli, "to which file? name one that isn't there yet");
	if (optind + 1 < argc)
		return fw_cli_usage(cli, "one file at a time; '%s' is too much", argv[optind + 1]);
	wanted.path = argv[optind];
	wanted.shown = isatty(STDERR_FILENO);
	catch_signals();
	status = fw_cli_with_trail(cli, FW_TRAIL_READ, back_up, &wanted);
	if (status == FW_EXIT_FINE)
		printf("The whole record is copied to %s, and the copy was checked.\n", wanted.path);
	return status;
}

const struct fw_command fw_command_backup = {
    .name = "backup",
    .summary = "copy the whole record, while others write to it",
    .help = "Usage: fitwright backup FILE [--compact]\n"
            "\n"
            "Copies the whole record to FILE, which must not be there yet. Work can go on\n"
            "meanwhile. The copy is a record like the one it was made from; it is checked\n"
            "(schema, integrity, chain) before it gets its name, and on the disk when the\n"
            "command ends. If anything goes wrong, nothing is left.\n"
            "\n"
            "      --compact      leave out free room in the file\n"
            "      --trail FILE   the record to copy\n"
            "      --color WHEN   auto, always or never\n"
            "      --help         this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright backup /media/stick/trail-2026-03-05.db\n",
    .run = run,
};
