/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/figure.h"

#include <math.h>
#include <string.h>

const struct fw_unit *fw_calc_symbol(const char *symbol)
{
	return fw_unit_find(symbol, strlen(symbol));
}

const char *fw_calc_plain(double value, char buffer[FW_FIGURE])
{
	return fw_calc_figure(value, fw_calc_symbol("1"), buffer, FW_FIGURE);
}

const char *fw_calc_in(double si, const char *symbol, char buffer[FW_FIGURE])
{
	return fw_calc_figure(si, fw_calc_symbol(symbol), buffer, FW_FIGURE);
}

const struct fw_unit *fw_calc_span_unit(const struct fw_unit *unit)
{
	return unit->offset != 0.0 ? fw_calc_symbol("K") : unit;
}

const struct fw_unit *fw_calc_fine(const struct fw_unit *unit)
{
	bool inches = strcmp(unit->symbol, "in") == 0 || strcmp(unit->symbol, "thou") == 0 ||
	              strcmp(unit->symbol, "ft") == 0;

	if (!fw_dimension_equal(unit->dimension, fw_calc_symbol("mm")->dimension))
		return fw_calc_span_unit(unit);
	return fw_calc_symbol(inches ? "thou" : "µm");
}

bool fw_calc_take_limits(struct fw_limits *out, const struct fw_calc_values *in)
{
	bool min = fw_calc_given(in, "min"), max = fw_calc_given(in, "max");

	*out = (struct fw_limits){.min = min ? fw_calc_value(in, "min") : -INFINITY,
	                          .max = max ? fw_calc_value(in, "max") : INFINITY,
	                          .aim = fw_calc_value(in, "aim")};
	return min || max;
}
