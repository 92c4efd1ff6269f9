/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc_json.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "json.h"
#include "quantity/text.h"

#define NUMBER_FIGURES 6
#define NEARLY_ONE     0.999999
/* A value below so many steps of its unit would lose its third figure. */
#define SMALL_FIGURES       3
#define SMALL_FIGURES_BELOW 100.0

const char *fw_calc_key(const char *name, char *buffer, size_t size)
{
	snprintf(buffer, size, "%s", name);
	for (char *c = buffer; *c; c++)
		if (*c == '-')
			*c = '_';
	return buffer;
}

/* Takes `value` over. False when it is NULL or memory ran out. */
static bool put(json_t *object, const char *name, json_t *value)
{
	char key[FW_CALC_NAME];

	return json_object_set_new(object, fw_calc_key(name, key, sizeof key), value) == 0;
}

static json_t *records_json(const struct fw_calc_input *input, const struct fw_calc_values *values)
{
	json_t *list = json_array();
	size_t count = fw_calc_count(values, input->name);

	for (size_t i = 0; list && i < count; i++) {
		json_t *record = fw_calc_inputs_json(input->fields, fw_calc_record(values, input->name, i));
		if (json_array_append_new(list, record) != 0) {
			json_decref(list);
			return NULL;
		}
	}
	return list;
}

static void number_text(const struct fw_calc_result *result, char *buffer, size_t size)
{
	const struct fw_quantity *q = &result->quantity;

	if (result->chance && q->value > NEARLY_ONE)
		snprintf(buffer, size, "over 0.999999");
	else if (result->chance && q->value > 0.0 && q->value < 1.0 - NEARLY_ONE)
		snprintf(buffer, size, "under 0.000001");
	else if (fw_quantity_u(q) > 0)
		fw_quantity_text(q, true, buffer, size);
	else
		fw_number_figures(q->value, NUMBER_FIGURES, buffer, size);
}

/* What is small against the step in which its unit is usually read still shows three figures. */
static const char *quantity_text(const struct fw_quantity *q, char *buffer, size_t size)
{
	double shown = fw_quantity_in(q, q->unit), steps = fabs(shown) / q->unit->step;
	bool whole = fabs(steps - round(steps)) < 1e-6 && steps > 0.5;
	bool tenths = fabs(10 * steps - round(10 * steps)) < 1e-5 && q->unit->step <= 1;
	char number[32];

	if (q->count == 0 && tenths && !whole &&
	    fabs(shown) < 1e6) { /* 25.0105 mm, a limit by a table */
		fw_number_fixed(shown, 1 - (int)round(log10(q->unit->step)), number, sizeof number);
		snprintf(buffer, size, "%s %s", number, q->unit->symbol);
		return buffer;
	}
	/* A ± that would be rounded up to a whole step tells less than none. */
	bool doubtful = 2 * fw_quantity_u(q) / q->unit->factor > q->unit->step / 20;
	if (doubtful || shown == 0.0 || whole || steps >= SMALL_FIGURES_BELOW)
		return fw_quantity_text(q, doubtful, buffer, size);
	fw_number_figures(shown, SMALL_FIGURES, number, sizeof number);
	snprintf(buffer, size, "%s %s", number, q->unit->symbol);
	return buffer;
}

const char *fw_calc_result_text(const struct fw_calc_result *result, char *buffer, size_t size)
{
	switch (result->kind) {
	case FW_CALC_IS_QUANTITY:
		return quantity_text(&result->quantity, buffer, size);
	case FW_CALC_IS_NUMBER:
		number_text(result, buffer, size);
		return buffer;
	case FW_CALC_IS_TEXT:
		return result->text;
	case FW_CALC_IS_FLAG:
		return result->flag ? "yes" : "no";
	}
	return "";
}

/* As fw_json_quantity(), worded as calculators word it. */
static json_t *worded_json(const struct fw_calc_result *result)
{
	char text[64];
	json_t *value = fw_json_quantity(&result->quantity);

	if (json_object_set_new(value, "text",
	                        json_string(fw_calc_result_text(result, text, sizeof text))) != 0) {
		json_decref(value);
		return NULL;
	}
	return value;
}

/* The same for an input. */
static json_t *shown_json(const struct fw_quantity *q, bool number)
{
	struct fw_calc_result as = {.kind = number ? FW_CALC_IS_NUMBER : FW_CALC_IS_QUANTITY,
	                            .quantity = *q};
	return worded_json(&as);
}

