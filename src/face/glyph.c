/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/glyph.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"

/* Decodes one code point. Returns the bytes used, 0 when it isn't valid UTF-8; then `out` is the
 * byte to name. */
static size_t decode(uint32_t *out, const char *text)
{
	const char *at = text;

	*out = fw_utf8_next(&at, text + strnlen(text, 4));
	if (*out != FW_UTF8_BAD)
		return (size_t)(at - text);
	*out = (unsigned char)*text;
	return 0;
}

struct range {
	uint32_t first, last;
};

static bool in_ranges(uint32_t code, const struct range *ranges, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		if (code >= ranges[i].first && code <= ranges[i].last)
			return true;
	}
	return false;
}

/* Controls, direction marks and overrides, invisible separators, byte order mark, annotations,
 * tags, private use left alone. */
static bool hidden(uint32_t code)
{
	static const struct range ranges[] = {
	    {0x00, 0x1F},     {0x7F, 0x9F},     {0xAD, 0xAD},     {0x61C, 0x61C},
	    {0x180E, 0x180E}, {0x200B, 0x200F}, {0x2028, 0x202E}, {0x2060, 0x206F},
	    {0xFEFF, 0xFEFF}, {0xFFF0, 0xFFFB}, {0xFFFE, 0xFFFF}, {0xE0000, 0xE0FFF},
	};
	return in_ranges(code, ranges, sizeof ranges / sizeof *ranges);
}

/* Roughly: the blocks of combining marks and variation selectors. */
static bool combining(uint32_t code)
{
	static const struct range ranges[] = {
	    {0x300, 0x36F},   {0x483, 0x489},   {0x591, 0x5BD},   {0x610, 0x61A},   {0x64B, 0x65F},
	    {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF}, {0x20D0, 0x20FF}, {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F},
	};
	return in_ranges(code, ranges, sizeof ranges / sizeof *ranges);
}

/* Roughly: East Asian wide and full-width blocks, and the pictographs terminals draw wide. */
static bool wide(uint32_t code)
{
	static const struct range ranges[] = {
	    {0x1100, 0x115F},   {0x2E80, 0x303E},   {0x3041, 0xA4CF},   {0xAC00, 0xD7A3},
	    {0xF900, 0xFAFF},   {0xFE30, 0xFE6F},   {0xFF00, 0xFF60},   {0xFFE0, 0xFFE6},
	    {0x1F300, 0x1F64F}, {0x1F900, 0x1F9FF}, {0x20000, 0x3FFFD},
	};
	return in_ranges(code, ranges, sizeof ranges / sizeof *ranges);
}

static void put(struct fw_glyph *out, const char *bytes, size_t size, unsigned width)
{
	memcpy(out->bytes, bytes, size);
	out->bytes[size] = '\0';
	out->size = (unsigned char)size;
	out->width = (unsigned char)width;
}

/* Every byte that isn't UTF-8 or is a control is named by its number. */
static void put_visible(struct fw_glyph *out, uint32_t code)
{
	char text[16];
	int size = code < 0x100 ? snprintf(text, sizeof text, "\\x%02x", (unsigned)code)
	                        : snprintf(text, sizeof text, "<U+%04X>", (unsigned)code);
	put(out, text, (size_t)size, (unsigned)size);
}

