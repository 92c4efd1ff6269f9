/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity/text.h"

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

bool fw_text_is_space(uint32_t c)
{
	return c == ' ' || (c >= '\t' && c <= '\r') || c == 0xA0U || (c >= 0x2000U && c <= 0x200AU) ||
	       c == 0x202FU || c == 0x205FU || c == 0x3000U;
}

void fw_text_skip_space(const char **at, const char *end)
{
	while (*at < end) {
		const char *next = *at;
		if (!fw_text_is_space(fw_utf8_next(&next, end)))
			return;
		*at = next;
	}
}

const char *fw_text_trim_end(const char *at, const char *end)
{
	const char *last = at; /* end of the last character that is not white space */

	while (at < end) {
		if (!fw_text_is_space(fw_utf8_next(&at, end)))
			last = at;
	}
	return last;
}

uint32_t fw_text_fold(uint32_t c)
{
	return c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c;
}

const char *fw_text_clip(const char *at, const char *end, char *buffer, size_t size)
{
	static const char ellipsis[] = "…";
	size_t used = 0;

	while (at < end) {
		const char *from = at;
		uint32_t c = fw_utf8_next(&at, end);
		bool shown = c >= ' ' && c != 0x7FU && (c < 0x80U || c > 0x9FU) && c != FW_UTF8_BAD;
		size_t length = shown ? (size_t)(at - from) : 1;
		if (used + length + sizeof ellipsis > size) {
			memcpy(buffer + used, ellipsis, sizeof ellipsis);
			return buffer;
		}
		memcpy(buffer + used, shown ? from : "?", length);
		used += length;
	}
	buffer[used] = '\0';
	return buffer;
}
