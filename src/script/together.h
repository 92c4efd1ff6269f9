/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file together.h  Several shimmed places as a Lua value: shims.together { … }. */
#ifndef FITWRIGHT_SCRIPT_TOGETHER_H
#define FITWRIGHT_SCRIPT_TOGETHER_H

#include "bench_kit.h"
#include "fitwright/together.h"
#include "words.h"

#define FW_LUA_TOGETHER "fw.together"

/* Longest name of a place or response. */
#define FW_TOGETHER_NAME 60

/* Uservalues: 1 the call's table, with its id; 2 the bench kit; 3 the limits of the responses, in a
 * list. The names that place[] and response[] point to are kept here. */
struct fw_lua_together {
	char place_name[FW_PLACES_MOST][FW_TOGETHER_NAME + 1];
	char response_name[FW_RESPONSES_MOST][FW_TOGETHER_NAME + 1];
	struct fw_together_place place[FW_PLACES_MOST];
	struct fw_together_response response[FW_RESPONSES_MOST];
	const struct fw_unit *unit[FW_RESPONSES_MOST]; /* of the limits */
	struct fw_datum datum[FW_RESPONSES_MOST];
	struct fw_together fit; /* but for the kit, which grows */
	unsigned trials;
};

/* The fit with the kit as it now is. */
struct fw_together fw_lua_together_fit(const struct fw_lua_together *t,
                                       const struct fw_bench_kit *kit);
/* The bench kit of the value at `index`. */
struct fw_bench_kit *fw_lua_together_kit(lua_State *L, int index);

/* Methods. */
int fw_lua_together_learn(lua_State *L);
int fw_lua_together_choose(lua_State *L);

#endif
