/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include <jansson.h>

#include "cli/list.h"
#include "face/glyph.h"

enum { JSON = FW_OPTION_OWN, POINTS };

/* Widths of the columns that hold words. */
struct widths {
	int unit, procedure, where, who;
};

struct listing {
	struct fw_screen screen;
	struct widths widths; /* as wide as the longest first, then fitted to the screen */
	json_t *array;        /* NULL: as a table */
	size_t count;
	struct fw_trail *trail;
	bool points; /* every job is looked into, not only those that may hold a concession */
	struct fw_error *err;
};

static const char *state_of(const struct fw_job_line *line)
{
	if (line->last_kind && strcmp(line->last_kind, "release") == 0)
		return "released";
	return line->reopened ? "reopened" : "open";
}

static const char *text_of(const json_t *object, const char *key)
{
	const char *text = json_string_value(json_object_get(object, key));
	return text ? text : "";
}

static void cell(const struct fw_screen *screen, const char *text, int width)
{
	int used = fw_text_print(screen, text, width);
	fprintf(screen->out, "%*s", width - used + 2, "");
}

/* The day of "2026-03-05T14:03:11.250Z". */
#define DAY 10

/* On a narrow screen the words need the room more than the day does. */
static bool shows_day(const struct fw_screen *screen)
{
	return screen->width >= 64;
}

static int most(int a, int b)
{
	return a > b ? a : b;
}

static int least(int a, int b)
{
	return a < b ? a : b;
}

/* Who worked on it last is shown where there is room. */
static bool shows_who(const struct fw_screen *screen)
{
	return screen->width >= 100;
}

/* Job, day and state have fixed widths; the words share what is left. The procedure gives way
 * first. */
static void fit_widths(struct widths *widths, int screen_width, bool day, bool who)
{
	widths->who = who ? least(widths->who, 20) : 0;
	int left = screen_width - 5 - 8 - 2 * 4 - (day ? DAY + 2 : 0) - (who ? widths->who + 2 : 0);
	struct widths natural = *widths;

	widths->where = least(natural.where, most(left / 4, left - natural.unit - natural.procedure));
	widths->unit = least(natural.unit, most(left / 3, left - widths->where - natural.procedure));
	widths->procedure = least(natural.procedure, left - widths->unit - widths->where);
}

static void row(const struct listing *listing, const char *job, const char *unit,
                const char *procedure, const char *began, const char *state, const char *where,
                const char *who)
{
	const struct fw_screen *screen = &listing->screen;

	fprintf(screen->out, "%5s  ", job);
	cell(screen, unit, listing->widths.unit);
	cell(screen, procedure, listing->widths.procedure);
	if (shows_day(screen))
		cell(screen, began, DAY);
	cell(screen, state, 8);
	if (shows_who(screen)) {
		cell(screen, where, listing->widths.where);
		fw_text_print(screen, who, listing->widths.who);
	} else {
		fw_text_print(screen, where, listing->widths.where);
	}
	fputc('\n', screen->out);
}

static const char *where_of(const struct fw_job_line *line)
{
	return line->last_phase ? line->last_phase : "-";
}

static void add_row(struct listing *listing, const struct fw_job_line *line, const json_t *begin,
                    const struct fw_list_points *points)
{
	char job[24], began[DAY + 1];

	if (listing->count == 0) {
		fw_style_on(&listing->screen, FW_STYLE_STRONG);
		row(listing, "job", "unit", "procedure", "began", "state", "where", "who");
		fw_style_off(&listing->screen, FW_STYLE_STRONG);
	}
	snprintf(job, sizeof job, "%lld", (long long)line->job);
	snprintf(began, sizeof began, "%s", line->began ? line->began : "");
	row(listing, job, text_of(begin, "unit"), text_of(begin, "title"), began, state_of(line),
	    where_of(line), line->who);
	fw_list_print_points(&listing->screen, points);
}

