/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The functions without a library: assert error ipairs pcall select tonumber tostring type. */
#include <math.h>
#include <string.h>

#include "script/sandbox_internal.h"

enum {
	NUMERAL_MAX = 200,      /* longest text that tonumber looks at */
	PCALL_DEPTH = 200,      /* calls under way in which pcall still works */
	LEVEL_MAX = 20,         /* of error: finding a level is a walk */
	CATCH_COST = 200,       /* units for an error caught */
	CODE_MAX = 1024 * 1024, /* bytes of the longest function that FW_BOX_SOURCE can make */
	CODE_PER_UNIT = 32
};

static const char *push_plain(lua_State *L, int index)
{
	switch (lua_type(L, index)) {
	case LUA_TNIL:
		return lua_pushliteral(L, "nil");
	case LUA_TBOOLEAN:
		return lua_pushstring(L, lua_toboolean(L, index) ? "true" : "false");
	case LUA_TNUMBER:
		if (isnan(lua_tonumber(L, index))) /* its sign differs between processors */
			return lua_pushliteral(L, "nan");
		lua_pushvalue(L, index);
		return lua_tostring(L, -1);
	case LUA_TSTRING:
		lua_pushvalue(L, index);
		return lua_tostring(L, -1);
	default:
		if (luaL_getmetafield(L, index, "__name") == LUA_TSTRING)
			return lua_tostring(L, -1);
		return lua_pushstring(L, luaL_typename(L, index));
	}
}

const char *fw_sandbox_tostring(lua_State *L, int index, size_t *length)
{
	luaL_checkstack(L, 4, NULL);
	/* Only the host sets metatables, so this is C that gives a text. */
	if (lua_type(L, index) == LUA_TSTRING || !luaL_callmeta(L, index, "__tostring"))
		push_plain(L, index);
	const char *text = lua_tolstring(L, -1, length);
	if (!text)
		luaL_error(L, "'__tostring' must return a string");
	return text;
}

/* assert(value [, message]): its arguments, or an error. */
static int base_assert(lua_State *L)
{
	luaL_checkany(L, 1);
	if (lua_toboolean(L, 1))
		return lua_gettop(L);
	if (lua_isnoneornil(L, 2))
		return luaL_error(L, "assertion failed");
	lua_settop(L, 2);
	if (lua_type(L, 2) == LUA_TSTRING) {
		luaL_where(L, 1);
		lua_insert(L, 2);
		lua_concat(L, 2);
	}
	return lua_error(L);
}

/* error(message [, level]) */
static int base_error(lua_State *L)
{
	lua_Integer level = luaL_optinteger(L, 2, 1);
	lua_settop(L, 1);
	if (lua_type(L, 1) == LUA_TSTRING && level > 0) {
		luaL_where(L, level > LEVEL_MAX ? LEVEL_MAX : (int)level);
		lua_pushvalue(L, 1);
		lua_concat(L, 2);
	}
	return lua_error(L);
}

static int next_item(lua_State *L)
{
	lua_Integer i = luaL_checkinteger(L, 2);
	i = luaL_intop(+, i, 1);
	lua_pushinteger(L, i);
	return lua_geti(L, 1, i) == LUA_TNIL ? 1 : 2;
}

/* ipairs(list) */
static int base_ipairs(lua_State *L)
{
	luaL_checktype(L, 1, LUA_TTABLE);
	lua_settop(L, 1);
	lua_pushcfunction(L, next_item);
	lua_insert(L, 1);
	lua_pushinteger(L, 0);
	return 3;
}

/* To name the variable at fault Lua reads through the function, however long; nothing counts that.
 */
static void charge_caught(lua_State *L, const struct fw_sandbox *box)
{
	size_t code = box->largest < CODE_MAX ? box->largest : CODE_MAX;
	fw_sandbox_charge(L, CATCH_COST + code / CODE_PER_UNIT);
}

static int finish_pcall(lua_State *L, int status, lua_KContext context)
{
	(void)context;
	struct fw_sandbox *box = fw_sandbox_of(L);
	if (status == LUA_ERRMEM)
		box->out_of_memory = true;
	if (fw_sandbox_over(box))
		return fw_sandbox_raise(L); /* not a script's to catch */
	if (status == LUA_OK || status == LUA_YIELD)
		return lua_gettop(L);
	charge_caught(L, box);
	lua_pushboolean(L, 0);
	lua_insert(L, -2);
	return 2;
}

