/* SPDX-License-Identifier: GPL-3.0-or-later */
/* check: a value against its limits. */
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "gauge_ratio.h"
#include "json.h"
#include "lua_quantity.h"

static const struct fw_word *const words = fw_words_checks;

const char *fw_check_name(lua_State *L)
{
	const char *name = fw_words_text(L, 1, "name");

	return name ? name : fw_words_text(L, 1, "id");
}

const struct fw_figure_limits *fw_check_limits(lua_State *L)
{
	lua_getfield(L, 1, "limits");
	const struct fw_figure_limits *limits = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	lua_pop(L, 1); /* the call's table still holds it */
	return limits;
}

bool fw_check_can_measure(lua_State *L)
{
	bool can = lua_getfield(L, 1, "value") == LUA_TFUNCTION;

	lua_pop(L, 1);
	return can;
}

/* The value in words; the verdict stands beside it, and faces and reports show it in their own way.
 */
void fw_check_push_value(lua_State *L, const struct fw_check *check)
{
	struct fw_quantity shown = check->value;
	char text[64];

	shown.unit = fw_check_limits(L)->unit;
	lua_pushfstring(L, "%s: %s", fw_check_name(L),
	                fw_quantity_text(&shown, true, text, sizeof text));
}

static void find_verdict(lua_State *L, const struct fw_check *check)
{
	const struct fw_conformity *verdict = &check->verdict;
	const struct fw_figure_limits *limits = fw_check_limits(L);

	lua_getfield(L, 1, "limits");
	const struct fw_figure_source *source = fw_figure_source(L, -1);
	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", "verdict");
	fw_words_put_text(L, ask, "name", fw_check_name(L));
	fw_words_put(L, ask, "value", fw_json_quantity(&check->value));
	fw_words_put(L, ask, "limits", fw_figure_limits_json(limits, source));
	fw_words_put(L, ask, "rule", json_pack("{s:f}", "probability", FW_CONFORMANCE));
	if (fw_words_script(L)->host.rules > 1 && fw_words_flag(L, 1, "found"))
		fw_words_put(L, ask, "found", json_true());
	json_t *out = fw_words_object(L);
	fw_words_put_text(L, out, "verdict", fw_verdict_name(verdict->verdict));
	fw_words_put(L, out, "probability", json_real(verdict->probability));
	fw_words_put(L, out, "margin", fw_json_span(verdict->margin, limits->unit));
	if (fw_words_script(L)->host.rules > 1)
		fw_gauge_ratio_put(L, out, &check->value, &limits->si);
	fw_check_push_value(L, check);
	fw_words_put_text(L, out, "text", lua_tostring(L, -1));
	lua_pop(L, 1);
	fw_words_find(L, fw_words_text(L, 1, "id"), -2, -1);
}

static void set_flag(lua_State *L, const char *key, bool flag)
{
	lua_pushboolean(L, flag);
	lua_setfield(L, -2, key);
}

void fw_check_push_outcome(lua_State *L, const struct fw_check *check, bool conceded)
{
	enum fw_verdict verdict = check->verdict.verdict;

	lua_createtable(L, 0, 7);
	lua_pushstring(L, fw_verdict_name(verdict));
	lua_setfield(L, -2, "verdict");
	set_flag(L, "within", verdict == FW_WITHIN);
	set_flag(L, "outside", verdict == FW_OUTSIDE);
	set_flag(L, "doubtful", verdict == FW_DOUBTFUL);
	if (fw_words_script(L)->host.rules > 1) {
		set_flag(L, "accepted", verdict == FW_WITHIN || conceded);
		set_flag(L, "conceded", conceded);
	}
	lua_pushnumber(L, check->verdict.probability);
	lua_setfield(L, -2, "probability");
	fw_sandbox_guard(L, "check");
}

/* The value is in the check: what comes of it. */
static int judge(lua_State *L, struct fw_check *check)
{
	const struct fw_figure_limits *limits = fw_check_limits(L);
	const struct fw_quantity *value = &check->value;
	struct fw_error error = {0};

	if (!fw_dimension_equal(value->dimension, limits->unit->dimension)) {
		char left[64], right[64];
		return fw_words_error(L, "check", 1, "the value is a %s, the limits are a %s",
		                      fw_dimension_name(value->dimension, left, sizeof left),
		                      fw_dimension_name(limits->unit->dimension, right, sizeof right));
	}
	if (fw_conform(&check->verdict, value->value, fw_quantity_u(value), fw_quantity_freedom(value),
	               &limits->si, FW_CONFORMANCE, &error) != FW_OK)
		return fw_words_error(L, "check", 1, "%s", error.text);
	find_verdict(L, check);
	lua_settop(L, 2);
	if (fw_words_script(L)->host.rules > 1 && check->verdict.verdict != FW_WITHIN &&
	    !fw_words_flag(L, 1, "found")) {
		fw_check_open(L);
		return fw_check_stop(L);
	}
	if (check->verdict.verdict == FW_WITHIN) /* as found, nothing is set right */
		fw_check_settle(L);
	fw_check_push_outcome(L, check, false);
	return 1;
}

static int after_value(lua_State *L, int status, lua_KContext state)
{
	struct fw_check *check = lua_touserdata(L, 2);

	(void)status;
	(void)state;
	lua_settop(L, 3);
	if (!fw_lua_quantity_get(L, 3, &check->value))
		return fw_words_error(L, "check", 1,
		                      "'value' is a function that returned a %s, not a quantity",
		                      luaL_typename(L, 3));
	lua_settop(L, 2);
	return judge(L, check);
}

int fw_check_measure(lua_State *L)
{
	if (lua_getfield(L, 1, "value") == LUA_TFUNCTION)
		lua_callk(L, 0, 1, 0, after_value);
	return after_value(L, LUA_OK, 0);
}

static int run_check(lua_State *L)
{
	fw_words_check(L, words);
	if (fw_words_script(L)->host.rules == 1 && fw_check_can_measure(L))
		return fw_words_error(L, "check", 1, "the field 'value' must be a quantity");
	struct fw_check *check = lua_newuserdatauv(L, sizeof *check, 0);
	memset(check, 0, sizeof *check);
	return fw_check_measure(L);
}

/* The table. */

static const struct fw_field check_fields[] = {
    {"id", FW_FIELD_ID, true, "name of the check, its own in the procedure"},
    {"value", FW_FIELD_VALUE, true, "the value, with its uncertainty; or what measures it"},
    {"limits", FW_FIELD_LIMITS, true, "the limits"},
    {"name", FW_FIELD_TEXT, false, "what is checked, in words; the id when left out"},
    {"found", FW_FIELD_FLAG, false, "as found: recorded, and never stops the work"},
    {"concession", FW_FIELD_TEXT, false, "as what a person signs who concedes it; \"concession\""},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_checks[] = {{"check",
                                           "A value against its limits; returns verdict, within, "
                                           "outside, doubtful, probability, accepted, "
                                           "conceded.",
                                           run_check, check_fields, NULL, false},
                                          {NULL, NULL, NULL, NULL, NULL, false}};
