/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One calculation: what was left out filled in, worked out, and its uncertainty worked through. */
#include <string.h>

#include "calc/out.h"
#include "calc/propagate.h"
#include "calc/values.h"

static int fill_in(struct fw_calc_values *values, struct fw_error *err)
{
	char where[160];
	int code = FW_OK;

	for (size_t i = 0; code == FW_OK && i < values->count; i++) {
		const struct fw_calc_input *input = &values->inputs[i];
		const struct fw_calc_slot *slot = &values->slots[i];
		if (!slot->given && input->fallback)
			code = fw_calc_type(values, input->name, input->fallback, err);
		else if (!slot->given && input->required)
			return fw_fail(err, FW_ERR_ARGUMENT, "%s is missing: %s",
			               fw_calc_where(values, input, where, sizeof where), input->doc);
		for (size_t k = 0; code == FW_OK && slot->records && k < slot->count; k++)
			code = fill_in(slot->records[k], err);
	}
	return code;
}

/* Inputs that were given before the one they are like. */
static int check_alike(const struct fw_calc_values *values, struct fw_error *err)
{
	int code = FW_OK;

	for (size_t i = 0; code == FW_OK && i < values->count; i++) {
		const struct fw_calc_slot *slot = &values->slots[i];
		const char *unit = values->inputs[i].unit;
		bool like =
		    unit && (unit[0] == '=' || unit[0] == '~'); /* the others were checked when set */
		for (size_t k = 0; code == FW_OK && like && slot->items && k < slot->count; k++)
			code = fw_calc_check_dimension(values, &values->inputs[i], slot->items[k].unit, err);
		for (size_t k = 0; code == FW_OK && slot->records && k < slot->count; k++)
			code = check_alike(slot->records[k], err);
	}
	return code;
}

int fw_calc_run(struct fw_calc_out **out, const struct fw_calculator *calculator,
                const struct fw_calc_values *values, bool quiet, struct fw_error *err)
{
	struct fw_calc_out *made = fw_calc_out_new(quiet);

	if (!made)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	int code = calculator->run(made, values, err);
	if (code == FW_OK && made->lost)
		code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
	if (code == FW_OK && made->full)
		code = fw_fail(err, FW_ERR_RANGE, "more than %d results come of so many inputs",
		               FW_CALC_RESULTS_MOST);
	if (code != FW_OK) {
		fw_calc_free(made);
		return code;
	}
	fw_calc_row_end(made);
	*out = made;
	return FW_OK;
}

/* What was given, as a name: equal figures from other sources have another. */
static uint64_t name_values(uint64_t name, const struct fw_calc_values *values)
{
	for (size_t i = 0; i < values->count; i++) {
		const struct fw_calc_slot *slot = &values->slots[i];
		name = fw_calc_mix(name, &slot->count, sizeof slot->count);
		name = fw_calc_mix(name, &slot->choice, sizeof slot->choice);
		if (slot->text)
			name = fw_calc_mix(name, slot->text, strlen(slot->text));
		for (size_t k = 0; slot->items && k < slot->count; k++) {
			name = fw_calc_mix(name, &slot->items[k].value, sizeof slot->items[k].value);
			for (size_t t = 0; t < slot->items[k].count; t++)
				name = fw_calc_mix(name, &slot->items[k].terms[t].source, sizeof(uint64_t));
		}
		for (size_t k = 0; slot->records && k < slot->count; k++)
			name = name_values(name, slot->records[k]);
	}
	return name;
}

/* The sources that the calculator gave its results itself are those of this very calculation. */
static void name_known(struct fw_calc_out *out, const struct fw_calculator *calculator,
                       const struct fw_calc_values *values)
{
	uint64_t name = 0;

	for (size_t i = 0; i < out->count; i++) {
		struct fw_quantity *q = &out->results[i].quantity;
		if (q->count == 0)
			continue;
		if (name == 0)
			name = name_values(fw_source_name(calculator->name), values);
		q->terms[0].source = fw_calc_mix(name, &q->terms[0].source, sizeof q->terms[0].source);
	}
}

int fw_calculate(struct fw_calc_out **out, const struct fw_calculator *calculator,
                 struct fw_calc_values *values, struct fw_error *err)
{
	struct fw_calc_out *made = NULL;

	int code = fill_in(values, err);
	if (code == FW_OK)
		code = check_alike(values, err);
	if (code == FW_OK && fw_calc_effort(calculator, values) > FW_CALC_EFFORT_MOST)
		code = fw_fail(err, FW_ERR_RANGE,
		               "so many inputs, so many of them uncertain, take too long to work through; "
		               "give fewer, or fewer with ±");
	if (code == FW_OK)
		code = fw_calc_run(&made, calculator, values, false, err);
	if (code == FW_OK && made)
		name_known(made, calculator, values);
	if (code == FW_OK && calculator->plain)
		fw_calc_warn_unused(made, values);
	else if (code == FW_OK)
		code = fw_calc_propagate(made, calculator, values, err);
	if (code != FW_OK) {
		fw_calc_free(made);
		return code;
	}
	*out = made;
	return FW_OK;
}
