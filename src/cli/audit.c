/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include <jansson.h>

#include "cli/cli.h"
#include "face/glyph.h"
#include "face/wrap.h"

enum { JSON = FW_OPTION_OWN };

struct audit {
	struct fw_screen screen;
	json_t *lines; /* NULL: in words */
	bool failed;   /* out of memory while collecting */
};

static const char *weight_name(enum fw_audit_weight weight)
{
	static const char *const names[] = {"broken", "open", "note"};
	return names[weight];
}

static void report_words(const struct fw_screen *screen, const struct fw_audit_line *line)
{
	static const enum fw_style styles[] = {FW_STYLE_OUTSIDE, FW_STYLE_DOUBTFUL, FW_STYLE_PLAIN};

	fw_style_on(screen, styles[line->weight]);
	fputs(weight_name(line->weight), screen->out);
	fw_style_off(screen, styles[line->weight]);
	if (line->seq > 0)
		fprintf(screen->out, ", entry %lld:\n", (long long)line->seq);
	else
		fputs(", the job as a whole:\n", screen->out);
	fw_wrap(screen, line->what ? line->what : "", 2, FW_STYLE_PLAIN);
	if (line->means)
		fw_wrap(screen, line->means, 4, FW_STYLE_PLAIN);
}

static void report(void *context, const struct fw_audit_line *line)
{
	struct audit *audit = context;

	if (!audit->lines) {
		report_words(&audit->screen, line);
		return;
	}
	json_t *object = json_pack("{s:s, s:I, s:I, s:s?, s:s?}", "weight", weight_name(line->weight),
	                           "job", (json_int_t)line->job, "entry", (json_int_t)line->seq, "what",
	                           line->what, "means", line->means);
	if (!object || json_array_append_new(audit->lines, object) != 0)
		audit->failed = true;
}

static void sum_words(const struct fw_screen *screen, int64_t job, const struct fw_audit_sum *sum)
{
	fprintf(screen->out,
	        "\nJob %lld, %s: entries %zu, answers %zu, findings worked out again %zu.\n",
	        (long long)job, sum->released ? "released" : "open", sum->entries, sum->answers,
	        sum->findings_recomputed);
	fprintf(screen->out, "Broken %zu, open %zu, notes %zu: ", sum->broken, sum->open, sum->notes);
	enum fw_style style = sum->broken ? FW_STYLE_OUTSIDE
	                      : sum->open ? FW_STYLE_DOUBTFUL
	                                  : FW_STYLE_WITHIN;
	fw_style_on(screen, style);
	fputs(sum->broken ? "THE RECORD CAN'T BE TRUSTED AS IT STANDS"
	      : sum->open ? "SOUND, WITH OPEN POINTS"
	                  : "SOUND",
	      screen->out);
	fw_style_off(screen, style);
	fprintf(screen->out, "\nHead %s\n", sum->head);
}

static int sum_json(struct audit *audit, int64_t job, const struct fw_audit_sum *sum)
{
	json_t *object = json_pack(
	    "{s:I, s:b, s:I, s:I, s:I, s:I, s:I, s:I, s:s, s:O}", "job", (json_int_t)job, "released",
	    sum->released ? 1 : 0, "entries", (json_int_t)sum->entries, "answers",
	    (json_int_t)sum->answers, "findings_recomputed", (json_int_t)sum->findings_recomputed,
	    "broken", (json_int_t)sum->broken, "open", (json_int_t)sum->open, "notes",
	    (json_int_t)sum->notes, "head", sum->head, "lines", audit->lines);
	if (!object || audit->failed) {
		json_decref(object);
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory while writing the audit");
	}
	json_dumpf(object, stdout, JSON_INDENT(2));
	putchar('\n');
	json_decref(object);
	return FW_EXIT_FINE;
}

static int run_audit(struct fw_cli *cli, int64_t job, struct audit *audit)
{
	struct fw_trail *trail = NULL;
	struct fw_audit_sum sum = {0};
	struct fw_error err = {0};
	int status = FW_EXIT_FINE;

	int code = fw_cli_open(cli, &trail, FW_TRAIL_READ, &err);
	if (code == FW_OK)
		code = fw_job_audit(trail, job, report, audit, &sum, &err);
	fw_trail_close(trail);
	if (code != FW_OK)
		return fw_cli_trouble(&err);
	if (audit->lines)
		status = sum_json(audit, job, &sum);
	else
		sum_words(&audit->screen, job, &sum);
	return status != FW_EXIT_FINE || (sum.broken == 0 && sum.open == 0) ? status : FW_EXIT_FINDING;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {
	    FW_COMMON_OPTIONS, {"json", no_argument, NULL, JSON}, {NULL, 0, NULL, 0}};
	bool json = false;
	int status = FW_EXIT_FINE;
	int option;
	int64_t job;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option != JSON)
			return status;
		json = true;
	}
	status = fw_cli_one_job(cli, argc, argv, &job);
	if (status != FW_EXIT_FINE)
		return status;

	struct audit audit = {.screen = fw_cli_screen(cli), .lines = json ? json_array() : NULL};
	if (json && !audit.lines)
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	status = run_audit(cli, job, &audit);
	json_decref(audit.lines);
	return status;
}

const struct fw_command fw_command_audit = {
    .name = "audit",
    .summary = "check a job's record: chain, answers, findings worked out again",
    .help = "Usage: fitwright audit JOB [--json]\n"
            "\n"
            "Checks the chain of the record, runs the stored procedure over the recorded\n"
            "answers, works every finding out again, and looks for sign-off and release.\n"
            "\n"
            "  broken   the record can't be trusted as it stands\n"
            "  open     the record is sound, but something wants a person's eye\n"
            "  note     for information\n"
            "\n"
            "      --json         as JSON, for programs\n"
            "      --trail FILE   the record to use\n"
            "      --color WHEN   auto, always or never\n"
            "      --help         this help\n"
            "\n"
            "Exit status: 0 sound, 1 something broken or open, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright audit 3 && echo sound\n",
    .run = run,
};
