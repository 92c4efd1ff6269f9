/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A reading outside what is plausible, and the slip that most likely made it. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/dimension.h"
#include "quantity/text.h"

struct slip {
	const struct fw_quantity *q;
	const struct fw_unit *unit; /* it was entered in */
	double number;              /* as entered */
	double low, high;
};

static bool within(const struct slip *slip, double number, const struct fw_unit *unit)
{
	double si = number * unit->factor + unit->offset;
	return si >= slip->low && si <= slip->high;
}

/* Thou and micrometres are read off a gauge as 16 or 2.5, hardly ever as 4.06; and a unit ten times
 * another is less likely the slip than a decimal place is. */
static bool looks_read(const struct slip *slip, const struct fw_unit *unit)
{
	double steps = slip->number / unit->step;
	double ratio = unit->factor / slip->unit->factor;

	if (fabs(ratio - 10) < 1e-9 || fabs(ratio - 0.1) < 1e-9)
		return false;
	return unit->step < 0.1 || fabs(steps - round(steps)) < 1e-6;
}

/* The same number in another unit; the table holds the unit met most often first. */
static const struct fw_unit *other_unit(const struct slip *slip, bool only_likely)
{
	size_t count;
	const struct fw_unit *units = fw_units(&count);

	for (size_t i = 0; i < count; i++) {
		const struct fw_unit *unit = &units[i];
		if (unit == slip->unit || !fw_dimension_equal(unit->dimension, slip->unit->dimension) ||
		    fw_unit_is_scale(unit) != fw_unit_is_scale(slip->unit))
			continue;
		if (within(slip, slip->number, unit) && (!only_likely || looks_read(slip, unit)))
			return unit;
	}
	return NULL;
}

/* "55 thou": as typed, free of the rounding that the way to SI and back brings. */
static const char *amount(double number, const struct fw_unit *unit, int figures, char *buffer,
                          size_t size)
{
	char digits[32];
	char symbol[32];

	snprintf(buffer, size, "%s%s", fw_number_figures(number, figures, digits, sizeof digits),
	         fw_unit_suffix(unit, symbol, sizeof symbol));
	return buffer;
}

static bool find_slip(const struct slip *slip, char *buffer, size_t size)
{
	const double corrected[] = {slip->number / 10, slip->number * 10, -slip->number};

	const struct fw_unit *unit = other_unit(slip, true);
	if (unit) {
		amount(slip->number, unit, 12, buffer, size);
		return true;
	}
	for (size_t i = 0; i < sizeof corrected / sizeof corrected[0]; i++) {
		if (within(slip, corrected[i], slip->unit)) {
			amount(corrected[i], slip->unit, 12, buffer, size);
			return true;
		}
	}
	unit = other_unit(slip, false);
	if (unit)
		amount(slip->number, unit, 12, buffer, size);
	return unit != NULL;
}

static const char *limit(double si, const struct fw_unit *unit, char *buffer, size_t size)
{
	return amount((si - unit->offset) / unit->factor, unit, 4, buffer, size);
}

/* "far outside 0 mm to 3 mm", "below 0 mm", "far above 3 mm" */
static const char *against(const struct slip *slip, char *buffer, size_t size)
{
	char low[64];
	char high[64];
	double value = slip->q->value;
	double off = value > slip->high ? value - slip->high : slip->low - value;
	bool both = isfinite(slip->low) && isfinite(slip->high);
	double width =
	    both ? slip->high - slip->low : fabs(value > slip->high ? slip->high : slip->low);
	const char *far = off > width / 2 ? "far " : "";

	limit(slip->low, slip->unit, low, sizeof low);
	limit(slip->high, slip->unit, high, sizeof high);
	if (both)
		snprintf(buffer, size, "%soutside %s to %s", far, low, high);
	else if (value > slip->high)
		snprintf(buffer, size, "%sabove %s", far, high);
	else
		snprintf(buffer, size, "%sbelow %s", far, low);
	return buffer;
}

/* A quantity whose dimension has no unit in the table: the numbers in SI are all there is to say.
 */
static void say_without_unit(const struct fw_quantity *q, char *buffer, size_t size)
{
	char text[64];
	snprintf(buffer, size, "%s is outside what is plausible; check the reading and its unit",
	         fw_quantity_text(q, false, text, sizeof text));
}

bool fw_quantity_implausible(const struct fw_quantity *q, double low, double high, char *buffer,
                             size_t size)
{
	if (size > 0)
		buffer[0] = '\0';
	if (q->value >= low && q->value <= high)
		return false;

	struct slip slip = {.q = q, .unit = fw_quantity_unit(q), .low = low, .high = high};
	if (!slip.unit) {
		say_without_unit(q, buffer, size);
		return true;
	}
	slip.number = fw_quantity_in(q, slip.unit);

	char entered[64];
	char limits[160];
	char meant[64];
	amount(slip.number, slip.unit, 12, entered, sizeof entered);
	against(&slip, limits, sizeof limits);
	if (find_slip(&slip, meant, sizeof meant))
		snprintf(buffer, size, "%s is %s; did you mean %s?", entered, limits, meant);
	else
		snprintf(buffer, size, "%s is %s; check the reading and its unit", entered, limits);
	return true;
}
