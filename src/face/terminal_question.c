/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "face/glyph.h"
#include "face/show.h"
#include "face/wrap.h"

/* Adds to a buffer of `size`, cut where it is full. */
static void append(char *buffer, size_t size, const char *text)
{
	size_t used = strlen(buffer);
	snprintf(buffer + used, size - used, "%s", text);
	fw_utf8_drop_cut(buffer);
}

static void append_number(char *buffer, size_t size, double si, const struct fw_unit *unit)
{
	char number[32];
	double value = (si - unit->offset) / unit->factor;

	/* What is left over from the conversion isn't worth a figure. */
	snprintf(number, sizeof number, "%.6g", fabs(value) < unit->step * 1e-6 ? 0.0 : value);
	append(buffer, size, number);
}

/* "mm, 0 to 3", "mm, 3 at most" */
static void expected_range(const struct fw_question *question, char *buffer, size_t size)
{
	bool low = isfinite(question->low), high = isfinite(question->high);

	append(buffer, size, question->unit->symbol);
	if (low || high)
		append(buffer, size, ", ");
	if (low)
		append_number(buffer, size, question->low, question->unit);
	append(buffer, size, low && high ? " to " : low ? " at least" : "");
	if (high)
		append_number(buffer, size, question->high, question->unit);
	append(buffer, size, high && !low ? " at most" : "");
}

/* The item, or the id of the step as words. Too long a name would leave no room to type. */
static void prompt_name(const struct fw_screen *screen, const struct fw_question *question,
                        char *buffer, size_t size)
{
	const char *name = question->item ? question->item : question->step;

	buffer[0] = '\0';
	if (!name || strlen(name) >= size || fw_text_width(name, screen->utf8) > screen->width / 2)
		return;
	append(buffer, size, name);
	for (char *c = buffer; !question->item && *c; c++) {
		if (*c == '-' || *c == '_')
			*c = ' ';
	}
	append(buffer, size, " ");
}

/* As the editor shows it: no byte of the procedure's reaches the terminal unseen. */
static void harmless(const struct fw_screen *screen, const char *text, char *buffer)
{
	struct fw_glyph glyph;
	size_t used = 0;

	while ((text = fw_glyph_next(&glyph, text, screen->utf8)) != NULL &&
	       used + glyph.size < FW_PROMPT) {
		memcpy(buffer + used, glyph.bytes, glyph.size);
		used += glyph.size;
	}
	buffer[used] = '\0';
}

const char *fw_question_prompt(const struct fw_screen *screen, const struct fw_question *question,
                               char *buffer)
{
	char name[FW_PROMPT / 2];
	char range[FW_PROMPT / 2] = "";
	char count[32];
	char whole[2 * FW_PROMPT];

	prompt_name(screen, question, name, sizeof name);
	if (question->ask == FW_ASK_DONE && !question->item)
		name[0] = '\0'; /* what to do was said; its short name would only puzzle */
	switch (question->ask) {
	case FW_ASK_DONE:
		append(range, sizeof range, "Enter when done");
		break;
	case FW_ASK_QUANTITY:
		expected_range(question, range, sizeof range);
		break;
	case FW_ASK_CHOICE:
		snprintf(count, sizeof count, "1 to %zu", question->option_count);
		append(range, sizeof range, count);
		break;
	case FW_ASK_TEXT:
		append(range, sizeof range, question->optional ? "words, or Enter for none" : "words");
		break;
	case FW_ASK_SIGN:
		append(range, sizeof range, "full name to sign");
		break;
	}
	snprintf(whole, sizeof whole, "%s[%s] > ", name, range);
	harmless(screen, whole, buffer);
	return buffer;
}

/* Short options in one line, when the step only goes on with its next item. False: they don't fit.
 */
