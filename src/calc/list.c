/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/list.h"

#include "calc/values.h"

static const struct fw_calculator *const *part(size_t index)
{
	static const struct fw_calculator *const *const parts[] = {
	    fw_calculators_shim,  fw_calculators_reuse,   fw_calculators_clearance, fw_calculators_fit,
	    fw_calculators_joint, fw_calculators_bearing, fw_calculators_conform};

	return index < sizeof parts / sizeof parts[0] ? parts[index] : NULL;
}

const struct fw_calculator *fw_calculator_at(size_t index)
{
	const struct fw_calculator *const *list;

	for (size_t i = 0; (list = part(i)) != NULL; i++) {
		for (; *list; list++) {
			if (index-- == 0)
				return *list;
		}
	}
	return NULL;
}

const struct fw_calculator *fw_calculator_find(const char *name)
{
	const struct fw_calculator *found;

	for (size_t i = 0; (found = fw_calculator_at(i)) != NULL; i++) {
		if (fw_calc_same_name(found->name, name))
			return found;
	}
	return NULL;
}
