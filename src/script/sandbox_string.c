/* SPDX-License-Identifier: GPL-3.0-or-later */
/* string and utf8, without patterns: their backtracking has no bound. */
#include <stdio.h>
#include <string.h>

#include <lualib.h>

#include "script/sandbox_internal.h"

enum { BYTES_PER_UNIT = 16 };

/* rep(s, n [, separator]) */
static int string_rep(lua_State *L)
{
	size_t length, gap;
	fw_sandbox_charge_arguments(L);
	const char *s = luaL_checklstring(L, 1, &length);
	lua_Integer n = luaL_checkinteger(L, 2);
	const char *between = luaL_optlstring(L, 3, "", &gap);

	if (n <= 0)
		return lua_pushliteral(L, ""), 1;
	if (length + gap == 0)
		return lua_pushliteral(L, ""), 1;
	if (length + gap > FW_BOX_STRING || n > FW_BOX_STRING / (lua_Integer)(length + gap))
		return luaL_error(L, "string.rep: the result would be longer than %d KiB",
		                  FW_BOX_STRING / 1024);

	size_t total = (size_t)n * (length + gap) - gap;
	fw_sandbox_charge(L, 1 + total / BYTES_PER_UNIT + (uint64_t)n);
	char *out = lua_newuserdatauv(L, total + gap, 0), *at = out;
	for (; n > 0; n--) {
		memcpy(at, s, length);
		memcpy(at + length, between, n > 1 ? gap : 0);
		at += length + gap;
	}
	lua_pushlstring(L, out, total);
	return 1;
}

/* Where `needle` begins in `text`, or NULL. Each comparison is charged. */
static const char *seek(lua_State *L, const char *text, size_t length, const char *needle,
                        size_t size)
{
	const char *end = text + length;
	if (size == 0)
		return text;
	while ((size_t)(end - text) >= size) {
		const char *first = memchr(text, needle[0], (size_t)(end - text) - size + 1);
		fw_sandbox_charge(L, 1 + (uint64_t)((first ? first : end) - text) / BYTES_PER_UNIT +
		                         size / BYTES_PER_UNIT);
		if (!first)
			return NULL;
		if (memcmp(first, needle, size) == 0)
			return first;
		text = first + 1;
	}
	return NULL;
}

static size_t start_position(lua_Integer position, size_t length)
{
	if (position > 0)
		return (size_t)position;
	if (position == 0 || position < -(lua_Integer)length)
		return 1;
	return length - (size_t)-position + 1;
}

/* find(s, text [, from [, true]]): first and last position of the text itself. */
static int string_find(lua_State *L)
{
	size_t length, size;
	fw_sandbox_charge_arguments(L);
	const char *s = luaL_checklstring(L, 1, &length);
	const char *needle = luaL_checklstring(L, 2, &size);
	size_t from = start_position(luaL_optinteger(L, 3, 1), length);

	if (!lua_toboolean(L, 4) && strpbrk(needle, "^$*+?.([%-"))
		return luaL_error(
		    L,
		    "string.find: there are no patterns here; to look for '%s' itself, give true as "
		    "the fourth argument",
		    needle);
	const char *at =
	    from > length + 1 ? NULL : seek(L, s + from - 1, length - from + 1, needle, size);
	if (!at)
		return luaL_pushfail(L), 1;
	lua_pushinteger(L, at - s + 1);
	lua_pushinteger(L, at - s + (lua_Integer)size);
	return 2;
}

/* split(s, separator): the pieces between separators, a list. */
static int string_split(lua_State *L)
{
	size_t length, size;
	const char *s = luaL_checklstring(L, 1, &length);
	const char *separator = luaL_checklstring(L, 2, &size);
	const char *end = s + length;
	luaL_argcheck(L, size > 0, 2, "empty separator");

	lua_newtable(L);
	for (lua_Integer n = 1;; n++) {
		const char *at = seek(L, s, (size_t)(end - s), separator, size);
		lua_pushlstring(L, s, (size_t)((at ? at : end) - s));
		lua_rawseti(L, -2, n);
		if (!at)
			return 1;
		s = at + size;
	}
}

static bool is_space(char c)
{
	return c == ' ' || (c >= '\t' && c <= '\r');
}

/* trim(s): without white space at both ends. */
static int string_trim(lua_State *L)
{
	size_t length;
	const char *s = luaL_checklstring(L, 1, &length);
	fw_sandbox_charge_arguments(L);
	for (; length > 0 && is_space(*s); s++)
		length--;
	while (length > 0 && is_space(s[length - 1]))
		length--;
	lua_pushlstring(L, s, length);
	return 1;
}

/* byte(s [, from [, to]]) */
static int string_byte(lua_State *L)
{
	size_t length;
	fw_sandbox_charge_arguments(L);
	const char *s = luaL_checklstring(L, 1, &length);
	lua_Integer i = luaL_optinteger(L, 2, 1);
	size_t from = start_position(i, length);
	lua_Integer j = luaL_optinteger(L, 3, (lua_Integer)from);
	lua_Integer to = j >= 0 ? j : (lua_Integer)length + j + 1;
	if (j < -(lua_Integer)length)
		to = 0;
	if (to > (lua_Integer)length)
		to = (lua_Integer)length;
	if ((lua_Integer)from > to)
		return 0;
	int count = (int)(to - (lua_Integer)from + 1);
	luaL_argcheck(L, count <= FW_BOX_ARGUMENTS, 3, "too many results");
	luaL_checkstack(L, count, NULL);
	for (int k = 0; k < count; k++)
		lua_pushinteger(L, (unsigned char)s[from - 1 + (size_t)k]);
	return count;
}

/* codepoint(s [, position]): one at a time. */
static int utf8_codepoint(lua_State *L)
{
	lua_settop(L, 2);
	lua_pushvalue(L, lua_upvalueindex(1));
	lua_insert(L, 1);
	lua_call(L, 2, 1);
	return 1;
}

static void guard_string_values(lua_State *L)
{
	lua_pushliteral(L, "");
	lua_createtable(L, 0, 2);
	lua_pushvalue(L, -3);
	lua_setfield(L, -2, "__index");
	lua_pushboolean(L, 0);
	lua_setfield(L, -2, "__metatable");
	lua_setmetatable(L, -2);
	lua_pop(L, 1);
}

static void open_utf8(lua_State *L)
{
	static const char *const names[] = {"char", "len", "offset", "codes", NULL};
	static const char *const single[] = {"codepoint", NULL};
	lua_newtable(L);
	fw_sandbox_borrow(L, luaopen_utf8, names);
	fw_sandbox_borrow(L, luaopen_utf8, single);
	lua_getfield(L, -1, "codepoint");
	lua_pushcclosure(L, utf8_codepoint, 1);
	lua_setfield(L, -2, "codepoint");
	fw_sandbox_define_library(L, "utf8");
}

void fw_sandbox_open_string(lua_State *L)
{
	static const char *const names[] = {"len", "sub", "reverse", "lower", "upper", "char", NULL};
	static const luaL_Reg own[] = {
	    {"rep", string_rep},   {"find", string_find},         {"split", string_split},
	    {"trim", string_trim}, {"format", fw_sandbox_format}, {"byte", string_byte},
	    {NULL, NULL},
	};
	lua_newtable(L);
	fw_sandbox_borrow(L, luaopen_string, names);
	luaL_setfuncs(L, own, 0);
	fw_sandbox_read_only(L, "string");
	guard_string_values(L); /* so that ("x"):rep() is ours as well */
	fw_sandbox_define(L, "string");
	open_utf8(L);
}
