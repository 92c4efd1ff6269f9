/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The store behind a calculator's inputs, and what the calculator reads out of it. */
#include "calc/values.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool fw_calc_same_name(const char *a, const char *b)
{
	while (*a && (*a == *b || (*a == '-' && *b == '_') || (*a == '_' && *b == '-'))) {
		a++;
		b++;
	}
	return *a == *b;
}

int fw_calc_values_new(struct fw_calc_values **out, const struct fw_calc_input *inputs,
                       struct fw_error *err)
{
	size_t count = 0;

	while (inputs[count].name)
		count++;
	struct fw_calc_values *values = calloc(1, sizeof *values + count * sizeof values->slots[0]);
	if (!values)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	values->inputs = inputs;
	values->count = count;
	*out = values;
	return FW_OK;
}

static void free_slot(struct fw_calc_slot *slot)
{
	for (size_t i = 0; slot->items && i < slot->count; i++)
		free(slot->items[i].terms);
	for (size_t i = 0; slot->records && i < slot->count; i++)
		fw_calc_values_free(slot->records[i]);
	free(slot->items);
	free(slot->records);
	free(slot->text);
	free(slot->view);
}

void fw_calc_values_free(struct fw_calc_values *values)
{
	if (!values)
		return;
	for (size_t i = 0; i < values->count; i++)
		free_slot(&values->slots[i]);
	free(values);
}

bool fw_calc_is_list(const struct fw_calc_input *input)
{
	return input->kind == FW_CALC_QUANTITIES || input->kind == FW_CALC_NUMBERS ||
	       input->kind == FW_CALC_RECORDS;
}

const struct fw_calc_input *fw_calc_input_find(const struct fw_calc_values *values,
                                               const char *name, struct fw_calc_slot **slot)
{
	for (size_t i = 0; i < values->count; i++) {
		if (!fw_calc_same_name(values->inputs[i].name, name))
			continue;
		*slot = (struct fw_calc_slot *)&values->slots[i];
		return &values->inputs[i];
	}
	return NULL;
}

int fw_calc_input_wanted(const struct fw_calc_input **out, struct fw_calc_slot **slot,
                         struct fw_calc_values *values, const char *name, struct fw_error *err)
{
	char known[FW_ERROR_TEXT / 2] = "";

	*out = fw_calc_input_find(values, name, slot);
	if (*out)
		return FW_OK;
	for (size_t i = 0, at = 0; i < values->count && at < sizeof known; i++)
		at += (size_t)snprintf(known + at, sizeof known - at, "%s%s", i ? ", " : "",
		                       values->inputs[i].name);
	if (values->parent)
		return fw_fail(err, FW_ERR_NOT_FOUND, "%s %zu: there is no '%s'; there are: %s",
		               values->parent_name, values->parent_index + 1, name, known);
	return fw_fail(err, FW_ERR_NOT_FOUND, "there is no input '%s'; there are: %s", name, known);
}

const char *fw_calc_where(const struct fw_calc_values *values, const struct fw_calc_input *input,
                          char *buffer, size_t size)
{
	if (values->parent)
		snprintf(buffer, size, "%s %zu, %s", values->parent_name, values->parent_index + 1,
		         input->name);
	else
		snprintf(buffer, size, "%s", input->name);
	return buffer;
}

uint64_t fw_calc_mix(uint64_t name, const void *bytes, size_t size)
{
	const unsigned char *at = bytes;

	for (size_t i = 0; i < size; i++)
		name = (name ^ at[i]) * 0x100000001B3U;
	return name;
}

/* What the calculator reads. */

static const struct fw_calc_values *root_of(const struct fw_calc_values *values)
{
	while (values->parent)
		values = values->parent;
	return values;
}

bool fw_calc_right_sign(const struct fw_calc_input *input, double value)
{
	return input->sign == FW_CALC_ANY || value > 0 ||
	       (input->sign == FW_CALC_NOT_NEGATIVE && value == 0);
}

/* The value, moved when its source is; a moved one keeps the promise of the table, or says that it
 * can't. */
static double shifted(const struct fw_calc_values *in, const struct fw_calc_input *input,
                      const struct fw_calc_item *item)
{
	const struct fw_calc_values *root = root_of(in);
	double value = item->value;

	if (root->shift.by == 0.0)
		return value;
	for (size_t i = 0; i < item->count; i++)
		if (item->terms[i].source == root->shift.source)
			value += root->shift.by * item->terms[i].u;
	if (isfinite(value) && fw_calc_right_sign(input, value))
		return value;
	((struct fw_calc_values *)root)->broken = true; /* all values were made by us, none is const */
	return item->value;
}

bool fw_calc_given(const struct fw_calc_values *in, const char *name)
{
	struct fw_calc_slot *slot;
	return fw_calc_input_find(in, name, &slot) && slot->given;
}

double fw_calc_item(const struct fw_calc_values *in, const char *name, size_t index)
{
	struct fw_calc_slot *slot;
	const struct fw_calc_input *input = fw_calc_input_find(in, name, &slot);

	if (!input || !slot->items || index >= slot->count)
		return NAN;
	return shifted(in, input, &slot->items[index]);
}

double fw_calc_value(const struct fw_calc_values *in, const char *name)
{
	return fw_calc_item(in, name, 0);
}

const struct fw_quantity *fw_calc_item_quantity(const struct fw_calc_values *in, const char *name,
                                                size_t index)
{
	struct fw_calc_slot *slot;
	const struct fw_calc_input *input = fw_calc_input_find(in, name, &slot);

	if (!input || !slot->items || index >= slot->count || !slot->view)
		return NULL;
	const struct fw_calc_item *item = &slot->items[index];
	*slot->view = fw_quantity_of(shifted(in, input, item), item->unit);
	for (size_t i = 0; i < item->count; i++)
		slot->view->terms[slot->view->count++] = item->terms[i];
	slot->taken = true;
	return slot->view;
}

const struct fw_quantity *fw_calc_quantity(const struct fw_calc_values *in, const char *name)
{
	return fw_calc_item_quantity(in, name, 0);
}

const struct fw_unit *fw_calc_unit(const struct fw_calc_values *in, const char *name)
{
	struct fw_calc_slot *slot;
	const struct fw_calc_input *input = fw_calc_input_find(in, name, &slot);

	if (input && slot->items && slot->count > 0)
		return slot->items[0].unit;
	const struct fw_unit *unit = input ? fw_calc_bare_unit(in, input) : NULL;
	return unit ? unit : fw_unit_find("1", 1);
}

const char *fw_calc_text(const struct fw_calc_values *in, const char *name)
{
	struct fw_calc_slot *slot;
	return fw_calc_input_find(in, name, &slot) ? slot->text : NULL;
}

int fw_calc_choice(const struct fw_calc_values *in, const char *name)
{
	struct fw_calc_slot *slot;
	return fw_calc_input_find(in, name, &slot) && slot->given ? slot->choice : -1;
}

bool fw_calc_flag(const struct fw_calc_values *in, const char *name)
{
	return fw_calc_choice(in, name) == 1;
}

size_t fw_calc_count(const struct fw_calc_values *in, const char *name)
{
	struct fw_calc_slot *slot;
	return fw_calc_input_find(in, name, &slot) ? slot->count : 0;
}

const struct fw_calc_values *fw_calc_record(const struct fw_calc_values *in, const char *name,
                                            size_t index)
{
	struct fw_calc_slot *slot;

	if (!fw_calc_input_find(in, name, &slot) || !slot->records || index >= slot->count)
		return NULL;
	return slot->records[index];
}
