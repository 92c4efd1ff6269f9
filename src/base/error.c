/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/error.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Bytes of the character at `text`, or 0 where its tail is missing or it has no head. */
static size_t character(const unsigned char *text)
{
	size_t want = *text < 0x80U ? 1 : *text >= 0xF0U ? 4 : *text >= 0xE0U ? 3 : *text >= 0xC2U ? 2 : 0;

	for (size_t i = 1; i < want; i++)
		if ((text[i] & 0xC0U) != 0x80U)
			return 0;
	return want;
}

/* A precision in a format cuts at a byte, and so does the end of the buffer; a message must not hold half a
 * character. */
static void drop_halves(char *text)
{
	char *out = text;

	while (*text) {
		size_t length = character((const unsigned char *)text);
		memmove(out, text, length);
		out += length;
		text += length ? length : 1;
	}
	*out = '\0';
}

int fw_fail(struct fw_error *err, int code, const char *format, ...)
{
	if (err) {
		va_list args;
		va_start(args, format);
		err->code = code;
		vsnprintf(err->text, sizeof err->text, format, args);
		drop_halves(err->text);
		va_end(args);
	}
	return code;
}

void fw_error_prefix(struct fw_error *err, const char *format, ...)
{
	if (!err)
		return;

	char head[FW_ERROR_TEXT];
	char whole[2 * FW_ERROR_TEXT];
	va_list args;
	va_start(args, format);
	vsnprintf(head, sizeof head, format, args);
	va_end(args);
	snprintf(whole, sizeof whole, "%s%s", head, err->text);
	memcpy(err->text, whole, sizeof err->text - 1);
	err->text[sizeof err->text - 1] = '\0';
	drop_halves(err->text);
}

void fw_error_clear(struct fw_error *err)
{
	if (err) {
		err->code = FW_OK;
		err->text[0] = '\0';
	}
}
