/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/bearing/check.h"

#include <math.h>

#include "solve/length_text.h"

#define PI 3.14159265358979323846

bool fw_positive(double x)
{
	return isfinite(x) && x > 0.0;
}

bool fw_not_negative(double x)
{
	return isfinite(x) && x >= 0.0;
}

double fw_bearing_gamma(const struct fw_bearing *bearing)
{
	return bearing->element_dia * cos(bearing->contact_angle) / bearing->pitch_dia;
}

/* Elements that touch (a full complement) are allowed, with a little for rounded figures. */
static int room_check(const struct fw_bearing *b, struct fw_error *err)
{
	double chord = b->elements > 1 ? b->pitch_dia * sin(PI / b->elements) : b->pitch_dia;
	char dia[FW_LENGTH_TEXT], pitch[FW_LENGTH_TEXT];

	if (b->element_dia < b->pitch_dia && b->element_dia <= chord * (1.0 + 1e-6))
		return FW_OK;
	return fw_fail(err, FW_ERR_ARGUMENT,
	               "bearing: %u elements of %s don't fit on a pitch circle of %s", b->elements,
	               fw_length_text(b->element_dia, dia, sizeof dia),
	               fw_length_text(b->pitch_dia, pitch, sizeof pitch));
}

int fw_bearing_check(const struct fw_bearing *bearing, struct fw_error *err)
{
	if (!bearing)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: none given");
	if (bearing->kind != FW_BALL_BEARING && bearing->kind != FW_ROLLER_BEARING)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: neither a ball nor a roller bearing");
	if (bearing->elements == 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing: the number of balls or rollers must be at least 1");
	if (!fw_positive(bearing->element_dia))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing: the diameter of the elements must be finite and above zero");
	if (!fw_positive(bearing->pitch_dia))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing: the pitch diameter must be finite and above zero");
	if (!fw_not_negative(bearing->contact_angle) || bearing->contact_angle >= PI / 2.0 - 1e-9)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing: the contact angle must be from 0 to below 90°");
	return room_check(bearing, err);
}
