/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file quote.h  What somebody wrote, fit to stand in a one-line message. */
#ifndef FITWRIGHT_SOLVE_QUOTE_H
#define FITWRIGHT_SOLVE_QUOTE_H

/** Room for fw_quote(). */
#define FW_QUOTE 48

/** The start of `text` (at most 40 bytes, no character cut in two), control characters as '?'. */
const char *fw_quote(const char *text, char buffer[FW_QUOTE]);

#endif