/* The signs of the trade and the Latin letters, for a screen that knows ASCII only. NULL: none. */
static const char *plain(uint32_t code)
{
	static const struct {
		uint32_t code;
		const char *text;
	} signs[] = {
	    {0xA0, " "},      {0xB0, "deg"},   {0xB1, "+/-"},   {0xB2, "^2"},     {0xB3, "^3"},
	    {0xB5, "u"},      {0xB7, "."},     {0xBC, "1/4"},   {0xBD, "1/2"},    {0xBE, "3/4"},
	    {0xD7, "x"},      {0xF7, "/"},     {0x3A3, "sum"},  {0x394, "delta"}, {0x3B1, "alpha"},
	    {0x3B8, "theta"}, {0x3C0, "pi"},   {0x3C1, "rho"},  {0x3C3, "sigma"}, {0x3C4, "tau"},
	    {0x3A6, "Phi"},   {0x3BD, "nu"},   {0x2070, "^0"},  {0x2074, "^4"},   {0x2075, "^5"},
	    {0x2076, "^6"},   {0x2077, "^7"},  {0x207B, "^-"},  {0x221A, "sqrt"}, {0x222B, "integral "},
	    {0x2202, "d"},    {0x3B2, "beta"}, {0x3BC, "u"},    {0x2010, "-"},    {0x2011, "-"},
	    {0x2012, "-"},    {0x2013, "-"},   {0x2014, "-"},   {0x2018, "'"},    {0x2019, "'"},
	    {0x201C, "\""},   {0x201D, "\""},  {0x2022, "*"},   {0x2026, "..."},  {0x2032, "'"},
	    {0x2033, "\""},   {0x2044, "/"},   {0x2126, "ohm"}, {0x2192, "->"},   {0x2190, "<-"},
	    {0x2212, "-"},    {0x2248, "~"},   {0x2260, "!="},  {0x2264, "<="},   {0x2265, ">="},
	    {0x2300, "dia "}, {0x22C5, "."},
	};
	for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
		if (signs[i].code == code)
			return signs[i].text;
	}
	return NULL;
}

static void put_ascii(struct fw_glyph *out, uint32_t code)
{
	static const char letters[] =
	    "AAAAAAACEEEEIIIIDNOOOOOxOUUUUYTsaaaaaaaceeeeiiiidnooooo/ouuuuyty";
	const char *text = plain(code);
	char letter[2] = "?";

	if (!text) {
		if (code >= 0xC0 && code <= 0xFF)
			letter[0] = letters[code - 0xC0];
		text = letter;
	}
	if (combining(code))
		text = "";
	put(out, text, strlen(text), (unsigned)strlen(text));
}

const char *fw_glyph_next(struct fw_glyph *out, const char *text, bool utf8)
{
	if (*text == '\0')
		return NULL;

	uint32_t code;
	size_t size = decode(&code, text);
	out->kind = FW_GLYPH_PRINT;
	if (code == '\r' && text[1] == '\n')
		size = 2, code = '\n';
	if (code == '\n' || code == ' ' || code == '\t') {
		out->kind = code == '\n' ? FW_GLYPH_BREAK : FW_GLYPH_SPACE;
		put(out, " ", 1, 1);
	} else if (size == 0 || hidden(code)) {
		put_visible(out, code);
	} else if (utf8 || code < 0x80) {
		put(out, text, size, combining(code) ? 0 : wide(code) ? 2 : 1);
	} else {
		put_ascii(out, code);
	}
	return text + (size ? size : 1);
}

int fw_text_width(const char *text, bool utf8)
{
	struct fw_glyph glyph;
	int width = 0;

	while ((text = fw_glyph_next(&glyph, text, utf8)) != NULL)
		width += glyph.width;
	return width;
}

int fw_text_print(const struct fw_screen *screen, const char *text, int most)
{
	struct fw_glyph glyph;
	const char *dots = screen->utf8 ? "…" : "...";
	int dots_width = screen->utf8 ? 1 : 3;
	bool cut = most >= 0 && fw_text_width(text, screen->utf8) > most;
	int room = cut ? most - dots_width : most;
	int used = 0;

	while ((text = fw_glyph_next(&glyph, text, screen->utf8)) != NULL) {
		if (cut && used + glyph.width > room)
			break;
		fputs(glyph.bytes, screen->out);
		used += glyph.width;
	}
	if (cut && most >= dots_width) {
		fputs(dots, screen->out);
		used += dots_width;
	}
	return used;
}

bool fw_text_clean(const char *text, size_t length)
{
	const char *end = text + length;

	while (text < end) {
		uint32_t code;
		size_t size = decode(&code, text);
		if (size == 0 || (hidden(code) && code != '\t'))
			return false;
		text += size;
	}
	return true;
}
