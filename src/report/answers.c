/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answers that stand, one a line, amendments in their place, to begin the job anew with a
 * mended procedure. */
#include <string.h>

#include "report/put.h"
#include "report/writers.h"

/* An answers file refuses what can't be seen; a stranger's trail may hold it. */
static bool is_seen(uint32_t point)
{
	static const uint32_t hidden[][2] = {
	    {0xAD, 0xAD},     {0x61C, 0x61C},   {0x180E, 0x180E}, {0x200B, 0x200F},   {0x2028, 0x202E},
	    {0x2060, 0x206F}, {0xFEFF, 0xFEFF}, {0xFFF0, 0xFFFB}, {0xE0000, 0xE0FFF},
	};

	for (size_t i = 0; i < sizeof hidden / sizeof *hidden; i++)
		if (point >= hidden[i][0] && point <= hidden[i][1])
			return false;
	return true;
}

/* On one line, whatever it holds. */
static void put(FILE *out, const char *text)
{
	while (text && *text) {
		uint32_t point = fw_report_utf8_shown(fw_report_utf8_next(&text));
		if (point == '\n' || point == '\t')
			point = ' ';
		fw_put_point(out, is_seen(point) ? point : 0xFFFDU);
	}
}

/* The id of a step as the file can name it. */
static bool is_id(const char *step)
{
	size_t length = step ? strlen(step) : 0;

	return length > 0 && !strpbrk(step, " \t\r\n:") && !strchr("#/", step[0]) &&
	       step[length - 1] != '!';
}

static bool is_bare_number(const char *typed)
{
	return strpbrk(typed, "0123456789") && typed[strspn(typed, "0123456789 \t.,/+-")] == '\0';
}

/* As typed, but so that another procedure can't take it for something else: a choice by its words
 * instead of its number, a bare number with the unit it was taken in. */
static void put_typed(FILE *out, const struct fw_report_entry *answer)
{
	const char *option = fw_get_text(answer->value, "option");
	const char *unit = fw_get_text(json_object_get(answer->value, "quantity"), "unit");
	const char *typed = answer->typed ? answer->typed : "";

	fputs(option || *typed ? " " : "", out);
	put(out, option ? option : typed);
	if (unit && strcmp(unit, "1") != 0 && is_bare_number(typed)) {
		fputs(" ", out);
		put(out, unit);
	}
}

static void put_answer(FILE *out, const struct fw_report_entry *answer)
{
	if (!is_id(answer->step)) {
		fprintf(out, "# The answer of entry %lld bears no id of a step: ", (long long)answer->seq);
		put(out, answer->typed);
	} else {
		put(out, answer->step);
		fputs(fw_get_true(answer->value, "confirmed") ? "!:" : ":", out);
		put_typed(out, answer);
	}
	fputs("\n", out);
}

static void put_signature(FILE *out, const struct fw_report_entry *sign)
{
	fputs("# ", out);
	put(out, sign->step);
	fputs(": signed by ", out);
	put(out, sign->typed);
	fputs("; to be signed anew in a session\n", out);
}

static void put_head(FILE *out, const struct fw_report_job *job)
{
	fprintf(out, "# Answers of job %lld that stand, in the order asked: ", (long long)job->number);
	put(out, fw_get_text(fw_report_begin(job), "unit"));
	fputs("\n"
	      "# To begin the job anew with a mended procedure:\n"
	      "#   fitwright begin PROCEDURE --sheet FILE --unit TEXT --who NAME --answers THIS-FILE\n"
	      "# It stops at the first answer that the procedure doesn't ask for.\n",
	      out);
}

void fw_report_answers_file(FILE *out, const struct fw_report_job *job)
{
	const char *phase = NULL;

	put_head(out, job);
	for (size_t i = 0; i < job->answers; i++) {
		const struct fw_report_entry *entry = &job->entries[job->order[i]];
		if (entry->phase && (!phase || strcmp(phase, entry->phase) != 0)) {
			fputs("\n# ", out);
			put(out, entry->phase);
			fputs("\n", out);
		}
		phase = entry->phase;
		if (fw_report_is(entry, "sign"))
			put_signature(out, entry);
		else
			put_answer(out, entry);
	}
}