static int measure(void *context, const struct fw_job_line *line)
{
	struct listing *listing = context;
	struct widths *widths = &listing->widths;
	json_t *begin = line->begin_value ? json_loads(line->begin_value, 0, NULL) : NULL;
	bool utf8 = listing->screen.utf8;

	widths->unit = most(widths->unit, fw_text_width(text_of(begin, "unit"), utf8));
	widths->procedure = most(widths->procedure, fw_text_width(text_of(begin, "title"), utf8));
	widths->where = most(widths->where, fw_text_width(where_of(line), utf8));
	widths->who = most(widths->who, fw_text_width(line->who, utf8));
	json_decref(begin);
	return 0;
}

static int add_object(struct listing *listing, const struct fw_job_line *line, const json_t *begin,
                      const struct fw_list_points *points)
{
	json_t *object =
	    json_pack("{s:I, s:s, s:s, s:s?, s:s?, s:s, s:s?, s:I, s:s}", "job", (json_int_t)line->job,
	              "unit", text_of(begin, "unit"), "procedure", text_of(begin, "title"), "began",
	              line->began, "latest", line->latest, "state", state_of(line), "phase",
	              line->last_phase, "entries", (json_int_t)line->entries, "who", line->who);

	if (!object || fw_list_put_points(object, points) != 0) {
		json_decref(object);
		return -1;
	}
	return json_array_append_new(listing->array, object);
}

static int visit(void *context, const struct fw_job_line *line)
{
	struct listing *listing = context;
	json_t *begin = line->begin_value ? json_loads(line->begin_value, 0, NULL) : NULL;
	struct fw_list_points points;
	int code = fw_list_look(&points, listing->trail, line, listing->points, listing->err);

	if (code == FW_OK && listing->array)
		code = add_object(listing, line, begin, &points) == 0
		           ? FW_OK
		           : fw_fail(listing->err, FW_ERR_MEMORY, "out of memory");
	else if (code == FW_OK)
		add_row(listing, line, begin, &points);
	listing->count++;
	json_decref(begin);
	return code;
}

static int list(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct listing *listing = context;

	listing->trail = trail;
	listing->err = err;
	int code = listing->array ? FW_OK : fw_trail_jobs(trail, measure, listing, err);
	fit_widths(&listing->widths, listing->screen.width, shows_day(&listing->screen),
	           shows_who(&listing->screen));
	return code == FW_OK ? fw_trail_jobs(trail, visit, listing, err) : code;
}

static int finish(const struct listing *listing)
{
	if (listing->array)
		return fw_cli_put_json(listing->array);
	if (listing->count == 0)
		puts("No jobs yet; 'fitwright begin' begins one.");
	return FW_EXIT_FINE;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"json", no_argument, NULL, JSON},
	                                        {"points", no_argument, NULL, POINTS},
	                                        {NULL, 0, NULL, 0}};
	bool json = false, points = false;
	int status = FW_EXIT_FINE;
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option != JSON && option != POINTS)
			return status;
		json = json || option == JSON;
		points = points || option == POINTS;
	}
	if (optind < argc)
		return fw_cli_usage(cli, "list takes no '%s'; 'fitwright show JOB' shows one job",
		                    argv[optind]);

	struct listing listing = {.screen = fw_cli_screen(cli),
	                          .widths = {(int)strlen("unit"), (int)strlen("procedure"),
	                                     (int)strlen("where"), (int)strlen("who")},
	                          .array = json ? json_array() : NULL,
	                          .points = points};
	if (json && !listing.array)
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	status = fw_cli_with_trail(cli, FW_TRAIL_READ, list, &listing);
	if (status == FW_EXIT_FINE)
		status = finish(&listing);
	json_decref(listing.array);
	return status;
}

const struct fw_command fw_command_list = {
    .name = "list",
    .summary = "list the jobs: unit, procedure, where each stands",
    .help = "Usage: fitwright list [--json] [--points]\n"
            "\n"
            "Lists the jobs of the record: number, unit, procedure, when it began, whether it\n"
            "is open, released or opened again, the phase of the last answer and, where there\n"
            "is room, who gave it. Below a job stand its concessions.\n"
            "\n"
            "      --points       look into every job: who released it, holds signed and\n"
            "                     waited for, answers amended, files attached (slower)\n"
            "      --json         as JSON, uncut, for programs\n"
            "      --trail FILE   the record to use\n"
            "      --color WHEN   auto, always or never\n"
            "      --help         this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright list --trail shop.db\n",
    .run = run,
};
