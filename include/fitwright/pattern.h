/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file pattern.h
 * Order of tightening for bolts that lie in no circle: covers, sumps, cylinder heads. Such are
 * tightened from the middle outwards and crosswise, so that the part is pressed flat and pushes
 * what it traps to its edges (common practice, no source). The rule, to the letter:
 *
 * The middle is the mean of all positions. Of the bolts still loose, those are candidates that lie
 * no further from the middle than the nearest of them and half the greatest distance of any
 * bolt. Next comes the candidate that brings the centre of all tightened bolts nearest the middle;
 * among equals the one nearest the middle; among those the one farthest from the nearest tightened
 * bolt; among those the one with the lowest number. In a pattern that looks the same turned half
 * round, each bolt is followed by the one opposite, so never more than one bolt is out of balance.
 *
 * A circle has its own, published order: fw_circle_order(). Loosen in the reverse order.
 */
#ifndef FITWRIGHT_PATTERN_H
#define FITWRIGHT_PATTERN_H

#include <stddef.h>

#include "fitwright/error.h"
#include "fitwright/joint.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Where a bolt is; any unit, the same for all. */
struct fw_point {
	double x, y;
};

/** Order of `count` bolts (1..FW_BOLTS_MOST), which are numbered from 1 as they stand in `point`.
 *  `order` has room for `count`. FW_ERR_ARGUMENT for positions that aren't finite, or are more than
 *  1e150 from 0, or two bolts in one place; names them. */
int fw_points_order(unsigned *order, const struct fw_point *point, size_t count,
                    struct fw_error *err);

/** The same for `rows` times `columns` bolts (at most FW_BOLTS_MOST) evenly spaced, numbered from 1
 *  along the first row, then the second, and so on. */
int fw_grid_order(unsigned *order, size_t rows, size_t columns, struct fw_error *err);

/**
 * How well an order is balanced: the largest distance of the centre of the tightened bolts from the
 * middle, times how many are tightened, over the greatest distance of any bolt, at any step. 1: at
 * worst one bolt at the edge has no counterpart. 0 for one bolt. FW_ERR_ARGUMENT as above, and when
 * `order` is none.
 */
int fw_order_imbalance(double *out, const unsigned *order, const struct fw_point *point,
                       size_t count, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
