/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/words.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

struct range {
	uint32_t first, last;
};

/* Control characters, those that end a line or turn the direction of what is read, and those that
 * aren't drawn (Unicode, Default_Ignorable_Code_Point, from memory): two names that look alike must
 * be alike. */
static bool is_hidden(uint32_t c)
{
	static const struct range hidden[] = {
	    {0x0000, 0x001F},   {0x007F, 0x009F},   {0x00AD, 0x00AD},  {0x034F, 0x034F},
	    {0x061C, 0x061C},   {0x115F, 0x1160},   {0x17B4, 0x17B5},  {0x180B, 0x180F},
	    {0x200B, 0x200F},   {0x2028, 0x202E},   {0x2060, 0x206F},  {0x3164, 0x3164},
	    {0xFE00, 0xFE0F},   {0xFEFF, 0xFEFF},   {0xFFA0, 0xFFA0},  {0xFFF0, 0xFFFB},
	    {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE0FFF}};

	for (size_t i = 0; i < sizeof hidden / sizeof *hidden; i++)
		if (c >= hidden[i].first && c <= hidden[i].last)
			return true;
	return false;
}

/* Space_Separator of Unicode (from memory), and the tab. */
static bool is_blank(uint32_t c)
{
	return c == ' ' || c == '\t' || c == 0x00A0 || c == 0x1680 || (c >= 0x2000 && c <= 0x200A) ||
	       c == 0x202F || c == 0x205F || c == 0x3000;
}

const char *fw_words_fault(const char *text, size_t most)
{
	size_t size = text ? strlen(text) : 0;

	if (size == 0)
		return "is empty";
	if (size > most)
		return "is too long";
	if (!fw_utf8_check(text))
		return "is not UTF-8";
	for (const char *at = text, *end = text + size; at < end;)
		if (is_hidden(fw_utf8_next(&at, end)))
			return "holds characters that can't be seen";
	if (text[0] == ' ' || text[size - 1] == ' ')
		return "begins or ends with a blank";
	return NULL;
}

/* A text taken off character by character, as far as one can be told from another by looking. */
struct look {
	const char *at, *end;
};

static struct look look_at(const char *text)
{
	return (struct look){text, text + strlen(text)};
}

/* The next that is drawn, blanks as one, those at the end as none; 0 at the end. */
static uint32_t next_drawn(struct look *look, bool first)
{
	bool blank = false;

	while (look->at < look->end) {
		const char *from = look->at;
		uint32_t c = fw_utf8_next(&look->at, look->end);
		if (c == FW_UTF8_BAD)
			c += (unsigned char)*from; /* each a character of its own */
		if (is_blank(c)) {
			blank = true;
		} else if (!is_hidden(c)) {
			if (!blank || first)
				return c < 0x80 ? (uint32_t)(unsigned char)fw_ascii_lower((char)c) : c;
			look->at = from;
			return ' ';
		}
	}
	return 0;
}

bool fw_words_alike(const char *a, const char *b)
{
	struct look left = look_at(a), right = look_at(b);
	uint32_t c = next_drawn(&left, true), other = next_drawn(&right, true);

	while (c != 0 && c == other) {
		c = next_drawn(&left, false);
		other = next_drawn(&right, false);
	}
	return c == other;
}

const char *fw_role_fault(const char *role)
{
	const char *fault = fw_words_fault(role, FW_ROLE_MOST);
	return fault ? fault : strchr(role, ',') ? "holds a comma" : NULL;
}

char *fw_roles_join(const char *const *role, size_t roles)
{
	size_t size = 1;

	for (size_t i = 0; i < roles; i++)
		size += strlen(role[i]) + 2;
	char *text = malloc(size);
	if (!text)
		return NULL;
	char *at = text;
	for (size_t i = 0; i < roles; i++) {
		size_t length = strlen(role[i]);
		if (i > 0) {
			memcpy(at, ", ", 2);
			at += 2;
		}
		memcpy(at, role[i], length);
		at += length;
	}
	*at = '\0';
	return text;
}
