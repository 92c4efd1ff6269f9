/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was typed, read as an answer to the question that was asked. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "fitwright/question.h"

/* Longest answer in words; a longer story belongs in a file of its own. */
#define TEXT_MOST 4000
/* Bytes of an answer that a message quotes. */
#define QUOTED 40

static int trim(char *buffer, size_t size, const char *typed, struct fw_error *err)
{
	static const char space[] = " \t\n\v\f\r";
	const char *start = typed + strspn(typed, space);
	size_t length = strlen(start);

	while (length > 0 && strchr(space, start[length - 1]))
		length--;
	if (length >= size || length > TEXT_MOST)
		return fw_fail(err, FW_ERR_INPUT,
		               "an answer of %zu characters is too long; the most is %zu", length,
		               size - 1 < TEXT_MOST ? size - 1 : (size_t)TEXT_MOST);
	memcpy(buffer, start, length);
	buffer[length] = '\0';
	return FW_OK;
}

/* Of ASCII, and U+0080 to U+009F, which some terminals obey. */
static bool is_control(const char *text)
{
	for (const unsigned char *c = (const unsigned char *)text; *c; c++)
		if ((*c < 0x20 && *c != '\t') || *c == 0x7F || (*c == 0xC2 && c[1] < 0xA0))
			return true;
	return false;
}

/* Whether `text` is how `option` begins; letters of ASCII alike whatever their case. */
static bool begins(const char *option, const char *text)
{
	while (*text && fw_ascii_lower(*text) == fw_ascii_lower(*option)) {
		text++;
		option++;
	}
	return *text == '\0';
}

static bool same_word(const char *a, const char *b)
{
	return strlen(a) == strlen(b) && begins(a, b);
}

static int read_done(const char *text, struct fw_error *err)
{
	static const char *const words[] = {"", "done", "d", "yes", "y", "ok"};

	for (size_t i = 0; i < sizeof words / sizeof *words; i++)
		if (same_word(text, words[i]))
			return FW_OK;
	return fw_fail(err, FW_ERR_INPUT,
	               "'%.*s' isn't expected here; when it is done, press Enter or type 'done'",
	               fw_utf8_fit(text, QUOTED), text);
}

static int read_quantity(struct fw_answer *out, const struct fw_question *question,
                         const char *text, bool confirmed, struct fw_error *err)
{
	char slip[256];
	int code = fw_quantity_parse(&out->quantity, text, question->unit, err);

	if (code != FW_OK)
		return code;
	if (confirmed ||
	    !fw_quantity_implausible(&out->quantity, question->low, question->high, slip, sizeof slip))
		return FW_OK;
	return fw_fail(err, FW_ERR_IMPLAUSIBLE, "%s", slip);
}

static int take_option(struct fw_answer *out, const struct fw_question *question, size_t index)
{
	out->option = index;
	out->text = question->options[index];
	return FW_OK;
}

static int no_option(const struct fw_question *question, const char *text, struct fw_error *err)
{
	char list[512] = "";
	size_t used = 0;

	for (size_t i = 0; i < question->option_count && used < sizeof list - 1; i++) {
		int n = snprintf(list + used, sizeof list - used, "%s%zu %s", i ? ", " : "", i + 1,
		                 question->options[i]);
		used += n > 0 ? (size_t)n : 0;
	}
	if (*text == '\0')
		return fw_fail(err, FW_ERR_INPUT, "choose one, by its number or words: %s", list);
	return fw_fail(err, FW_ERR_INPUT, "'%.*s' is none of the choices: %s",
	               fw_utf8_fit(text, QUOTED), text, list);
}

static int read_choice(struct fw_answer *out, const struct fw_question *question, const char *text,
                       struct fw_error *err)
{
	size_t length = strlen(text);
	size_t found = 0, hits = 0;

	for (size_t i = 0; i < question->option_count; i++)
		if (same_word(text, question->options[i]))
			return take_option(out, question, i);
	if (length > 0 && length < 4 && strspn(text, "0123456789") == length) {
		unsigned long n = strtoul(text, NULL, 10);
		if (n >= 1 && n <= question->option_count)
			return take_option(out, question, n - 1);
		return no_option(question, text, err);
	}
	for (size_t i = 0; length > 0 && i < question->option_count; i++)
		if (begins(question->options[i], text)) {
			found = i;
			hits++;
		}
	if (hits == 1)
		return take_option(out, question, found);
	if (hits > 1)
		return fw_fail(err, FW_ERR_INPUT,
		               "'%.*s' fits %zu of the choices; type more of it, or its number",
		               fw_utf8_fit(text, QUOTED), text, hits);
	return no_option(question, text, err);
}

static int read_words(struct fw_answer *out, const struct fw_question *question, const char *text,
                      struct fw_error *err)
{
	if (*text == '\0' && question->ask == FW_ASK_SIGN)
		return fw_fail(err, FW_ERR_INPUT, "to sign, type your name in full");
	if (*text == '\0' && !question->optional)
		return fw_fail(err, FW_ERR_INPUT, "a few words are needed here");
	out->text = text;
	return FW_OK;
}

int fw_answer_read(struct fw_answer *out, const struct fw_question *question, const char *typed,
                   bool confirmed, char *buffer, size_t size, struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	out->ask = question->ask;
	if (!fw_utf8_check(typed)) /* the trail keeps text, not bytes */
		return fw_fail(err, FW_ERR_INPUT, "the answer isn't UTF-8 text; type it again");
	int code = trim(buffer, size, typed, err);
	if (code != FW_OK)
		return code;
	if (is_control(buffer))
		return fw_fail(err, FW_ERR_INPUT, "the answer holds a control character; type it again");

	switch (question->ask) {
	case FW_ASK_DONE:
		return read_done(buffer, err);
	case FW_ASK_QUANTITY:
		return read_quantity(out, question, buffer, confirmed, err);
	case FW_ASK_CHOICE:
		return read_choice(out, question, buffer, err);
	case FW_ASK_TEXT:
	case FW_ASK_SIGN:
		return read_words(out, question, buffer, err);
	}
	return fw_fail(err, FW_ERR_ARGUMENT, "a question of an unknown kind (%d)", (int)question->ask);
}
