/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "json.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Takes `value` over. Keys are those of docs/trail.md, and need no look at their letters. */
static bool put(json_t *object, const char *key, json_t *value)
{
	return json_object_set_new_nocheck(object, key, value) == 0;
}

json_t *fw_json_quantity(const struct fw_quantity *q)
{
	char text[64];
	double u = fw_quantity_u(q);
	double freedom = fw_quantity_freedom(q);
	json_t *out = json_object();

	if (out && put(out, "si", json_real(q->value)) &&
	    put(out, "unit", json_string_nocheck(q->unit ? q->unit->symbol : "")) &&
	    put(out, "text", json_string_nocheck(fw_quantity_text(q, true, text, sizeof text))) &&
	    (u == 0.0 || (put(out, "u", json_real(u)) &&
	                  (!isfinite(freedom) || put(out, "freedom", json_real(freedom))))))
		return out;
	json_decref(out);
	return NULL;
}

json_t *fw_json_of(double si, const struct fw_unit *unit)
{
	struct fw_quantity q = fw_quantity_of(si, unit);
	return fw_json_quantity(&q);
}

json_t *fw_json_span(double si, const struct fw_unit *unit)
{
	struct fw_quantity q = fw_quantity_span(si, unit);
	return fw_json_quantity(&q);
}

bool fw_json_quantity_read(struct fw_quantity *out, const json_t *json)
{
	const json_t *si = json_object_get(json, "si");
	const char *symbol = json_string_value(json_object_get(json, "unit"));
	const struct fw_unit *unit = symbol ? fw_unit_find(symbol, strlen(symbol)) : NULL;

	if (!json_is_number(si) || !unit)
		return false;
	*out = fw_quantity_of(json_number_value(si), unit);
	return isfinite(out->value);
}

static json_t *gauge_json(const struct fw_answer_gauge *gauge)
{
	json_t *relative = gauge->relative > 0 ? json_real(gauge->relative) : NULL;

	return json_pack("{s:s, s:s, s:o, s:o, s:o*, s:s*, s:s*, s:s*, s:I}", "id", gauge->id, "kind",
	                 gauge->kind, "resolution", fw_json_span(gauge->resolution, gauge->unit),
	                 "error", fw_json_span(gauge->error, gauge->unit), "relative", relative,
	                 "calibrated", gauge->calibrated, "due", gauge->due, "source", gauge->source,
	                 "entry", (json_int_t)gauge->entry);
}

static json_t *reading_json(const struct fw_answer *answer)
{
	json_t *quantity = fw_json_quantity(&answer->quantity);

	if (!answer->gauge.id)
		return json_pack("{s:o}", "quantity", quantity);
	return json_pack("{s:o, s:o}", "quantity", quantity, "gauge", gauge_json(&answer->gauge));
}

json_t *fw_json_answer(const struct fw_answer *answer, bool confirmed)
{
	json_t *out = NULL;

	switch (answer->ask) {
	case FW_ASK_DONE:
		out = json_pack("{s:b}", "done", 1);
		break;
	case FW_ASK_QUANTITY:
		out = reading_json(answer);
		break;
	case FW_ASK_CHOICE:
		out = json_pack("{s:s, s:I}", "option", answer->text, "index", (json_int_t)answer->option);
		break;
	case FW_ASK_TEXT:
		out = json_pack("{s:s}", "text", answer->text);
		break;
	case FW_ASK_SIGN:
		out = json_pack("{s:s}", "name", answer->text);
		break;
	}
	if (out && confirmed && json_object_set_new(out, "confirmed", json_true()) != 0) {
		json_decref(out);
		return NULL;
	}
	return out;
}

/* A text, or NULL where there is none; false for anything else. */
static bool read_text(const char **out, const json_t *object, const char *key)
{
	const json_t *text = json_object_get(object, key);

	*out = json_string_value(text);
	return !text || *out;
}

bool fw_json_answer_gauge(struct fw_answer_gauge *out, const json_t *answer)
{
	const json_t *gauge = json_object_get(answer, "gauge");
	const json_t *relative = json_object_get(gauge, "relative");
	struct fw_quantity resolution, error;

	memset(out, 0, sizeof *out);
	if (!gauge)
		return true;
	if (!fw_json_quantity_read(&resolution, json_object_get(gauge, "resolution")) ||
	    !fw_json_quantity_read(&error, json_object_get(gauge, "error")) ||
	    !fw_dimension_equal(resolution.dimension, error.dimension) ||
	    !read_text(&out->id, gauge, "id") || !read_text(&out->kind, gauge, "kind") ||
	    !read_text(&out->calibrated, gauge, "calibrated") || !read_text(&out->due, gauge, "due") ||
	    !read_text(&out->source, gauge, "source") || (relative && !json_is_real(relative)))
		return false;
	out->resolution = resolution.value;
	out->error = error.value;
	out->relative = json_real_value(relative);
	out->unit = resolution.unit;
	out->entry = json_integer_value(json_object_get(gauge, "entry"));
	return out->id && out->kind && out->resolution > 0 && out->error >= 0 && out->relative >= 0 &&
	       isfinite(out->relative) && out->unit->offset == 0;
}

