/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file lua_quantity.h  Quantities as Lua values: mm(3), thou(55) - mm(0.4), q:to(thou), tostring(q). */
#ifndef FITWRIGHT_SCRIPT_LUA_QUANTITY_H
#define FITWRIGHT_SCRIPT_LUA_QUANTITY_H

#include <lua.h>

#include "fitwright/quantity.h"

/* Defines the unit constructors (mm, um, m, inch, thou, Nm, lbf_ft, lbf_in, N, lbf, kg, deg, degC, degF, bar, psi, MPa, s,
 * min …) in the environment. Each is a unit value: callable, and usable as an argument (unit = mm). Call
 * inside fw_sandbox_protect(). */
void fw_lua_quantity_open(lua_State *L);

/* Pushes a copy as a quantity value. May raise (memory). */
void fw_lua_quantity_push(lua_State *L, const struct fw_quantity *q);

/* The quantity at `index`, or NULL. Borrowed while the value is on the stack; copy to change. Only the first
 * `count` terms are backed by memory: never memcpy a whole struct fw_quantity from it, use fw_lua_quantity_get(). */
int fw_lua_quantity_get(lua_State *L, int index, struct fw_quantity *out); /* 1 and fills out, or 0 */

/* The unit value at `index`, or NULL. */
const struct fw_unit *fw_lua_unit_get(lua_State *L, int index);

#endif
