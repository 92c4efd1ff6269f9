/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/check.h"
#include "solve/bearing/factor.h"

#define DEGREE (3.14159265358979323846 / 180.0)

static int loads_check(double radial, double axial, struct fw_error *err)
{
	if (!fw_not_negative(radial))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing: the radial load must be finite and not below zero");
	if (!fw_not_negative(axial))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing: the axial load must be finite and not below zero");
	if (radial == 0.0 && axial == 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: radial and axial load are both zero");
	return FW_OK;
}

/* Up to Fa/Fr = e one formula, above it the other; written as a product so that Fr may be 0. */
static void combine(struct fw_bearing_load *l, const struct fw_factor_xy *f, double radial,
                    double axial)
{
	bool low = axial <= f->e * radial;

	l->e = f->e;
	l->x = low ? 1.0 : f->x;
	l->y = low ? f->low_y : f->y;
	l->dynamic = l->x * radial + l->y * axial;
}

static void still(struct fw_bearing_load *l, double x0, double y0, double radial, double axial)
{
	l->still = fmax(radial, x0 * radial + y0 * axial);
}

static int ball(struct fw_bearing_load *l, const struct fw_bearing *b,
                const struct fw_bearing_rating *rating, double radial, double axial,
                struct fw_error *err)
{
	double degrees = fmin(b->contact_angle / DEGREE, 45.0), x0, y0;

	/* Of two rows at an angle one alone carries an axial load; of two grooves both do. */
	double one_row = rating->f0 * b->rows * axial / rating->still;
	l->relative = b->contact_angle > 0.0 ? one_row : one_row / b->rows;
	if (l->relative > FW_RELATIVE_MOST)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "bearing: the axial load is too great: f0·%sFa/C0 is %.4g, the table of ISO 281 "
		    "ends at %g",
		    b->contact_angle > 0.0 ? "i·" : "", l->relative, FW_RELATIVE_MOST);
	struct fw_factor_xy f = fw_factor_ball(degrees, b->rows, one_row);
	combine(l, &f, radial, axial);
	fw_factor_ball_still(&x0, &y0, degrees, b->rows);
	still(l, x0, y0, radial, axial);
	return FW_OK;
}

/* ISO 281:2007, table 8, and ISO 76:2006, table 5, from memory; second route: both formulas meet at
 * e.
 */
static int roller(struct fw_bearing_load *l, const struct fw_bearing *b, double radial,
                  double axial, struct fw_error *err)
{
	bool single = b->rows == 1;

	if (b->contact_angle <= 0.0) {
		if (axial > 0.0)
			return fw_fail(
			    err, FW_ERR_RANGE,
			    "bearing: rollers at a contact angle of 0 have no rating for axial load");
		l->x = 1.0;
		l->dynamic = l->still = radial;
		return FW_OK;
	}
	double cotangent = 1.0 / tan(b->contact_angle);
	struct fw_factor_xy f = {
	    .x = single ? 0.4 : 0.67,
	    .y = (single ? 0.4 : 0.67) * cotangent,
	    .e = 1.5 / cotangent,
	    .low_y = single ? 0.0 : 0.45 * cotangent,
	};
	combine(l, &f, radial, axial);
	still(l, single ? 0.5 : 1.0, (single ? 0.22 : 0.44) * cotangent, radial, axial);
	return FW_OK;
}

int fw_bearing_equivalent(struct fw_bearing_load *out, const struct fw_bearing *bearing,
                          double radial, double axial, struct fw_error *err)
{
	struct fw_bearing_rating rating;
	struct fw_bearing_load l = {0};
	int rc = fw_bearing_rate(&rating, bearing, err);

	if (rc == FW_OK)
		rc = loads_check(radial, axial, err);
	if (rc != FW_OK)
		return rc;
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: nowhere to put the equivalent load");
	if (bearing->rows > 2)
		return fw_fail(err, FW_ERR_RANGE,
		               "bearing: the load factors of ISO 281 are for one or two rows, not %u",
		               bearing->rows);
	rc = bearing->kind == FW_BALL_BEARING ? ball(&l, bearing, &rating, radial, axial, err)
	                                      : roller(&l, bearing, radial, axial, err);
	if (rc != FW_OK)
		return rc;
	if (!fw_positive(l.dynamic) || !fw_positive(l.still))
		return fw_fail(err, FW_ERR_RANGE, "bearing: the equivalent load is no finite number");
	*out = l;
	return FW_OK;
}
