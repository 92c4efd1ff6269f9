/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#include "cli/cli.h"
#include "face/amend_show.h"
#include "face/glyph.h"
#include "face/wrap.h"

enum { WHO = FW_OPTION_OWN, TO, REASON, YES, DRY_RUN, CONFIRMED };

struct wanted {
	const struct fw_cli *cli;
	int64_t job, entry; /* entry 0: list them */
	const char *who, *to, *reason;
	bool yes, dry_run, confirmed;
	bool left; /* it wasn't affirmed */
};

static int read_options(struct fw_cli *cli, int argc, char **argv, struct wanted *wanted,
                        int *status)
{
	/* clang-format off */
	static const struct option options[] = {
	    FW_COMMON_OPTIONS,
	    {"who", required_argument, NULL, WHO},
	    {"to", required_argument, NULL, TO},
	    {"reason", required_argument, NULL, REASON},
	    {"yes", no_argument, NULL, YES},
	    {"dry-run", no_argument, NULL, DRY_RUN},
	    {"confirmed", no_argument, NULL, CONFIRMED},
	    {NULL, 0, NULL, 0}};
	/* clang-format on */
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, status)) != -1) {
		if (option == WHO)
			wanted->who = optarg;
		else if (option == TO)
			wanted->to = optarg;
		else if (option == REASON)
			wanted->reason = optarg;
		else if (option == YES)
			wanted->yes = true;
		else if (option == DRY_RUN)
			wanted->dry_run = true;
		else if (option == CONFIRMED)
			wanted->confirmed = true;
		else
			return -1;
	}
	return 0;
}

static int check_wanted(const struct fw_cli *cli, int argc, char **argv, struct wanted *wanted)
{
	char *job = optind < argc ? argv[optind] : NULL;

	if (optind + 2 < argc)
		return fw_cli_usage(cli, "a job and an entry; '%s' is too much", argv[optind + 2]);
	if (!job)
		return fw_cli_usage(cli, "which job? 'fitwright list' gives their numbers");
	if (!fw_cli_job(&wanted->job, job))
		return fw_cli_usage(cli, "'%s' is not a job's number; 'fitwright list' gives them", job);
	if (optind + 1 < argc && !fw_cli_job(&wanted->entry, argv[optind + 1]))
		return fw_cli_usage(cli,
		                    "'%s' is not the number of an entry; 'fitwright amend %s' lists them",
		                    argv[optind + 1], job);
	if (wanted->entry == 0 && (wanted->to || wanted->reason || wanted->yes || wanted->dry_run))
		return fw_cli_usage(cli, "which entry? 'fitwright amend %s' lists them", job);
	if (wanted->entry > 0 && !wanted->to)
		return fw_cli_usage(cli, "what shall the answer be? give it with --to");
	if (wanted->entry > 0 && !wanted->dry_run && (!wanted->reason || !*wanted->reason))
		return fw_cli_usage(cli, "why is it amended? give it with --reason");
	return FW_EXIT_FINE;
}

/* A person at the terminal says yes; a program has said --yes. */
static int ask(struct wanted *wanted, struct fw_error *err)
{
	char line[16];

	if (wanted->yes)
		return FW_OK;
	if (!isatty(STDIN_FILENO))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "nobody is there to say yes to this; say --yes, or --dry-run only to look");
	fputs("Amend it? [yes, or Enter to leave it] > ", stdout);
	fflush(stdout);
	if (!fgets(line, sizeof line, stdin))
		line[0] = '\0';
	line[strcspn(line, "\r\n")] = '\0';
	wanted->left = strcasecmp(line, "yes") != 0 && strcasecmp(line, "y") != 0;
	return FW_OK;
}

static int amend_entry(const struct fw_screen *screen, struct fw_job *job, struct wanted *wanted,
                       struct fw_error *err)
{
	struct fw_amendment *look;
	int code = fw_job_amend_look(job, wanted->entry, wanted->to, wanted->confirmed, &look, err);

