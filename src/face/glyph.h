/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file glyph.h
 * Text as it may be shown: whatever bytes come in, what goes out moves no cursor, changes no colour
 * and turns no direction. Invalid bytes and control characters become visible: \x1b, <U+202E>.
 */
#ifndef FITWRIGHT_FACE_GLYPH_H
#define FITWRIGHT_FACE_GLYPH_H

#include <stdbool.h>
#include <stddef.h>

#include "face/screen.h"

enum fw_glyph_kind { FW_GLYPH_PRINT, FW_GLYPH_SPACE, FW_GLYPH_BREAK };

struct fw_glyph {
	enum fw_glyph_kind kind;
	char bytes[16]; /**< what to write, zero-terminated */
	unsigned char size;
	unsigned char width; /**< columns: 0 for a combining mark, 2 for a wide character */
};

/** Reads the next one. Returns the place behind it, or NULL at the end of `text`. */
const char *fw_glyph_next(struct fw_glyph *out, const char *text, bool utf8);

/** Columns that `text` takes when printed; a line break counts as a space. */
int fw_text_width(const char *text, bool utf8);

/** Prints `text` on one line, at most `most` columns (negative: no bound), an ellipsis where it is
 * cut. Returns the columns used. */
int fw_text_print(const struct fw_screen *screen, const char *text, int most);

/** Valid UTF-8 without control characters (a tab is allowed). */
bool fw_text_clean(const char *text, size_t length);

#endif
