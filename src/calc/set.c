/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Giving a calculator its values: each is checked against the table when it is given. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "calc/values.h"

#define WHOLE_MOST 9007199254740992.0 /* 2^53: beyond, doubles skip whole numbers */
#define TEXT_MOST  4000

static int fail_at(const struct fw_calc_values *values, const struct fw_calc_input *input,
                   struct fw_error *err, int code, const char *what)
{
	char where[160];

	return fw_fail(err, code, "%s: %s", fw_calc_where(values, input, where, sizeof where), what);
}

static bool takes_numbers(const struct fw_calc_input *input)
{
	return input->kind == FW_CALC_QUANTITY || input->kind == FW_CALC_QUANTITIES ||
	       input->kind == FW_CALC_NUMBER || input->kind == FW_CALC_NUMBERS ||
	       input->kind == FW_CALC_WHOLE;
}

/* Room for one more; a single value is taken once only. */
static int make_room(struct fw_calc_values *values, const struct fw_calc_input *input,
                     struct fw_calc_slot *slot, size_t most, struct fw_error *err)
{
	size_t size = input->kind == FW_CALC_RECORDS ? sizeof slot->records[0] : sizeof slot->items[0];
	void **array = input->kind == FW_CALC_RECORDS ? (void **)&slot->records : (void **)&slot->items;
	char where[160];

	if (slot->given && !fw_calc_is_list(input))
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "given twice");
	if (slot->count == most)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: more than %zu",
		               fw_calc_where(values, input, where, sizeof where), most);
	if (slot->count < slot->room)
		return FW_OK;
	size_t room = slot->room ? 2 * slot->room : 1;
	void *grown = realloc(*array, room * size);
	if (!grown)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	*array = grown;
	slot->room = room;
	return FW_OK;
}

static int check_sign(const struct fw_calc_values *values, const struct fw_calc_input *input,
                      const struct fw_quantity *q, struct fw_error *err)
{
	char where[160], text[64];
	if (fw_calc_right_sign(input, q->value))
		return FW_OK;
	return fw_fail(err, FW_ERR_ARGUMENT, "%s: %s is not %s",
	               fw_calc_where(values, input, where, sizeof where),
	               fw_quantity_text(q, false, text, sizeof text),
	               input->sign == FW_CALC_POSITIVE ? "above 0" : "0 or more");
}

static int check_value(const struct fw_calc_values *values, const struct fw_calc_input *input,
                       const struct fw_quantity *q, struct fw_error *err)
{
	if (!isfinite(q->value))
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "not a finite number");
	if (input->kind == FW_CALC_WHOLE &&
	    (q->value != floor(q->value) || fabs(q->value) > WHOLE_MOST))
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "a whole number is needed");
	if (input->kind == FW_CALC_WHOLE && q->count > 0)
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "a count has no ±");
	return check_sign(values, input, q, err);
}

static int copy_terms(struct fw_calc_item *item, const struct fw_quantity *q, struct fw_error *err)
{
	item->terms = NULL;
	item->count = 0;
	if (q->count == 0)
		return FW_OK;
	item->terms = malloc(q->count * sizeof item->terms[0]);
	if (!item->terms)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	memcpy(item->terms, q->terms, q->count * sizeof item->terms[0]);
	item->count = q->count;
	return FW_OK;
}

int fw_calc_set_quantity(struct fw_calc_values *values, const char *name,
                         const struct fw_quantity *q, struct fw_error *err)
{
	const struct fw_unit *unit = q->unit ? q->unit : fw_unit_si(q->dimension);
	const struct fw_calc_input *input;
	struct fw_calc_slot *slot;

	int code = fw_calc_input_wanted(&input, &slot, values, name, err);
	if (code == FW_OK && !takes_numbers(input))
		code = fail_at(values, input, err, FW_ERR_ARGUMENT, "takes no number");
	if (code == FW_OK && !unit)
		code = fail_at(values, input, err, FW_ERR_DIMENSION, "its unit isn't in the table");
	if (code == FW_OK)
		code = fw_calc_check_dimension(values, input, unit, err);
	if (code == FW_OK)
		code = check_value(values, input, q, err);
	if (code == FW_OK)
		code = make_room(values, input, slot, FW_CALC_ITEMS, err);
	if (code == FW_OK && !slot->view) {
		slot->view = malloc(sizeof *slot->view);
		if (!slot->view)
			code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
	}
	if (code != FW_OK)
		return code;
	struct fw_calc_item item = {.value = q->value, .unit = unit};
	code = copy_terms(&item, q, err);
	if (code != FW_OK)
		return code;
	slot->items[slot->count++] = item;
	slot->given = true;
	return FW_OK;
}

