/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inputs as a person types them. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "calc/values.h"

/* Longest list or record typed in one go. */
#define TYPED_MOST 1000000

/* A copy of [at, end) without the blanks around it. */
static char *copy_trimmed(const char *at, const char *end)
{
	while (at < end && (*at == ' ' || *at == '\t'))
		at++;
	while (end > at && (end[-1] == ' ' || end[-1] == '\t'))
		end--;
	return strndup(at, (size_t)(end - at));
}

/* Puts where it was typed in front of what is wrong with it. */
static int fail_typed(const struct fw_calc_values *values, const struct fw_calc_input *input,
                      struct fw_error *err, int code)
{
	char where[160];

	fw_error_prefix(err, "%s: ", fw_calc_where(values, input, where, sizeof where));
	return code;
}

/* "±", "+-" or "+/-" in a text, and its length. */
static const char *find_plus_minus(const char *text, size_t *length)
{
	static const char *const signs[] = {"±", "+/-", "+-"};

	for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
		const char *found = strstr(text, signs[i]);
		if (found) {
			*length = strlen(signs[i]);
			return found;
		}
	}
	return NULL;
}

/* What is typed behind ± is the expanded uncertainty with k = 2, as it is printed. A percentage is
 * one of the value, unless that is one itself. */
static int take_uncertainty(struct fw_quantity *q, const char *text, uint64_t source,
                            struct fw_error *err)
{
	const struct fw_unit *percent = fw_unit_find("%", 1);
	const struct fw_unit *unit = q->unit->offset != 0.0 ? fw_unit_find("K", 1) : q->unit;
	bool share = strchr(text, '%') && q->unit != percent;
	struct fw_quantity u;

	if (share && q->unit->offset != 0.0)
		return fw_fail(err, FW_ERR_INPUT, "no share of a temperature on a scale; type ± in K");
	int code = fw_quantity_parse(&u, text, share ? percent : unit, err);
	if (code == FW_ERR_DIMENSION && q->unit->offset != 0.0 &&
	    fw_quantity_parse(&u, text, q->unit, NULL) == FW_OK) {
		u.value -= u.unit->offset; /* "± 10 °C" means 10 K */
		code = FW_OK;
	}
	if (code != FW_OK)
		return code;
	double size = share ? u.value * fabs(q->value) : u.value;
	if (size < 0)
		return fw_fail(err, FW_ERR_INPUT, "an uncertainty is never negative");
	return size == 0 ? FW_OK : fw_quantity_add_term(q, source, size / 2, INFINITY, err);
}

/* Each typed uncertainty is a source of its own. */
static uint64_t source_of(const struct fw_calc_values *values, const struct fw_calc_input *input,
                          size_t index)
{
	char where[160], name[224];

	snprintf(name, sizeof name, "typed: %s %zu", fw_calc_where(values, input, where, sizeof where),
	         index);
	return fw_source_name(name);
}

/* "10" where a share is asked for, and 10 % is meant. */
static int check_share(const struct fw_quantity *q, const struct fw_calc_input *input,
                       struct fw_error *err)
{
	bool share = input->kind == FW_CALC_NUMBER &&
	             ((input->fallback && strchr(input->fallback, '%')) || strchr(input->doc, '%'));

	if (!share || q->unit != fw_unit_find("1", 1) || fabs(q->value) <= 1.0)
		return FW_OK;
	return fw_fail(err, FW_ERR_INPUT,
	               "a share is asked for, and %g is %g %% of the whole; type %g %%", q->value,
	               100.0 * q->value, q->value);
}

static int type_number(struct fw_calc_values *values, const struct fw_calc_input *input,
                       const struct fw_calc_slot *slot, const char *text, struct fw_error *err)
{
	const struct fw_unit *unit = fw_calc_bare_unit(values, input);
	size_t length = 0;
	const char *sign = find_plus_minus(text, &length);
	char *value = strndup(text, sign ? (size_t)(sign - text) : strlen(text));
	struct fw_quantity q;

	if (!value)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	int code = fw_quantity_parse(&q, value, unit, err);
	if (code == FW_ERR_INPUT && !unit && input->unit[0] == '*' && input->unit[1]) {
		unit = fw_unit_find(input->unit + 1, strlen(input->unit + 1));
		code = fw_quantity_parse(&q, value, unit, err);
	}
	free(value);
	if (code == FW_OK)
		code = check_share(&q, input, err);
	if (code == FW_OK && sign)
		code = take_uncertainty(&q, sign + length, source_of(values, input, slot->count), err);
	if (code != FW_OK)
		return fail_typed(values, input, err, code);
	return fw_calc_set_quantity(values, input->name, &q, err);
}

