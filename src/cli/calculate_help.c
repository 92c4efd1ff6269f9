/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What --help says of a calculator: all of it out of its table. */
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "cli/calculate.h"
#include "face/glyph.h"
#include "face/wrap.h"

/* Column where what is said of an input begins, and that of a field. */
enum { MARGIN = 2, TEXT_AT = 27, FIELD_AT = 6 };

static void describe_value(const struct fw_calc_input *input, char *buffer, size_t size)
{
	switch (input->kind) {
	case FW_CALC_QUANTITY:
		snprintf(buffer, size, "QUANTITY");
		break;
	case FW_CALC_QUANTITIES:
		snprintf(buffer, size, "QUANTITY;…");
		break;
	case FW_CALC_NUMBER:
	case FW_CALC_WHOLE:
		snprintf(buffer, size, "NUMBER");
		break;
	case FW_CALC_NUMBERS:
		snprintf(buffer, size, "NUMBER;…");
		break;
	case FW_CALC_TEXT:
		snprintf(buffer, size, "TEXT");
		break;
	case FW_CALC_CHOICE:
		snprintf(buffer, size, "WORD");
		break;
	case FW_CALC_FLAG:
		buffer[0] = '\0';
		break;
	case FW_CALC_RECORDS:
		snprintf(buffer, size, "RECORD");
		break;
	}
}

static int describe_unit(const char *unit, char *buffer, size_t size)
{
	if (unit[0] == '*' && unit[1])
		return snprintf(buffer, size, "; bare: %s; any unit", unit + 1);
	if (unit[0] == '*')
		return snprintf(buffer, size, "; with its unit");
	if (unit[0] == '=' || unit[0] == '~')
		return snprintf(buffer, size, "; bare: as %s", unit + 1);
	return snprintf(buffer, size, "; bare: %s", unit);
}

/* "outer diameter of the hub; mm; 0.12 when left out" */
static void describe(const struct fw_calc_input *input, char *buffer, size_t size)
{
	int at = snprintf(buffer, size, "%s", input->doc);

	if (input->unit && at > 0 && (size_t)at < size)
		at += describe_unit(input->unit, buffer + at, size - (size_t)at);
	if (input->choices && at > 0 && (size_t)at < size)
		at += snprintf(buffer + at, size - (size_t)at, "; one of %s", input->choices);
	if (input->fallback && at > 0 && (size_t)at < size)
		at += snprintf(buffer + at, size - (size_t)at, "; %s when left out", input->fallback);
	if (input->required && at > 0 && (size_t)at < size)
		snprintf(buffer + at, size - (size_t)at, "; required");
}

/* Bytes of `text` that go on a line of `most` columns: up to a blank, or behind a '|'; all of it,
 * or a whole word, when there is no such place. */
static size_t line_length(const char *text, int most, bool utf8)
{
	size_t good = 0, at = 0;
	struct fw_glyph glyph;
	int used = 0;

	while (text[at]) {
		const char *next = fw_glyph_next(&glyph, text + at, utf8);
		if (text[at] == ' ')
			good = at;
		used += glyph.width;
		if (used > most && good > 0)
			return good;
		at = (size_t)(next - text);
		if (text[at - 1] == '|')
			good = at;
	}
	return at;
}

/* Name in its column, text in the next. */
static void print_input(const struct fw_screen *screen, const struct fw_calc_input *input,
                        const char *before, const char *equals, int margin)
{
	char value[32], name[80], text[1000];

	describe_value(input, value, sizeof value);
	snprintf(name, sizeof name, "%*s%s%s%s%s", margin, "", before, input->name,
	         value[0] ? equals : "", value);
	describe(input, text, sizeof text);
	fputs(name, screen->out);
	int column = fw_text_width(name, screen->utf8);
	if (column >= TEXT_AT) {
		fputc('\n', screen->out);
		column = 0;
	}
	for (const char *at = text; *at; column = 0) {
		size_t length = line_length(at, screen->width - TEXT_AT, screen->utf8);
		fprintf(screen->out, "%*s%.*s\n", TEXT_AT - column, "", (int)length, at);
		at += length;
		at += *at == ' ';
	}
}

static void print_inputs(const struct fw_screen *screen, const struct fw_calculator *calculator)
{
	for (const struct fw_calc_input *input = calculator->inputs; input->name; input++) {
		print_input(screen, input, "--", " ", MARGIN);
		for (const struct fw_calc_input *field = input->fields; field && field->name; field++)
			print_input(screen, field, "", "=", FIELD_AT);
	}
}

static bool has_records(const struct fw_calculator *calculator)
{
	for (const struct fw_calc_input *input = calculator->inputs; input->name; input++)
		if (input->kind == FW_CALC_RECORDS)
			return true;
	return false;
}

/* Laid out for 80 columns; where there are fewer, run together and broken anew. */
static void print_about(const struct fw_screen *screen, const char *about)
{
	char text[4000];

	snprintf(text, sizeof text, "%s", about);
	if (screen->width < FW_SCREEN_USUAL)
		fw_text_one_line(text);
	fw_wrap(screen, text, 0, FW_STYLE_PLAIN);
	fputc('\n', screen->out);
}

void fw_cli_calculate_help(const struct fw_calculator *calculator)
{
	struct fw_screen screen = fw_screen_make(stdout);

	printf("Usage: fitwright %s [--INPUT VALUE]... [--json]\n\n", calculator->name);
	print_about(&screen, calculator->about);
	print_inputs(&screen, calculator);
	puts("  --json                   the inputs, results and working as JSON");
	puts("  --help                   this help");
	fputc('\n', stdout);
	fw_wrap(&screen,
	        "A quantity may carry its unit and its expanded uncertainty (k = 2): "
	        "\"0.41 mm ± 0.01 mm\", \"16 thou\". Several values of a list: one option each, or "
	        "parted by ';'.",
	        0, FW_STYLE_PLAIN);
	if (has_records(calculator))
		fw_wrap(&screen,
		        "A record is typed as field=value, field=value; its first field needs no name. "
		        "Several records: one option each.",
		        0, FW_STYLE_PLAIN);
	fputc('\n', stdout);
	fw_wrap(&screen, "Exit status: 0 fine, 1 there is something to beware of, 2 wrong usage.", 0,
	        FW_STYLE_PLAIN);
	printf("\nExample:\n  fitwright %s %s\n\n", calculator->name, calculator->example);
	fw_wrap(&screen, "Source:", 0, FW_STYLE_PLAIN);
	fw_wrap(&screen, calculator->source, MARGIN, FW_STYLE_PLAIN);
}
