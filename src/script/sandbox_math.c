/* SPDX-License-Identifier: GPL-3.0-or-later */
/* math: Lua's own, without its random numbers. */
#include <lualib.h>

#include "script/sandbox_internal.h"

void fw_sandbox_open_math(lua_State *L)
{
	static const char *const names[] = {
	    "abs",       "acos", "asin", "atan", "ceil", "cos",        "exp",        "floor",
	    "fmod",      "log",  "max",  "min",  "modf", "sin",        "sqrt",       "tan",
	    "tointeger", "type", "ult",  "pi",   "huge", "maxinteger", "mininteger", NULL,
	};
	lua_newtable(L);
	fw_sandbox_borrow(L, luaopen_math, names);
	fw_sandbox_define_library(L, "math");
}
