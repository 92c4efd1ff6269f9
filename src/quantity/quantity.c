/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/quantity.h"

#include <float.h>
#include <math.h>

#include "quantity/dimension.h"
#include "quantity/terms.h"
#include "quantity/text.h"

/* Absolute zero in °F comes out a rounding error beside 0: that is no temperature below it. */
static double on_scale(double si, double offset)
{
	double sum = si + offset;
	return fabs(sum) <= 4 * DBL_EPSILON * offset ? 0.0 : sum;
}

int fw_quantity_make(struct fw_quantity *out, double value, const struct fw_unit *unit,
                     struct fw_error *err)
{
	char text[32];

	if (!unit)
		return fw_fail(err, FW_ERR_ARGUMENT, "a quantity needs a unit");
	if (!isfinite(value))
		return fw_fail(err, FW_ERR_RANGE, "a quantity in %s needs a finite number", unit->symbol);

	double si = on_scale(value * unit->factor, unit->offset);
	if (!isfinite(si) || (si == 0 && value != 0 && unit->offset == 0))
		return fw_fail(err, FW_ERR_RANGE, "%s %s is too %s for a number",
		               fw_number_figures(value, 6, text, sizeof text), unit->symbol,
		               si == 0 ? "small" : "large");
	if (fw_unit_is_scale(unit) && si < 0)
		return fw_fail(err, FW_ERR_RANGE, "%s %s is below absolute zero",
		               fw_number_figures(value, 6, text, sizeof text), unit->symbol);

	*out = (struct fw_quantity){.value = si, .dimension = unit->dimension, .unit = unit};
	return FW_OK;
}

struct fw_quantity fw_quantity_of(double si, const struct fw_unit *unit)
{
	return (struct fw_quantity){.value = si, .dimension = unit->dimension, .unit = unit};
}

struct fw_quantity fw_quantity_span(double si, const struct fw_unit *unit)
{
	return fw_quantity_of(si, fw_unit_is_scale(unit) ? fw_unit_si(unit->dimension) : unit);
}

double fw_quantity_in(const struct fw_quantity *q, const struct fw_unit *unit)
{
	if (!unit || !fw_dimension_equal(q->dimension, unit->dimension))
		return NAN;
	return (q->value - unit->offset) / unit->factor;
}
