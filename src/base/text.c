/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"

#include <string.h>

/* Length of the character that starts with `first`, 0 when none can. */
static size_t length_of(unsigned char first)
{
	if (first < 0x80U)
		return 1;
	if (first >= 0xC2U && first <= 0xDFU)
		return 2;
	if (first >= 0xE0U && first <= 0xEFU)
		return 3;
	if (first >= 0xF0U && first <= 0xF4U)
		return 4;
	return 0;
}

uint32_t fw_utf8_next(const char **at, const char *end)
{
	static const uint32_t least[] = {0, 0, 0x80U, 0x800U, 0x10000U};
	const char *from = (*at)++;
	unsigned char first = (unsigned char)*from;
	size_t length = length_of(first);

	if (length == 1)
		return first;
	if (length == 0 || (size_t)(end - from) < length)
		return FW_UTF8_BAD;

	uint32_t c = first & (0xFFU >> (length + 1));
	for (size_t i = 1; i < length; i++) {
		unsigned char next = (unsigned char)from[i];
		if ((next & 0xC0U) != 0x80U)
			return FW_UTF8_BAD;
		c = (c << 6) | (next & 0x3FU);
	}
	if (c < least[length] || c > 0x10FFFFU || (c >= 0xD800U && c <= 0xDFFFU))
		return FW_UTF8_BAD;
	*at = from + length;
	return c;
}

bool fw_utf8_check(const char *text)
{
	const char *end = text + strlen(text);

	while (text < end) {
		if (fw_utf8_next(&text, end) == FW_UTF8_BAD)
			return false;
	}
	return true;
}

int fw_utf8_fit(const char *text, int most)
{
	const char *at = text;
	const char *end = text + strlen(text);
	int fits = 0;

	while (at < end) {
		fw_utf8_next(&at, end);
		if (at - text > most)
			break;
		fits = (int)(at - text);
	}
	return fits;
}

void fw_utf8_drop_cut(char *text)
{
	size_t length = strlen(text);

	for (size_t back = 1; back <= 3 && back <= length; back++) {
		unsigned char c = (unsigned char)text[length - back];
		if (length_of(c) > back)
			text[length - back] = '\0';
		if ((c & 0xC0U) != 0x80U)
			return;
	}
}

/* U+2028 and U+2029 end a line and a paragraph. */
static bool is_line_space(uint32_t c)
{
	return (c >= '\t' && c <= '\r') || c == 0x2028U || c == 0x2029U;
}

/* Marks that turn the direction of what follows could make one name look like another. */
static bool turns_direction(uint32_t c)
{
	return (c >= 0x202AU && c <= 0x202EU) || (c >= 0x2066U && c <= 0x2069U);
}

static bool is_shown(uint32_t c)
{
	return c >= ' ' && c != 0x7FU && (c < 0x80U || c > 0x9FU) && c != FW_UTF8_BAD &&
	       !turns_direction(c);
}

void fw_text_one_line(char *text)
{
	const char *at = text;
	const char *end = text + strlen(text);
	char *to = text;

	while (at < end) {
		const char *from = at;
		uint32_t c = fw_utf8_next(&at, end);
		if (c == FW_UTF8_BAD && length_of((unsigned char)*from) > (size_t)(end - from))
			break;
		if (is_line_space(c)) {
			*to++ = ' ';
		} else if (is_shown(c)) {
			memmove(to, from, (size_t)(at - from));
			to += at - from;
		} else {
			*to++ = '?';
		}
	}
	*to = '\0';
}

char fw_ascii_lower(char c)
{
	static const char capitals[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
	static const char smalls[] = "abcdefghijklmnopqrstuvwxyz";
	const char *found = c ? strchr(capitals, c) : NULL;

	if (found)
		return smalls[found - capitals];
	return c;
}

bool fw_ascii_is_digit(char c)
{
	return c >= '0' && c <= '9';
}
