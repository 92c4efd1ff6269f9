/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity/text.h"

#include <string.h>

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
