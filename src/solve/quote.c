/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/quote.h"

#include <stddef.h>

#define SHOWN 40U

const char *fw_quote(const char *text, char buffer[FW_QUOTE])
{
	size_t length = 0;

	while (text[length] && length < SHOWN)
		length++;
	while (length > 0 && ((unsigned char)text[length] & 0xC0U) == 0x80U)
		length--;
	for (size_t i = 0; i < length; i++) {
		unsigned char c = (unsigned char)text[i];
		buffer[i] = c < 0x20U || c == 0x7FU ? '?' : text[i];
	}
	buffer[length] = '\0';
	return buffer;
}