	if (code == FW_ERR_IMPLAUSIBLE) {
		char message[FW_ERROR_TEXT];
		snprintf(message, sizeof message, "%s", err->text);
		return fw_fail(err, code, "%s (to keep it, say --confirmed)", message);
	}
	if (code != FW_OK)
		return code;
	fw_amendment_show(screen, look);
	fw_amendment_free(look);
	if (wanted->dry_run)
		return FW_OK;
	code = ask(wanted, err);
	if (code != FW_OK || wanted->left)
		return code;
	return fw_job_amend(job, wanted->entry, wanted->to, wanted->confirmed, wanted->reason, err);
}

static int use(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct wanted *wanted = context;
	const struct fw_screen screen = fw_cli_screen(wanted->cli);
	struct fw_error stuck;
	struct fw_job *job;
	int code = fw_job_look(&job, trail, wanted->job, wanted->who, NULL, NULL, &stuck, err);

	if (code != FW_OK)
		return code;
	if (stuck.text[0]) {
		fw_wrap(&screen, "The procedure fails on what is recorded:", 0, FW_STYLE_PLAIN);
		fw_wrap(&screen, stuck.text, 2, FW_STYLE_PLAIN);
	}
	code = wanted->entry > 0 ? amend_entry(&screen, job, wanted, err)
	                         : fw_given_show(&screen, job, 0, NULL, err);
	fw_job_close(job);
	return code;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct wanted wanted = {.cli = cli};
	int status = FW_EXIT_FINE;

	if (read_options(cli, argc, argv, &wanted, &status) != 0)
		return status;
	status = check_wanted(cli, argc, argv, &wanted);
	if (status != FW_EXIT_FINE)
		return status;
	wanted.who = fw_cli_who(wanted.who);
	bool writes = wanted.entry > 0 && !wanted.dry_run;
	status = fw_cli_with_trail(cli, writes ? FW_TRAIL_WRITE : FW_TRAIL_READ, use, &wanted);
	if (status == FW_EXIT_FINE && writes)
		printf(wanted.left
		           ? "Nothing was amended.\n"
		           : "Amended. The old answer stays in the record, struck out; to go on: fitwright "
		             "resume %lld\n",
		       (long long)wanted.job);
	return status;
}

const struct fw_command fw_command_amend = {
    .name = "amend",
    .summary = "correct an answer, with a reason",
    .help = "Usage: fitwright amend JOB\n"
            "       fitwright amend JOB ENTRY --to TEXT --reason TEXT [--yes]\n"
            "       fitwright amend JOB ENTRY --to TEXT --dry-run\n"
            "\n"
            "Lists the answers of a job that stand, with the numbers of their entries; or\n"
            "corrects the one in ENTRY. The old answer stays in the record, struck out, with\n"
            "the reason. Later answers stay while the work goes the same way: from the first\n"
            "task or reading on that wasn't asked before, or in other words, they lapse and\n"
            "are asked again. Signatures given after the answer lapse. What will lapse is\n"
            "said first, and nothing is recorded until that was affirmed. Undo is taking\n"
            "back: /back, or 'fitwright back'.\n"
            "\n"
            "Works, too, on a job whose procedure fails on an answer. A released job is opened\n"
            "again first: 'fitwright reopen'.\n"
            "\n"
            "      --to TEXT       the answer as it should have been typed\n"
            "      --reason TEXT   why\n"
            "      --dry-run       only say what would lapse\n"
            "      --yes           don't ask\n"
            "      --confirmed     keep a reading though it is implausible\n"
            "      --who NAME      who amends it; else FITWRIGHT_WHO of the environment,\n"
            "                      else the person of the last entry\n"
            "      --trail FILE    the record to use\n"
            "      --color WHEN    auto, always or never\n"
            "      --help          this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Examples:\n"
            "  fitwright amend 3\n"
            "  fitwright amend 3 17 --to '0.41 mm' --reason 'read off the wrong scale'\n",
    .run = run,
};
