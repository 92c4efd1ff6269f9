/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Concessions, holds and the like: below the line of a job. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "cli/list.h"
#include "face/wrap.h"

/* The pending question of an open job: its procedure is run through, and nothing is written. One
 * that can't be run is left to `fitwright audit`. */
static void look_what_waits(struct fw_list_points *out, struct fw_trail *trail, int64_t number)
{
	struct fw_error ignored = {0};
	struct fw_job *job = NULL;

	if (fw_job_resume(&job, trail, number, NULL, NULL, NULL, &ignored) != FW_OK)
		return;
	const struct fw_question *question = fw_job_pending(job);
	if (question && question->ask == FW_ASK_SIGN) {
		const char *purpose = question->purpose ? question->purpose : "sign";
		snprintf(out->waits, sizeof out->waits, "%s: %.200s",
		         strcmp(purpose, "hold") == 0         ? "hold point"
		         : strcmp(purpose, "concession") == 0 ? "concession"
		                                              : "sign-off",
		         question->role ? question->role : "");
		fw_utf8_drop_cut(out->waits);
	}
	fw_job_close(job);
}

int fw_list_look(struct fw_list_points *out, struct fw_trail *trail, const struct fw_job_line *line,
                 bool all, struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	out->points.reopened = line->reopened > 0;
	if (!all && line->conceding == 0)
		return FW_OK;
	int code = fw_report_points(&out->points, trail, line->job, err);
	if (code != FW_OK || !all)
		return code;
	out->looked = true;
	if (!out->points.released)
		look_what_waits(out, trail, line->job);
	return FW_OK;
}

static void add(char *text, size_t size, const char *format, ...) FW_PRINTF(3, 4);

static void add(char *text, size_t size, const char *format, ...)
{
	size_t used = strlen(text);
	va_list args;

	if (used && used + 2 < size) {
		memcpy(text + used, "; ", 3);
		used += 2;
	}
	va_start(args, format);
	vsnprintf(text + used, size - used, format, args);
	va_end(args);
	fw_utf8_drop_cut(text);
}

static void add_count(char *text, size_t size, size_t count, const char *one, const char *many)
{
	if (count == 1)
		add(text, size, "%s", one);
	else if (count)
		add(text, size, "%zu %s", count, many);
}

static void line(const struct fw_screen *screen, enum fw_style style, const char *text)
{
	if (!*text)
		return;
	fw_wrap(screen, text, 7, style);
}

void fw_list_print_points(const struct fw_screen *screen, const struct fw_list_points *points)
{
	const struct fw_job_points *p = &points->points;
	char alarm[256] = "", rest[700] = "";

	add_count(alarm, sizeof alarm, p->concessions, "CONCESSION", "CONCESSIONS");
	if (points->waits[0])
		add(alarm, sizeof alarm, "waits for %.100s", points->waits);
	line(screen, FW_STYLE_STRONG, alarm);
	if (!points->looked)
		return;
	if (p->released_by[0])
		add(rest, sizeof rest, "released by %.100s", p->released_by);
	add_count(rest, sizeof rest, p->holds, "hold point signed", "hold points signed");
	add_count(rest, sizeof rest, p->dependent, "one signature not independent",
	          "signatures not independent");
	add_count(rest, sizeof rest, p->by_name, "one signature by name alone",
	          "signatures by name alone");
	add_count(rest, sizeof rest, p->amended, "answer amended", "answers amended");
	add_count(rest, sizeof rest, p->evidence, "file attached", "files attached");
	if (p->reopened && p->released)
		add(rest, sizeof rest, "was reopened");
	line(screen, FW_STYLE_PLAIN, rest);
}

int fw_list_put_points(json_t *object, const struct fw_list_points *points)
{
	const struct fw_job_points *p = &points->points;
	json_t *more =
	    json_pack("{s:I, s:b}", "concessions", (json_int_t)p->concessions, "reopened", p->reopened);

	if (more && points->looked) {
		json_t *all = json_pack("{s:I, s:I, s:I, s:I, s:I, s:s*, s:s*}", "holds",
		                        (json_int_t)p->holds, "not_independent", (json_int_t)p->dependent,
		                        "by_name_alone", (json_int_t)p->by_name, "amended",
		                        (json_int_t)p->amended, "evidence", (json_int_t)p->evidence,
		                        "released_by", p->released_by[0] ? p->released_by : NULL,
		                        "waits_for", points->waits[0] ? points->waits : NULL);
		if (!all || json_object_update(more, all) != 0) {
			json_decref(more);
			more = NULL;
		}
		json_decref(all);
	}
	int failed = more ? json_object_update(object, more) : -1;
	json_decref(more);
	return failed;
}
