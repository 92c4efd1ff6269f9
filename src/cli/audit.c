/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/audit.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "face/wrap.h"

enum { JSON = FW_OPTION_OWN, ALL, HEAD, CARD, THREADS };

/* More threads than any machine at a bench has processors. */
#define THREADS_MOST 256

struct wanted {
	int64_t job; /* 0: the only one of the file */
	bool json, all;
	const char *head; /* as typed; NULL: none */
	uint8_t paper[FW_HASH];
	const char *threads; /* as typed; NULL: as many as there are processors */
	unsigned thread_count;
	struct fw_audit_cards cards;
};

static const char *weight_name(enum fw_audit_weight weight)
{
	static const char *const names[] = {"broken", "open", "note"};
	return names[weight];
}

/* ", entry 3:", ", job 1, entry 3:", ", the shop's log, entry 3:", ", the job as a whole:", ", the
 * file:" */
static void put_place(const struct fw_audit_view *view, const struct fw_audit_line *line)
{
	FILE *out = view->screen.out;

	if (view->many && line->job > 0)
		fprintf(out, ", job %lld", (long long)line->job);
	if (line->job == FW_SHOP && line->seq > 0)
		fputs(", the shop's log", out);
	if (line->seq > 0)
		fprintf(out, ", entry %lld:\n", (long long)line->seq);
	else
		fputs(line->job == 0 ? ", the file:\n"
		      : view->many   ? ":\n"
		                     : ", the job as a whole:\n",
		      out);
}

static void report_words(const struct fw_audit_view *view, const struct fw_audit_line *line)
{
	static const enum fw_style styles[] = {FW_STYLE_OUTSIDE, FW_STYLE_DOUBTFUL, FW_STYLE_PLAIN};
	const struct fw_screen *screen = &view->screen;

	fw_style_on(screen, styles[line->weight]);
	fputs(weight_name(line->weight), screen->out);
	fw_style_off(screen, styles[line->weight]);
	put_place(view, line);
	fw_wrap(screen, line->what ? line->what : "", 2, FW_STYLE_PLAIN);
	if (line->means)
		fw_wrap(screen, line->means, 4, FW_STYLE_PLAIN);
}

void fw_audit_take_line(void *context, const struct fw_audit_line *line)
{
	struct fw_audit_view *view = context;

	if (!view->lines) {
		if (!view->quiet)
			report_words(view, line);
		return;
	}
	json_t *object = json_pack("{s:s, s:I, s:I, s:s?, s:s?}", "weight", weight_name(line->weight),
	                           "job", (json_int_t)line->job, "entry", (json_int_t)line->seq, "what",
	                           line->what, "means", line->means);
	if (!object || json_array_append_new(view->lines, object) != 0)
		view->failed = true;
}

enum fw_style fw_audit_style(const struct fw_audit_sum *sum)
{
	return sum->broken ? FW_STYLE_OUTSIDE : sum->open ? FW_STYLE_DOUBTFUL : FW_STYLE_WITHIN;
}

static void sum_words(const struct fw_screen *screen, int64_t job, const struct fw_audit_sum *sum)
{
	fprintf(screen->out,
	        "\nJob %lld, %s: entries %zu, answers %zu, findings worked out again %zu.\n",
	        (long long)job, sum->released ? "released" : "open", sum->entries, sum->answers,
	        sum->findings_recomputed);
	fprintf(screen->out, "Signatures %zu, by key %zu; holds %zu; concessions %zu.\n",
	        sum->signatures, sum->keyed, sum->holds, sum->concessions);
	fprintf(screen->out, "Broken %zu, open %zu, notes %zu: ", sum->broken, sum->open, sum->notes);
	enum fw_style style = fw_audit_style(sum);
	fw_style_on(screen, style);
	fputs(sum->broken ? "THE RECORD CAN'T BE TRUSTED AS IT STANDS"
	      : sum->open ? "SOUND, WITH OPEN POINTS"
	                  : "SOUND",
	      screen->out);
	fw_style_off(screen, style);
	fprintf(screen->out, "\nHead %s\n", sum->head);
}

json_t *fw_audit_object(int64_t job, const struct fw_audit_sum *sum, json_t *lines)
{
	return json_pack("{s:I, s:b, s:I, s:I, s:I, s:I, s:I, s:I, s:I, s:I, s:I, s:I, s:s, s:O}",
	                 "job", (json_int_t)job, "released", sum->released ? 1 : 0, "entries",
	                 (json_int_t)sum->entries, "answers", (json_int_t)sum->answers,
	                 "findings_recomputed", (json_int_t)sum->findings_recomputed, "broken",
	                 (json_int_t)sum->broken, "open", (json_int_t)sum->open, "notes",
	                 (json_int_t)sum->notes, "signatures", (json_int_t)sum->signatures, "keyed",
	                 (json_int_t)sum->keyed, "holds", (json_int_t)sum->holds, "concessions",
	                 (json_int_t)sum->concessions, "head", sum->head, "lines", lines);
}

