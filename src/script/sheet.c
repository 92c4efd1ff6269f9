/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sheet held against the procedure that asks for it. */
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include <lauxlib.h>

#include "figures.h"
#include "files.h"
#include "words.h"

/* Stack while a sheet is checked. */
enum { DECLARED = 1, SHEET, VALUES, PROBLEMS };

static void add_problem(lua_State *L, const char *format, const char *a, const char *b)
{
	lua_pushfstring(L, format, a, b);
	lua_rawseti(L, PROBLEMS, (lua_Integer)lua_rawlen(L, PROBLEMS) + 1);
}

/* One declared figure; its name is on top and stays. */
static void take_figure(lua_State *L, const char *name, const char *kind_name)
{
	int kind = kind_name ? fw_figure_kind_find(kind_name) : -1;

	if (kind < 0) {
		add_problem(
		    L,
		    "the procedure asks for '%s' as a '%s', which is no kind of figure (limits, kit, "
		    "joint, gauge, list, figure)",
		    name, kind_name ? kind_name : "?");
		return;
	}
	lua_getfield(L, SHEET, name);
	if (lua_isnil(L, -1))
		add_problem(L, "'%s' is missing: %s { … }", name, kind_name);
	else if (!fw_figure_is(L, lua_gettop(L), (enum fw_figure_kind)kind))
		add_problem(L, "'%s' must be made with %s { … }", name, kind_name);
	else {
		lua_setfield(L, VALUES, name);
		return;
	}
	lua_pop(L, 1);
}

static int compare_names(const void *a, const void *b)
{
	return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The string keys of the table at `table`, sorted, in a userdata pushed on the stack; strings
 * borrowed. */
static const char **sorted_names(lua_State *L, int table, size_t *count)
{
	size_t n = 0, i = 0;

	for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1))
		n += lua_type(L, -2) == LUA_TSTRING;
	const char **names = lua_newuserdatauv(L, (n + 1) * sizeof *names, 0);
	for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1))
		if (lua_type(L, -2) == LUA_TSTRING)
			names[i++] = lua_tostring(L, -2);
	qsort(names, n, sizeof *names, compare_names);
	*count = n;
	return names;
}

static void check_declared(lua_State *L)
{
	size_t count;
	const char **names = sorted_names(L, DECLARED, &count);

	for (size_t i = 0; i < count; i++) {
		lua_getfield(L, DECLARED, names[i]);
		take_figure(L, names[i], lua_tostring(L, -1));
		lua_pop(L, 1);
	}
	lua_pop(L, 1);
}

static void check_surplus(lua_State *L)
{
	size_t count;
	const char **names = sorted_names(L, SHEET, &count);

	for (size_t i = 0; i < count; i++) {
		if (strcmp(names[i], "title") == 0)
			continue;
		lua_getfield(L, DECLARED, names[i]);
		if (lua_isnil(L, -1))
			add_problem(L, "'%s' isn't asked for by the procedure%s", names[i], "");
		lua_pop(L, 1);
	}
	lua_pop(L, 1);
}

static void raise_problems(lua_State *L, const char *name)
{
	luaL_Buffer all;
	lua_Integer count = (lua_Integer)lua_rawlen(L, PROBLEMS);

	if (count == 0)
		return;
	luaL_buffinit(L, &all);
	luaL_addstring(&all, name ? name : "no unit sheet was given");
	luaL_addstring(&all, ": ");
	for (lua_Integer i = 1; i <= count; i++) {
		luaL_addstring(&all, i > 1 ? "; " : "");
		lua_rawgeti(L, PROBLEMS, i);
		luaL_addvalue(&all);
	}
	luaL_pushresult(&all);
	lua_error(L);
}

/* sheet.name inside `run`. Upvalue 1: the figures by name. */
static int sheet_index(lua_State *L)
{
	const char *name = luaL_checkstring(L, 2);

	if (lua_getfield(L, lua_upvalueindex(1), name) == LUA_TNIL)
		return luaL_error(
		    L, "the procedure's list of figures has no '%s'; add it under sheet = { … }", name);
	fw_figure_push_value(L, -1);
	return 1;
}

static int sheet_newindex(lua_State *L)
{
	return luaL_error(L, "the sheet can't be changed");
}

static void push_proxy(lua_State *L)
{
	lua_newuserdatauv(L, 0, 0);
	lua_createtable(L, 0, 3);
	lua_pushvalue(L, VALUES);
	lua_pushcclosure(L, sheet_index, 1);
	lua_setfield(L, -2, "__index");
	lua_pushcfunction(L, sheet_newindex);
	lua_setfield(L, -2, "__newindex");
	lua_pushboolean(L, 0);
	lua_setfield(L, -2, "__metatable");
	lua_setmetatable(L, -2);
}

static void push_figure_fact(lua_State *L, const char *name, json_t *list)
{
	const struct fw_figure_source *source = fw_figure_source(L, -1);

	fw_figure_push_text(L, -1);
	json_t *fact = json_pack("{s:s, s:s, s:s, s:o}", "name", name, "kind",
	                         fw_figure_kind_name((enum fw_figure_kind)fw_figure_kind(L, -2)),
	                         "text", lua_tostring(L, -1), "source", fw_figure_source_json(source));
	lua_pop(L, 1);
	if (json_array_append_new(list, fact) != 0)
		luaL_error(L, "the figure '%s' can't be recorded: its name isn't UTF-8 text", name);
}

static void keep_facts(lua_State *L)
{
	struct fw_script *script = fw_words_script(L);
	json_t *list = json_array();
	size_t count;

	fw_words_put(L, script->facts, "figures", list);
	const char **names = sorted_names(L, VALUES, &count);
	for (size_t i = 0; i < count; i++) {
		lua_getfield(L, VALUES, names[i]);
		push_figure_fact(L, names[i], list);
		lua_pop(L, 1);
	}
	lua_pop(L, 1);
}

void fw_files_push_sheet(lua_State *L, const char *name)
{
	lua_settop(L, 0);
	lua_getfield(L, LUA_REGISTRYINDEX, FW_FILES_PROCEDURE);
	if (lua_getfield(L, -1, "sheet") == LUA_TNIL) {
		lua_pop(L, 1);
		lua_newtable(L);
	}
	lua_remove(L, 1);
	if (lua_getfield(L, LUA_REGISTRYINDEX, FW_FILES_SHEET) == LUA_TNIL) {
		lua_pop(L, 1);
		lua_newtable(L);
	}
	lua_newtable(L);
	lua_newtable(L);
	check_declared(L);
	if (lua_rawlen(L, PROBLEMS) > 0) /* else they may serve another procedure */
		check_surplus(L);
	raise_problems(L, name);
	keep_facts(L);
	push_proxy(L);
}