static int type_list(struct fw_calc_values *values, const struct fw_calc_input *input,
                     const struct fw_calc_slot *slot, const char *text, struct fw_error *err)
{
	int code = FW_OK;

	while (code == FW_OK) {
		size_t span = strcspn(text, ";");
		char *item = copy_trimmed(text, text + span);
		code = item ? type_number(values, input, slot, item, err)
		            : fw_fail(err, FW_ERR_MEMORY, "out of memory");
		free(item);
		text += span;
		if (*text == '\0')
			break;
		text++;
	}
	return code;
}

static int type_flag(struct fw_calc_values *values, const struct fw_calc_input *input,
                     const char *text, struct fw_error *err)
{
	char where[160];

	if (strcmp(text, "yes") == 0 || strcmp(text, "true") == 0 || text[0] == '\0')
		return fw_calc_set_flag(values, input->name, true, err);
	if (strcmp(text, "no") == 0 || strcmp(text, "false") == 0)
		return fw_calc_set_flag(values, input->name, false, err);
	return fw_fail(err, FW_ERR_INPUT, "%s: yes or no, not '%s'",
	               fw_calc_where(values, input, where, sizeof where), text);
}

/* Records. */

static bool is_name_char(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || fw_ascii_is_digit(c) || c == '-' ||
	       c == '_';
}

/* The '=' behind a field's name at `at`; NULL where no such begins. */
static const char *field_equals(const char *at)
{
	while (*at == ' ' || *at == '\t')
		at++;
	if (!((*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z')))
		return NULL;
	while (is_name_char(*at))
		at++;
	while (*at == ' ' || *at == '\t')
		at++;
	return *at == '=' ? at : NULL;
}

/* End of the field at `at`: a comma with another field's name behind it, or the end. Other commas
 * are decimal signs. */
static const char *field_end(const char *at)
{
	for (; *at; at++) {
		if (*at == ',' && field_equals(at + 1))
			break;
	}
	return at;
}

static int type_field(struct fw_calc_values *record, const char *at, const char *end, bool first,
                      struct fw_error *err)
{
	const char *equals = field_equals(at);
	bool named = equals && equals < end;
	char *name = named ? copy_trimmed(at, equals) : strdup(record->inputs[0].name);
	char *text = copy_trimmed(named ? equals + 1 : at, end);
	int code;

	if (!name || !text)
		code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
	else if (!named && !first)
		code = fw_fail(err, FW_ERR_INPUT, "%s %zu: '%s' has no name in front, as in %s=…",
		               record->parent_name, record->parent_index + 1, text, record->inputs[0].name);
	else
		code = fw_calc_type(record, name, text, err);
	free(name);
	free(text);
	return code;
}

static int type_record(struct fw_calc_values *values, const struct fw_calc_input *input,
                       const char *text, struct fw_error *err)
{
	struct fw_calc_values *record = NULL;

	int code = fw_calc_add_record(&record, values, input->name, err);
	for (bool first = true; code == FW_OK; first = false) {
		const char *end = field_end(text);
		code = type_field(record, text, end, first, err);
		if (*end == '\0')
			break;
		text = end + 1;
	}
	if (code != FW_OK && record)
		fw_calc_drop_record(values, input);
	return code;
}

int fw_calc_type(struct fw_calc_values *values, const char *name, const char *text,
                 struct fw_error *err)
{
	const struct fw_calc_input *input;
	struct fw_calc_slot *slot;
	char where[160];

	int code = fw_calc_input_wanted(&input, &slot, values, name, err);
	if (code != FW_OK)
		return code;
	if (strnlen(text, TYPED_MOST + 1) > TYPED_MOST || !fw_utf8_check(text))
		return fw_fail(err, FW_ERR_INPUT, "%s: UTF-8 of at most %d bytes is needed",
		               fw_calc_where(values, input, where, sizeof where), TYPED_MOST);
	switch (input->kind) {
	case FW_CALC_QUANTITY:
	case FW_CALC_NUMBER:
	case FW_CALC_WHOLE:
		return type_number(values, input, slot, text, err);
	case FW_CALC_QUANTITIES:
	case FW_CALC_NUMBERS:
		return type_list(values, input, slot, text, err);
	case FW_CALC_TEXT:
	case FW_CALC_CHOICE:
		return fw_calc_set_text(values, name, text, err);
	case FW_CALC_FLAG:
		return type_flag(values, input, text, err);
	case FW_CALC_RECORDS:
		return type_record(values, input, text, err);
	}
	return fw_fail(err, FW_ERR_ARGUMENT, "%s: of no known kind", input->name);
}
