/* SPDX-License-Identifier: GPL-3.0-or-later */
/* check: a value against its limits. */
#include <stdio.h>
#include <string.h>

#include "figures.h"
#include "fitwright/conform.h"
#include "json.h"
#include "words.h"

static const struct fw_word *const words = fw_words_checks;

/* The value in words; the verdict stands beside it, and faces and reports show it in their own way.
 */
static void push_verdict_text(lua_State *L, const char *name, const struct fw_quantity *value,
                              const struct fw_figure_limits *limits)
{
	struct fw_quantity shown = *value;
	char text[64];

	shown.unit = limits->unit;
	lua_pushfstring(L, "%s: %s", name, fw_quantity_text(&shown, true, text, sizeof text));
}

static void find_verdict(lua_State *L, const char *step, const struct fw_quantity *value,
                         const struct fw_conformity *verdict)
{
	lua_getfield(L, 1, "limits");
	const struct fw_figure_limits *limits = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	const struct fw_figure_source *source = fw_figure_source(L, -1);
	const char *name = fw_words_text(L, 1, "name");

	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", "verdict");
	fw_words_put_text(L, ask, "name", name ? name : step);
	fw_words_put(L, ask, "value", fw_json_quantity(value));
	fw_words_put(L, ask, "limits", fw_figure_limits_json(limits, source));
	fw_words_put(L, ask, "rule", json_pack("{s:f}", "probability", FW_CONFORMANCE));
	json_t *out = fw_words_object(L);
	fw_words_put_text(L, out, "verdict", fw_verdict_name(verdict->verdict));
	fw_words_put(L, out, "probability", json_real(verdict->probability));
	fw_words_put(L, out, "margin", fw_json_span(verdict->margin, limits->unit));
	push_verdict_text(L, name ? name : step, value, limits);
	fw_words_put_text(L, out, "text", lua_tostring(L, -1));
	fw_words_find(L, step, -3, -2);
}

static void push_outcome(lua_State *L, const struct fw_conformity *verdict)
{
	lua_createtable(L, 0, 5);
	lua_pushstring(L, fw_verdict_name(verdict->verdict));
	lua_setfield(L, -2, "verdict");
	lua_pushboolean(L, verdict->verdict == FW_WITHIN);
	lua_setfield(L, -2, "within");
	lua_pushboolean(L, verdict->verdict == FW_OUTSIDE);
	lua_setfield(L, -2, "outside");
	lua_pushboolean(L, verdict->verdict == FW_DOUBTFUL);
	lua_setfield(L, -2, "doubtful");
	lua_pushnumber(L, verdict->probability);
	lua_setfield(L, -2, "probability");
	fw_sandbox_guard(L, "check");
}

static int run_check(lua_State *L)
{
	struct fw_quantity value;
	struct fw_conformity verdict;
	struct fw_error error = {0};

	fw_words_check(L, words);
	fw_words_quantity(L, 1, "value", &value);
	lua_getfield(L, 1, "limits");
	const struct fw_figure_limits *limits = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	if (!fw_dimension_equal(value.dimension, limits->unit->dimension)) {
		char left[64], right[64];
		return fw_words_error(L, "check", 1, "the value is a %s, the limits are a %s",
		                      fw_dimension_name(value.dimension, left, sizeof left),
		                      fw_dimension_name(limits->unit->dimension, right, sizeof right));
	}
	if (fw_conform(&verdict, value.value, fw_quantity_u(&value), fw_quantity_freedom(&value),
	               &limits->si, FW_CONFORMANCE, &error) != FW_OK)
		return fw_words_error(L, "check", 1, "%s", error.text);
	find_verdict(L, fw_words_text(L, 1, "id"), &value, &verdict);
	push_outcome(L, &verdict);
	return 1;
}

/* The table. */

static const struct fw_field check_fields[] = {
    {"id", FW_FIELD_ID, true, "name of the check, its own in the procedure"},
    {"value", FW_FIELD_QUANTITY, true, "the value, with its uncertainty"},
    {"limits", FW_FIELD_LIMITS, true, "the limits"},
    {"name", FW_FIELD_TEXT, false, "what is checked, in words; the id when left out"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_checks[] = {
    {"check",
     "A value against its limits; returns verdict, within, outside, doubtful, probability.",
     run_check, check_fields, NULL, false},
    {NULL, NULL, NULL, NULL, NULL, false}};
