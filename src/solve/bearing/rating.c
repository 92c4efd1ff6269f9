/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/check.h"
#include "solve/bearing/factor.h"

#define PI           3.14159265358979323846
#define MM           1e-3
#define STEEPEST     (45.0 * PI / 180.0)
#define FEWEST       3 /* fewer can't hold a shaft */
#define LARGE_BALL   25.4
#define LARGE_FACTOR 3.647

/* ISO 281's reduction factors behind fc: 0.95 for one row and for angular contact, 0.90 for two
 * rows of radial contact, whose balls never share the load evenly (ISO/TR 1281-1, from memory). It
 * brings 29.1 to 27.6; table 2 has a column of its own for it (from memory, 27.5 or 27.6). */
#define TWO_GROOVES (0.90 / 0.95)

static bool radial_balls(const struct fw_bearing *b)
{
	return b->kind == FW_BALL_BEARING && b->contact_angle == 0.0;
}

static int rate_check(const struct fw_bearing *b, struct fw_error *err)
{
	int rc = fw_bearing_check(b, err);

	if (rc != FW_OK)
		return rc;
	if (b->elements < FEWEST)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing: a load rating needs at least %d balls or rollers, not %u", FEWEST,
		               b->elements);
	if (b->rows == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: the number of rows must be at least 1");
	if (radial_balls(b) && b->rows > 2)
		return fw_fail(err, FW_ERR_RANGE,
		               "bearing: radial contact ball bearings (contact angle 0) are rated with "
		               "one or two rows, not %u",
		               b->rows);
	if (b->contact_angle > STEEPEST + 1e-9)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "bearing: a contact angle of %.4g° makes it a thrust bearing; radial ones go "
		    "to 45°",
		    b->contact_angle * 180.0 / PI);
	if (b->kind == FW_ROLLER_BEARING && !fw_positive(b->element_length))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing: the length of the rollers must be finite and above zero");
	return FW_OK;
}

static double ball_dynamic(const struct fw_bearing *b, double bm, double fc)
{
	double dw = b->element_dia / MM;
	double size = dw <= LARGE_BALL ? pow(dw, 1.8) : LARGE_FACTOR * pow(dw, 1.4);

	return bm * fc * pow(b->rows * cos(b->contact_angle), 0.7) * pow(b->elements, 2.0 / 3.0) * size;
}

static double roller_dynamic(const struct fw_bearing *b, double bm, double fc)
{
	double length = b->rows * b->element_length / MM * cos(b->contact_angle);

	return bm * fc * pow(length, 7.0 / 9.0) * pow(b->elements, 3.0 / 4.0) *
	       pow(b->element_dia / MM, 29.0 / 27.0);
}

static double still(const struct fw_bearing *b, double f0)
{
	double across = b->kind == FW_BALL_BEARING ? b->element_dia : b->element_length;

	return f0 * b->rows * b->elements * (b->element_dia / MM) * (across / MM) *
	       cos(b->contact_angle);
}

int fw_bearing_rate(struct fw_bearing_rating *out, const struct fw_bearing *bearing,
                    struct fw_error *err)
{
	struct fw_bearing_rating r = {0};
	int rc = rate_check(bearing, err);

	if (rc != FW_OK)
		return rc;
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: nowhere to put the rating");
	r.gamma = fw_bearing_gamma(bearing);
	r.bm = bearing->kind == FW_BALL_BEARING ? 1.3 : 1.1;
	if ((rc = fw_factor_fc(&r.fc, bearing->kind, r.gamma, err)) != FW_OK ||
	    (rc = fw_factor_f0(&r.f0, bearing->kind, r.gamma, err)) != FW_OK)
		return rc;
	if (radial_balls(bearing) && bearing->rows == 2)
		r.fc *= TWO_GROOVES;
	r.dynamic = bearing->kind == FW_BALL_BEARING ? ball_dynamic(bearing, r.bm, r.fc)
	                                             : roller_dynamic(bearing, r.bm, r.fc);
	r.still = still(bearing, r.f0);
	if (!fw_positive(r.dynamic) || !fw_positive(r.still))
		return fw_fail(err, FW_ERR_RANGE, "bearing: the rating is no finite number");
	*out = r;
	return FW_OK;
}
