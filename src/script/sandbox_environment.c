/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The names a script sees: read-only stand-ins that complain about misspelt names. */
#include <string.h>

#include "script/sandbox_internal.h"

static const char original_key = 0; /* its address is the key, unknown to scripts */

/* Pushes "name.key" or "key" for a message. */
static const char *full_name(lua_State *L, const char *room, int key)
{
	const char *text = fw_sandbox_tostring(L, key, NULL);
	return room[0] ? lua_pushfstring(L, "%s.%s", room, text) : text;
}

static const char *room_of(lua_State *L)
{
	return lua_tostring(L, lua_upvalueindex(1));
}

/* __index of the original: the name isn't there. Positions past the end of a list are nil as ever.
 */
static int miss(lua_State *L)
{
	if (lua_type(L, 2) == LUA_TNUMBER)
		return 0;
	return luaL_error(L, "unknown name '%s'", full_name(L, room_of(L), 2));
}

static int refuse_change(lua_State *L)
{
	const char *room = room_of(L);
	const char *name = full_name(L, room, 2);
	if (room[0])
		return luaL_error(L, "'%s' can't be changed: '%s' is read-only", name, room);
	return luaL_error(L, "'%s' can't be set here: write 'local %s', or choose another name", name,
	                  name);
}

static int length(lua_State *L)
{
	lua_pushinteger(L, (lua_Integer)lua_rawlen(L, lua_upvalueindex(1)));
	return 1;
}

static void set_guard(lua_State *L, const char *field, lua_CFunction function, const char *name)
{
	lua_pushstring(L, name);
	lua_pushcclosure(L, function, 1);
	lua_setfield(L, -2, field);
}

void fw_sandbox_guard(lua_State *L, const char *name)
{
	lua_createtable(L, 0, 2);
	set_guard(L, "__index", miss, name);
	lua_pushboolean(L, 0);
	lua_setfield(L, -2, "__metatable");
	lua_setmetatable(L, -2);
}

void fw_sandbox_read_only(lua_State *L, const char *name)
{
	luaL_checkstack(L, 6, NULL);
	fw_sandbox_guard(L, name);

	lua_newtable(L); /* the stand-in, empty */
	lua_createtable(L, 0, 5);
	lua_pushvalue(L, -3);
	lua_setfield(L, -2, "__index");
	lua_pushvalue(L, -3);
	lua_rawsetp(L, -2, &original_key);
	lua_pushvalue(L, -3);
	lua_pushcclosure(L, length, 1);
	lua_setfield(L, -2, "__len");
	set_guard(L, "__newindex", refuse_change, name);
	lua_pushboolean(L, 0);
	lua_setfield(L, -2, "__metatable");
	lua_setmetatable(L, -2);
	lua_remove(L, -2);
}

bool fw_sandbox_push_original(lua_State *L, int index)
{
	if (!lua_getmetatable(L, index))
		return false;
	lua_rawgetp(L, -1, &original_key);
	lua_remove(L, -2);
	if (lua_istable(L, -1))
		return true;
	lua_pop(L, 1);
	return false;
}

/* Made on first use: the stand-in takes the place of Lua's own table of globals, which lua_load()
 * hands to each chunk. */
static void push_environment(lua_State *L)
{
	lua_rawgeti(L, LUA_REGISTRYINDEX, LUA_RIDX_GLOBALS);
	if (fw_sandbox_push_original(L, -1)) {
		lua_remove(L, -2);
		return;
	}
	lua_pop(L, 1);
	lua_newtable(L);
	lua_pushvalue(L, -1);
	fw_sandbox_read_only(L, "");
	lua_rawseti(L, LUA_REGISTRYINDEX, LUA_RIDX_GLOBALS);
}

void fw_sandbox_define(lua_State *L, const char *name)
{
	luaL_checkstack(L, 8, NULL);
	push_environment(L);
	lua_insert(L, -2);
	lua_pushstring(L, name);
	lua_insert(L, -2);
	lua_rawset(L, -3);
	lua_pop(L, 1);
}

void fw_sandbox_define_library(lua_State *L, const char *name)
{
	fw_sandbox_read_only(L, name);
	fw_sandbox_define(L, name);
}

void fw_sandbox_charge_arguments(lua_State *L)
{
	uint64_t units = 1;
	for (int i = lua_gettop(L); i > 0; i--)
		if (lua_type(L, i) == LUA_TSTRING)
			units += lua_rawlen(L, i) / 8;
	fw_sandbox_charge(L, units);
}

/* A function of Lua's own libraries behind a charge. */
static int charged(lua_State *L)
{
	fw_sandbox_charge_arguments(L);
	return lua_tocfunction(L, lua_upvalueindex(1))(L);
}

void fw_sandbox_borrow(lua_State *L, lua_CFunction open, const char *const *names)
{
	lua_pushcfunction(L, open);
	lua_call(L, 0, 1);
	for (; *names; names++) {
		lua_getfield(L, -1, *names);
		if (lua_iscfunction(L, -1))
			lua_pushcclosure(L, charged, 1);
		lua_setfield(L, -3, *names);
	}
	lua_pop(L, 1);
}
