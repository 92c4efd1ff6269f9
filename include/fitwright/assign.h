/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file assign.h
 * Linear assignment: each row gets a column of its own, at the least total cost. Exact.
 *
 * Method: shortest augmenting paths. Column reduction, reduction transfer and augmenting row
 * reduction as in R. Jonker and A. Volgenant, "A shortest augmenting path algorithm for dense and
 * sparse linear assignment problems", Computing 38 (1987), 325-340; rectangular costs as in D. F.
 * Crouse, "On implementing 2D rectangular assignment algorithms", IEEE Transactions on Aerospace
 * and Electronic Systems 52 (2016), 1679-1696. Where the paths turn out long, prices are prepared
 * by an auction with falling steps (D. P. Bertsekas, "The auction algorithm: a distributed
 * relaxation method for the assignment problem", Annals of Operations Research 14 (1988), 105-123).
 * All three from memory.
 *
 * The answer carries its own proof, the prices u and v, which anybody can check with additions:
 * - u[i] + v[j] <= cost[i][j] for every pair that is allowed, with = for every pair chosen;
 * - the side with fewer lines is served in full; on the other side no price is above 0, and that of
 *   a line left over is 0.
 * Then the sum of all prices is a lower bound on any assignment's cost, and it is the cost of this
 * one.
 *
 * The same costs give the same answer on every machine; of several best assignments one comes out.
 */
#ifndef FITWRIGHT_ASSIGN_H
#define FITWRIGHT_ASSIGN_H

#include <stddef.h>
#include <stdint.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What column[i] is when row i is left over (only with more rows than columns). */
#define FW_ASSIGN_NONE SIZE_MAX

/** A pair that may not be: INFINITY among doubles, this among integers. */
#define FW_ASSIGN_FORBIDDEN ((int64_t)1 << 61)

/** Most rows, most columns, and most pairs of both. Beyond: FW_ERR_RANGE. */
#define FW_ASSIGN_SIDE  1000000
#define FW_ASSIGN_CELLS 400000000

/** Largest size of a cost among doubles; and among integers, largest product of the shorter side
 * plus one with the largest size of a cost, so that no sum along a path can overflow. Beyond:
 *  FW_ERR_RANGE. */
#define FW_ASSIGN_LARGEST 1e200
#define FW_ASSIGN_WHOLE   ((int64_t)1 << 55)

/**
 * Assigns `rows` to `columns`. `cost` is row by row, rows * columns elements, borrowed. `column`
 * has room for `rows`; `u` (rows) and `v` (columns) get the prices, either may be NULL.
 *
 * Whole numbers are dealt with exactly while their sums along a path stay below 2^53. Other costs
 * are subject to rounding: the proof then holds to about 1e-15 times the largest cost times the
 * shorter side.
 *
 * Errors: FW_ERR_ARGUMENT for no rows or no columns, NaN or minus infinity (row and column named,
 * counted from 1); FW_ERR_RANGE beyond the limits above, and where not all of the shorter side can
 * be served: the message names the line, and the lines that contend with it for too few others. On
 * failure nothing is written.
 */
int fw_assign(size_t *column, double *u, double *v, const double *cost, size_t rows, size_t columns,
              struct fw_error *err);

/** The same for integers, exact throughout. */
int fw_assign_whole(size_t *column, int64_t *u, int64_t *v, const int64_t *cost, size_t rows,
                    size_t columns, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
