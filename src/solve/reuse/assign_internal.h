/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file assign_internal.h  Between the checks of assign.h and the two cores, which are one text
 *  (assign_core.h) for two types. A core wants at least as many columns as rows. */
#ifndef FITWRIGHT_SOLVE_ASSIGN_INTERNAL_H
#define FITWRIGHT_SOLVE_ASSIGN_INTERNAL_H

#include <stdbool.h>

#include "fitwright/assign.h"

/** Where a core got stuck: `rows` lines (the first is the one that can't be served) that may use
 *  only rows - 1 columns between them. Lines counted from 0; at most FW_ASSIGN_TELL are kept. */
#define FW_ASSIGN_TELL 6
struct fw_assign_stuck {
	size_t rows;
	size_t row[FW_ASSIGN_TELL];
};

/** FW_OK; FW_ERR_RANGE with `stuck` filled; FW_ERR_MEMORY. `column` (rows), `u` (rows) and `v`
 *  (columns) are written only on success; u and v are needed. `largest` is the largest size of a
 *  cost that isn't forbidden; `complete` says that none is. */
int fw_assign_core_real(size_t *column, double *u, double *v, const double *cost, size_t rows,
                        size_t columns, double largest, bool complete,
                        struct fw_assign_stuck *stuck);
int fw_assign_core_whole(size_t *column, int64_t *u, int64_t *v, const int64_t *cost, size_t rows,
                         size_t columns, int64_t largest, bool complete,
                         struct fw_assign_stuck *stuck);

#endif