/* pcall(f, ...): true and f's results, or false and the error. Steps may be asked inside f. */
static int base_pcall(lua_State *L)
{
	lua_Debug level;
	luaL_checkany(L, 1);
	/* Lua's own bound on C calls starts afresh after each error caught in a coroutine. */
	if (lua_getstack(L, PCALL_DEPTH, &level))
		return luaL_error(L, "pcall: more than %d calls deep", PCALL_DEPTH);
	lua_pushboolean(L, 1);
	lua_insert(L, 1);
	int status = lua_pcallk(L, lua_gettop(L) - 2, LUA_MULTRET, 0, 0, finish_pcall);
	return finish_pcall(L, status, 0);
}

/* select(n, ...) and select("#", ...) */
static int base_select(lua_State *L)
{
	int count = lua_gettop(L);
	if (lua_type(L, 1) == LUA_TSTRING && strcmp(lua_tostring(L, 1), "#") == 0) {
		lua_pushinteger(L, count - 1);
		return 1;
	}
	lua_Integer n = luaL_checkinteger(L, 1);
	if (n < 0)
		n = count + n;
	else if (n > count)
		n = count;
	luaL_argcheck(L, n >= 1, 1, "position out of range");
	return count - (int)n;
}

static int digit_of(char c)
{
	if (c >= '0' && c <= '9')
		return c - '0';
	if (c >= 'a' && c <= 'z')
		return c - 'a' + 10;
	if (c >= 'A' && c <= 'Z')
		return c - 'A' + 10;
	return 99;
}

/* Reads digits of `base`; false when anything else is there. */
static bool read_based(const char *text, int base, lua_Integer *out)
{
	lua_Unsigned value = 0;
	text += strspn(text, " \t\r\n");
	bool negative = *text == '-';
	text += negative;
	if (digit_of(*text) >= base)
		return false;
	for (; digit_of(*text) < base; text++)
		value = value * (lua_Unsigned)base + (lua_Unsigned)digit_of(*text);
	text += strspn(text, " \t\r\n");
	*out = (lua_Integer)(negative ? 0U - value : value);
	return *text == '\0';
}

static int tonumber_based(lua_State *L)
{
	lua_Integer base = luaL_checkinteger(L, 2);
	lua_Integer value;
	luaL_checktype(L, 1, LUA_TSTRING);
	luaL_argcheck(L, base >= 2 && base <= 36, 2, "base out of range");
	if (lua_rawlen(L, 1) > NUMERAL_MAX || strlen(lua_tostring(L, 1)) != lua_rawlen(L, 1) ||
	    !read_based(lua_tostring(L, 1), (int)base, &value))
		return luaL_pushfail(L), 1;
	lua_pushinteger(L, value);
	return 1;
}

/* tonumber(value [, base]): a number, or nil when it isn't one. */
static int base_tonumber(lua_State *L)
{
	if (!lua_isnoneornil(L, 2))
		return tonumber_based(L);
	luaL_checkany(L, 1);
	lua_settop(L, 1);
	if (lua_type(L, 1) == LUA_TNUMBER)
		return 1;
	size_t length = lua_rawlen(L, 1);
	if (lua_type(L, 1) == LUA_TSTRING && length <= NUMERAL_MAX &&
	    lua_stringtonumber(L, lua_tostring(L, 1)) == length + 1)
		return 1;
	luaL_pushfail(L);
	return 1;
}

/* tostring(value): a text without addresses. */
static int base_tostring(lua_State *L)
{
	luaL_checkany(L, 1);
	fw_sandbox_tostring(L, 1, NULL);
	return 1;
}

/* type(value): Lua's word for it, and "quantity", "unit" … for the room's own kinds. */
static int base_type(lua_State *L)
{
	luaL_checkany(L, 1);
	if (luaL_getmetafield(L, 1, "__name") != LUA_TSTRING)
		lua_pushstring(L, luaL_typename(L, 1));
	return 1;
}

void fw_sandbox_open_base(lua_State *L)
{
	static const luaL_Reg functions[] = {
	    {"assert", base_assert}, {"error", base_error},       {"ipairs", base_ipairs},
	    {"pcall", base_pcall},   {"select", base_select},     {"tonumber", base_tonumber},
	    {"type", base_type},     {"tostring", base_tostring}, {NULL, NULL},
	};
	for (const luaL_Reg *f = functions; f->name; f++) {
		lua_pushcfunction(L, f->func);
		fw_sandbox_define(L, f->name);
	}
}
