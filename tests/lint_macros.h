/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file lint_macros.h  For cppcheck alone, which reads no system headers: macros that stand where
 * an expression would not. */
#define FW_VERSION           ""
#define luaL_intop(op, a, b) ((lua_Integer)((lua_Unsigned)(a)op(lua_Unsigned)(b)))
#define json_array_foreach(array, index, value)                                                    \
	for (index = 0;                                                                                \
	     index < json_array_size(array) && (value = json_array_get(array, index)) != NULL;         \
	     index++)
#define json_object_foreach(object, key, value)                                                    \
	for (key = json_object_iter_key(json_object_iter(object));                                     \
	     key && (value = json_object_get(object, key)) != NULL;                                    \
	     key = json_object_iter_key(json_object_iter_at(object, key)))
