/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file factor.h  The tables of rating and load factors. */
#ifndef FITWRIGHT_SOLVE_BEARING_FACTOR_H
#define FITWRIGHT_SOLVE_BEARING_FACTOR_H

#include <stddef.h>

#include "fitwright/bearing.h"

/** fc of ISO 281:2007, table 2 (single row radial contact and angular contact ball bearings) or 7
 *  (radial roller bearings), linear between. FW_ERR_RANGE outside. */
int fw_factor_fc(double *out, enum fw_bearing_kind kind, double gamma, struct fw_error *err);

/** f0 of ISO 76:2006, table 1; for rollers 44·(1 - gamma). `gamma` 0..0.40. */
int fw_factor_f0(double *out, enum fw_bearing_kind kind, double gamma, struct fw_error *err);

/** y at x on a line through `count` points of rising x; the ends beyond them. */
double fw_interpolate(const double *xs, const double *ys, size_t count, double x);

/** X, Y, e of a ball bearing. `low_y` is Y up to Fa/Fr = e, where X is 1. */
struct fw_factor_xy {
	double x, y, e, low_y;
};

/** ISO 281:2007, table 3. `degrees` 0..45, `rows` 1 or 2. `one_row` is the load on one row if it
 *  carried all of it, f0·i·Fa/C0: the table goes by that at an angle, and by an i-th of it for
 *  radial contact. */
struct fw_factor_xy fw_factor_ball(double degrees, unsigned rows, double one_row);

/** X0 and Y0 of ISO 76:2006, table 2. */
void fw_factor_ball_still(double *x0, double *y0, double degrees, unsigned rows);

/** Largest relative axial load in the table. */
#define FW_RELATIVE_MOST 6.89

#endif
