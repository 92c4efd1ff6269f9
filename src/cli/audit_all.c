/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole record: the file, then each job. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/audit.h"
#include "face/glyph.h"

#define UNIT_COLUMNS 24
/* Lines of a job shown in words: of what is broken in it, so many; `audit JOB` says all. */
#define BROKEN_SHOWN 3
/* Lines of a job given as JSON: no job of an honest shop comes near it. */
#define LINES_MOST 10000

struct job_name {
	int64_t number;
	char *unit;
};

struct whole {
	struct fw_cli *cli;
	const struct fw_audit_options *options;
	struct fw_audit_view view;
	struct job_name *jobs;
	size_t count, room;
	size_t handed; /* jobs that were told */
	struct fw_audit_sum
	    file; /* what is wrong with the file itself, or with how its jobs hang together */
	size_t sound, open, broken; /* jobs */
	size_t signatures, keyed, holds, concessions;
	bool progress, shown, stopped;
	bool opened;        /* the list of JSON */
	double began, told; /* seconds */
};

static volatile sig_atomic_t stop_asked;

static void on_stop(int number)
{
	(void)number;
	stop_asked = 1;
}

/* The first time the audit ends in good order, the second time at once. */
static void catch_signals(void)
{
	static const int leave[] = {SIGINT, SIGTERM, SIGHUP};
	struct sigaction action = {.sa_handler = on_stop, .sa_flags = (int)SA_RESETHAND};

	sigemptyset(&action.sa_mask);
	for (size_t i = 0; i < sizeof leave / sizeof *leave; i++) {
		struct sigaction before;
		if (sigaction(leave[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
			sigaction(leave[i], &action, NULL);
	}
}

static double seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static int no_memory(struct fw_error *err)
{
	return fw_fail(err, FW_ERR_MEMORY, "out of memory while auditing");
}

/* ---- the jobs ---- */

static int note_job(void *context, const struct fw_job_line *line)
{
	struct whole *whole = context;

	if (whole->count == whole->room) {
		size_t room = whole->room ? 2 * whole->room : 64;
		struct job_name *more = realloc(whole->jobs, room * sizeof *more);
		if (!more)
			return FW_ERR_MEMORY;
		whole->jobs = more;
		whole->room = room;
	}
	json_t *begin = line->begin_value ? json_loads(line->begin_value, 0, NULL) : NULL;
	const char *unit = json_string_value(json_object_get(begin, "unit"));
	struct job_name *job = &whole->jobs[whole->count];
	*job = (struct job_name){line->job, strdup(unit ? unit : "")};
	json_decref(begin);
	if (!job->unit)
		return FW_ERR_MEMORY;
	whole->count++;
	return 0;
}

/* ---- the file ---- */

static void say_broken(struct whole *whole, int64_t seq, const char *what, const char *means)
{
	const struct fw_audit_line line = {FW_AUDIT_BROKEN, 0, seq, what, means};

	whole->file.broken++;
	fw_audit_take_line(&whole->view, &line);
}

static void on_flaw(void *context, const struct fw_flaw *flaw)
{
	struct whole *whole = context;
	const struct fw_audit_line line = {FW_AUDIT_BROKEN, flaw->job, flaw->seq, flaw->what,
	                                   flaw->means};

	whole->file.broken++;
	fw_audit_take_line(&whole->view, &line);
}

/* People and gauges are common to all jobs. */
static int check_log(struct whole *whole, struct fw_trail *trail, struct fw_error *err)
{
	struct fw_people people = {0};
	struct fw_shop_gauges gauges = {0};
	struct fw_error error = {0};
	size_t flaws;

	if (fw_trail_format(trail) < 2)
		return FW_OK;
	int code = fw_trail_verify(trail, FW_SHOP, on_flaw, whole, &flaws, err);
	if (code == FW_ERR_NOT_FOUND) /* the check of the file said so */
		return FW_OK;
	if (code != FW_OK)
		return code;
	if (fw_people_read(&people, trail, 0, &error) != FW_OK)
		say_broken(whole, 0, error.text, "whose keys the shop has can't be told");
	if (fw_shop_gauges_read(&gauges, trail, &error) != FW_OK)
		say_broken(whole, 0, error.text, "what was recorded of the gauges can't be read");
	fw_people_free(&people);
	fw_shop_gauges_free(&gauges);
	return FW_OK;
}

/* Takes the lines gathered so far with it. The list is written as it grows, and never held whole.
 */
static int put_object(struct whole *whole, int64_t job, const struct fw_audit_sum *sum,
                      struct fw_error *err)
{
	json_t *object = whole->view.failed ? NULL : fw_audit_object(job, sum, whole->view.lines);

	json_decref(whole->view.lines);
	whole->view.lines = json_array();
	char *text = object && whole->view.lines ? json_dumps(object, JSON_INDENT(2)) : NULL;
	json_decref(object);
	if (!text)
		return no_memory(err);
	fputs(whole->opened ? ",\n" : "[\n", stdout);
	whole->opened = true;
	fputs(text, stdout); /* a failure shows when the program ends */
	free(text);
	return FW_OK;
}

static int check_file(struct whole *whole, struct fw_trail *trail, struct fw_error *err)
{
	size_t flaws;
	int code = fw_trail_verify(trail, FW_VERIFY_FILE, on_flaw, whole, &flaws, err);

	if (code == FW_OK)
		code = check_log(whole, trail, err);
	if (code == FW_OK && whole->options->json)
		code = put_object(whole, 0, &whole->file, err);
	if (code == FW_OK)
		code = fw_trail_jobs(trail, note_job, whole, err);
	return code == FW_ERR_MEMORY ? no_memory(err) : code;
}

/* ---- each job ---- */

static void show_job(const struct fw_screen *screen, const struct job_name *job,
                     const struct fw_audit_sum *sum)
{
	enum fw_style style = fw_audit_style(sum);

	fprintf(screen->out, "%5lld  ", (long long)job->number);
	int used = fw_text_print(screen, job->unit, UNIT_COLUMNS);
	fprintf(screen->out, "%*s%-8s  ", UNIT_COLUMNS + 2 - used, "",
	        sum->released ? "released" : "open");
	fw_style_on(screen, style);
	fputs(sum->broken ? "BROKEN" : sum->open ? "points" : "sound ", screen->out);
	fw_style_off(screen, style);
	fprintf(screen->out, "  broken %zu, open %zu, notes %zu\n", sum->broken, sum->open, sum->notes);
}

/* Nothing of it stays on the screen. */
static void hide_progress(struct whole *whole)
{
	if (whole->shown)
		fputs("\r\033[K", stderr);
	whole->shown = false;
}

static int on_progress(void *context, size_t audited, size_t jobs)
{
	struct whole *whole = context;
	double now = whole->progress ? seconds() : 0.0;

	if (stop_asked) {
		whole->stopped = true;
		return FW_ERR_STATE;
	}
	if (!whole->progress || now - whole->told < 0.25)
		return 0;
	whole->told = now;
	whole->shown = true;
	double took = now - whole->began;
	fprintf(stderr, "\raudited %zu of %zu jobs, %.0f a second ", audited, jobs,
	        took > 0 ? (double)audited / took : 0.0);
	return 0;
}

static void count_job(struct whole *whole, const struct fw_audit_sum *sum)
{
	whole->broken += sum->broken > 0;
	whole->open += sum->broken == 0 && sum->open > 0;
	whole->sound += sum->broken == 0 && sum->open == 0;
	whole->signatures += sum->signatures;
	whole->keyed += sum->keyed;
	whole->holds += sum->holds;
	whole->concessions += sum->concessions;
}

static void take_lines(struct whole *whole, const struct fw_audit_done *done)
{
	char more[128];

	for (size_t i = 0; i < done->lines; i++)
		fw_audit_take_line(&whole->view, &done->line[i]);
	if (done->left_out == 0)
		return;
	const struct fw_audit_line line = {FW_AUDIT_BROKEN, done->job, 0, more,
	                                   "fitwright audit JOB shows them all"};
	snprintf(more, sizeof more, "and %zu more", done->left_out);
	fw_audit_take_line(&whole->view, &line);
}

/* A job that can't be audited is broken, and no reason to leave the others out. */
static int on_done(void *context, const struct fw_audit_done *done)
{
	struct whole *whole = context;
	const struct job_name *job = &whole->jobs[whole->handed++];
	struct fw_audit_sum sum = *done->sum;
	const struct fw_audit_line refused = {FW_AUDIT_BROKEN, done->job, 0, done->refused,
	                                      "the job can't be audited"};

	hide_progress(whole);
	sum.broken += done->refused != NULL;
	count_job(whole, &sum);
	if (!whole->options->json)
		show_job(&whole->view.screen, job, &sum);
	take_lines(whole, done);
	if (done->refused)
		fw_audit_take_line(&whole->view, &refused);
	return whole->options->json ? put_object(whole, done->job, &sum, NULL) : FW_OK;
}

static int audit_jobs(struct whole *whole, const char *path, struct fw_error *err)
{
	int64_t *numbers = calloc(whole->count ? whole->count : 1, sizeof *numbers);

	if (!numbers)
		return no_memory(err);
	for (size_t i = 0; i < whole->count; i++)
		numbers[i] = whole->jobs[i].number;
	const bool json = whole->options->json;
	const struct fw_audit_many many = {.path = path,
	                                   .job = numbers,
	                                   .jobs = whole->count,
	                                   .threads = whole->options->threads,
	                                   .lines_most = json ? LINES_MOST : BROKEN_SHOWN,
	                                   .least = json ? FW_AUDIT_NOTE : FW_AUDIT_BROKEN,
	                                   .given = &whole->options->given,
	                                   .context = whole,
	                                   .done = on_done,
	                                   .progress = on_progress};
	whole->began = seconds();
	int code = fw_job_audit_many(&many, err);
	hide_progress(whole);
	free(numbers);
	if (whole->stopped) /* what was audited is told all the same */
		return FW_OK;
	return code == FW_ERR_MEMORY ? no_memory(err) : code;
}

/* ---- the sum ---- */

static void show_sum(const struct whole *whole)
{
	const struct fw_screen *screen = &whole->view.screen;
	const struct fw_audit_sum sum = {.broken = whole->file.broken + whole->broken,
	                                 .open = whole->open};
	enum fw_style style = fw_audit_style(&sum);

	fprintf(screen->out,
	        "\nThe file, how its jobs hang together, and the shop's log: %zu flaw%s.\n",
	        whole->file.broken, whole->file.broken == 1 ? "" : "s");
	fprintf(screen->out, "Signatures %zu, by key %zu; holds %zu; concessions %zu.\n",
	        whole->signatures, whole->keyed, whole->holds, whole->concessions);
	if (whole->stopped)
		fprintf(screen->out, "STOPPED: %zu of %zu jobs were audited.\n", whole->handed,
		        whole->count);
	fprintf(screen->out, "Jobs %zu: broken %zu, with open points %zu, sound %zu:\n", whole->handed,
	        whole->broken, whole->open, whole->sound);
	fw_style_on(screen, style);
	fputs(sum.broken       ? "THE RECORD CAN'T BE TRUSTED AS IT STANDS"
	      : whole->stopped ? "THE AUDIT ISN'T COMPLETE"
	      : sum.open       ? "SOUND, WITH OPEN POINTS"
	                       : "SOUND",
	      screen->out);
	fw_style_off(screen, style);
	fputc('\n', screen->out);
	if (sum.broken || sum.open)
		fputs("What is broken or open in a job: fitwright audit JOB\n", screen->out);
}

static int finish(const struct whole *whole)
{
	if (whole->options->json)
		fputs("\n]\n", stdout);
	else
		show_sum(whole);
	if (whole->stopped)
		return fw_cli_fail(FW_EXIT_TROUBLE, "stopped; %zu of %zu jobs were audited", whole->handed,
		                   whole->count);
	return whole->file.broken || whole->broken || whole->open ? FW_EXIT_FINDING : FW_EXIT_FINE;
}

static void forget(struct whole *whole)
{
	for (size_t i = 0; i < whole->count; i++)
		free(whole->jobs[i].unit);
	free(whole->jobs);
	json_decref(whole->view.lines);
}

static int audit(struct fw_trail *trail, void *context, struct fw_error *err)
{
	return check_file(context, trail, err);
}

int fw_audit_all(struct fw_cli *cli, const struct fw_audit_options *options)
{
	struct whole whole = {.cli = cli,
	                      .options = options,
	                      .view = {.screen = fw_cli_screen(cli), .many = true},
	                      .progress = isatty(STDERR_FILENO)};
	char buffer[FW_CLI_PATH];
	struct fw_error err = {0};

	if (options->json && !(whole.view.lines = json_array()))
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	catch_signals();
	int status = fw_cli_with_trail(cli, FW_TRAIL_READ, audit, &whole);
	const char *path = fw_cli_trail_path(cli, buffer, sizeof buffer, &err);
	if (status == FW_EXIT_FINE && (!path || audit_jobs(&whole, path, &err) != FW_OK))
		status = fw_cli_trouble(&err);
	if (status == FW_EXIT_FINE)
		status = finish(&whole);
	else if (whole.opened)
		fputs("\n]\n", stdout);
	forget(&whole);
	return status;
}