int fw_calc_set_number(struct fw_calc_values *values, const char *name, double value,
                       struct fw_error *err)
{
	const struct fw_calc_input *input;
	struct fw_calc_slot *slot;
	struct fw_quantity q;

	int code = fw_calc_input_wanted(&input, &slot, values, name, err);
	if (code != FW_OK)
		return code;
	if (input->kind == FW_CALC_QUANTITY || input->kind == FW_CALC_QUANTITIES)
		return fail_at(values, input, err, FW_ERR_DIMENSION, "the unit is missing");
	if (!isfinite(value))
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "not a finite number");
	q = fw_quantity_of(value, fw_unit_find("1", 1));
	return fw_calc_set_quantity(values, name, &q, err);
}

/* Capitals, blanks and hyphens don't tell choices apart: "Cast aluminium". */
static bool same_choice(const char *choice, const char *text, size_t length)
{
	for (size_t i = 0; i < length; i++) {
		bool apart = text[i] == ' ' || text[i] == '_' || text[i] == '-';
		if (apart != (choice[i] == ' ' || choice[i] == '-'))
			return false;
		if (!apart && fw_ascii_lower(text[i]) != fw_ascii_lower(choice[i]))
			return false;
	}
	return true;
}

/* The choice that is meant: its place, and its own spelling. */
static const char *find_choice(const struct fw_calc_input *input, const char *text, int *index,
                               size_t *length)
{
	const char *at = input->choices;

	*length = strlen(text);
	for (*index = 0; *at; (*index)++) {
		size_t span = strcspn(at, "|");
		if (span == *length && same_choice(at, text, span))
			return at;
		at += span + (at[span] == '|');
	}
	return NULL;
}

int fw_calc_set_text(struct fw_calc_values *values, const char *name, const char *text,
                     struct fw_error *err)
{
	const struct fw_calc_input *input;
	struct fw_calc_slot *slot;
	char where[160];

	int code = fw_calc_input_wanted(&input, &slot, values, name, err);
	if (code != FW_OK)
		return code;
	if (input->kind != FW_CALC_TEXT && input->kind != FW_CALC_CHOICE)
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "takes no text");
	if (slot->given)
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "given twice");
	if (text[0] == '\0' || strlen(text) > TEXT_MOST || !fw_utf8_check(text))
		return fail_at(values, input, err, FW_ERR_INPUT,
		               "a text that isn't empty, UTF-8, 4000 bytes at most, is needed");
	size_t length = strlen(text);
	const char *kept =
	    input->kind == FW_CALC_CHOICE ? find_choice(input, text, &slot->choice, &length) : text;
	if (!kept)
		return fw_fail(err, FW_ERR_INPUT, "%s: '%s' is none of %s",
		               fw_calc_where(values, input, where, sizeof where), text, input->choices);
	slot->text = strndup(kept, length);
	if (!slot->text)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	fw_text_one_line(slot->text);
	slot->given = true;
	return FW_OK;
}

int fw_calc_set_flag(struct fw_calc_values *values, const char *name, bool value,
                     struct fw_error *err)
{
	const struct fw_calc_input *input;
	struct fw_calc_slot *slot;

	int code = fw_calc_input_wanted(&input, &slot, values, name, err);
	if (code != FW_OK)
		return code;
	if (input->kind != FW_CALC_FLAG)
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "is no yes or no");
	if (slot->given)
		return fail_at(values, input, err, FW_ERR_ARGUMENT, "given twice");
	slot->choice = value;
	slot->given = true;
	return FW_OK;
}

int fw_calc_add_record(struct fw_calc_values **out, struct fw_calc_values *values, const char *name,
                       struct fw_error *err)
{
	const struct fw_calc_input *input;
	struct fw_calc_slot *slot;
	struct fw_calc_values *record;

	int code = fw_calc_input_wanted(&input, &slot, values, name, err);
	if (code == FW_OK && input->kind != FW_CALC_RECORDS)
		code = fail_at(values, input, err, FW_ERR_ARGUMENT, "takes no records");
	if (code == FW_OK)
		code = make_room(values, input, slot, FW_CALC_RECORDS_MOST, err);
	if (code == FW_OK)
		code = fw_calc_values_new(&record, input->fields, err);
	if (code != FW_OK)
		return code;
	record->parent = values;
	record->parent_name = input->name;
	record->parent_index = slot->count;
	slot->records[slot->count++] = record;
	slot->given = true;
	*out = record;
	return FW_OK;
}

void fw_calc_drop_record(struct fw_calc_values *values, const struct fw_calc_input *input)
{
	struct fw_calc_slot *slot;

	if (!fw_calc_input_find(values, input->name, &slot) || !slot->records || slot->count == 0)
		return;
	fw_calc_values_free(slot->records[--slot->count]);
	slot->given = slot->count > 0;
}