static int sum_json(const struct fw_audit_view *view, int64_t job, const struct fw_audit_sum *sum)
{
	json_t *object = view->failed ? NULL : fw_audit_object(job, sum, view->lines);

	if (!object)
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory while writing the audit");
	int status = fw_cli_put_json(object);
	json_decref(object);
	return status;
}

struct one {
	const struct wanted *wanted;
	struct fw_audit_view view;
	struct fw_audit_sum sum;
	int64_t job;
	int64_t jobs; /* in the file, when none was named */
	size_t flaws; /* of the file */
};

static int count_job(void *context, const struct fw_job_line *line)
{
	struct one *one = context;

	one->job = line->job;
	return one->jobs++ > 0; /* two are too many already */
}

/* Of an excerpt, and of a record with one job, the number need not be said. */
static int choose_job(struct fw_trail *trail, struct one *one, struct fw_error *err)
{
	one->job = one->wanted->job ? one->wanted->job : fw_trail_excerpt(trail);
	if (one->job)
		return FW_OK;
	int code = fw_trail_jobs(trail, count_job, one, err);
	if (code < 0)
		return code;
	if (one->jobs == 1)
		return FW_OK;
	return fw_fail(err, FW_ERR_NOT_FOUND, "%s: name one, or --all",
	               one->jobs == 0 ? "there is no job in the record"
	                              : "there are several jobs in the record");
}

static void on_flaw(void *context, const struct fw_flaw *flaw)
{
	struct one *one = context;
	const struct fw_audit_line line = {FW_AUDIT_BROKEN, flaw->job, flaw->seq, flaw->what,
	                                   flaw->means};

	one->flaws++;
	fw_audit_take_line(&one->view, &line);
}

/* An excerpt comes from somebody else: the file first. Of a whole record --all does that. */
static int check_excerpt(struct fw_trail *trail, struct one *one, struct fw_error *err)
{
	size_t flaws;

	return fw_trail_excerpt(trail) == 0
	           ? FW_OK
	           : fw_trail_verify(trail, FW_VERIFY_FILE, on_flaw, one, &flaws, err);
}

static int audit_one(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct one *one = context;
	const struct wanted *wanted = one->wanted;
	const struct fw_audit_given given = {.card = wanted->cards.card, .cards = wanted->cards.count};
	int code = choose_job(trail, one, err);

	if (code == FW_OK)
		code = check_excerpt(trail, one, err);
	if (code == FW_OK)
		code =
		    fw_job_audit(trail, one->job, &given, fw_audit_take_line, &one->view, &one->sum, err);
	one->sum.broken += one->flaws;
	if (code == FW_OK && wanted->head)
		code = fw_audit_paper(trail, one->job, wanted->paper, &one->view, &one->sum, err);
	return code;
}

static int run_audit(struct fw_cli *cli, const struct wanted *wanted)
{
	struct one one = {
	    .wanted = wanted,
	    .view = {.screen = fw_cli_screen(cli), .lines = wanted->json ? json_array() : NULL}};

	if (wanted->json && !one.view.lines)
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	int status = fw_cli_with_trail(cli, FW_TRAIL_READ, audit_one, &one);
	if (status == FW_EXIT_FINE && one.view.lines)
		status = sum_json(&one.view, one.job, &one.sum);
	else if (status == FW_EXIT_FINE)
		sum_words(&one.view.screen, one.job, &one.sum);
	json_decref(one.view.lines);
	return status != FW_EXIT_FINE || (one.sum.broken == 0 && one.sum.open == 0) ? status
	                                                                            : FW_EXIT_FINDING;
}

static int take_card(struct wanted *wanted, const char *path)
{
	struct fw_error err = {0};

	return fw_audit_cards_add(&wanted->cards, path, &err) == FW_OK ? FW_EXIT_FINE
	                                                               : fw_cli_trouble(&err);
}

/* Takes one option; false when the command shall return `*status` at once. */
static bool take_option(struct wanted *wanted, int option, int *status)
{
	switch (option) {
	case JSON:
		wanted->json = true;
		return true;
	case ALL:
		wanted->all = true;
		return true;
	case HEAD:
		wanted->head = optarg;
		return true;
	case THREADS:
		wanted->threads = optarg;
		return true;
	case CARD:
		*status = take_card(wanted, optarg);
		return *status == FW_EXIT_FINE;
	default:
		return false;
	}
}

