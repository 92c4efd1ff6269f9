/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file number_line.h  A value drawn within its limits. */
#ifndef FITWRIGHT_FACE_NUMBER_LINE_H
#define FITWRIGHT_FACE_NUMBER_LINE_H

#include "face/screen.h"
#include "fitwright/conform.h"
#include "fitwright/quantity.h"

struct fw_number_line {
	double value, u; /**< SI; u: standard uncertainty, drawn twice to each side */
	struct fw_limits limits;
	const struct fw_unit *unit;
};

/** Draws it, three or four lines. Draws nothing and returns false when there is nothing to draw:
 * both limits open, not finite, or too far apart for doubles. */
bool fw_number_line_draw(const struct fw_screen *screen, const struct fw_number_line *line);

#endif
