/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"

enum { UNIT = FW_OPTION_OWN, PROCEDURE, CHECK, FORMAT, OUTPUT };

struct wanted {
	const struct fw_cli *cli;
	struct fw_trail *trail;
	struct fw_history_filter filter;
	enum fw_history_format format;
	const char *output; /* NULL or "-": standard output */
};

static bool read_format(enum fw_history_format *out, const char *name)
{
	static const char *const names[] = {"text", "json", "svg"};
	size_t found;

	if (!fw_cli_choice(&found, names, sizeof names / sizeof *names, name))
		return false;
	*out = (enum fw_history_format)found;
	return true;
}

static int read_options(struct fw_cli *cli, int argc, char **argv, struct wanted *wanted,
                        int *status)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"unit", required_argument, NULL, UNIT},
	                                        {"procedure", required_argument, NULL, PROCEDURE},
	                                        {"check", required_argument, NULL, CHECK},
	                                        {"format", required_argument, NULL, FORMAT},
	                                        {"output", required_argument, NULL, OUTPUT},
	                                        {NULL, 0, NULL, 0}};
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, status)) != -1) {
		switch (option) {
		case UNIT:
			wanted->filter.unit = optarg;
			break;
		case PROCEDURE:
			wanted->filter.procedure = optarg;
			break;
		case CHECK:
			wanted->filter.check = optarg;
			break;
		case OUTPUT:
			wanted->output = optarg;
			break;
		case FORMAT:
			if (read_format(&wanted->format, optarg))
				break;
			*status = fw_cli_usage(cli, "--format takes text, json or svg, not '%s'", optarg);
			return -1;
		default:
			return -1;
		}
	}
	return 0;
}

static int write_out(FILE *out, void *context, struct fw_error *err)
{
	const struct wanted *wanted = context;

	return fw_history_write(out, wanted->trail, &wanted->filter, wanted->format, err);
}

static int history(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct wanted *wanted = context;

	wanted->trail = trail;
	return fw_cli_write(wanted->cli, wanted->output, write_out, wanted, err);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct wanted wanted = {.cli = cli, .format = FW_HISTORY_TEXT};
	int status = FW_EXIT_FINE;

	if (read_options(cli, argc, argv, &wanted, &status) != 0)
		return status;
	if (optind < argc)
		return fw_cli_usage(cli, "history takes no '%s'; --unit, --procedure and --check choose",
		                    argv[optind]);
	return fw_cli_with_trail(cli, FW_TRAIL_READ, history, &wanted);
}

const struct fw_command fw_command_history = {
    .name = "history",
    .summary = "a check over all jobs of a kind of unit",
    .help = "Usage: fitwright history [--unit TEXT] [--procedure NAME] [--check NAME]\n"
            "                         [--format NAME] [--output FILE]\n"
            "\n"
            "Shows each check over all jobs: as found against as left, trials, concessions,\n"
            "and control limits of what was left behind: values beyond them, jumps, and runs\n"
            "of eight on one side of the mean are marked. Nothing is worked out again.\n"
            "\n"
            "      --unit TEXT       jobs whose unit has TEXT in its name\n"
            "      --procedure NAME  jobs whose procedure has NAME in its title or file name\n"
            "      --check NAME      checks with NAME in their name, or of just that name\n"
            "      --format NAME     text (the default), json, svg (a chart of one check)\n"
            "      --output FILE     where to; else, and with '-', standard output\n"
            "      --trail FILE      the record to use\n"
            "      --color WHEN      auto, always or never\n"
            "      --help            this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Examples:\n"
            "  fitwright history --procedure 'end float'\n"
            "  fitwright history --unit gearbox --check 'end float' --format svg \\\n"
            "    --output float.svg\n",
    .run = run,
};
