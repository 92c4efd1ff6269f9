/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole record: the file, then each job. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/audit.h"
#include "face/glyph.h"
#include "face/wrap.h"

#define UNIT_COLUMNS 24

struct job_name {
	int64_t number;
	char *unit;
};

struct whole {
	struct fw_audit_view view;
	json_t *array; /* NULL: in words */
	struct job_name *jobs;
	size_t count, room;
	struct fw_audit_sum
	    file; /* what is wrong with the file itself, or with how its jobs hang together */
	size_t sound, open, broken; /* jobs */
};

static int no_memory(struct fw_error *err)
{
	return fw_fail(err, FW_ERR_MEMORY, "out of memory while auditing");
}

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

static void on_flaw(void *context, const struct fw_flaw *flaw)
{
	struct whole *whole = context;
	const struct fw_audit_line line = {FW_AUDIT_BROKEN, flaw->job, flaw->seq, flaw->what,
	                                   flaw->means};

	whole->file.broken++;
	fw_audit_take_line(&whole->view, &line);
}

/* Takes the lines gathered so far with it. */
static int add_object(struct whole *whole, int64_t job, const struct fw_audit_sum *sum,
                      struct fw_error *err)
{
	if (!whole->array)
		return FW_OK;
	json_t *object = fw_audit_object(job, sum, whole->view.lines);
	json_decref(whole->view.lines);
	whole->view.lines = json_array();
	if (!object || json_array_append_new(whole->array, object) != 0 || !whole->view.lines ||
	    whole->view.failed)
		return no_memory(err);
	return FW_OK;
}

static int check_file(struct whole *whole, struct fw_trail *trail, struct fw_error *err)
{
	size_t flaws;
	int code = fw_trail_verify(trail, FW_VERIFY_ALL, on_flaw, whole, &flaws, err);

	return code == FW_OK ? add_object(whole, 0, &whole->file, err) : code;
}

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

/* A job that can't be audited is broken, and no reason to leave the others out. */
static int audit_job(struct whole *whole, struct fw_trail *trail, const struct job_name *job,
                     struct fw_error *err)
{
	struct fw_audit_sum sum = {0};
	struct fw_error refused = {0};
	int code =
	    fw_job_audit(trail, job->number, NULL, fw_audit_take_line, &whole->view, &sum, &refused);

	if (code == FW_ERR_MEMORY || code == FW_ERR_BUSY)
		return fw_fail(err, code, "%s", refused.text);
	if (code != FW_OK) {
		const struct fw_audit_line line = {FW_AUDIT_BROKEN, job->number, 0, refused.text,
		                                   "the job can't be audited"};
		whole->view.quiet = false;
		fw_audit_take_line(&whole->view, &line);
		whole->view.quiet = true;
		sum.broken++;
	}
	whole->broken += sum.broken > 0;
	whole->open += sum.broken == 0 && sum.open > 0;
	whole->sound += sum.broken == 0 && sum.open == 0;
	if (!whole->array)
		show_job(&whole->view.screen, job, &sum);
	return add_object(whole, job->number, &sum, err);
}

static int audit_jobs(struct whole *whole, struct fw_trail *trail, struct fw_error *err)
{
	int code = fw_trail_jobs(trail, note_job, whole, err);

	if (code == FW_ERR_MEMORY)
		return no_memory(err);
	whole->view.quiet = true;
	for (size_t i = 0; code == FW_OK && i < whole->count; i++)
		code = audit_job(whole, trail, &whole->jobs[i], err);
	return code;
}

static void show_sum(const struct whole *whole)
{
	const struct fw_screen *screen = &whole->view.screen;
	const struct fw_audit_sum sum = {.broken = whole->file.broken + whole->broken,
	                                 .open = whole->open};
	enum fw_style style = fw_audit_style(&sum);

	fprintf(screen->out, "\nThe file and its chains: %zu flaw%s.\n", whole->file.broken,
	        whole->file.broken == 1 ? "" : "s");
	fprintf(screen->out, "Jobs %zu: broken %zu, with open points %zu, sound %zu:\n", whole->count,
	        whole->broken, whole->open, whole->sound);
	fw_style_on(screen, style);
	fputs(sum.broken ? "THE RECORD CAN'T BE TRUSTED AS IT STANDS"
	      : sum.open ? "SOUND, WITH OPEN POINTS"
	                 : "SOUND",
	      screen->out);
	fw_style_off(screen, style);
	fputc('\n', screen->out);
	if (sum.broken || sum.open)
		fputs("What is broken or open in a job: fitwright audit JOB\n", screen->out);
}

static int finish(const struct whole *whole)
{
	int status = FW_EXIT_FINE;

	if (whole->array)
		status = fw_cli_put_json(whole->array);
	else
		show_sum(whole);
	return status == FW_EXIT_FINE && (whole->file.broken || whole->broken || whole->open)
	           ? FW_EXIT_FINDING
	           : status;
}

static void forget(struct whole *whole)
{
	for (size_t i = 0; i < whole->count; i++)
		free(whole->jobs[i].unit);
	free(whole->jobs);
	json_decref(whole->view.lines);
	json_decref(whole->array);
}

static int audit(struct fw_trail *trail, void *context, struct fw_error *err)
{
	int code = check_file(context, trail, err);

	return code == FW_OK ? audit_jobs(context, trail, err) : code;
}

int fw_audit_all(struct fw_cli *cli, bool json)
{
	struct whole whole = {.view = {.screen = fw_cli_screen(cli), .many = true}};
	int status;

	if (json) {
		whole.array = json_array();
		whole.view.lines = json_array();
	}
	if (json && (!whole.array || !whole.view.lines))
		status = fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	else
		status = fw_cli_with_trail(cli, FW_TRAIL_READ, audit, &whole);
	if (status == FW_EXIT_FINE)
		status = finish(&whole);
	forget(&whole);
	return status;
}
