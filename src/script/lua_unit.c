/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units as Lua values, and the names they have in a procedure. */
#include <string.h>

#include <lauxlib.h>

#include "script/lua_quantity.h"
#include "script/lua_quantity_internal.h"
#include "script/sandbox.h"

#define KIND "unit"

/* What the userdata holds. */
struct value {
	const struct fw_unit *unit;
};

/* Names that Lua can spell, and what fw_unit_find() calls them. */
static const struct {
	const char *name, *unit;
} names[] = {
    {"mm", "mm"},         {"um", "um"},         {"cm", "cm"},         {"m", "m"},
    {"inch", "in"},       {"thou", "thou"},     {"ft", "ft"},         {"Nm", "N·m"},
    {"Ncm", "N·cm"},      {"lbf_ft", "lbf·ft"}, {"lbf_in", "lbf·in"}, {"kgf_m", "kgf·m"},
    {"kgf_cm", "kgf·cm"}, {"N", "N"},           {"kN", "kN"},         {"lbf", "lbf"},
    {"kgf", "kgf"},       {"kg", "kg"},         {"g", "g"},           {"lb", "lb"},
    {"oz", "oz"},         {"degC", "°C"},       {"degF", "°F"},       {"K", "K"},
    {"deg", "°"},         {"arcmin", "arcmin"}, {"turn", "turn"},     {"rad", "rad"},
    {"s", "s"},           {"min", "min"},       {"h", "h"},           {"bar", "bar"},
    {"psi", "psi"},       {"kPa", "kPa"},       {"MPa", "MPa"},       {"ml", "ml"},
    {"cc", "cc"},         {"L", "L"},           {"rpm", "rpm"},       {"N_per_mm", "N/mm"},
    {"percent", "%"},     {"Hz", "Hz"},
};

void fw_lua_unit_push(lua_State *L, const struct fw_unit *unit)
{
	luaL_checkstack(L, 3, NULL);
	struct value *value = lua_newuserdatauv(L, sizeof *value, 0);
	value->unit = unit;
	luaL_setmetatable(L, KIND);
}

const struct fw_unit *fw_lua_unit_get(lua_State *L, int index)
{
	const struct value *value = luaL_testudata(L, index, KIND);
	return value ? value->unit : NULL;
}

/* The text at index 2, to its end. */
static int parse_text(struct fw_quantity *out, lua_State *L, const struct fw_unit *unit,
                      struct fw_error *error)
{
	size_t length;
	const char *text = lua_tolstring(L, 2, &length);

	fw_sandbox_charge(L, length);
	if (strlen(text) != length)
		return fw_fail(error, FW_ERR_INPUT, "%s: the text holds a zero byte", unit->symbol);
	return fw_quantity_parse(out, text, unit, error);
}

/* unit(number) and unit "as typed": a quantity. */
static int unit_call(lua_State *L)
{
	const struct fw_unit *unit = fw_lua_unit_get(L, 1);
	struct fw_quantity q;
	struct fw_error error = {0};
	int code;

	fw_sandbox_charge(L, 20);
	if (!unit)
		return luaL_error(L, "a unit was expected");
	if (lua_gettop(L) != 2)
		return luaL_error(L, "%s: give one number, or one text as typed", unit->symbol);
	if (lua_type(L, 2) == LUA_TSTRING)
		code = parse_text(&q, L, unit, &error);
	else if (lua_type(L, 2) == LUA_TNUMBER)
		code = fw_quantity_make(&q, lua_tonumber(L, 2), unit, &error);
	else
		return luaL_error(L, "%s: a number or a text was expected, not a %s", unit->symbol,
		                  fw_lua_kind(L, 2));
	if (code)
		return luaL_error(L, "%s", error.text);
	fw_lua_quantity_push(L, &q);
	return 1;
}

static int unit_eq(lua_State *L)
{
	const struct fw_unit *a = fw_lua_unit_get(L, 1), *b = fw_lua_unit_get(L, 2);
	lua_pushboolean(L, a && a == b);
	return 1;
}

static int unit_tostring(lua_State *L)
{
	const struct fw_unit *unit = fw_lua_unit_get(L, 1);
	lua_pushstring(L, unit ? unit->symbol : KIND);
	return 1;
}

static int unit_index(lua_State *L)
{
	return luaL_error(L, "a unit has no fields; call it with a number: mm(3)");
}

void fw_lua_unit_open(lua_State *L)
{
	static const luaL_Reg meta[] = {
	    {"__call", unit_call},       {"__eq", unit_eq},       {"__tostring", unit_tostring},
	    {"__concat", fw_lua_concat}, {"__index", unit_index}, {NULL, NULL},
	};
	luaL_newmetatable(L, KIND);
	luaL_setfuncs(L, meta, 0);
	lua_pushboolean(L, 0);
	lua_setfield(L, -2, "__metatable");
	lua_pop(L, 1);

	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
		const struct fw_unit *unit = fw_unit_find(names[i].unit, strlen(names[i].unit));
		if (!unit)
			luaL_error(L, "no unit '%s'", names[i].unit);
		fw_lua_unit_push(L, unit);
		fw_sandbox_define(L, names[i].name);
	}
}
