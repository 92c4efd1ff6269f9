/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "cli/cli.h"

static int show(struct fw_trail *trail, void *job, struct fw_error *err)
{
	return fw_report_write(stdout, trail, *(const int64_t *)job, FW_REPORT_TEXT, err);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {FW_COMMON_OPTIONS, {NULL, 0, NULL, 0}};
	int status = FW_EXIT_FINE;
	int64_t number;

	if (fw_cli_option(cli, argc, argv, options, &status) != -1)
		return status;
	status = fw_cli_one_job(cli, argc, argv, &number);
	if (status != FW_EXIT_FINE)
		return status;
	return fw_cli_with_trail(cli, FW_TRAIL_READ, show, &number);
}

const struct fw_command fw_command_show = {
    .name = "show",
    .summary = "show what a job's record holds",
    .help = "Usage: fitwright show JOB\n"
            "\n"
            "Shows what was asked, answered and found in a job, in order. Answers that were\n"
            "taken back are shown as such. Nothing is worked out again: 'fitwright audit'\n"
            "does that.\n"
            "\n"
            "      --trail FILE   the record to use\n"
            "      --color WHEN   auto, always or never\n"
            "      --help         this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright show 3 | less\n",
    .run = run,
};
