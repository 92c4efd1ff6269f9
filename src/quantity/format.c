/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/dimension.h"
#include "quantity/text.h"

/* From here up a number is printed with six figures and an exponent; plain digits would not fit. */
#define FIXED_MOST 1e9

/* The four behind one another, cut where there is no more room. Every quantity that is recorded
 * comes by here: printf() would take longer than all the rest. */
static const char *put(char *buffer, size_t size, const char *a, const char *b, const char *c,
                       const char *d)
{
	const char *const parts[] = {a, b, c, d};
	size_t used = 0;

	if (size == 0)
		return buffer;
	for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
		size_t length = strlen(parts[i]);
		length = length < size - 1 - used ? length : size - 1 - used;
		memcpy(buffer + used, parts[i], length);
		used += length;
	}
	buffer[used] = '\0';
	return buffer;
}

static int decimals_of(double step)
{
	int decimals = (int)lround(-log10(step));
	return decimals < 0 ? 0 : decimals > 9 ? 9 : decimals;
}

static const char *number_in(double value, const struct fw_unit *unit, char *buffer, size_t size)
{
	if (!unit || !(fabs(value) < FIXED_MOST))
		return fw_number_figures(value, 6, buffer, size);
	return fw_number_fixed(value, decimals_of(unit->step), buffer, size);
}

const char *fw_unit_suffix(const struct fw_unit *unit, char *buffer, size_t size)
{
	bool bare = fw_dimension_is_plain(unit->dimension) && unit->factor == 1.0;
	bool close = unit->dimension.angle == 1 && (unsigned char)unit->symbol[0] == 0xC2U;

	return put(buffer, size, close || bare ? "" : " ", bare ? "" : unit->symbol, "", "");
}

/* Where the table has no unit, the exponents stand for one. */
static const char *suffix(const struct fw_quantity *q, const struct fw_unit *unit, char *buffer,
                          size_t size)
{
	char exponents[48];

	if (unit)
		return fw_unit_suffix(unit, buffer, size);
	snprintf(buffer, size, " %s",
	         fw_dimension_exponents(q->dimension, exponents, sizeof exponents));
	return buffer;
}

const char *fw_quantity_text_in(const struct fw_quantity *q, const struct fw_unit *unit,
                                bool with_u, char *buffer, size_t size)
{
	if (!unit || !fw_dimension_equal(unit->dimension, q->dimension))
		unit = fw_quantity_unit(q);

	char number[32];
	char spread[32];
	char symbol[64];
	double value = unit ? fw_quantity_in(q, unit) : q->value;
	double u = 2 * fw_quantity_u(q) / (unit ? unit->factor : 1);

	number_in(value, unit, number, sizeof number);
	suffix(q, unit, symbol, sizeof symbol);
	if (!with_u || !(u > 0))
		return put(buffer, size, number, "", "", symbol);
	/* "± 0.000" would claim a certainty that isn't there */
	u = unit && u < FIXED_MOST ? fmax(u, unit->step) : u;
	number_in(u, unit, spread, sizeof spread);
	return put(buffer, size, number, " ± ", spread, symbol);
}

const char *fw_quantity_text(const struct fw_quantity *q, bool with_u, char *buffer, size_t size)
{
	return fw_quantity_text_in(q, NULL, with_u, buffer, size);
}
