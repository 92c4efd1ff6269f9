/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/put.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

#include "base/text.h"

#define REPLACEMENT 0xFFFDU

uint32_t fw_report_utf8_next(const char **text)
{
	uint32_t point = fw_utf8_next(text, *text + strnlen(*text, 4));

	return point == FW_UTF8_BAD ? REPLACEMENT : point;
}

static size_t encode(unsigned char out[4], uint32_t point)
{
	if (point < 0x80U) {
		out[0] = (unsigned char)point;
		return 1;
	}
	if (point < 0x800U) {
		out[0] = (unsigned char)(0xC0U | point >> 6);
		out[1] = (unsigned char)(0x80U | (point & 0x3FU));
		return 2;
	}
	if (point < 0x10000U) {
		out[0] = (unsigned char)(0xE0U | point >> 12);
		out[1] = (unsigned char)(0x80U | (point >> 6 & 0x3FU));
		out[2] = (unsigned char)(0x80U | (point & 0x3FU));
		return 3;
	}
	out[0] = (unsigned char)(0xF0U | point >> 18);
	out[1] = (unsigned char)(0x80U | (point >> 12 & 0x3FU));
	out[2] = (unsigned char)(0x80U | (point >> 6 & 0x3FU));
	out[3] = (unsigned char)(0x80U | (point & 0x3FU));
	return 4;
}

void fw_put_point(FILE *out, uint32_t point)
{
	unsigned char bytes[4] = {0};

	fwrite(bytes, 1, encode(bytes, point), out);
}

uint32_t fw_report_utf8_shown(uint32_t point)
{
	bool control =
	    (point < 0x20U && point != '\t' && point != '\n') || (point >= 0x7FU && point < 0xA0U);
	bool turning = (point >= 0x202AU && point <= 0x202EU) ||
	               (point >= 0x2066U && point <= 0x2069U) || point == 0x200EU || point == 0x200FU ||
	               point == 0x061CU;
	bool no_character = (point & 0xFFFEU) == 0xFFFEU || (point >= 0xFDD0U && point <= 0xFDEFU);

	return control || turning || no_character ? REPLACEMENT : point;
}

size_t fw_report_utf8_length(const char *text)
{
	size_t length = 0;

	while (text && *text) {
		fw_report_utf8_next(&text);
		length++;
	}
	return length;
}

char *fw_report_utf8_repair(const char *text, bool *failed)
{
	if (!text)
		return NULL;

	char *copy = malloc(3 * strlen(text) + 1); /* a bad byte grows to the three of U+FFFD */
	if (!copy) {
		*failed = true;
		return NULL;
	}
	size_t used = 0;
	while (*text)
		used += encode((unsigned char *)copy + used, fw_report_utf8_next(&text));
	copy[used] = '\0';
	return copy;
}

void fw_report_print(char *buffer, size_t size, const char *format, ...)
{
	va_list args;

	va_start(args, format);
	vsnprintf(buffer, size, format, args);
	va_end(args);
	fw_utf8_drop_cut(buffer);
}

static void put_escaped(FILE *out, uint32_t point)
{
	switch (point) {
	case '&':
		fputs("&amp;", out);
		break;
	case '<':
		fputs("&lt;", out);
		break;
	case '>':
		fputs("&gt;", out);
		break;
	case '"':
		fputs("&quot;", out);
		break;
	case '\'':
		fputs("&#39;", out);
		break;
	default:
		fw_put_point(out, fw_report_utf8_shown(point));
	}
}

void fw_put(FILE *out, const char *text)
{
	while (text && *text)
		put_escaped(out, fw_report_utf8_next(&text));
}

void fw_put_cut(FILE *out, const char *text, size_t most)
{
	bool cut = fw_report_utf8_length(text) > most;

	for (size_t i = cut ? 1 : 0; text && *text && i < most; i++)
		put_escaped(out, fw_report_utf8_next(&text));
	if (cut)
		fputs("…", out);
}

/* The library never sets a locale, but the program around it may have. */
static void force_point(char *text)
{
	for (; *text; text++)
		if (*text == ',')
			*text = '.';
}

const char *fw_report_decimal(char *buffer, size_t size, double value, int decimals)
{
	int places = decimals < 0 ? 0 : decimals > 12 ? 12 : decimals;

	if (!isfinite(value))
		snprintf(buffer, size, "?");
	else if (fabs(value) >= 1e9)
		snprintf(buffer, size, "%.4g", value);
	else
		snprintf(buffer, size, "%.*f", places, value);
	force_point(buffer);
	if (buffer[0] == '-' && strspn(buffer, "-0.") == strlen(buffer))
		memmove(buffer, buffer + 1, strlen(buffer));
	return buffer;
}

void fw_put_coord(FILE *out, double value)
{
	char text[64];
	double kept = isfinite(value) ? fmax(-1e6, fmin(1e6, value)) : 0;

	fw_report_decimal(text, sizeof text, kept, 2);
	size_t end = strlen(text);
	while (text[end - 1] == '0')
		text[--end] = '\0';
	if (text[end - 1] == '.')
		text[--end] = '\0';
	fputs(text, out);
}

const char *fw_report_plain(char *buffer, size_t size, double value)
{
	snprintf(buffer, size, "%.9g", value);
	force_point(buffer);
	return buffer;
}

const char *fw_report_two_figures(char *buffer, size_t size, double value)
{
	double magnitude = fabs(value);

	if (!(magnitude > 0) || !isfinite(magnitude))
		return fw_report_decimal(buffer, size, value, 0);
	int places = 1 - (int)floor(log10(magnitude));
	if (places > 12) {
		snprintf(buffer, size, "%.1e", value);
		force_point(buffer);
		return buffer;
	}
	return fw_report_decimal(buffer, size, value, places);
}

const char *fw_report_percent(char *buffer, size_t size, double share)
{
	if (!isfinite(share) || share < 0 || share > 1)
		snprintf(buffer, size, "?");
	else if (share > 0.999) /* nothing measured is certain */
		snprintf(buffer, size, "over 99.9\u00a0%%");
	else if (share < 0.001)
		snprintf(buffer, size, "under 0.1\u00a0%%");
	else {
		char number[32];
		bool whole = fabs(100 * share - floor(100 * share + 0.5)) < 0.05;
		snprintf(buffer, size, "%s\u00a0%%",
		         fw_report_decimal(number, sizeof number, 100 * share, whole ? 0 : 1));
	}
	return buffer;
}