static json_t *items_json(const struct fw_calc_input *input, const struct fw_calc_values *values)
{
	json_t *list = json_array();
	size_t count = fw_calc_count(values, input->name);

	for (size_t i = 0; list && i < count; i++) {
		json_t *item = shown_json(fw_calc_item_quantity(values, input->name, i), !input->unit);
		if (json_array_append_new(list, item) != 0) {
			json_decref(list);
			return NULL;
		}
	}
	return list;
}

static json_t *input_json(const struct fw_calc_input *input, const struct fw_calc_values *values)
{
	switch (input->kind) {
	case FW_CALC_QUANTITY:
	case FW_CALC_NUMBER:
	case FW_CALC_WHOLE:
		return shown_json(fw_calc_quantity(values, input->name), !input->unit);
	case FW_CALC_QUANTITIES:
	case FW_CALC_NUMBERS:
		return items_json(input, values);
	case FW_CALC_TEXT:
	case FW_CALC_CHOICE:
		return json_string(fw_calc_text(values, input->name));
	case FW_CALC_FLAG:
		return json_boolean(fw_calc_flag(values, input->name));
	case FW_CALC_RECORDS:
		return records_json(input, values);
	}
	return NULL;
}

json_t *fw_calc_inputs_json(const struct fw_calc_input *inputs, const struct fw_calc_values *values)
{
	json_t *object = json_object();

	for (const struct fw_calc_input *input = inputs; object && input->name; input++) {
		if (!fw_calc_given(values, input->name))
			continue;
		if (!put(object, input->name, input_json(input, values))) {
			json_decref(object);
			return NULL;
		}
	}
	return object;
}

static json_t *result_json(const struct fw_calc_result *result)
{
	switch (result->kind) {
	case FW_CALC_IS_QUANTITY:
	case FW_CALC_IS_NUMBER:
		return worded_json(result);
	case FW_CALC_IS_TEXT:
		return json_string(result->text);
	case FW_CALC_IS_FLAG:
		return json_boolean(result->flag);
	}
	return NULL;
}

/* Puts a label once. */
static bool put_label(json_t *labels, const char *name, const char *label)
{
	char key[2 * FW_CALC_NAME];

	fw_calc_key(name, key, sizeof key);
	return json_object_get(labels, key) ||
	       json_object_set_new(labels, key, json_string(label)) == 0;
}

json_t *fw_calc_labels_json(const struct fw_calc_out *out)
{
	json_t *labels = json_object();
	char name[2 * FW_CALC_NAME];

	for (size_t i = 0; labels && i < fw_calc_results(out); i++) {
		const struct fw_calc_result *result = fw_calc_result(out, i);
		snprintf(name, sizeof name, "%s%s%s", result->table ? result->table : "",
		         result->table ? "." : "", result->name);
		if (!put_label(labels, name, result->label) ||
		    (result->table && !put_label(labels, result->table, result->table_label))) {
			json_decref(labels);
			return NULL;
		}
	}
	return labels;
}

/* The object of that row, made when it is the next; borrowed. */
static json_t *row_of(json_t *results, const struct fw_calc_result *result)
{
	char key[FW_CALC_NAME];

	fw_calc_key(result->table, key, sizeof key);
	json_t *rows = json_object_get(results, key);
	if (!rows) {
		rows = json_array();
		if (json_object_set_new(results, key, rows) != 0)
			return NULL;
	}
	while (json_array_size(rows) <= result->row)
		if (json_array_append_new(rows, json_object()) != 0)
			return NULL;
	return json_array_get(rows, result->row);
}

json_t *fw_calc_results_json(const struct fw_calc_out *out)
{
	json_t *results = json_object();

	for (size_t i = 0; results && i < fw_calc_results(out); i++) {
		const struct fw_calc_result *result = fw_calc_result(out, i);
		json_t *object = result->table ? row_of(results, result) : results;
		if (!object || !put(object, result->name, result_json(result))) {
			json_decref(results);
			return NULL;
		}
	}
	return results;
}

static json_t *texts_json(const struct fw_calc_out *out, size_t count,
                          const char *(*text)(const struct fw_calc_out *out, size_t index))
{
	json_t *list = json_array();

	for (size_t i = 0; list && i < count; i++) {
		if (json_array_append_new(list, json_pack("{s:s}", "text", text(out, i))) != 0) {
			json_decref(list);
			return NULL;
		}
	}
	return list;
}

json_t *fw_calc_working_json(const struct fw_calc_out *out)
{
	return texts_json(out, fw_calc_lines(out), fw_calc_line_text);
}

json_t *fw_calc_warnings_json(const struct fw_calc_out *out)
{
	return texts_json(out, fw_calc_warnings(out), fw_calc_warning_text);
}
