/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file svg.h  What the figures share: one width, a scale with round ticks, marks told apart by
 * shape. */
#ifndef FITWRIGHT_REPORT_SVG_H
#define FITWRIGHT_REPORT_SVG_H

#include <stdbool.h>
#include <stdio.h>

#include "report/model.h"

/** Width of every figure in its own units; the page scales it, so letters stay readable on a phone.
 */
#define FW_SVG_WIDTH 400
/** Size of letters, and the width that one takes at most, on average. */
#define FW_SVG_LETTER  11
#define FW_SVG_ADVANCE 6.6

/** Round ticks: step is 1, 2 or 5 times a power of ten. */
struct fw_ticks {
	double first, step;
	int count;
	int decimals; /**< that a label needs */
};

/** At most `most` (2..20) ticks in [low, high]. False unless both are finite, low < high and the
 *  range is wide enough for doubles to tell the ticks apart. */
bool fw_ticks_make(struct fw_ticks *out, double low, double high, int most);
double fw_ticks_at(const struct fw_ticks *ticks, int i);

/** From a value to a coordinate: `from` lies at `low`, `to` at `high`. */
struct fw_scale {
	double low, high, from, to;
};
double fw_scale_at(const struct fw_scale *scale, double value);

/** Opens a figure of that height, with `title` for who can't see it. */
void fw_svg_open(FILE *out, double height, const char *title);
void fw_svg_line(FILE *out, const char *class, double x1, double y1, double x2, double y2);
void fw_svg_rect(FILE *out, const char *class, double x, double y, double width, double height);
/** `anchor`: "start", "middle", "end". Cut to what fits into `room` units. */
void fw_svg_text(FILE *out, const char *class, const char *anchor, double x, double y, double room,
                 const char *text);

/** A read value: a disc when within, a cross when outside, a hollow diamond when doubtful, a hollow
 *  circle when there is no verdict. `verdict` may be NULL. */
void fw_svg_mark(FILE *out, const char *verdict, double x, double y);

/** Number line of a checked figure: limits, aim, and the values of up to two verdicts with bars of
 *  twice their standard uncertainty. Either may be NULL. Draws nothing when nothing can be drawn.
 */
void fw_svg_limits(FILE *out, const struct fw_report_entry *found,
                   const struct fw_report_entry *left);

/** Play of each trial at `place`, predicted and read, against the limits given to its stacks.
 *  Draws nothing when there are no trials. */
void fw_svg_trials(FILE *out, const struct fw_report_job *job, const char *place);

/** Most bolts that are drawn; more are listed in words only. */
#define FW_SVG_BOLTS 32

/** The bolts of a joint finding, in their circle or their rows, with the order of tightening.
 * Returns what stands below it; draws nothing and returns NULL when the order is absent or isn't
 * one, or the rows are too wide or don't hold that many bolts. */
const char *fw_svg_bolts(FILE *out, const struct fw_report_entry *joint);

/** How far along a list of options an answer lies: an empty circle for the first, a full one for
 * the last. */
void fw_svg_pie(FILE *out, int64_t index, size_t count);

#endif
