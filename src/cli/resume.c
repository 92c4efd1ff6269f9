/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"

enum { WHO = FW_OPTION_OWN, ANSWERS };

struct wanted {
	int64_t job; /* 0: the only open one */
	const char *who, *answers;
};

static int read_options(struct fw_cli *cli, int argc, char **argv, struct wanted *wanted,
                        int *status)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        FW_KEY_OPTIONS,
	                                        {"who", required_argument, NULL, WHO},
	                                        {"answers", required_argument, NULL, ANSWERS},
	                                        {NULL, 0, NULL, 0}};
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, status)) != -1) {
		if (option == WHO)
			wanted->who = optarg;
		else if (option == ANSWERS)
			wanted->answers = optarg;
		else
			return -1;
	}
	return 0;
}

struct open_jobs {
	size_t count;
	int64_t job;
	char text[256]; /* "2, 5, 9" */
};

static int note_open(void *context, const struct fw_job_line *line)
{
	struct open_jobs *jobs = context;
	size_t used = strlen(jobs->text);

	if (line->last_kind && strcmp(line->last_kind, "release") == 0)
		return 0;
	jobs->count++;
	jobs->job = line->job;
	if (used + 32 < sizeof jobs->text)
		snprintf(jobs->text + used, sizeof jobs->text - used, "%s%lld", used ? ", " : "",
		         (long long)line->job);
	else if (!strstr(jobs->text, " …"))
		snprintf(jobs->text + used, sizeof jobs->text - used, " …");
	return 0;
}

/* The job to go on with when none was named. */
static int only_open_job(struct fw_trail *trail, int64_t *job, struct fw_error *err)
{
	struct open_jobs jobs = {0};
	int code = fw_trail_jobs(trail, note_open, &jobs, err);

	if (code != FW_OK)
		return code;
	if (jobs.count == 0)
		return fw_fail(err, FW_ERR_NOT_FOUND, "no job is open; 'fitwright begin' begins one");
	if (jobs.count > 1)
		return fw_fail(err, FW_ERR_NOT_FOUND,
		               "%zu jobs are open (%s); say which, 'fitwright list' shows them", jobs.count,
		               jobs.text);
	*job = jobs.job;
	return FW_OK;
}

static int start(struct fw_job **out, struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct wanted *wanted = context;
	int code = wanted->job == 0 ? only_open_job(trail, &wanted->job, err) : FW_OK;

	return code == FW_OK ? fw_job_resume(out, trail, wanted->job, wanted->who, NULL, NULL, err)
	                     : code;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct wanted wanted = {0};
	int status = FW_EXIT_FINE;

	if (read_options(cli, argc, argv, &wanted, &status) != 0)
		return status;
	if (optind < argc) {
		status = fw_cli_one_job(cli, argc, argv, &wanted.job);
		if (status != FW_EXIT_FINE)
			return status;
	}
	wanted.who = fw_cli_who(wanted.who);
	return fw_cli_work(cli, FW_TRAIL_WRITE, wanted.answers, start, &wanted, &wanted.job);
}

const struct fw_command fw_command_resume = {
    .name = "resume",
    .summary = "go on with a job where it stood",
    .help = "Usage: fitwright resume [JOB] [--who NAME] [--answers FILE]\n"
            "\n"
            "Goes on with a job where it stood. Without JOB, with the only one that is open.\n"
            "\n"
            "      --who NAME       who goes on; else FITWRIGHT_WHO from the environment,\n"
            "                       else the person of the last entry\n"
            "      --answers FILE   take the answers from a file ('-': standard input) and\n"
            "                       pause when they run out; 'fitwright begin --help'\n"
            "                       describes it\n"
            "      --keys DIR       where the key files of those who sign lie\n"
            "      --passphrases FILE\n"
            "                       take passphrases from a file; as in begin\n"
            "      --trail FILE     the record to use\n"
            "      --color WHEN     auto, always or never\n"
            "      --help           this help\n"
            "\n"
            "Exit status: 0 released or paused, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Examples:\n"
            "  fitwright resume\n"
            "  fitwright resume 3 --who 'R. Example'\n",
    .run = run,
};
