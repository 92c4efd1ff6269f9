/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file text.h  UTF-8 and ASCII without the locale, for every room. */
#ifndef FITWRIGHT_BASE_TEXT_H
#define FITWRIGHT_BASE_TEXT_H

#include <stdbool.h>
#include <stdint.h>

/** What fw_utf8_next() gives for a byte that starts no character; greater than any code point. */
#define FW_UTF8_BAD 0x110000U

/** Takes one character off [*at, end), which must not be empty. A bad byte is taken alone
 *  (RFC 3629: no surrogates, no overlong forms, nothing above U+10FFFF). */
uint32_t fw_utf8_next(const char **at, const char *end);

/** Whether a text with its terminating zero is UTF-8 throughout. */
bool fw_utf8_check(const char *text);

/** Bytes of `text`, at most `most`, that end with a whole character: for "%.*s". A bad byte counts as
 *  a character. */
int fw_utf8_fit(const char *text, int most);

/** Drops the character that the end of a buffer cut in two, in place. */
void fw_utf8_drop_cut(char *text);

/** Makes `text` one line that is fit to be shown, in place: line ends and tabs become spaces, other
 *  control characters (they could steer a terminal) and bad bytes '?'; a character that the end of
 * a buffer cut in two is dropped. It never grows. */
void fw_text_one_line(char *text);

/** 'A' to 'Z' as small letters, all else as it is. */
char fw_ascii_lower(char c);

bool fw_ascii_is_digit(char c);

#endif
