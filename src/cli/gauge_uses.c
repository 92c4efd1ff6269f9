/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `gauge uses`: what a gauge has had in hand. */
#include <stdio.h>
#include <string.h>

#include "cli/gauge.h"
#include "face/glyph.h"
#include "face/wrap.h"

struct uses {
	const struct fw_gauge_wanted *wanted;
	struct fw_screen screen;
	json_t *readings, *checks; /* NULL: as lines */
	int64_t job;               /* the last one met */
	size_t jobs, released, standing, struck, resting;
};

static int add_json(struct uses *uses, const struct fw_gauge_use *use)
{
	json_t *what = use->check ? json_pack("{s:s, s:s}", "name", use->check, "verdict", use->verdict)
	                          : json_pack("{s:s?, s:s?}", "item", use->item, "typed", use->typed);
	json_t *object =
	    json_pack("{s:I, s:I, s:s, s:s, s:s, s:s, s:b, s:b}", "job", (json_int_t)use->job, "entry",
	              (json_int_t)use->seq, "unit", use->unit_on_bench, "at", use->at, "who", use->who,
	              "step", use->step, "struck", use->struck, "released", use->released);
	int failed = what && object ? json_object_update(object, what) : -1;

	json_decref(what);
	if (failed != 0) {
		json_decref(object);
		return -1;
	}
	return json_array_append_new(use->check ? uses->checks : uses->readings, object);
}

static void show_job(const struct uses *uses, const struct fw_gauge_use *use)
{
	const struct fw_screen *screen = &uses->screen;
	char head[48];

	snprintf(head, sizeof head, "%sjob %lld, %s: ", uses->jobs > 1 ? "\n" : "", (long long)use->job,
	         use->released ? "released" : "open");
	fw_style_on(screen, FW_STYLE_STRONG);
	fputs(head, screen->out);
	fw_text_print(screen, use->unit_on_bench, screen->width - (int)strlen(head));
	fw_style_off(screen, FW_STYLE_STRONG);
	fputc('\n', screen->out);
}

static void show(const struct uses *uses, const struct fw_gauge_use *use)
{
	const struct fw_screen *screen = &uses->screen;
	char text[1024];

	if (use->check)
		snprintf(text, sizeof text, "  %.10s  %5lld  check %.200s: %.20s%s", use->at,
		         (long long)use->seq, use->check, use->verdict, use->struck ? " (struck out)" : "");
	else
		snprintf(text, sizeof text, "  %.10s  %5lld  %.80s%s%.80s: %.80s, %.200s%s", use->at,
		         (long long)use->seq, use->step, use->item ? ", " : "", use->item ? use->item : "",
		         use->typed ? use->typed : "", use->who, use->struck ? " (struck out)" : "");
	fw_wrap(screen, text + 2, 2, FW_STYLE_PLAIN);
}

static int visit(void *context, const struct fw_gauge_use *use)
{
	struct uses *uses = context;
	bool first = use->job != uses->job;

	uses->job = use->job;
	uses->jobs += first;
	uses->released += first && use->released;
	uses->struck += use->struck;
	uses->standing += !use->struck && !use->check;
	uses->resting += !use->struck && use->check;
	if (uses->readings)
		return add_json(uses, use) == 0 ? 0 : FW_ERR_MEMORY;
	if (first)
		show_job(uses, use);
	show(uses, use);
	return 0;
}

static int walk(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct uses *uses = context;
	const char *id = uses->wanted->id;
	struct fw_shop_gauges gauges = {0};
	int code = fw_shop_gauges_read(&gauges, trail, err);

	if (code != FW_OK)
		return code;
	if (!fw_shop_gauge_find(&gauges, id))
		code = fw_fail(err, FW_ERR_NOT_FOUND,
		               "no gauge '%.60s' is registered; 'fitwright gauge list' shows them", id);
	fw_shop_gauges_free(&gauges);
	if (code == FW_OK)
		code = fw_shop_gauge_uses(trail, id, uses->wanted->from, visit, uses, err);
	if (code == FW_ERR_MEMORY)
		fw_fail(err, code, "out of memory");
	return code;
}

static const char *plural(size_t count)
{
	return count == 1 ? "" : "s";
}

static void show_sum(const struct uses *uses)
{
	const char *from = uses->wanted->from;

	if (uses->jobs == 0) {
		printf("%s took no reading%s%s%s.\n", uses->wanted->id, from ? " from " : "",
		       from ? from : "", from ? " on" : "");
		return;
	}
	printf("\n%zu reading%s in %zu job%s, %zu of them released; %zu check%s rest%s on them.%s\n",
	       uses->standing, plural(uses->standing), uses->jobs, plural(uses->jobs), uses->released,
	       uses->resting, plural(uses->resting), uses->resting == 1 ? "s" : "",
	       uses->struck ? " What was struck out isn't counted." : "");
}

static int put_json(const struct uses *uses)
{
	json_t *all = json_pack("{s:s, s:s?, s:O, s:O}", "gauge", uses->wanted->id, "from",
	                        uses->wanted->from, "readings", uses->readings, "checks", uses->checks);
	int status = all ? fw_cli_put_json(all) : fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");

	json_decref(all);
	return status;
}

int fw_gauge_uses(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted)
{
	struct uses uses = {.wanted = wanted, .screen = fw_cli_screen(cli)};

	if (wanted->json) {
		uses.readings = json_array();
		uses.checks = json_array();
		if (!uses.readings || !uses.checks) {
			json_decref(uses.readings);
			json_decref(uses.checks);
			return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
		}
	}
	int status = fw_cli_with_trail(cli, FW_TRAIL_READ, walk, &uses);
	if (status == FW_EXIT_FINE && wanted->json)
		status = put_json(&uses);
	else if (status == FW_EXIT_FINE)
		show_sum(&uses);
	if (status == FW_EXIT_FINE && uses.standing + uses.resting > 0)
		status = FW_EXIT_FINDING;
	json_decref(uses.readings);
	json_decref(uses.checks);
	return status;
}
