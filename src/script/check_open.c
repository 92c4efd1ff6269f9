/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks left open: neither within their limits nor conceded. Nothing is signed over them. */
#include <string.h>

#include "check.h"

/* A list in the registry, oldest first, of { call's table, struct fw_check }. */
#define OPEN "fw.open"
/* Work of looking at one of them. */
#define LOOK_COST 20

/* Pushes the list, and returns how many there are. */
static lua_Integer push_list(lua_State *L)
{
	luaL_checkstack(L, 12, NULL);
	luaL_getsubtable(L, LUA_REGISTRYINDEX, OPEN);
	lua_Integer count = (lua_Integer)lua_rawlen(L, -1);
	fw_sandbox_charge(L, (uint64_t)count * LOOK_COST);
	return count;
}

/* Place of the check `id` in the list on top; 0: it isn't there. */
static lua_Integer find(lua_State *L, const char *id, lua_Integer count)
{
	lua_Integer found = 0;

	for (lua_Integer i = 1; i <= count && found == 0; i++) {
		lua_rawgeti(L, -1, i);
		lua_rawgeti(L, -1, 1);
		if (strcmp(fw_words_text(L, -1, "id"), id) == 0)
			found = i;
		lua_pop(L, 2);
	}
	return found;
}

void fw_check_settle(lua_State *L)
{
	lua_Integer count = push_list(L);
	lua_Integer at = find(L, fw_words_text(L, 1, "id"), count);

	for (; at > 0 && at < count; at++) {
		lua_rawgeti(L, -1, at + 1);
		lua_rawseti(L, -2, at);
	}
	if (at > 0) {
		lua_pushnil(L);
		lua_rawseti(L, -2, count);
	}
	lua_pop(L, 1);
}

void fw_check_open(lua_State *L)
{
	fw_check_settle(L); /* the newest verdict counts */
	lua_Integer count = push_list(L);
	lua_createtable(L, 2, 0);
	fw_words_keep(L);
	lua_rawseti(L, -2, 1);
	lua_pushvalue(L, 2);
	lua_rawseti(L, -2, 2);
	lua_rawseti(L, -2, count + 1);
	lua_pop(L, 1);
}

/* Asks about one that was left open. Its frame is that of `check`. */
static int close_one(lua_State *L)
{
	struct fw_check *check = lua_touserdata(L, 2);

	check->late = true;
	return fw_check_stop(L);
}

static int after_one(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	for (;;) {
		lua_settop(L, 0);
		if (push_list(L) == 0)
			return 0;
		lua_pushcfunction(L, close_one);
		lua_rawgeti(L, 1, 1);
		lua_rawgeti(L, -1, 1);
		lua_rawgeti(L, -2, 2);
		lua_remove(L, -3);
		lua_callk(L, 2, 0, 0, after_one);
	}
}

int fw_check_close_all(lua_State *L)
{
	return after_one(L, LUA_OK, 0);
}