static bool show_options_in_line(const struct fw_screen *screen, const struct fw_question *question)
{
	int width = 0;

	for (size_t i = 0; i < question->option_count; i++) {
		int option = fw_text_width(question->options[i], screen->utf8);
		if (option > 12)
			return false;
		width += option + 7;
	}
	if (width > screen->width)
		return false;
	for (size_t i = 0; i < question->option_count; i++) {
		fprintf(screen->out, "  %3zu  ", i + 1);
		fw_text_print(screen, question->options[i], -1);
	}
	if (question->option_count > 0)
		fputc('\n', screen->out);
	return true;
}

static void show_options(const struct fw_screen *screen, const struct fw_question *question)
{
	for (size_t i = 0; i < question->option_count; i++) {
		fprintf(screen->out, "  %3zu  ", i + 1);
		fw_text_print(screen, question->options[i], screen->width - 7);
		fputc('\n', screen->out);
	}
}

/* Which turn a bolt has, from 1; 0 when the order lacks it. */
static size_t turn_of(const struct fw_question *question, size_t bolt)
{
	for (size_t i = 0; i < question->order_count; i++)
		if (question->order[i] == bolt)
			return i + 1;
	return 0;
}

/* The rows as they lie, each bolt as its turn; nothing when they are wider than the screen. */
static void show_rows(const struct fw_screen *screen, const struct fw_question *question,
                      int digits)
{
	if (question->columns == 0 || 2 + (int)question->columns * (digits + 3) > screen->width)
		return;
	fputs("  Where they lie, each as its turn:\n\n", screen->out);
	for (size_t bolt = 1; bolt <= question->order_count; bolt++)
		fprintf(screen->out, "   %*zu%s", digits, turn_of(question, bolt),
		        bolt % question->columns == 0 ? "\n" : "");
	fputs("\n", screen->out);
}

/* Bolts in the order of tightening, by fours, wide apart: read from where the wrench is. */
static void show_order(const struct fw_screen *screen, const struct fw_question *question)
{
	const unsigned group = 4;
	int digits = 1;
	for (size_t i = 0; i < question->order_count; i++) {
		if (question->order[i] > 9 && digits < 2)
			digits = 2;
		if (question->order[i] > 99)
			digits = 3;
	}
	int group_width = (int)group * (digits + 3) + 3;
	int groups = (screen->width - 2) / group_width;
	size_t in_row = group * (size_t)(groups > 0 ? groups : 1);

	fputs("\n  Order, first to last:\n\n", screen->out);
	fw_style_on(screen, FW_STYLE_STRONG);
	for (size_t i = 0; i < question->order_count; i++) {
		if (i > 0 && i % in_row == 0)
			fputs("\n\n", screen->out);
		else if (i > 0 && i % group == 0)
			fputs("  |", screen->out);
		fprintf(screen->out, "   %*u", digits, question->order[i]);
	}
	fw_style_off(screen, FW_STYLE_STRONG);
	fputs("\n\n", screen->out);
	show_rows(screen, question, digits);
}

static void show_caution(const struct fw_screen *screen, const char *caution)
{
	fputc('\n', screen->out);
	fw_style_on(screen, FW_STYLE_CAUTION);
	fputs("!! CAUTION", screen->out);
	fw_style_off(screen, FW_STYLE_CAUTION);
	fputc('\n', screen->out);
	fw_wrap(screen, caution, 3, FW_STYLE_STRONG);
}

/* In what role, unless that was said, and what the signature will say. */
static void show_signature(const struct fw_screen *screen, const struct fw_question *question)
{
	fputc('\n', screen->out);
	if (question->role && !(question->say && strstr(question->say, question->role))) {
		fputs("  Signing as: ", screen->out);
		fw_text_print(screen, question->role, screen->width - 14);
		fputc('\n', screen->out);
	}
	if (question->meaning)
		fw_wrap(screen, question->meaning, 2, FW_STYLE_PLAIN);
	if (question->reason) { /* who signs may not be who gave it */
		char text[4096 + 16];
		snprintf(text, sizeof text, "Reason: %s", question->reason);
		fw_utf8_drop_cut(text);
		fw_wrap(screen, text, 2, FW_STYLE_PLAIN);
	}
}

