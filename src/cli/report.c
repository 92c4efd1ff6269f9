/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"

enum { FORMAT = FW_OPTION_OWN, OUTPUT, EVIDENCE };

struct wanted {
	const struct fw_cli *cli;
	int64_t job;
	enum fw_report_format format;
	struct fw_report_options options;
	const char *output;
	char usual[64]; /* name when none is given */
};

static const char *const format_names[] = {"html", "json", "text", "answers"};
static const char *const endings[] = {"html", "json", "txt", "answers"};

static bool read_format(enum fw_report_format *out, const char *name)
{
	size_t found;

	if (!fw_cli_choice(&found, format_names, sizeof format_names / sizeof *format_names, name))
		return false;
	*out = (enum fw_report_format)found;
	return true;
}

static bool read_evidence(enum fw_report_evidence *out, const char *name)
{
	static const char *const names[] = {"inline", "list", "none"};
	size_t found;

	if (!fw_cli_choice(&found, names, sizeof names / sizeof *names, name))
		return false;
	*out = (enum fw_report_evidence)found;
	return true;
}

static int read_options(struct fw_cli *cli, int argc, char **argv, struct wanted *wanted,
                        int *status)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"format", required_argument, NULL, FORMAT},
	                                        {"output", required_argument, NULL, OUTPUT},
	                                        {"evidence", required_argument, NULL, EVIDENCE},
	                                        {NULL, 0, NULL, 0}};
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, status)) != -1) {
		if (option == OUTPUT) {
			wanted->output = optarg;
		} else if (option == EVIDENCE) {
			if (!read_evidence(&wanted->options.evidence, optarg)) {
				*status =
				    fw_cli_usage(cli, "--evidence takes inline, list or none, not '%s'", optarg);
				return -1;
			}
		} else if (option != FORMAT) {
			return -1;
		} else if (!read_format(&wanted->format, optarg)) {
			*status =
			    fw_cli_usage(cli, "--format takes html, json, text or answers, not '%s'", optarg);
			return -1;
		}
	}
	return 0;
}

static int write_file(struct fw_trail *trail, const struct wanted *wanted, struct fw_error *err)
{
	struct fw_output output;
	char buffer[FW_CLI_PATH];
	const char *path = fw_cli_trail_path(wanted->cli, buffer, sizeof buffer, err);

	int code = path ? fw_output_guard(wanted->output, path, err) : FW_ERR_TRAIL;
	if (code == FW_OK)
		code = fw_output_open(&output, wanted->output, err);
	if (code != FW_OK)
		return code;
	code = fw_report_write_with(output.file, trail, wanted->job, wanted->format, &wanted->options,
	                            err);
	if (code != FW_OK)
		fw_output_abandon(&output);
	else
		code = fw_output_commit(&output, err);
	return code;
}

static bool to_standard_output(const struct wanted *wanted)
{
	return strcmp(wanted->output, "-") == 0;
}

static int report(struct fw_trail *trail, void *context, struct fw_error *err)
{
	const struct wanted *wanted = context;

	return to_standard_output(wanted) ? fw_report_write_with(stdout, trail, wanted->job,
	                                                         wanted->format, &wanted->options, err)
	                                  : write_file(trail, wanted, err);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct wanted wanted = {.cli = cli,
	                        .format = FW_REPORT_HTML,
	                        .options = {FW_REPORT_EVIDENCE_INLINE, FW_REPORT_INLINE}};
	int status = FW_EXIT_FINE;

	if (read_options(cli, argc, argv, &wanted, &status) != 0)
		return status;
	status = fw_cli_one_job(cli, argc, argv, &wanted.job);
	if (status != FW_EXIT_FINE)
		return status;
	if (!wanted.output) {
		snprintf(wanted.usual, sizeof wanted.usual, "job-%lld.%s", (long long)wanted.job,
		         endings[wanted.format]);
		wanted.output = wanted.usual;
	}
	status = fw_cli_with_trail(cli, FW_TRAIL_READ, report, &wanted);
	if (status == FW_EXIT_FINE && !to_standard_output(&wanted))
		printf("%s\n", wanted.output);
	return status;
}

const struct fw_command fw_command_report = {
    .name = "report",
    .summary = "write a job down: for paper, for programs",
    .help = "Usage: fitwright report JOB [--format NAME] [--output FILE]\n"
            "                        [--evidence WHAT]\n"
            "\n"
            "Writes the report of a job from the record alone, and prints the file's name.\n"
            "An old file is replaced only when the new one is complete.\n"
            "\n"
            "      --format NAME   html (the default; one file, prints well), json\n"
            "                      (everything), text, answers (an answers file: a job whose\n"
            "                      procedure is at fault is begun anew with a mended one)\n"
            "      --output FILE   where to; else job-JOB.html, .json, .txt or .answers in\n"
            "                      this folder; '-' is standard output\n"
            "      --evidence WHAT what becomes of attached files in html: inline (the\n"
            "                      default; pictures and sounds up to 8 MiB each stand in\n"
            "                      the page), list (name, size and hash), none\n"
            "      --trail FILE    the record to use\n"
            "      --color WHEN    auto, always or never\n"
            "      --help          this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Examples:\n"
            "  fitwright report 3\n"
            "  fitwright report 3 --format json --output - | jq .\n",
    .run = run,
};
