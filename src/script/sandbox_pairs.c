/* SPDX-License-Identifier: GPL-3.0-or-later */
/* pairs in an order that is the same on every run: numbers ascending, texts by bytes, false, true.
 * Lua's own order hangs on where the keys lie in memory. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "script/sandbox_internal.h"

enum { BYTES_PER_UNIT = 64, UNITS_PER_KEY = 8 };

/* A key seen by the comparison. The text is borrowed: the table keeps it while nothing else runs.
 */
struct key {
	int kind; /* LUA_TNUMBER, LUA_TSTRING, LUA_TBOOLEAN */
	bool whole;
	lua_Integer integer; /* a boolean too */
	lua_Number number;
	const char *text;
	size_t length;
};

static int sign(bool less, bool more)
{
	return (int)more - (int)less;
}

/* Exact, where a conversion of the integer to double would round. */
static int compare_mixed(lua_Integer i, lua_Number x)
{
	if (x >= 0x1p63)
		return -1;
	if (x < -0x1p63)
		return 1;
	lua_Number below = floor(x);
	lua_Integer whole = (lua_Integer)below;
	return i != whole ? sign(i<whole, i> whole) : sign(below < x, false);
}

static int compare_numbers(const struct key *a, const struct key *b)
{
	if (a->whole && b->whole)
		return sign(a->integer<b->integer, a->integer> b->integer);
	if (a->whole)
		return compare_mixed(a->integer, b->number);
	if (b->whole)
		return -compare_mixed(b->integer, a->number);
	return sign(a->number<b->number, a->number> b->number);
}

static int compare_texts(const struct key *a, const struct key *b)
{
	size_t common = a->length < b->length ? a->length : b->length;
	int order = memcmp(a->text, b->text, common);
	return order ? order : sign(a->length<b->length, a->length> b->length);
}

static int rank(int kind)
{
	return kind == LUA_TNUMBER ? 0 : kind == LUA_TSTRING ? 1 : 2;
}

static int compare(const void *left, const void *right)
{
	const struct key *a = left, *b = right;
	if (a->kind != b->kind)
		return rank(a->kind) - rank(b->kind);
	if (a->kind == LUA_TNUMBER)
		return compare_numbers(a, b);
	if (a->kind == LUA_TSTRING)
		return compare_texts(a, b);
	return sign(a->integer<b->integer, a->integer> b->integer);
}

static void read_key(lua_State *L, int index, struct key *key)
{
	key->kind = lua_type(L, index);
	if (key->kind == LUA_TNUMBER) {
		key->whole = lua_isinteger(L, index);
		key->integer = key->whole ? lua_tointeger(L, index) : 0;
		key->number = lua_tonumber(L, index);
	} else if (key->kind == LUA_TSTRING) {
		key->text = lua_tolstring(L, index, &key->length);
	} else if (key->kind == LUA_TBOOLEAN) {
		key->integer = lua_toboolean(L, index);
	} else {
		luaL_error(L, "pairs: a key is a %s; only numbers, texts and booleans have an order",
		           luaL_typename(L, index));
	}
}

static void push_key(lua_State *L, const struct key *key)
{
	if (key->kind == LUA_TSTRING)
		lua_pushlstring(L, key->text, key->length);
	else if (key->kind == LUA_TBOOLEAN)
		lua_pushboolean(L, (int)key->integer);
	else if (key->whole)
		lua_pushinteger(L, key->integer);
	else
		lua_pushnumber(L, key->number);
}

/* How many keys the table at `table` has; charges for the walk, empty slots included. */
static size_t count_keys(lua_State *L, int table)
{
	size_t count = 0;
	fw_sandbox_charge(L, 1 + fw_sandbox_of(L)->largest / BYTES_PER_UNIT);
	for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1)) {
		count++;
		fw_sandbox_charge(L, UNITS_PER_KEY);
	}
	return count;
}

/* Sorting compares each key about log2(count) times. */
static void charge_sort(lua_State *L, const struct key *keys, size_t count)
{
	uint64_t units = 0, rounds = 1;
	for (size_t n = count; n > 1; n /= 2)
		rounds++;
	for (size_t i = 0; i < count; i++)
		units += 2 + (keys[i].kind == LUA_TSTRING ? keys[i].length / BYTES_PER_UNIT : 0);
	fw_sandbox_charge(L, units * rounds);
}

/* Pushes the list of keys of the table at `table`, in order. */
static void push_keys(lua_State *L, int table)
{
	size_t count = count_keys(L, table), filled = 0;
	struct key *keys = lua_newuserdatauv(L, (count + 1) * sizeof *keys, 0);

	memset(keys, 0, (count + 1) * sizeof *keys);
	for (lua_pushnil(L); filled < count && lua_next(L, table); lua_pop(L, 1))
		read_key(L, -2, &keys[filled++]);
	lua_settop(L, table + 1); /* the walk may have stopped early and left its key */
	charge_sort(L, keys, filled);
	qsort(keys, filled, sizeof *keys, compare);

	lua_createtable(L, (int)filled, 0);
	for (size_t i = 0; i < filled; i++) {
		push_key(L, &keys[i]);
		lua_rawseti(L, -2, (lua_Integer)i + 1);
	}
	lua_remove(L, -2);
}

/* Upvalues: the table, its keys, how many have been given. Keys whose value is gone by now are
 * passed over. */
static int next_pair(lua_State *L)
{
	lua_Integer i = lua_tointeger(L, lua_upvalueindex(3));
	for (;;) {
		i++;
		lua_settop(L, 0);
		if (lua_rawgeti(L, lua_upvalueindex(2), i) == LUA_TNIL)
			return 1;
		lua_pushvalue(L, 1);
		if (lua_rawget(L, lua_upvalueindex(1)) != LUA_TNIL)
			break;
		fw_sandbox_charge(L, 2);
	}
	lua_pushinteger(L, i);
	lua_replace(L, lua_upvalueindex(3));
	return 2;
}

/* pairs(table): the keys as they are now; what is added on the way is not seen. */
static int base_pairs(lua_State *L)
{
	luaL_checktype(L, 1, LUA_TTABLE);
	lua_settop(L, 1);
	if (fw_sandbox_push_original(L, 1))
		lua_replace(L, 1);
	push_keys(L, 1);
	lua_pushinteger(L, 0);
	lua_pushcclosure(L, next_pair, 3);
	return 1;
}

void fw_sandbox_open_pairs(lua_State *L)
{
	lua_pushcfunction(L, base_pairs);
	fw_sandbox_define(L, "pairs");
}
