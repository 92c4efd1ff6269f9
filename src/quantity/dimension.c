/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity/dimension.h"

#include <stdio.h>

#include "quantity/dimension_list.h"

static const struct {
	struct fw_dimension dimension;
	const char *name;
} names[] = {
    {PLAIN, "plain number"},      {LENGTH, "length"},     {AREA, "area"},
    {VOLUME, "volume"},           {MASS, "mass"},         {TIME, "time"},
    {TEMPERATURE, "temperature"}, {ANGLE, "angle"},       {FORCE, "force"},
    {TORQUE, "torque"},           {PRESSURE, "pressure"}, {STIFFNESS, "stiffness"},
    {SPEED, "rotating speed"},
    {FREQUENCY, "frequency"},
};

bool fw_dimension_equal(struct fw_dimension a, struct fw_dimension b)
{
	return a.length == b.length && a.mass == b.mass && a.time == b.time &&
	       a.temperature == b.temperature && a.angle == b.angle;
}

bool fw_dimension_is_plain(struct fw_dimension dimension)
{
	return fw_dimension_equal(dimension, (struct fw_dimension){0, 0, 0, 0, 0});
}

static bool combine_exponent(int8_t *out, int a, int b, int sign)
{
	int sum = a + sign * b;
	*out = (int8_t)sum;
	return sum >= -9 && sum <= 9;
}

bool fw_dimension_combine(struct fw_dimension *out, struct fw_dimension a, struct fw_dimension b,
                          int sign)
{
	return combine_exponent(&out->length, a.length, b.length, sign) &&
	       combine_exponent(&out->mass, a.mass, b.mass, sign) &&
	       combine_exponent(&out->time, a.time, b.time, sign) &&
	       combine_exponent(&out->temperature, a.temperature, b.temperature, sign) &&
	       combine_exponent(&out->angle, a.angle, b.angle, sign);
}

const char *fw_dimension_exponents(struct fw_dimension dimension, char *buffer, size_t size)
{
	const struct {
		const char *base;
		int exponent;
	} parts[] = {
	    {"m", dimension.length},      {"kg", dimension.mass},   {"s", dimension.time},
	    {"K", dimension.temperature}, {"rad", dimension.angle},
	};
	size_t used = 0;

	if (size == 0)
		return buffer;
	snprintf(buffer, size, "1");
	for (size_t i = 0; i < sizeof parts / sizeof parts[0] && used < size; i++) {
		const char *dot = used > 0 ? "·" : "";
		int wrote = 0;
		if (parts[i].exponent == 1)
			wrote = snprintf(buffer + used, size - used, "%s%s", dot, parts[i].base);
		else if (parts[i].exponent != 0)
			wrote = snprintf(buffer + used, size - used, "%s%s^%d", dot, parts[i].base,
			                 parts[i].exponent);
		used += (size_t)wrote;
	}
	return buffer;
}

const char *fw_dimension_name(struct fw_dimension dimension, char *buffer, size_t size)
{
	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
		if (fw_dimension_equal(names[i].dimension, dimension)) {
			snprintf(buffer, size, "%s", names[i].name);
			return buffer;
		}
	}
	return fw_dimension_exponents(dimension, buffer, size);
}

const struct fw_unit *fw_unit_si(struct fw_dimension dimension)
{
	size_t count;
	const struct fw_unit *units = fw_units(&count);

	for (size_t i = 0; i < count; i++) {
		if (fw_dimension_equal(units[i].dimension, dimension) && units[i].factor == 1.0 &&
		    units[i].offset == 0.0)
			return &units[i];
	}
	return NULL;
}

bool fw_unit_is_scale(const struct fw_unit *unit)
{
	return unit && unit->offset != 0.0;
}

const struct fw_unit *fw_quantity_unit(const struct fw_quantity *q)
{
	return q->unit ? q->unit : fw_unit_si(q->dimension);
}
