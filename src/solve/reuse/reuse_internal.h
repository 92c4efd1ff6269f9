/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file reuse_internal.h  Between the files that make fw_reuse(). */
#ifndef FITWRIGHT_SOLVE_REUSE_INTERNAL_H
#define FITWRIGHT_SOLVE_REUSE_INTERNAL_H

#include "fitwright/reuse.h"

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

/** A piece, or an endless grade, that may be bought for a place. */
struct fw_offer {
	size_t place;
	size_t rank; /**< of the grade, by size */
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
};

/**
 * Puts the shelf in order and finds for each place the grades worth considering: going from the aim
 * outwards, until there is an endless one, or as many pieces as places that could want any of
 * these (one of them is always left, and no further one is better).
 */
int fw_shelf_make(struct fw_shelf *shelf, const struct fw_reuse *reuse, struct fw_error *err);
void fw_shelf_free(struct fw_shelf *shelf);

/**
 * Of all best assignments the first: row by row, its `favourite` column (SIZE_MAX: none), else the
 * first in order. `cost`, `column`, `u`, `v` as of fw_assign_whole(), rows <= columns; `column` is
 * changed in place.
 */
int fw_assign_first(size_t *column, const int64_t *u, const int64_t *v, const int64_t *cost,
                    size_t rows, size_t columns, const size_t *favourite, struct fw_error *err);

#endif
