/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/cli.h"

static int run(struct fw_cli *cli, int argc, char **argv)
{
	(void)argc;
	(void)argv;
	return fw_cli_usage(cli, "not there yet");
}

const struct fw_command fw_command_reopen = {
    .name = "reopen",
    .summary = "open a released job again, with a reason and a signature",
    .help = "Usage: fitwright reopen\n",
    .run = run,
};
