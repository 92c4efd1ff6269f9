/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file calc_typed.h  A calculator worked as a person would: by what is typed. */
#ifndef FITWRIGHT_TESTS_CALC_TYPED_H
#define FITWRIGHT_TESTS_CALC_TYPED_H

#include "check.h"

#include "fitwright/calc.h"

/* What is typed for one input. */
struct typed {
	const char *name, *text;
};

/* Types a list, ended by a NULL name, into the calculator. `*out` is NULL unless FW_OK comes back;
 * the caller frees it. */
static inline int calc_list(struct fw_calc_out **out, const char *name, const struct typed *typed,
                            struct fw_error *error)
{
	const struct fw_calculator *calculator = fw_calculator_find(name);
	struct fw_calc_values *values = NULL;

	if (!calculator)
		fail_msg("no calculator '%s'", name);
	*out = NULL;
	fw_error_clear(error);
	int code = fw_calc_values_new(&values, calculator->inputs, error);
	for (; code == FW_OK && typed->name; typed++)
		code = fw_calc_type(values, typed->name, typed->text, error);
	if (code == FW_OK)
		code = fw_calculate(out, calculator, values, error);
	fw_calc_values_free(values);
	return code;
}

/* The same from names and texts in turn, up to NULL. */
static inline int calc_typed(struct fw_calc_out **out, const char *name, const char *const *typed,
                             struct fw_error *error)
{
	struct typed list[64] = {{NULL, NULL}};

	for (size_t i = 0; typed[2 * i]; i++) {
		assert_true(i + 1 < sizeof list / sizeof list[0]);
		list[i] = (struct typed){typed[2 * i], typed[2 * i + 1]};
	}
	return calc_list(out, name, list, error);
}

#endif
