/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/cli.h"

static int run(struct fw_cli *cli, int argc, char **argv)
{
	(void)argc;
	(void)argv;
	return fw_cli_usage(cli, "not there yet");
}

const struct fw_command fw_command_gauge = {
    .name = "gauge",
    .summary = "gauges of the shop: add, list, bad, retire, uses",
    .help = "Usage: fitwright gauge\n",
    .run = run,
};
