/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/quantity.h"

#include <math.h>

#include "quantity/dimension.h"
#include "quantity/terms.h"

int fw_quantity_make(struct fw_quantity *out, double value, const struct fw_unit *unit,
                     struct fw_error *err)
{
	if (!unit)
		return fw_fail(err, FW_ERR_ARGUMENT, "a quantity needs a unit");
	if (!isfinite(value))
		return fw_fail(err, FW_ERR_RANGE, "a quantity in %s needs a finite number", unit->symbol);

	double si = value * unit->factor + unit->offset;
	if (!isfinite(si) || (si == 0 && value != 0 && unit->offset == 0))
		return fw_fail(err, FW_ERR_RANGE, "%g %s is too %s for a number", value, unit->symbol,
		               si == 0 ? "small" : "large");
	if (fw_unit_is_scale(unit) && si < 0)
		return fw_fail(err, FW_ERR_RANGE, "%g %s is below absolute zero", value, unit->symbol);

	*out = (struct fw_quantity){.value = si, .dimension = unit->dimension, .unit = unit};
	return FW_OK;
}

double fw_quantity_in(const struct fw_quantity *q, const struct fw_unit *unit)
{
	if (!unit || !fw_dimension_equal(q->dimension, unit->dimension))
		return NAN;
	return (q->value - unit->offset) / unit->factor;
}
