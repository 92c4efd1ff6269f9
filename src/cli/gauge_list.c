/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `gauge list` and `gauge typical`. */
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "cli/gauge.h"
#include "face/gauge_show.h"
#include "face/glyph.h"

/* Widths of the columns; what is left of the screen is for the state. */
enum { ID = 12, FIGURE = 12, DAY = 10 };

struct listing {
	struct fw_screen screen;
	json_t *array; /* NULL: as a table */
	char today[32];
	int id, kind, resolution, error; /* widths of these columns */
	size_t count;
};

static void system_day(char out[32])
{
	time_t now = time(NULL);
	struct tm utc;

	gmtime_r(&now, &utc);
	strftime(out, 32, "%Y-%m-%d", &utc);
}

/* What there is to say about it today, and how loudly. */
static enum fw_style state_of(const struct fw_shop_gauge *gauge, const char *today, char *out,
                              size_t size)
{
	out[0] = '\0';
	if (fw_shop_gauge_barred(gauge, today, out, size))
		return gauge->retired ? FW_STYLE_PLAIN : FW_STYLE_OUTSIDE;
	if (!fw_shop_gauge_usable(gauge, today, out, size))
		return FW_STYLE_OUTSIDE;
	if (!gauge->calibrated)
		snprintf(out, size, "calibration not known");
	return FW_STYLE_PLAIN;
}

static void cell(const struct fw_screen *screen, const char *text, int width)
{
	int used = fw_text_print(screen, text, width);
	fprintf(screen->out, "%*s", width - used + 2, "");
}

static int widest(int a, const char *text, const struct fw_screen *screen)
{
	int width = fw_text_width(text, screen->utf8);
	return width > a ? width : a;
}

static void row(const struct listing *listing, const char *id, const char *kind,
                const char *resolution, const char *error, const char *due)
{
	cell(&listing->screen, id, listing->id);
	cell(&listing->screen, kind, listing->kind);
	cell(&listing->screen, resolution, listing->resolution);
	cell(&listing->screen, error, listing->error);
	fw_text_print(&listing->screen, due, DAY);
}

static void head(const struct listing *listing)
{
	fw_style_on(&listing->screen, FW_STYLE_STRONG);
	row(listing, "gauge", "kind", "reads to", "error", "due");
	fw_style_off(&listing->screen, FW_STYLE_STRONG);
	fputc('\n', listing->screen.out);
}

/* The state stands behind the rest if there is room, else below. */
static void show(const struct listing *listing, const struct fw_shop_gauge *gauge)
{
	const struct fw_screen *screen = &listing->screen;
	char resolution[FW_GAUGE_FIGURES], error[FW_GAUGE_FIGURES], state[64];
	enum fw_style style = state_of(gauge, listing->today, state, sizeof state);
	const char *due = gauge->due ? gauge->due : "-";

	row(listing, gauge->id, gauge->kind, fw_gauge_resolution(gauge, resolution),
	    fw_gauge_error(gauge, error), due);
	int left = screen->width - listing->id - listing->kind - listing->resolution - listing->error -
	           DAY - 10;
	if (*state)
		fprintf(screen->out, "%*s",
		        (int)strlen(state) > left ? 0 : DAY + 2 - fw_text_width(due, screen->utf8), "");
	if ((int)strlen(state) > left)
		fputs("\n    ", screen->out);
	fw_style_on(screen, style);
	fw_text_print(screen, state, -1);
	fw_style_off(screen, style);
	fputc('\n', screen->out);
}

static json_t *gauge_json(const struct fw_shop_gauge *gauge, const char *today)
{
	char why[64];
	const char *state = gauge->retired                                         ? "retired"
	                    : fw_shop_gauge_barred(gauge, today, NULL, 0)          ? "bad"
	                    : !fw_shop_gauge_usable(gauge, today, why, sizeof why) ? "overdue"
	                                                                           : "usable";

	return json_pack("{s:s, s:s, s:f, s:f, s:f, s:s, s:s?, s:s?, s:s?, s:s?, s:s?, s:I, s:s}", "id",
	                 gauge->id, "kind", gauge->kind, "resolution_si", gauge->resolution, "error_si",
	                 gauge->error, "relative", gauge->relative, "unit", gauge->unit, "calibrated",
	                 gauge->calibrated, "due", gauge->due, "source", gauge->source, "bad_from",
	                 gauge->bad_from, "retired", gauge->retired, "entry", (json_int_t)gauge->entry,
	                 "state", state);
}

static int add_json(struct listing *listing, const struct fw_shop_gauges *gauges,
                    struct fw_error *err)
{
	for (size_t i = 0; i < gauges->count; i++)
		if (json_array_append_new(listing->array, gauge_json(&gauges->list[i], listing->today)) !=
		    0)
			return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	return FW_OK;
}

static int least(int a, int b)
{
	return a < b ? a : b;
}

