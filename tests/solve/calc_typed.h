/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file calc_typed.h  A calculator worked as a person would: by what is typed. */
#ifndef FITWRIGHT_TESTS_CALC_TYPED_H
#define FITWRIGHT_TESTS_CALC_TYPED_H

#include "check.h"

#include "fitwright/calc.h"

/* Pairs of an input's name and what is typed, up to NULL. `*out` is NULL unless FW_OK comes back;
 * the caller frees it. */
static inline int calc_typed(struct fw_calc_out **out, const char *name, const char *const *typed,
                             struct fw_error *error)
{
	const struct fw_calculator *calculator = fw_calculator_find(name);
	struct fw_calc_values *values = NULL;

	if (!calculator)
		fail_msg("no calculator '%s'", name);
	*out = NULL;
	fw_error_clear(error);
	int code = fw_calc_values_new(&values, calculator->inputs, error);
	for (; code == FW_OK && typed[0]; typed += 2)
		code = fw_calc_type(values, typed[0], typed[1], error);
	if (code == FW_OK)
		code = fw_calculate(out, calculator, values, error);
	fw_calc_values_free(values);
	return code;
}

#endif
