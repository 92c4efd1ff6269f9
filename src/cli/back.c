/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>

#include "cli/cli.h"

enum { WHO = FW_OPTION_OWN, REASON };

struct wanted {
	int64_t job;
	const char *who, *reason;
};

static int take_back(struct fw_trail *trail, void *context, struct fw_error *err)
{
	const struct wanted *wanted = context;

	return fw_job_take_back(trail, wanted->job, wanted->who, wanted->reason, NULL, NULL, err);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"who", required_argument, NULL, WHO},
	                                        {"reason", required_argument, NULL, REASON},
	                                        {NULL, 0, NULL, 0}};
	struct wanted wanted = {0};
	int status = FW_EXIT_FINE;
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option == WHO)
			wanted.who = optarg;
		else if (option == REASON)
			wanted.reason = optarg;
		else
			return status;
	}
	status = fw_cli_one_job(cli, argc, argv, &wanted.job);
	if (status != FW_EXIT_FINE)
		return status;
	wanted.who = fw_cli_who(wanted.who);
	if (!wanted.reason || !*wanted.reason)
		return fw_cli_usage(cli, "why is it taken back? give it with --reason");
	status = fw_cli_with_trail(cli, FW_TRAIL_WRITE, take_back, &wanted);
	if (status == FW_EXIT_FINE)
		printf("The last answer of job %lld is taken back; it stays in the record, struck out.\n",
		       (long long)wanted.job);
	return status;
}

const struct fw_command fw_command_back = {
    .name = "back",
    .summary = "take a job's last answer back without going on with it",
    .help = "Usage: fitwright back JOB --reason TEXT [--who NAME]\n"
            "\n"
            "Takes the last answer of a job back. It stays in the record, struck out, with\n"
            "the reason, and is asked again. In a session /back does the same; this is for a\n"
            "job that can't be resumed because its procedure fails on that answer.\n"
            "\n"
            "      --reason TEXT   why\n"
            "      --who NAME      who takes it back; else FITWRIGHT_WHO of the environment,\n"
            "                      else the person of the last entry\n"
            "      --trail FILE    the record to use\n"
            "      --color WHEN    auto, always or never\n"
            "      --help          this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright back 3 --reason 'typed into the wrong line'\n",
    .run = run,
};
