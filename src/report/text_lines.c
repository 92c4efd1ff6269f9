/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_lines.h"

#include "report/put.h"

#define COLUMNS 80

/* Line breaks and tabs become spaces: a stranger's text makes no lines of its own. */
static uint32_t plain_point(const char **text)
{
	uint32_t point = fw_report_utf8_shown(fw_report_utf8_next(text));

	return point == '\n' || point == '\t' ? ' ' : point;
}

static void put_points(FILE *out, const char *text, size_t count)
{
	while (count--)
		fw_put_point(out, plain_point(&text));
}

static void pad(FILE *out, size_t columns)
{
	while (columns--)
		fputc(' ', out);
}

/* Code points of the piece of `text` that fits into `room`, broken at a space where there is one;
 * `*skip` gets those to be passed over, the space included. */
static size_t piece(const char *text, size_t room, size_t *skip)
{
	size_t length = 0, space = 0;
	const char *at = text;

	while (*at && length < room) {
		if (plain_point(&at) == ' ')
			space = length;
		length++;
	}
	const char *next = at;
	if (!*at || plain_point(&next) == ' ') {
		*skip = length + (*at != '\0');
		return length;
	}
	*skip = space ? space + 1 : length;
	return space ? space : length;
}

void fw_lines_wrapped(FILE *out, size_t indent, const char *label, size_t hang, const char *text)
{
	size_t room = COLUMNS - hang;
	size_t used = indent + fw_report_utf8_length(label);

	if (!text || !*text)
		return;
	pad(out, indent);
	put_points(out, label, fw_report_utf8_length(label));
	pad(out, used < hang ? hang - used : 0);
	for (bool first = true; *text; first = false) {
		size_t skip, length = piece(text, room, &skip);
		if (!first)
			pad(out, hang);
		put_points(out, text, length);
		fputs("\n", out);
		while (skip-- && *text)
			fw_report_utf8_next(&text);
	}
}

void fw_lines_fact(FILE *out, const char *label, const char *text)
{
	fw_lines_wrapped(out, 0, label, 14, text);
}

void fw_lines_heading(FILE *out, const char *heading)
{
	fputs("\n", out);
	size_t length = fw_report_utf8_length(heading);
	if (length > COLUMNS)
		length = COLUMNS;
	put_points(out, heading, length);
	fputs("\n", out);
	while (length--)
		fputc('-', out);
	fputs("\n", out);
}