static bool read_reading(struct fw_answer *out, const struct fw_question *question,
                         const json_t *json)
{
	return fw_json_quantity_read(&out->quantity, json_object_get(json, "quantity")) &&
	       question->unit &&
	       fw_dimension_equal(out->quantity.dimension, question->unit->dimension) &&
	       fw_json_answer_gauge(&out->gauge, json) &&
	       (!out->gauge.id ||
	        fw_dimension_equal(out->gauge.unit->dimension, question->unit->dimension));
}

static bool read_choice(struct fw_answer *out, const struct fw_question *question,
                        const json_t *json)
{
	const char *option = json_string_value(json_object_get(json, "option"));
	json_int_t index = json_integer_value(json_object_get(json, "index"));

	if (!option || index < 0 || (size_t)index >= question->option_count ||
	    strcmp(option, question->options[index]) != 0)
		return false;
	out->option = (size_t)index;
	out->text = option;
	return true;
}

bool fw_json_answer_read(struct fw_answer *out, const struct fw_question *question,
                         const json_t *json)
{
	memset(out, 0, sizeof *out);
	out->ask = question->ask;
	switch (question->ask) {
	case FW_ASK_DONE:
		return json_is_true(json_object_get(json, "done"));
	case FW_ASK_QUANTITY:
		return read_reading(out, question, json);
	case FW_ASK_CHOICE:
		return read_choice(out, question, json);
	case FW_ASK_TEXT:
		out->text = json_string_value(json_object_get(json, "text"));
		return out->text != NULL;
	case FW_ASK_SIGN:
		out->text = json_string_value(json_object_get(json, "name"));
		return out->text != NULL;
	}
	return false;
}

char *fw_json_text(const json_t *json)
{
	return json_dumps(json, JSON_COMPACT | JSON_REAL_PRECISION(17));
}

/* What one comparison has seen so far. */
struct likeness {
	double tolerance;
	bool inexact;      /* some real differed in its last digits */
	bool text_differs; /* some "text" read otherwise */
};

static bool alike(const json_t *a, const json_t *b, struct likeness *seen);

static bool real_alike(double a, double b, struct likeness *seen)
{
	if (a == b)
		return true;
	seen->inexact = true;
	return fabs(a - b) <= seen->tolerance * fmax(fabs(a), fabs(b));
}

/* A figure in words. */
struct figure {
	double value, place; /* place: worth of its last digit */
};

/* Reads a figure and steps over it; false where there is none. */
static bool read_figure(struct figure *out, const char **at)
{
	const char *c = *at;

	*out = (struct figure){0.0, 1.0};
	for (; *c >= '0' && *c <= '9'; c++)
		out->value = 10.0 * out->value + (*c - '0');
	if (c == *at)
		return false;
	if (*c == '.' && c[1] >= '0' && c[1] <= '9')
		for (c++; *c >= '0' && *c <= '9'; c++) {
			out->place /= 10.0;
			out->value += out->place * (*c - '0');
		}
	*at = c;
	return true;
}

/* The same words; figures in them may differ by one in their last place. */
static bool words_alike(const char *a, const char *b)
{
	while (*a && *b) {
		struct figure left, right;
		bool figure = read_figure(&left, &a);
		if (figure != read_figure(&right, &b))
			return false;
		if (figure ? fabs(left.value - right.value) > 1.01 * fmax(left.place, right.place)
		           : *a++ != *b++)
			return false;
	}
	return *a == *b;
}

static bool text_alike(const char *a, const char *b, struct likeness *seen)
{
	if (strcmp(a, b) == 0)
		return true;
	seen->text_differs = true;
	return words_alike(a, b);
}

static bool object_alike(const json_t *a, const json_t *b, struct likeness *seen)
{
	const char *key;
	json_t *value;

	if (json_object_size(a) != json_object_size(b))
		return false;
	json_object_foreach((json_t *)a, key, value)
	{
		const json_t *other = json_object_get(b, key);
		if (!other)
			return false;
		if (strcmp(key, "text") == 0 && json_is_string(value) && json_is_string(other)) {
			if (!text_alike(json_string_value(value), json_string_value(other), seen))
				return false;
		} else if (!alike(value, other, seen))
			return false;
	}
	return true;
}

static bool array_alike(const json_t *a, const json_t *b, struct likeness *seen)
{
	if (json_array_size(a) != json_array_size(b))
		return false;
	for (size_t i = 0; i < json_array_size(a); i++)
		if (!alike(json_array_get(a, i), json_array_get(b, i), seen))
			return false;
	return true;
}

static bool alike(const json_t *a, const json_t *b, struct likeness *seen)
{
	if (json_is_real(a) && json_is_real(b))
		return real_alike(json_real_value(a), json_real_value(b), seen);
	if (json_is_object(a) && json_is_object(b))
		return object_alike(a, b, seen);
	if (json_is_array(a) && json_is_array(b))
		return array_alike(a, b, seen);
	return json_equal(a, b) != 0;
}

bool fw_json_alike(const json_t *a, const json_t *b, double tolerance)
{
	struct likeness seen = {.tolerance = tolerance};

	return alike(a, b, &seen) && (!seen.text_differs || seen.inexact);
}
