/* SPDX-License-Identifier: GPL-3.0-or-later */
/* table: each loop pays for its turns, because the length of a table can be a lie. */
#include <string.h>

#include <lualib.h>

#include "script/sandbox_internal.h"

/* The length of a table that may be written to: no stand-in, no value of the host's. */
static lua_Integer own_length(lua_State *L, int index)
{
	luaL_checktype(L, index, LUA_TTABLE);
	if (lua_getmetatable(L, index)) {
		luaL_argerror(L, index, "read-only");
		lua_pop(L, 1);
	}
	return (lua_Integer)lua_rawlen(L, index);
}

/* The length of a table that is only read. */
static lua_Integer any_length(lua_State *L, int index)
{
	luaL_checktype(L, index, LUA_TTABLE);
	return luaL_len(L, index);
}

static void charge_span(lua_State *L, lua_Integer from, lua_Integer to)
{
	if (to >= from)
		fw_sandbox_charge(L, (lua_Unsigned)to - (lua_Unsigned)from + 1);
}

/* insert(list [, position], value) */
static int table_insert(lua_State *L)
{
	fw_sandbox_charge_arguments(L);
	lua_Integer last = luaL_intop(+, own_length(L, 1), 1);
	lua_Integer at = last;

	if (lua_gettop(L) == 3) {
		at = luaL_checkinteger(L, 2);
		luaL_argcheck(L, at >= 1 && at <= last, 2, "position out of bounds");
	} else if (lua_gettop(L) != 2) {
		return luaL_error(
		    L, "table.insert: give a list and a value, or a list, a position and a value");
	}
	charge_span(L, at, last);
	for (lua_Integer i = last; i > at; i--) {
		lua_rawgeti(L, 1, i - 1);
		lua_rawseti(L, 1, i);
	}
	lua_rawseti(L, 1, at);
	return 0;
}

/* remove(list [, position]): what was there. */
static int table_remove(lua_State *L)
{
	fw_sandbox_charge_arguments(L);
	lua_Integer size = own_length(L, 1);
	lua_Integer at = luaL_optinteger(L, 2, size);

	if (lua_gettop(L) > 1 && size != at)
		luaL_argcheck(L, at >= 1 && at <= luaL_intop(+, size, 1), 2, "position out of bounds");
	charge_span(L, at, size);
	lua_rawgeti(L, 1, at);
	for (; at < size; at++) {
		lua_rawgeti(L, 1, at + 1);
		lua_rawseti(L, 1, at);
	}
	if (at > 0 || size > 0) {
		lua_pushnil(L);
		lua_rawseti(L, 1, at);
	}
	return 1;
}

/* unpack(list [, from [, to]]) */
static int table_unpack(lua_State *L)
{
	fw_sandbox_charge_arguments(L);
	lua_Integer from = luaL_optinteger(L, 2, 1);
	lua_Integer to = lua_isnoneornil(L, 3) ? any_length(L, 1) : luaL_checkinteger(L, 3);
	luaL_checktype(L, 1, LUA_TTABLE);
	if (from > to)
		return 0;
	lua_Unsigned count = (lua_Unsigned)to - (lua_Unsigned)from;
	if (count >= FW_BOX_ARGUMENTS)
		return luaL_error(L, "table.unpack: more than %d results", FW_BOX_ARGUMENTS);
	luaL_checkstack(L, (int)count + 1, NULL);
	for (lua_Unsigned i = 0; i <= count; i++)
		lua_geti(L, 1, (lua_Integer)((lua_Unsigned)from + i));
	return (int)count + 1;
}

/* pack(...): a list with its count in n. */
static int table_pack(lua_State *L)
{
	int count = lua_gettop(L);
	lua_createtable(L, count, 1);
	lua_insert(L, 1);
	for (int i = count; i >= 1; i--)
		lua_rawseti(L, 1, i);
	lua_pushinteger(L, count);
	lua_setfield(L, 1, "n");
	return 1;
}

/* move(from, first, last, at [, to]) */
static int table_move(lua_State *L)
{
	fw_sandbox_charge_arguments(L);
	lua_Integer first = luaL_checkinteger(L, 2), last = luaL_checkinteger(L, 3);
	lua_Integer at = luaL_checkinteger(L, 4);
	int target = lua_isnoneornil(L, 5) ? 1 : 5;

	luaL_checktype(L, 1, LUA_TTABLE);
	own_length(L, target);
	charge_span(L, first, last);
	if (last >= first) {
		lua_Integer count = last - first; /* small: it has been paid for */
		luaL_argcheck(L, at <= LUA_MAXINTEGER - count, 4, "position out of range");
		bool upwards = at > last || at <= first || (target != 1 && !lua_rawequal(L, 1, target));
		for (lua_Integer i = 0; i <= count; i++) {
			lua_Integer step = upwards ? i : count - i;
			lua_geti(L, 1, first + step);
			lua_rawseti(L, target, at + step);
		}
	}
	lua_pushvalue(L, target);
	return 1;
}

/* concat(list [, separator [, from [, to]]]) */
static int table_concat(lua_State *L)
{
	fw_sandbox_charge_arguments(L);
	size_t gap;
	const char *separator = luaL_optlstring(L, 2, "", &gap);
	lua_Integer from = luaL_optinteger(L, 3, 1);
	lua_Integer to = lua_isnoneornil(L, 4) ? any_length(L, 1) : luaL_checkinteger(L, 4);
	luaL_Buffer buffer;

	luaL_checktype(L, 1, LUA_TTABLE);
	charge_span(L, from, to);
	lua_settop(L, 2);
	luaL_buffinit(L, &buffer);
	for (lua_Integer i = from; i <= to; i++) {
		lua_geti(L, 1, i);
		if (luaL_getmetafield(L, -1, "__tostring")) {
			lua_pop(L, 1);
			fw_sandbox_tostring(L, -1, NULL);
			lua_remove(L, -2);
		}
		if (!lua_isstring(L, -1))
			return luaL_error(L, "table.concat: item %I is a %s", (LUAI_UACINT)i,
			                  luaL_typename(L, -1));
		luaL_addvalue(&buffer);
		if (i < to)
			luaL_addlstring(&buffer, separator, gap);
		if (luaL_bufflen(&buffer) > FW_BOX_STRING)
			return luaL_error(L, "table.concat: the result is longer than %d KiB",
			                  FW_BOX_STRING / 1024);
		if (i == LUA_MAXINTEGER)
			break;
	}
	luaL_pushresult(&buffer);
	return 1;
}

void fw_sandbox_open_table(lua_State *L)
{
	static const luaL_Reg own[] = {
	    {"insert", table_insert},  {"remove", table_remove},
	    {"unpack", table_unpack},  {"pack", table_pack},
	    {"move", table_move},      {"concat", table_concat},
	    {"sort", fw_sandbox_sort}, {NULL, NULL},
	};
	lua_newtable(L);
	luaL_setfuncs(L, own, 0);
	fw_sandbox_define_library(L, "table");
}
