/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file train.h  What the files that work on gear trains tell each other. */
#ifndef FITWRIGHT_SOLVE_BEARING_TRAIN_H
#define FITWRIGHT_SOLVE_BEARING_TRAIN_H

#include "fitwright/gears.h"

/** Is a part that holds in `gears` in, at this gear? */
bool fw_train_holds(uint64_t gears, const struct fw_train_case *at);

/** The gear's name, "neutral" … */
const char *fw_train_gear_name(const struct fw_train *train, const struct fw_train_case *at);

/** FW_OK if `at` is a case of this (checked) train. */
int fw_train_case_check(const struct fw_train *train, const struct fw_train_case *at,
                        struct fw_error *err);

/** Speeds of all bodies, NAN where nothing drives. Inputs are checked. */
int fw_train_speeds(double *body, const struct fw_train *train, const struct fw_train_case *at,
                    double speed, struct fw_error *err);

/** An edge of a graph of bodies. */
struct fw_edge {
	size_t a, b;
	bool used;  /**< false: not there */
	bool on;    /**< result: on some way */
	bool along; /**< result: that way passes it from a to b */
};

#define FW_EDGES_MOST ((size_t)2 * FW_TRAIN_MOST)
#define FW_NODES_MOST (FW_TRAIN_MOST + 1)

/** Marks the edges that lie on a way from `from` to `to` on which no node comes twice, `without`
 *  not being entered (FW_NOBODY: no such node). `along` sends every edge that all ways pass in one
 *  sense in that sense; one that bridges two ways can be passed in either, and gets the one in
 *  which no edges marked run in a circle. `edges` of at most FW_EDGES_MOST, nodes below
 *  FW_NODES_MOST. */
void fw_train_ways(struct fw_edge *edges, size_t count, size_t from, size_t to, size_t without);

#endif
