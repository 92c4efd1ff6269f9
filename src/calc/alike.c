/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of which dimension an input is: its own, any, or that of another input. */
#include <string.h>

#include "calc/values.h"

/* The unit in which an input was given first; NULL when it wasn't yet. */
static const struct fw_unit *given_unit(const struct fw_calc_values *values, const char *name)
{
	struct fw_calc_slot *slot;

	if (!fw_calc_input_find(values, name, &slot) || !slot->items || slot->count == 0)
		return NULL;
	return slot->items[0].unit;
}

static bool is_scale(const struct fw_unit *unit)
{
	return unit->offset != 0.0;
}

const struct fw_unit *fw_calc_bare_unit(const struct fw_calc_values *values,
                                        const struct fw_calc_input *input)
{
	if (!input->unit)
		return fw_unit_find("1", 1);
	if (input->unit[0] == '*') /* the items of a list are alike */
		return given_unit(values, input->name);
	if (input->unit[0] != '=' && input->unit[0] != '~')
		return fw_unit_find(input->unit, strlen(input->unit));
	const struct fw_unit *unit = given_unit(values, input->unit + 1);
	return unit && input->unit[0] == '~' && is_scale(unit) ? fw_unit_find("K", 1) : unit;
}

/* A temperature is either a point on a scale or a difference. */
static bool same_sort(const struct fw_unit *given, const struct fw_unit *asked)
{
	return !fw_dimension_equal(asked->dimension, fw_unit_find("K", 1)->dimension) ||
	       is_scale(given) == is_scale(asked);
}

int fw_calc_check_dimension(const struct fw_calc_values *values, const struct fw_calc_input *input,
                            const struct fw_unit *unit, struct fw_error *err)
{
	const struct fw_unit *asked = fw_calc_bare_unit(values, input);
	char where[160], given[48], wanted[48];

	fw_calc_where(values, input, where, sizeof where);
	if (!asked && input->unit && input->unit[0] == '~' && is_scale(unit))
		return fw_fail(err, FW_ERR_DIMENSION,
		               "%s: a difference of temperatures is asked for, such as 60 K", where);
	if (!asked)
		return FW_OK;
	if (!fw_dimension_equal(unit->dimension, asked->dimension))
		return fw_fail(err, FW_ERR_DIMENSION, "%s: a %s in %s is asked for, not a %s", where,
		               fw_dimension_name(asked->dimension, wanted, sizeof wanted), asked->symbol,
		               fw_dimension_name(unit->dimension, given, sizeof given));
	if (!same_sort(unit, asked))
		return fw_fail(err, FW_ERR_DIMENSION, "%s: %s", where,
		               is_scale(unit) ? "a difference of temperatures is asked for, such as 60 K"
		                              : "a point on a scale is asked for, such as 60 °C");
	return FW_OK;
}
