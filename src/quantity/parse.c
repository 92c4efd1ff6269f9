/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a person types at a prompt, as a quantity. */
#include "quantity/parse.h"

#include <stdio.h>
#include <string.h>

#include "quantity/dimension.h"
#include "quantity/text.h"

/* Longer than anything a person types for one reading. */
#define TYPED_MOST 200

/* Shown in messages. */
#define SHOWN 64

struct typed_text {
	const char *start, *end; /* without white space around */
};

static int refuse(const struct typed_text *text, const char *at, const char *why,
                  struct fw_error *err)
{
	char whole[SHOWN];
	char rest[SHOWN];

	fw_text_clip(text->start, text->end, whole, sizeof whole);
	if (!at || at == text->start || at == text->end)
		return fw_fail(err, FW_ERR_INPUT, "can't read \"%s\": %s", whole, why);
	fw_text_clip(at, text->end, rest, sizeof rest);
	return fw_fail(err, FW_ERR_INPUT, "can't read \"%s\" from \"%s\" on: %s", whole, rest, why);
}

/* "write mm, thou, in …": the units of a dimension, as many as fit. */
static const char *list_units(const struct fw_unit *like, char *buffer, size_t size)
{
	size_t count;
	const struct fw_unit *units = fw_units(&count);
	size_t used = 0;

	snprintf(buffer, size, "add one, such as mm, in or N·m");
	if (!like)
		return buffer;
	for (size_t i = 0; i < count && used < size; i++) {
		if (fw_dimension_equal(units[i].dimension, like->dimension))
			used += (size_t)snprintf(buffer + used, size - used, "%s %s", used ? "," : "write",
			                         units[i].symbol);
	}
	return buffer;
}

static int unknown_unit(const struct typed_text *text, const char *at,
                        const struct fw_unit *fallback, struct fw_error *err)
{
	char units[128];
	char why[192];
	const char *refusal = fw_unit_refusal(at, (size_t)(text->end - at));

	if (refusal)
		return refuse(text, at, refusal, err);
	snprintf(why, sizeof why, "no such unit; %s", list_units(fallback, units, sizeof units));
	return refuse(text, at, why, err);
}

static int wrong_dimension(const struct fw_unit *unit, const struct fw_unit *fallback,
                           struct fw_error *err)
{
	char typed[48];
	char asked[48];

	return fw_fail(err, FW_ERR_DIMENSION, "%s is a unit of %s, but a %s in %s is asked for",
	               unit->symbol, fw_dimension_name(unit->dimension, typed, sizeof typed),
	               fw_dimension_name(fallback->dimension, asked, sizeof asked), fallback->symbol);
}

/* The unit typed from `at` on, or the prompt's. */
static int take_unit(const struct fw_unit **out, const struct typed_text *text, const char *at,
                     const struct fw_unit *fallback, struct fw_error *err)
{
	if (at == text->end) {
		*out = fallback;
		return fallback ? FW_OK : refuse(text, at, "the unit is missing; add one, such as mm", err);
	}
	/* "5 1" is no 5 of the unit 1 */
	bool digit = *at >= '0' && *at <= '9';
	const struct fw_unit *unit =
	    digit ? NULL : fw_unit_find_for(at, (size_t)(text->end - at), fallback);
	if (!unit)
		return unknown_unit(text, at, fallback, err);
	if (fallback && !fw_dimension_equal(unit->dimension, fallback->dimension))
		return wrong_dimension(unit, fallback, err);
	if (fallback && fw_unit_is_scale(unit) && !fw_unit_is_scale(fallback))
		return fw_fail(err, FW_ERR_DIMENSION,
		               "%s is a point on a scale, but a difference in %s is asked for",
		               unit->symbol, fallback->symbol);
	*out = unit;
	return FW_OK;
}

/* Kelvins typed where a scale is asked for are a point on it: kelvins alone mean a difference. */
static void settle_on_scale(struct fw_quantity *q, const struct fw_unit *fallback)
{
	if (fw_unit_is_scale(fallback) && !fw_unit_is_scale(q->unit))
		q->unit = fallback;
}

int fw_quantity_parse(struct fw_quantity *out, const char *text, const struct fw_unit *fallback,
                      struct fw_error *err)
{
	struct typed_text typed = {text, NULL};
	const struct fw_unit *unit = NULL;
	double value = 0;

	if (!text)
		return fw_fail(err, FW_ERR_ARGUMENT, "no text to read");
	size_t length = strnlen(text, TYPED_MOST + 1);
	if (length > TYPED_MOST)
		return fw_fail(err, FW_ERR_INPUT, "can't read more than %d characters as one reading",
		               TYPED_MOST);
	typed.end = text + length;
	fw_text_skip_space(&typed.start, typed.end);
	typed.end = fw_text_trim_end(typed.start, typed.end);
	if (typed.start == typed.end)
		return fw_fail(err, FW_ERR_INPUT, "nothing was typed; a number is needed");

	const char *at = typed.start;
	const char *why = fw_parse_number(&value, &at, typed.end);
	if (why)
		return refuse(&typed, at, why, err);
	fw_text_skip_space(&at, typed.end);
	int code = take_unit(&unit, &typed, at, fallback, err);
	if (code != FW_OK)
		return code;

	struct fw_error reason = {0};
	struct fw_quantity q;
	if (fw_quantity_make(&q, value, unit, &reason) != FW_OK)
		return refuse(&typed, NULL, reason.text, err);
	if (fallback)
		settle_on_scale(&q, fallback);
	*out = q;
	return FW_OK;
}
