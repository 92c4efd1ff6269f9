/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file screen.h  Where a face writes: stream, width, colour, and what it may draw with. */
#ifndef FITWRIGHT_FACE_SCREEN_H
#define FITWRIGHT_FACE_SCREEN_H

#include <stdbool.h>
#include <stdio.h>

/** Narrowest and widest a face draws, and what it takes when it can't know. */
#define FW_SCREEN_NARROWEST 40
#define FW_SCREEN_WIDEST    100
#define FW_SCREEN_USUAL     80

struct fw_screen {
	FILE *out;
	int width;   /**< columns, FW_SCREEN_NARROWEST to FW_SCREEN_WIDEST */
	bool colour; /**< escape sequences for weight and colour */
	bool utf8;   /**< false: plain ASCII, signs spelt out */
};

/** What a piece of text is, not how it looks. Never told by colour alone: the words say it too. */
enum fw_style {
	FW_STYLE_PLAIN,
	FW_STYLE_STRONG,
	FW_STYLE_CAUTION,
	FW_STYLE_SURPRISE,
	FW_STYLE_WITHIN,
	FW_STYLE_OUTSIDE,
	FW_STYLE_DOUBTFUL
};

/** A screen on `out`: its real width if it is a terminal, charset from the environment, no colour.
 */
struct fw_screen fw_screen_make(FILE *out);

/** What LC_ALL, LC_CTYPE, LANG (in this order, the first that is set and not empty) say. */
bool fw_screen_env_utf8(const char *lc_all, const char *lc_ctype, const char *lang);

/** Switches a style on, and back to plain. Nothing is written without colour. */
void fw_style_on(const struct fw_screen *screen, enum fw_style style);
void fw_style_off(const struct fw_screen *screen, enum fw_style style);

/** A line across the screen with `left` and `right` (either may be NULL or too long) let into it.
 */
void fw_screen_rule(const struct fw_screen *screen, const char *left, const char *right);

#endif
