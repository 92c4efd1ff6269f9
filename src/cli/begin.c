/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"

enum { SHEET = FW_OPTION_OWN, UNIT, WHO, ANSWERS };

struct wanted {
	struct fw_job_begin begin;
	const char *answers;
};

static int read_options(struct fw_cli *cli, int argc, char **argv, struct wanted *wanted,
                        int *status)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        FW_KEY_OPTIONS,
	                                        {"sheet", required_argument, NULL, SHEET},
	                                        {"unit", required_argument, NULL, UNIT},
	                                        {"who", required_argument, NULL, WHO},
	                                        {"answers", required_argument, NULL, ANSWERS},
	                                        {NULL, 0, NULL, 0}};
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, status)) != -1) {
		if (option == SHEET)
			wanted->begin.sheet = optarg;
		else if (option == UNIT)
			wanted->begin.unit = optarg;
		else if (option == WHO)
			wanted->begin.who = optarg;
		else if (option == ANSWERS)
			wanted->answers = optarg;
		else
			return -1;
	}
	return 0;
}

static int check(const struct fw_cli *cli, int argc, char **argv, struct wanted *wanted)
{
	struct fw_job_begin *begin = &wanted->begin;

	if (optind == argc)
		return fw_cli_usage(cli, "which procedure? give the path of its file");
	if (optind + 1 < argc)
		return fw_cli_usage(cli, "one procedure at a time; '%s' is too much", argv[optind + 1]);
	begin->procedure = argv[optind];
	if (!begin->unit || !*begin->unit)
		return fw_cli_usage(cli, "which unit is on the bench? give it with --unit");
	begin->who = fw_cli_who(begin->who);
	if (!begin->who)
		return fw_cli_usage(cli, "who works on it? give the name with --who, or in FITWRIGHT_WHO");
	return FW_EXIT_FINE;
}

/* Before the trail: a slip in a name leaves no empty record behind. What else can be wrong with
 * the file, the engine says. */
static int check_file(const char *path, struct fw_error *err)
{
	FILE *file = path ? fopen(path, "rb") : NULL;

	if (path && !file)
		return fw_fail(err, FW_ERR_NOT_FOUND, "%s: can't be opened: %s", path, strerror(errno));
	if (file)
		fclose(file);
	return FW_OK;
}

static int start(struct fw_job **out, struct fw_trail *trail, void *context, struct fw_error *err)
{
	return fw_job_begin(out, trail, context, NULL, NULL, err);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct wanted wanted = {0};
	struct fw_error err = {0};
	int status = FW_EXIT_FINE;

	if (read_options(cli, argc, argv, &wanted, &status) != 0)
		return status;
	status = check(cli, argc, argv, &wanted);
	if (status != FW_EXIT_FINE)
		return status;
	if (check_file(wanted.begin.procedure, &err) != FW_OK ||
	    check_file(wanted.begin.sheet, &err) != FW_OK)
		return fw_cli_trouble(&err);
	return fw_cli_work(cli, FW_TRAIL_CREATE, wanted.answers, start, &wanted.begin, NULL);
}

const struct fw_command fw_command_begin = {
    .name = "begin",
    .summary = "begin a job: one rebuild of one unit",
    .help = "Usage: fitwright begin PROCEDURE [--sheet FILE] --unit TEXT [--who NAME]\n"
            "                       [--answers FILE]\n"
            "\n"
            "Begins a job and leads through it. The procedure and the sheet are stored with\n"
            "the job, which goes on with them even if the files change.\n"
            "\n"
            "      --sheet FILE     the figures of this kind of unit, if they are needed\n"
            "      --unit TEXT      which unit is on the bench, in your own words\n"
            "      --who NAME       who works on it; else FITWRIGHT_WHO from the environment\n"
            "      --answers FILE   take the answers from a file ('-': standard input) and\n"
            "                       pause when they run out\n"
            "      --keys DIR       where the key files of those who sign lie; else\n"
            "                       FITWRIGHT_KEYS, else a folder of your own\n"
            "      --passphrases FILE\n"
            "                       take passphrases from a file, 'name: passphrase' a line,\n"
            "                       instead of asking for them: for rehearsals\n"
            "      --trail FILE     the record to use\n"
            "      --color WHEN     auto, always or never\n"
            "      --help           this help\n"
            "\n"
            "A file of answers has one a line, 'step: answer', in the order they are asked.\n"
            "'step' alone means done, or nothing to say. 'step!: answer' keeps a reading that\n"
            "is implausible. '/back reason' takes the last answer back. '#' begins a comment.\n"
            "\n"
            "Exit status: 0 released or paused, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Examples:\n"
            "  fitwright begin countershaft.lua --sheet box.lua --unit 'gearbox 4-118' \\\n"
            "      --who 'R. Example'\n"
            "  fitwright begin countershaft.lua --unit test --who me --answers answers.txt\n",
    .run = run,
};
