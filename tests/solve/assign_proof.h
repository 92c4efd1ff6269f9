/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file assign_proof.h  Proves an assignment best from its prices, by the weak duality of linear
 *  programming: no use is made of how it was found. */
#ifndef FITWRIGHT_TESTS_ASSIGN_PROOF_H
#define FITWRIGHT_TESTS_ASSIGN_PROOF_H

#include "check.h"

/* Each fails the test unless `column` is an assignment of the shorter side in full that uses no
 * forbidden pair, u and v bound each cost from below, and their sum is the cost, which is returned.
 */
int64_t prove_whole(const size_t *column, const int64_t *u, const int64_t *v, const int64_t *cost,
                    size_t rows, size_t columns);

/* The same within `slack` for a pair and for the sum; 0 asks for exactness. */
double prove_real(const size_t *column, const double *u, const double *v, const double *cost,
                  size_t rows, size_t columns, double slack);

/* A small generator of our own, the same everywhere (Numerical Recipes' 64-bit congruence, high
 * bits): a whole number from 0 to below `end`. */
unsigned test_random(uint64_t *state, unsigned end);

#endif
