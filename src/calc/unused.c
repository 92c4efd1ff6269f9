/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nobody's ± is dropped without a word. */
#include "calc/propagate.h"
#include "calc/values.h"

static bool is_unused(const struct fw_calc_slot *slot)
{
	for (size_t i = 0; slot->items && !slot->taken && i < slot->count; i++)
		if (slot->items[i].count > 0)
			return true;
	return false;
}

/* Of one field, whichever records it stands in. */
static bool is_unused_in_any(const struct fw_calc_slot *records, size_t field)
{
	for (size_t i = 0; i < records->count; i++)
		if (is_unused(&records->records[i]->slots[field]))
			return true;
	return false;
}

void fw_calc_warn_unused(struct fw_calc_out *out, const struct fw_calc_values *values)
{
	for (size_t i = 0; i < values->count; i++) {
		const struct fw_calc_input *input = &values->inputs[i];
		const struct fw_calc_slot *slot = &values->slots[i];
		if (is_unused(slot))
			fw_calc_warn(out, "the ± of %s isn't used here: it counts as exact", input->name);
		for (size_t f = 0; slot->records && input->fields[f].name; f++)
			if (is_unused_in_any(slot, f))
				fw_calc_warn(out, "the ± of %s in %s isn't used here: it counts as exact",
				             input->fields[f].name, input->name);
	}
}