static int read_options(struct fw_cli *cli, int argc, char **argv, struct wanted *wanted,
                        int *status)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"json", no_argument, NULL, JSON},
	                                        {"all", no_argument, NULL, ALL},
	                                        {"head", required_argument, NULL, HEAD},
	                                        {"card", required_argument, NULL, CARD},
	                                        {"threads", required_argument, NULL, THREADS},
	                                        {NULL, 0, NULL, 0}};
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, status)) != -1)
		if (!take_option(wanted, option, status))
			return -1;
	return 0;
}

static int check_threads(struct fw_cli *cli, struct wanted *wanted)
{
	int64_t threads = 0;

	if (!wanted->threads)
		return FW_EXIT_FINE;
	if (!wanted->all)
		return fw_cli_usage(cli, "one job is audited by one thread; --threads goes with --all");
	if (!fw_cli_job(&threads, wanted->threads) || threads > THREADS_MOST)
		return fw_cli_usage(cli, "--threads takes a whole number from 1 to %d, not '%.*s'",
		                    THREADS_MOST, fw_utf8_fit(wanted->threads, 100), wanted->threads);
	wanted->thread_count = (unsigned)threads;
	return FW_EXIT_FINE;
}

static int check(struct fw_cli *cli, int argc, char **argv, struct wanted *wanted)
{
	int status = check_threads(cli, wanted);

	if (status != FW_EXIT_FINE)
		return status;
	if (wanted->all && wanted->head)
		return fw_cli_usage(cli, "a head is that of one job; --head doesn't go with --all");
	if (wanted->all && optind < argc)
		return fw_cli_usage(cli, "--all is every job; '%s' is too much", argv[optind]);
	if (wanted->head && !fw_audit_read_head(wanted->paper, wanted->head))
		return fw_cli_usage(cli,
		                    "--head takes the 64 hex digits printed as the head, in quotation "
		                    "marks if there are spaces in them; this is not that: '%.*s'",
		                    fw_utf8_fit(wanted->head, 100), wanted->head);
	/* A file that was named may hold one job only. */
	if (wanted->all || (optind == argc && cli->trail))
		return FW_EXIT_FINE;
	return fw_cli_one_job(cli, argc, argv, &wanted->job);
}

static int run_all(struct fw_cli *cli, const struct wanted *wanted)
{
	const struct fw_audit_options options = {
	    .json = wanted->json,
	    .threads = wanted->thread_count,
	    .given = {.card = wanted->cards.card, .cards = wanted->cards.count}};

	return fw_audit_all(cli, &options);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct wanted wanted = {0};
	int status = FW_EXIT_FINE;

	if (read_options(cli, argc, argv, &wanted, &status) == 0) {
		status = check(cli, argc, argv, &wanted);
		if (status == FW_EXIT_FINE)
			status = wanted.all ? run_all(cli, &wanted) : run_audit(cli, &wanted);
	}
	fw_audit_cards_free(&wanted.cards);
	return status;
}

const struct fw_command fw_command_audit = {
    .name = "audit",
    .summary = "check a job's record: chain, signatures, findings worked out again",
    .help = "Usage: fitwright audit JOB [--card CARD]... [--head HEX] [--json]\n"
            "       fitwright audit --trail EXCERPT [--card CARD]... [--head HEX] [--json]\n"
            "       fitwright audit --all [--card CARD]... [--threads N] [--json]\n"
            "\n"
            "Checks the chain of the record, runs the stored procedure over the recorded\n"
            "answers, works every finding out again, checks each signature, and looks for\n"
            "sign-off and release. JOB need not be said where the file holds one job only,\n"
            "as an excerpt does.\n"
            "\n"
            "  broken   the record can't be trusted as it stands\n"
            "  open     the record is sound, but something wants a person's eye\n"
            "  note     for information\n"
            "\n"
            "      --card CARD    a card of a person whose key you know, or a folder of\n"
            "                     cards (NAME.card); may be said again. With a card, whoever\n"
            "                     signs under that name must have signed with that key.\n"
            "                     With none, the record is believed about whose key it is\n"
            "      --head HEX     compare with the head printed on a report, spaces and all:\n"
            "                     is it that of this job, now or at an earlier entry?\n"
            "      --all          the file, the shop's log, then every job, a line each\n"
            "      --threads N    jobs audited at a time; as many as there are processors,\n"
            "                     unless said. What is printed is the same for any number\n"
            "      --json         as JSON, for programs; with --all an array, in which the\n"
            "                     file comes first, as job 0\n"
            "      --trail FILE   the record to use\n"
            "      --color WHEN   auto, always or never\n"
            "      --help         this help\n"
            "\n"
            "Exit status: 0 sound, 1 something broken or open, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Examples:\n"
            "  fitwright audit 3 && echo sound\n"
            "  fitwright audit --trail job-3.db --card r-example.card\n"
            "  fitwright audit --all --trail shop.db --card cards/\n",
    .run = run,
};
