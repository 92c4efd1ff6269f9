/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/error.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* snprintf cuts at a byte; a message must not end in half a character. */
static void trim_to_utf8(char *text)
{
	size_t end = strlen(text);
	size_t lead = end;

	while (lead > 0 && ((unsigned char)text[lead - 1] & 0xC0U) == 0x80U)
		lead--;
	if (lead == 0)
		return;

	unsigned char first = (unsigned char)text[lead - 1];
	size_t want = first < 0x80U ? 1 : first >= 0xF0U ? 4 : first >= 0xE0U ? 3 : 2;
	if (end - (lead - 1) < want)
		text[lead - 1] = '\0';
}

int fw_fail(struct fw_error *err, int code, const char *format, ...)
{
	if (err) {
		va_list args;
		va_start(args, format);
		err->code = code;
		if (vsnprintf(err->text, sizeof err->text, format, args) >= (int)sizeof err->text)
			trim_to_utf8(err->text);
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
	trim_to_utf8(err->text);
}

void fw_error_clear(struct fw_error *err)
{
	if (err) {
		err->code = FW_OK;
		err->text[0] = '\0';
	}
}
