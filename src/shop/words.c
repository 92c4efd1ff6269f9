/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/words.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* Control characters, and those that end a line or turn the direction of what is read: two names
 * that look alike must be alike. */
static bool is_hidden(uint32_t c)
{
	return c < 0x20 || (c >= 0x7F && c <= 0x9F) || (c >= 0x200B && c <= 0x200F) ||
	       (c >= 0x2028 && c <= 0x202E) || (c >= 0x2060 && c <= 0x206F) || c == 0xFEFF;
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

bool fw_words_alike(const char *a, const char *b)
{
	while (*a && fw_ascii_lower(*a) == fw_ascii_lower(*b)) {
		a++;
		b++;
	}
	return *a == '\0' && *b == '\0';
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
