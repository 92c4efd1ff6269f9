/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file lua_quantity_internal.h  What lua_quantity.c and lua_unit.c share. */
#ifndef FITWRIGHT_SCRIPT_LUA_QUANTITY_INTERNAL_H
#define FITWRIGHT_SCRIPT_LUA_QUANTITY_INTERNAL_H

#include <lua.h>

void fw_lua_unit_open(lua_State *L);

/* What kind of value is at `index`, for messages. Borrowed. */
const char *fw_lua_kind(lua_State *L, int index);

/* a .. b where either is a quantity or a unit: raises, and says to write tostring() (lua_CFunction). */
int fw_lua_concat(lua_State *L);

#endif
