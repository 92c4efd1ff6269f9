/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file lua_quantity.h
 * Quantities as Lua values: mm(3), inch "3/8", thou(55) - mm(0.4), q:to(thou), tostring(q).
 *
 * A quantity is an immutable userdata of kind "quantity" that holds only the terms in use; a unit
 * is one of kind "unit". Arithmetic that makes no sense raises an error that names both sides.
 */
#ifndef FITWRIGHT_SCRIPT_LUA_QUANTITY_H
#define FITWRIGHT_SCRIPT_LUA_QUANTITY_H

#include <lua.h>

#include "fitwright/quantity.h"

/* Defines the units (mm, um, inch, thou, Nm, lbf_ft, lbf, kg, degC, bar, min …) in the environment.
 * Each is a unit value: callable with a number or with a text as typed, and usable as an argument
 * (unit = mm). Call inside fw_sandbox_protect(). */
void fw_lua_quantity_open(lua_State *L);

/* Pushes a copy as a quantity value. May raise (memory). Needs fw_lua_quantity_open() before. */
void fw_lua_quantity_push(lua_State *L, const struct fw_quantity *q);

/* Copies the quantity at `index`: 1, or 0 when something else is there. Raises nothing. */
int fw_lua_quantity_get(lua_State *L, int index, struct fw_quantity *out);

/* Pushes the unit value of a unit of the table. May raise (memory). */
void fw_lua_unit_push(lua_State *L, const struct fw_unit *unit);

/* The unit at `index` (static), or NULL. */
const struct fw_unit *fw_lua_unit_get(lua_State *L, int index);

#endif