static void show_rule(const struct fw_screen *screen, const struct fw_question *question,
                      size_t answered)
{
	const char *dot = screen->utf8 ? " · " : " - ";
	char text[256];
	char part[64];

	const char *phase = question->phase ? question->phase : "Start";
	snprintf(text, sizeof text, "%.*s", fw_utf8_fit(phase, 120), phase);
	if (question->phase_number > 0) {
		snprintf(part, sizeof part, "%s%u of %u", dot, question->phase_number,
		         question->phase_count);
		append(text, sizeof text, part);
	}
	snprintf(part, sizeof part, "%s%zu answered", dot, answered);
	append(text, sizeof text, part);
	if (question->round > 0) {
		snprintf(part, sizeof part, "%stime %u", dot, question->round + 1);
		append(text, sizeof text, part);
	}
	fputc('\n', screen->out);
	fw_screen_rule(screen, text, question->step);
}

void fw_question_show_item(const struct fw_screen *screen, const struct fw_question *question,
                           bool options)
{
	/* A name too long for the prompt has a line of its own. */
	if (question->item && fw_text_width(question->item, screen->utf8) > screen->width / 2)
		fw_wrap(screen, question->item, 2, FW_STYLE_STRONG);
	if (question->order_count > 0)
		show_order(screen, question);
	if (options && !show_options_in_line(screen, question))
		show_options(screen, question);
}

void fw_question_show(const struct fw_screen *screen, const struct fw_question *question,
                      size_t answered)
{
	show_rule(screen, question, answered);
	if (question->say && *question->say)
		fw_wrap(screen, question->say, 0, FW_STYLE_STRONG);
	if (question->caution)
		show_caution(screen, question->caution);
	if (question->caution && question->order_count == 0)
		fputc('\n', screen->out); /* an order brings a line of its own */
	if (question->gauge) {
		fputs("  with: ", screen->out);
		fw_text_print(screen, question->gauge, screen->width - 8);
		fputc('\n', screen->out);
	}
	if (question->ask == FW_ASK_SIGN)
		show_signature(screen, question);
	fw_question_show_item(screen, question, true);
}

static const char *expected(const struct fw_question *question)
{
	switch (question->ask) {
	case FW_ASK_DONE:
		return "Do what is said, then press Enter, or type: done.";
	case FW_ASK_QUANTITY:
		return "A number. Without a unit it is taken as said at the prompt; other units can be "
		       "typed with it, and are converted: 0.41, 16 thou, .016\", 1 3/8 in, 25 lbf ft, 34 "
		       "Nm.";
	case FW_ASK_CHOICE:
		return "One of the choices: its number, its words, or a clear beginning of them.";
	case FW_ASK_TEXT:
		return question->optional ? "Words. Enter alone means there is nothing to say."
		                          : "Words, as they should stand in the record.";
	case FW_ASK_SIGN:
		return "The name of the person who signs, in full. It is recorded with what was done so "
		       "far.";
	}
	return "";
}

void fw_question_help(const struct fw_screen *screen, const struct fw_question *question)
{
	fputc('\n', screen->out);
	fw_wrap(screen, question->say ? question->say : "", 2, FW_STYLE_PLAIN);
	if (question->caution)
		show_caution(screen, question->caution);
	if (question->help) {
		fputc('\n', screen->out);
		fw_wrap(screen, question->help, 2, FW_STYLE_PLAIN);
	}
	fputs("\n  What is expected here\n", screen->out);
	fw_wrap(screen, expected(question), 4, FW_STYLE_PLAIN);
	fputs("\n  At any prompt\n"
	      "    ?        this help\n"
	      "    /back    take the last answer back\n"
	      "    /amend   correct an earlier answer\n"
	      "    /gauge   choose a gauge of the shop\n"
	      "    /attach  keep a photo, scan or sound\n"
	      "    /pause   leave; nothing is lost\n\n",
	      screen->out);
	fw_question_show_item(screen, question, true);
}