static void fit_widths(struct listing *listing, const struct fw_shop_gauges *gauges)
{
	const struct fw_screen *screen = &listing->screen;
	char text[FW_GAUGE_FIGURES];

	listing->id = (int)strlen("gauge");
	listing->kind = (int)strlen("kind");
	listing->resolution = (int)strlen("reads to");
	listing->error = (int)strlen("error");
	for (size_t i = 0; i < gauges->count; i++) {
		const struct fw_shop_gauge *gauge = &gauges->list[i];
		listing->id = widest(listing->id, gauge->id, screen);
		listing->kind = widest(listing->kind, gauge->kind, screen);
		listing->resolution = widest(listing->resolution, fw_gauge_resolution(gauge, text), screen);
		listing->error = widest(listing->error, fw_gauge_error(gauge, text), screen);
	}
	listing->id = least(listing->id, ID);
	listing->resolution = least(listing->resolution, FIGURE);
	listing->error = least(listing->error, FIGURE);
	listing->kind = least(listing->kind, screen->width - listing->id - listing->resolution -
	                                         listing->error - DAY - 8);
	listing->kind = listing->kind < 0 ? 0 : listing->kind;
}

static void show_all(struct listing *listing, const struct fw_shop_gauges *gauges)
{
	fit_widths(listing, gauges);
	if (gauges->count > 0)
		head(listing);
	for (size_t i = 0; i < gauges->count; i++)
		show(listing, &gauges->list[i]);
}

static int list(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct listing *listing = context;
	struct fw_shop_gauges gauges = {0};
	int code = fw_shop_gauges_read(&gauges, trail, err);

	if (code != FW_OK)
		return code;
	listing->count = gauges.count;
	if (listing->array)
		code = add_json(listing, &gauges, err);
	else
		show_all(listing, &gauges);
	fw_shop_gauges_free(&gauges);
	return code;
}

int fw_gauge_list(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted)
{
	struct listing listing = {.screen = fw_cli_screen(cli),
	                          .array = wanted->json ? json_array() : NULL};

	if (wanted->json && !listing.array)
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	system_day(listing.today);
	int status = fw_cli_with_trail(cli, FW_TRAIL_READ, list, &listing);
	if (status == FW_EXIT_FINE && listing.array)
		status = fw_cli_put_json(listing.array);
	else if (status == FW_EXIT_FINE && listing.count == 0)
		puts("No gauges yet; 'fitwright gauge add' registers one.");
	json_decref(listing.array);
	return status;
}

/* ---- typical ---- */

const struct fw_unit *fw_gauge_typical_unit(const struct fw_gauge *gauge)
{
	static const char *const units[] = {"mm", "thou", "N·m", "lbf·in", "N", "g",
	                                    "K",  "bar",  "°",   "ml",     "s", "rpm"};
	const struct fw_unit *best = fw_unit_si(gauge->dimension);
	size_t shortest = SIZE_MAX;

	for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
		const struct fw_unit *unit = fw_unit_find(units[i], strlen(units[i]));
		char text[32];
		if (!unit || !fw_dimension_equal(unit->dimension, gauge->dimension))
			continue;
		snprintf(text, sizeof text, "%.6g", gauge->resolution / unit->factor);
		if (strlen(text) >= shortest)
			continue;
		shortest = strlen(text);
		best = unit;
	}
	return best;
}

static struct fw_shop_gauge as_registered(const struct fw_gauge *gauge)
{
	return (struct fw_shop_gauge){.kind = (char *)gauge->name,
	                              .resolution = gauge->resolution,
	                              .error = gauge->error,
	                              .relative = gauge->relative,
	                              .unit = (char *)fw_gauge_typical_unit(gauge)->symbol};
}

static int put_typical_json(const struct fw_gauge *gauges, size_t count)
{
	json_t *array = json_array();
	int failed = array ? 0 : -1;

	for (size_t i = 0; failed == 0 && i < count; i++)
		failed = json_array_append_new(
		    array,
		    json_pack("{s:s, s:f, s:f, s:f, s:s, s:s}", "kind", gauges[i].name, "resolution_si",
		              gauges[i].resolution, "error_si", gauges[i].error, "relative",
		              gauges[i].relative, "unit", fw_gauge_typical_unit(&gauges[i])->symbol,
		              "source", gauges[i].source));
	int status =
	    failed == 0 ? fw_cli_put_json(array) : fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	json_decref(array);
	return status;
}

int fw_gauge_typical_list(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted)
{
	struct fw_screen screen = fw_cli_screen(cli);
	size_t count;
	const struct fw_gauge *gauges = fw_gauges_typical(&count);
	char figures[FW_GAUGE_FIGURES];
	int width = 0;

	if (wanted->json)
		return put_typical_json(gauges, count);
	for (size_t i = 0; i < count; i++)
		width = widest(width, gauges[i].name, &screen);
	for (size_t i = 0; i < count; i++) {
		struct fw_shop_gauge gauge = as_registered(&gauges[i]);
		cell(&screen, gauges[i].name, width);
		fw_text_print(&screen, fw_gauge_figures(&gauge, figures), screen.width - width - 2);
		fputc('\n', screen.out);
	}
	puts("\nAll common practice, no source: what such a gauge in good order usually reads\n"
	     "to. One of your own goes into the register with 'fitwright gauge add'.");
	return FW_EXIT_FINE;
}
