/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"

enum { OUTPUT = FW_OPTION_OWN, FORMAT, WHAT, STRUCK };
enum format { EXCERPT, AS_JSON, AS_CSV };

struct wanted {
	const struct fw_cli *cli;
	struct fw_trail *trail;
	int64_t job;
	enum format format;
	const char *output, *what;
	size_t table;
	bool struck;
};

static bool read_format(enum format *out, const char *name)
{
	static const char *const names[] = {"excerpt", "json", "csv"};
	size_t found;

	if (!fw_cli_choice(&found, names, sizeof names / sizeof *names, name))
		return false;
	*out = (enum format)found;
	return true;
}

static int read_options(struct fw_cli *cli, int argc, char **argv, struct wanted *wanted,
                        int *status)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"output", required_argument, NULL, OUTPUT},
	                                        {"format", required_argument, NULL, FORMAT},
	                                        {"what", required_argument, NULL, WHAT},
	                                        {"struck", no_argument, NULL, STRUCK},
	                                        {NULL, 0, NULL, 0}};
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, status)) != -1) {
		if (option == OUTPUT) {
			wanted->output = optarg;
		} else if (option == WHAT) {
			wanted->what = optarg;
		} else if (option == STRUCK) {
			wanted->struck = true;
		} else if (option != FORMAT) {
			return -1;
		} else if (!read_format(&wanted->format, optarg)) {
			*status = fw_cli_usage(cli, "--format takes excerpt, json or csv, not '%s'", optarg);
			return -1;
		}
	}
	return 0;
}

static void name_tables(char *out, size_t size)
{
	out[0] = '\0';
	for (size_t i = 0; fw_export_table_at(i); i++) {
		size_t used = strlen(out);
		snprintf(out + used, size - used, "%s%s", i ? ", " : "", fw_export_table_at(i));
	}
}

/* What goes together, before anything is opened. */
static int check(const struct fw_cli *cli, struct wanted *wanted)
{
	char tables[256];

	name_tables(tables, sizeof tables);
	if (wanted->format == AS_CSV && !wanted->what)
		return fw_cli_usage(cli, "which table? --what takes %s", tables);
	if (wanted->format != AS_CSV && (wanted->what || wanted->struck))
		return fw_cli_usage(cli, "--what and --struck are for --format csv");
	if (wanted->what && !fw_export_table_find(&wanted->table, wanted->what))
		return fw_cli_usage(cli, "there is no table '%s'; --what takes %s", wanted->what, tables);
	if (wanted->format == EXCERPT && wanted->job == FW_EXPORT_ALL)
		return fw_cli_usage(cli, "an excerpt is of one job: which? 'fitwright backup' copies all");
	if (wanted->format == EXCERPT && (!wanted->output || strcmp(wanted->output, "-") == 0))
		return fw_cli_usage(cli, "to which file? name one that isn't there yet with --output");
	return FW_EXIT_FINE;
}

static int write_out(FILE *out, void *context, struct fw_error *err)
{
	const struct wanted *wanted = context;

	return wanted->format == AS_JSON
	           ? fw_export_json(out, wanted->trail, wanted->job, err)
	           : fw_export_csv(out, wanted->trail, wanted->job, wanted->table, wanted->struck, err);
}

/* Who leaves meanwhile leaves when it is there, whole: an excerpt is made in moments. */
static int write_excerpt(struct fw_trail *trail, const struct wanted *wanted, struct fw_error *err)
{
	static const int leave[] = {SIGINT, SIGTERM, SIGHUP};
	sigset_t set, before;

	sigemptyset(&set);
	for (size_t i = 0; i < sizeof leave / sizeof *leave; i++)
		sigaddset(&set, leave[i]);
	sigprocmask(SIG_BLOCK, &set, &before);
	int code = fw_trail_export(trail, wanted->job, wanted->output, err);
	sigprocmask(SIG_SETMASK, &before, NULL);
	return code;
}

static int export(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct wanted *wanted = context;

	wanted->trail = trail;
	if (wanted->format == EXCERPT)
		return write_excerpt(trail, wanted, err);
	return fw_cli_write(wanted->cli, wanted->output, write_out, wanted, err);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct wanted wanted = {.cli = cli, .job = FW_EXPORT_ALL};
	int status = FW_EXIT_FINE;

	if (read_options(cli, argc, argv, &wanted, &status) != 0)
		return status;
	if (optind < argc)
		status = fw_cli_one_job(cli, argc, argv, &wanted.job);
	if (status == FW_EXIT_FINE)
		status = check(cli, &wanted);
	if (status != FW_EXIT_FINE)
		return status;
	status = fw_cli_with_trail(cli, FW_TRAIL_READ, export, &wanted);
	if (status == FW_EXIT_FINE && wanted.output && strcmp(wanted.output, "-") != 0)
		fprintf(stderr, "Written to %s.\n", wanted.output);
	return status;
}

const struct fw_command fw_command_export = {
    .name = "export",
    .summary = "one job as a file of its own; all as JSON; tables as CSV",
    .help = "Usage: fitwright export JOB --output FILE\n"
            "       fitwright export [JOB] --format json [--output FILE]\n"
            "       fitwright export [JOB] --format csv --what TABLE [--struck] [--output FILE]\n"
            "\n"
            "An excerpt (the usual format) is a record of its own with one job, all that the\n"
            "job names, and the log of the shop. It is read, shown and audited like the whole\n"
            "record (--trail FILE), and is never written to. FILE must not be there yet.\n"
            "\n"
            "JSON holds every entry with all its columns to the letter, so that the chain can\n"
            "be checked without this program; docs/records.md describes it. CSV is one table,\n"
            "for a spreadsheet: a text that could be taken for a formula has an apostrophe in\n"
            "front. Without JOB, all jobs.\n"
            "\n"
            "      --output FILE    where to; JSON and CSV go to standard output without it\n"
            "      --format FORMAT  excerpt, json or csv\n"
            "      --what TABLE     readings, measurements, verdicts, trials, torques, parts,\n"
            "                       signatures or concessions\n"
            "      --struck         also rows that were struck out; the last column says by\n"
            "                       which entry\n"
            "      --trail FILE     the record to use\n"
            "      --color WHEN     auto, always or never\n"
            "      --help           this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Examples:\n"
            "  fitwright export 3 --output job-3.db\n"
            "  fitwright export --format csv --what verdicts --output verdicts.csv\n",
    .run = run,
};
