/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file reuse_internal.h  Between the files that make fw_reuse(). */
#ifndef FITWRIGHT_SOLVE_REUSE_INTERNAL_H
#define FITWRIGHT_SOLVE_REUSE_INTERNAL_H

#include "fitwright/reuse.h"

/** FW_ERR_RANGE when so many places, old parts and pieces are too many to be weighed against each
 * other. */
int fw_reuse_check_pairs(size_t places, size_t parts, size_t pieces, struct fw_error *err);

/** Everything that reuse.h promises to refuse, but for what needs the shelf in order. */
int fw_reuse_check(const struct fw_reuse *reuse, struct fw_error *err);

/** The clearance at a place with a part of `size` in. */
double fw_reuse_clearance(const struct fw_reuse *reuse, const struct fw_place *place, double size);

/** Its standard uncertainty with a part of `size_u` that was not in when it was measured. */
double fw_reuse_u(const struct fw_reuse *reuse, const struct fw_place *place, double size_u);

/** |clearance - aim| in whole nanometres. */
int64_t fw_reuse_deviation(const struct fw_place *place, double clearance);

/** Whether that clearance would be judged within. */
bool fw_reuse_serves(const struct fw_place *place, double clearance, double u, double asked);

/** A counted grade that may be bought for a place. */
struct fw_offer {
	uint32_t place;
	uint32_t rank; /**< of the grade, by size */
};

/** A grade on a shelf in order of size. */
struct fw_ranked {
	double size;
	int64_t nm;
	size_t index; /**< in the order given */
	uint32_t count;
};

/** The shelf in order, without grades of which there is none, and what of it matters. */
struct fw_shelf {
	struct fw_ranked *grade;
	size_t grades;
	size_t *endless;        /**< for each place: rank of the endless grade to take, or SIZE_MAX */
	struct fw_offer *offer; /**< counted grades; by place, nearest to the aim first */
	size_t offers, room;
	uint32_t *wanted; /**< how many places are offered the grade of each rank */
	size_t pieces;    /**< of each grade no more than places that are offered it */
};

/**
 * Puts the shelf in order and finds for each place the grades worth considering: going from the aim
 * outwards, of those as near the smallest first, until there is an endless one, or as many pieces
 * as places that could want any of these (one of them is always left, and it comes before any
 * further one). FW_ERR_RANGE as soon as there are too many pieces to be weighed.
 */
int fw_shelf_make(struct fw_shelf *shelf, const struct fw_reuse *reuse, struct fw_error *err);
void fw_shelf_free(struct fw_shelf *shelf);

/** The order in which a row likes columns: its favourite (SIZE_MAX: none), then the others one
 * after the other; but `late` (SIZE_MAX: none) has its turn just before column `turn` <= late. */
struct fw_taste {
	size_t favourite, late, turn;
};

/**
 * Of all best assignments the first: row by row the column that its `taste` puts first. `cost`,
 * `column`, `u`, `v` as of fw_assign_whole(), rows <= columns; `column` is changed in place.
 */
int fw_assign_first(size_t *column, const int64_t *u, const int64_t *v, const int64_t *cost,
                    size_t rows, size_t columns, const struct fw_taste *taste,
                    struct fw_error *err);

#endif
