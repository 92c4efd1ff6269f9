/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/error.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

int fw_fail(struct fw_error *err, int code, const char *format, ...)
{
	if (err) {
		va_list args;
		va_start(args, format);
		err->code = code;
		err->text[0] = '\0';
		vsnprintf(err->text, sizeof err->text, format, args);
		va_end(args);
		fw_text_one_line(err->text);
	}
	return code;
}

int fw_no_memory(struct fw_error *err)
{
	return fw_fail(err, FW_ERR_MEMORY, "out of memory");
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
	whole[sizeof err->text - 1] = '\0';
	fw_text_one_line(whole);
	memcpy(err->text, whole, strlen(whole) + 1);
}

void fw_error_clear(struct fw_error *err)
{
	if (err) {
		err->code = FW_OK;
		err->text[0] = '\0';
	}
}
