/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file length_text.h  Lengths in messages, the same whatever the locale. */
#ifndef FITWRIGHT_SOLVE_LENGTH_TEXT_H
#define FITWRIGHT_SOLVE_LENGTH_TEXT_H

#include <stddef.h>

/** Room that is always enough for fw_length_text(). */
#define FW_LENGTH_TEXT 64

/** "0.42 mm (0.0165 in)": to 1 µm and 0.1 thou. `metres` finite. Returns `buffer`. */
const char *fw_length_text(double metres, char *buffer, size_t size);

#endif
