/* SPDX-License-Identifier: GPL-3.0-or-later */
/* table.sort as a merge sort: n log n whatever the comparison answers, and items that compare equal
 * keep their order, so that the result doesn't hang on how it is done. */
#include <limits.h>

#include "script/sandbox_internal.h"

enum { LIST = 1, LESS = 2, SOURCE = 3, TARGET = 4 };

/* Whether the value at `a` sorts before that at `b`. */
static bool less(lua_State *L, int a, int b)
{
	fw_sandbox_charge(L, 4);
	if (lua_isnil(L, LESS))
		return lua_compare(L, a, b, LUA_OPLT) != 0;
	lua_pushvalue(L, LESS);
	lua_pushvalue(L, a);
	lua_pushvalue(L, b);
	lua_call(L, 2, 1);
	bool answer = lua_toboolean(L, -1) != 0;
	lua_pop(L, 1);
	return answer;
}

/* Merges source[low, middle) and source[middle, high) into target[low, high). */
static void merge(lua_State *L, int source, int target, lua_Integer low, lua_Integer middle,
                  lua_Integer high)
{
	lua_Integer left = low, right = middle;
	for (lua_Integer at = low; at < high; at++) {
		bool from_left = right >= high;
		if (left < middle && right < high) {
			lua_rawgeti(L, source, left);
			lua_rawgeti(L, source, right);
			int top = lua_gettop(L);
			from_left = !less(L, top, top - 1);
			lua_settop(L, top - 2);
		}
		lua_rawgeti(L, source, from_left ? left++ : right++);
		lua_rawseti(L, target, at);
	}
}

static lua_Integer smaller(lua_Integer a, lua_Integer b)
{
	return a < b ? a : b;
}

static void copy(lua_State *L, int from, int to, lua_Integer count)
{
	for (lua_Integer i = 1; i <= count; i++) {
		lua_rawgeti(L, from, i);
		lua_rawseti(L, to, i);
	}
}

/* sort(list [, less]) */
int fw_sandbox_sort(lua_State *L)
{
	luaL_checktype(L, LIST, LUA_TTABLE);
	if (!lua_isnoneornil(L, LESS))
		luaL_checktype(L, LESS, LUA_TFUNCTION);
	lua_settop(L, LESS);
	if (lua_getmetatable(L, LIST))
		return luaL_argerror(L, LIST, "read-only");
	lua_Unsigned size = lua_rawlen(L, LIST);
	fw_sandbox_charge(L, size);
	luaL_argcheck(L, size < INT_MAX / 2, LIST, "too long");

	lua_Integer count = (lua_Integer)size;
	int source = SOURCE, target = TARGET;
	lua_createtable(L, (int)count, 0);
	lua_createtable(L, (int)count, 0);
	copy(L, LIST, source, count);
	for (lua_Integer width = 1; width < count; width *= 2) {
		for (lua_Integer low = 1; low <= count; low += 2 * width)
			merge(L, source, target, low, smaller(low + width, count + 1),
			      smaller(low + 2 * width, count + 1));
		int swap = source;
		source = target;
		target = swap;
	}
	/* Only now, so that an error in the comparison leaves the list as it was. */
	copy(L, source, LIST, count);
	return 0;
}
