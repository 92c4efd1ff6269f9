/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>

#include "cli/cli.h"
#include "face/glyph.h"

enum { WHO = FW_OPTION_OWN, NOTE };

struct wanted {
	const struct fw_cli *cli;
	int64_t job;
	const char *path, *who, *note;
};

static void say(const struct wanted *wanted, const struct fw_attached *attached)
{
	struct fw_screen screen = fw_cli_screen(wanted->cli);

	fprintf(screen.out, "Kept with job %lld as entry %lld: ", (long long)wanted->job,
	        (long long)attached->seq);
	fw_text_print(&screen, attached->name, -1);
	fprintf(screen.out, ", %s, %lld bytes.\n", attached->words, (long long)attached->size);
	if (!attached->name_fits)
		fprintf(screen.out, "Its name ends like that of another kind of file.\n");
}

static int attach(struct fw_trail *trail, void *context, struct fw_error *err)
{
	const struct wanted *wanted = context;
	struct fw_job *job;
	int code = fw_job_resume(&job, trail, wanted->job, wanted->who, NULL, NULL, err);

	if (code != FW_OK)
		return code;
	code = fw_job_attach(job, wanted->path, wanted->note, err);
	if (code == FW_OK)
		say(wanted, fw_job_attached(job));
	fw_job_close(job);
	return code;
}

/* JOB and FILE. */
static int take_operands(const struct fw_cli *cli, int argc, char **argv, struct wanted *wanted)
{
	if (optind + 2 < argc)
		return fw_cli_usage(cli, "one file at a time; '%s' is too much", argv[optind + 2]);
	if (optind + 2 != argc)
		return fw_cli_usage(cli, "name the job and the file");
	if (!fw_cli_job(&wanted->job, argv[optind]))
		return fw_cli_usage(cli, "'%s' is not a job's number; 'fitwright list' gives them",
		                    argv[optind]);
	wanted->path = argv[optind + 1];
	return FW_EXIT_FINE;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"who", required_argument, NULL, WHO},
	                                        {"note", required_argument, NULL, NOTE},
	                                        {NULL, 0, NULL, 0}};
	struct wanted wanted = {.cli = cli};
	int status = FW_EXIT_FINE;
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option == WHO)
			wanted.who = optarg;
		else if (option == NOTE)
			wanted.note = optarg;
		else
			return status;
	}
	status = take_operands(cli, argc, argv, &wanted);
	if (status != FW_EXIT_FINE)
		return status;
	wanted.who = fw_cli_who(wanted.who);
	return fw_cli_with_trail(cli, FW_TRAIL_WRITE, attach, &wanted);
}

const struct fw_command fw_command_attach = {
    .name = "attach",
    .summary = "keep a photo, scan or sound clip with a job",
    .help = "Usage: fitwright attach JOB FILE [--note TEXT] [--who NAME]\n"
            "\n"
            "Keeps a file with a job, where the work stands: its bytes go into the record,\n"
            "under their hash. JPEG, PNG, GIF, WebP, TIFF, HEIC, PDF, WAV, FLAC, Ogg, MP3, M4A\n"
            "and MP4 files are taken, told by their first bytes and not by their name, of at\n"
            "most 64 MiB. In a session /attach does the same.\n"
            "\n"
            "      --note TEXT    what it shows\n"
            "      --who NAME     who attaches it; else FITWRIGHT_WHO of the environment, else\n"
            "                     the person of the last entry\n"
            "      --trail FILE   the record to use\n"
            "      --color WHEN   auto, always or never\n"
            "      --help         this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright attach 3 gear.jpg --note 'pitting on 4th, drive side'\n",
    .run = run,
};
