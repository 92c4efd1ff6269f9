/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recorded question, read back into the struct that faces show. */
#include "json.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *const ask_names[] = {"done", "quantity", "choice", "text", "sign"};

const char *fw_ask_name(enum fw_ask ask)
{
	return ask_names[ask];
}

static bool read_ask(enum fw_ask *out, const char *name)
{
	for (size_t i = 0; name && i < sizeof ask_names / sizeof *ask_names; i++)
		if (strcmp(name, ask_names[i]) == 0) {
			*out = (enum fw_ask)i;
			return true;
		}
	return false;
}

static const char *text_of(const json_t *json, const char *key)
{
	return json_string_value(json_object_get(json, key));
}

static unsigned count_of(const json_t *json, const char *key)
{
	json_int_t n = json_integer_value(json_object_get(json, key));
	return n > 0 && n < 1000000 ? (unsigned)n : 0;
}

static double bound_of(const json_t *json, const char *key, double open)
{
	struct fw_quantity q;
	return fw_json_quantity_read(&q, json_object_get(json, key)) ? q.value : open;
}

static int read_options(struct fw_question_view *view)
{
	const json_t *list = json_object_get(view->json, "options");
	size_t count = json_array_size(list);

	if (count == 0)
		return FW_OK;
	view->options = calloc(count, sizeof *view->options);
	if (!view->options)
		return FW_ERR_MEMORY;
	for (size_t i = 0; i < count; i++) {
		view->options[i] = json_string_value(json_array_get(list, i));
		if (!view->options[i])
			return FW_ERR_TRAIL;
	}
	view->question.options = view->options;
	view->question.option_count = count;
	return FW_OK;
}

static int read_order(struct fw_question_view *view)
{
	const json_t *list = json_object_get(view->json, "order");
	size_t count = json_array_size(list);

	if (count == 0)
		return FW_OK;
	view->order = calloc(count, sizeof *view->order);
	if (!view->order)
		return FW_ERR_MEMORY;
	for (size_t i = 0; i < count; i++) {
		json_int_t bolt = json_integer_value(json_array_get(list, i));
		if (bolt < 1 || bolt > 1000000)
			return FW_ERR_TRAIL;
		view->order[i] = (unsigned)bolt;
	}
	view->question.order = view->order;
	view->question.order_count = count;
	json_int_t columns = json_integer_value(json_object_get(view->json, "columns"));
	/* Rows that don't hold the bolts are no rows. */
	if (columns > 0 && (size_t)columns <= count && count % (size_t)columns == 0)
		view->question.columns = (size_t)columns;
	return FW_OK;
}

static int read_question(struct fw_question_view *view)
{
	struct fw_question *q = &view->question;
	const json_t *json = view->json;

	if (!read_ask(&q->ask, text_of(json, "ask")))
		return FW_ERR_TRAIL;
	q->word = text_of(json, "word");
	q->step = text_of(json, "step");
	q->say = text_of(json, "say");
	if (!q->word || !q->step || !q->say)
		return FW_ERR_TRAIL;
	q->item = text_of(json, "item");
	q->phase = text_of(json, "phase");
	q->phase_number = count_of(json, "phase_number");
	q->phase_count = count_of(json, "phase_count");
	q->round = count_of(json, "round");
	q->caution = text_of(json, "caution");
	q->help = text_of(json, "help");
	q->optional = json_is_true(json_object_get(json, "optional"));
	q->low = bound_of(json, "low", -INFINITY);
	q->high = bound_of(json, "high", INFINITY);
	q->gauge = text_of(json, "gauge");
	q->width = bound_of(json, "width", 0.0);
	q->role = text_of(json, "role");
	q->meaning = text_of(json, "meaning");
	q->reason = text_of(json, "reason");
	if (q->ask == FW_ASK_SIGN) {
		q->purpose = text_of(json, "purpose");
		q->purpose = q->purpose ? q->purpose : "sign"; /* which rules 1 left out */
	}
	if (q->ask == FW_ASK_QUANTITY) {
		const char *symbol = text_of(json, "unit");
		q->unit = symbol ? fw_unit_find(symbol, strlen(symbol)) : NULL;
		if (!q->unit)
			return FW_ERR_TRAIL;
	}
	int code = read_options(view);
	if (code == FW_OK && q->ask == FW_ASK_CHOICE && q->option_count == 0)
		code = FW_ERR_TRAIL;
	return code == FW_OK ? read_order(view) : code;
}

int fw_question_view_set(struct fw_question_view *view, json_t *json, struct fw_error *err)
{
	fw_question_view_clear(view);
	view->json = json_incref(json);
	int code = read_question(view);
	if (code == FW_OK)
		return FW_OK;
	fw_question_view_clear(view);
	return fw_fail(err, code,
	               code == FW_ERR_MEMORY ? "out of memory"
	                                     : "not a question: a key is missing or of the wrong kind");
}

void fw_question_view_clear(struct fw_question_view *view)
{
	json_decref(view->json);
	free(view->options);
	free(view->order);
	memset(view, 0, sizeof *view);
}
