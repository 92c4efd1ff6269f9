/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>

#include "cli/cli.h"
#include "cli/passphrase.h"
#include "cli/unlock.h"

enum { WHO = FW_OPTION_OWN, REASON, SIGNER };

struct wanted {
	const struct fw_cli *cli;
	int64_t job;
	const char *who, *reason, *signer;
};

static int reopen(struct fw_trail *trail, void *context, struct fw_error *err)
{
	const struct wanted *wanted = context;
	struct fw_unlocker unlocker = {.cli = wanted->cli, .trail = trail, .job = wanted->job};
	const struct fw_unlock unlock = fw_cli_unlock(&unlocker);

	fw_passphrase_warn(wanted->cli->passphrases);
	return fw_job_reopen(trail, wanted->job, wanted->who, wanted->signer, wanted->reason, &unlock,
	                     NULL, NULL, err);
}

static void say_ways_on(const struct fw_cli *cli, int64_t job)
{
	char trail[FW_CLI_PATH + 64] = "";

	fw_cli_append_trail(trail, sizeof trail, cli);
	printf("Job %lld is open again. To correct it:\n"
	       "    fitwright amend %lld%s\n"
	       "To sign and release it:\n"
	       "    fitwright resume %lld%s\n",
	       (long long)job, (long long)job, trail, (long long)job, trail);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        FW_KEY_OPTIONS,
	                                        {"who", required_argument, NULL, WHO},
	                                        {"reason", required_argument, NULL, REASON},
	                                        {"signer", required_argument, NULL, SIGNER},
	                                        {NULL, 0, NULL, 0}};
	struct wanted wanted = {.cli = cli};
	int status = FW_EXIT_FINE;
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option == WHO)
			wanted.who = optarg;
		else if (option == REASON)
			wanted.reason = optarg;
		else if (option == SIGNER)
			wanted.signer = optarg;
		else
			return status;
	}
	status = fw_cli_one_job(cli, argc, argv, &wanted.job);
	if (status != FW_EXIT_FINE)
		return status;
	wanted.who = fw_cli_who(wanted.who);
	if (!wanted.reason || !*wanted.reason)
		return fw_cli_usage(cli, "why is it opened again? give it with --reason");
	if (!wanted.signer || !*wanted.signer)
		return fw_cli_usage(cli, "who signs for it? give the name with --signer");
	status = fw_cli_with_trail(cli, FW_TRAIL_WRITE, reopen, &wanted);
	if (status == FW_EXIT_FINE)
		say_ways_on(cli, wanted.job);
	return status;
}

const struct fw_command fw_command_reopen = {
    .name = "reopen",
    .summary = "open a released job again, with a reason and a signature",
    .help = "Usage: fitwright reopen JOB --reason TEXT --signer NAME [--who NAME]\n"
            "\n"
            "Opens a released job again, so that its answers can be amended or taken back. The\n"
            "release stays in the record, struck out, and so do the signatures at the end:\n"
            "they are asked for again before the job is released once more. Of a job that ends\n"
            "without a signature the last answer is asked again.\n"
            "\n"
            "      --reason TEXT   why\n"
            "      --signer NAME   who signs for opening it: with the role 'release', or that of\n"
            "                      the last signature\n"
            "      --who NAME      who is at the bench; else FITWRIGHT_WHO of the environment,\n"
            "                      else the person of the last entry\n"
            "      --keys FOLDER   where key files lie\n"
            "      --passphrases FILE  passphrases, a line 'name: passphrase' each, instead of\n"
            "                      asking at the terminal\n"
            "      --trail FILE    the record to use\n"
            "      --color WHEN    auto, always or never\n"
            "      --help          this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright reopen 3 --reason 'the torque was misread' --signer 'R. Example'\n",
    .run = run,
};
