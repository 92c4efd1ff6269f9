/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file wrap.h  Paragraphs within the width of the screen. */
#ifndef FITWRIGHT_FACE_WRAP_H
#define FITWRIGHT_FACE_WRAP_H

#include "face/screen.h"

/**
 * Prints `text` with `indent` spaces in front of each line, ends with a line break. A line of
 * `text` that fits is printed as it is; a longer one is broken between words, its own leading
 * spaces kept; a word longer than a line is cut.
 */
void fw_wrap(const struct fw_screen *screen, const char *text, int indent, enum fw_style style);

#endif
