/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What all figures have in common: their kind, their fields, their source. */
#include "figures.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures_internal.h"
#include "json.h"
#include "lua_quantity.h"
#include "words.h"

#define SOURCE "fw.source"

static const struct {
	const char *name, *metatable;
} kinds[FW_FIGURE_KINDS] = {
    [FW_FIGURE_LIMITS] = {"limits", "fw.limits"}, [FW_FIGURE_KIT] = {"kit", "fw.kit"},
    [FW_FIGURE_JOINT] = {"joint", "fw.joint"},    [FW_FIGURE_GAUGE] = {"gauge", "fw.gauge"},
    [FW_FIGURE_LIST] = {"list", "fw.list"},       [FW_FIGURE_VALUE] = {"figure", "fw.figure"},
};

const char *fw_figure_kind_name(enum fw_figure_kind kind)
{
	return kinds[kind].name;
}

int fw_figure_kind_find(const char *name)
{
	for (int kind = 0; kind < FW_FIGURE_KINDS; kind++)
		if (strcmp(kinds[kind].name, name) == 0)
			return kind;
	return -1;
}

bool fw_figure_is(lua_State *L, int index, enum fw_figure_kind kind)
{
	return luaL_testudata(L, index, kinds[kind].metatable) != NULL;
}

int fw_figure_kind(lua_State *L, int index)
{
	for (int kind = 0; kind < FW_FIGURE_KINDS; kind++)
		if (fw_figure_is(L, index, (enum fw_figure_kind)kind))
			return kind;
	return -1;
}

const void *fw_figure_get(lua_State *L, int index, enum fw_figure_kind kind)
{
	return luaL_testudata(L, index, kinds[kind].metatable);
}

const struct fw_figure_source *fw_source_get(lua_State *L, int index)
{
	return luaL_testudata(L, index, SOURCE);
}

const struct fw_figure_source *fw_figure_source(lua_State *L, int index)
{
	index = lua_absindex(L, index);
	lua_getiuservalue(L, index, 1);
	lua_getfield(L, -1, "source");
	const struct fw_figure_source *source = fw_source_get(L, -1);
	lua_pop(L, 2);
	return source; /* anchored in the figure */
}

/* figure.field: what was written, or an error that names what there is. */
static int figure_index(lua_State *L)
{
	int kind = fw_figure_kind(L, 1);

	if (kind < 0)
		return luaL_error(L, "not a figure");
	lua_getiuservalue(L, 1, 1);
	lua_pushvalue(L, 2);
	if (lua_rawget(L, -2) == LUA_TNIL && lua_type(L, 2) == LUA_TSTRING &&
	    !fw_figure_has_field((enum fw_figure_kind)kind, lua_tostring(L, 2)))
		return luaL_error(L, "%s has no field '%s'", kinds[kind].name, lua_tostring(L, 2));
	return 1;
}

static int figure_tostring(lua_State *L)
{
	fw_figure_push_text(L, 1);
	return 1;
}

static int source_tostring(lua_State *L)
{
	const struct fw_figure_source *source = luaL_checkudata(L, 1, SOURCE);
	lua_pushfstring(L, "%s: %s", source->grade, source->text);
	return 1;
}

static void lock_metatable(lua_State *L, lua_CFunction tostring)
{
	lua_pushcfunction(L, tostring);
	lua_setfield(L, -2, "__tostring");
	lua_pushboolean(L, 0);
	lua_setfield(L, -2, "__metatable");
}

/* A copy of the call's fields, so that a script that changes its table changes no figure. */
static void push_fields(lua_State *L, int args)
{
	lua_newtable(L);
	lua_pushnil(L);
	while (lua_next(L, args)) {
		if (lua_type(L, -1) == LUA_TTABLE) {
			lua_pop(L, 1);
			continue;
		}
		lua_pushvalue(L, -2);
		lua_insert(L, -2);
		lua_rawset(L, -4);
	}
}

void *fw_figure_new(lua_State *L, enum fw_figure_kind kind, size_t size)
{
	void *payload = lua_newuserdatauv(L, size > 0 ? size : 1, 2);

	memset(payload, 0, size > 0 ? size : 1);
	push_fields(L, 1);
	lua_setiuservalue(L, -2, 1);
	if (luaL_newmetatable(L, kinds[kind].metatable)) {
		lock_metatable(L, figure_tostring);
		lua_pushcfunction(L, figure_index);
		lua_setfield(L, -2, "__index");
	}
	lua_setmetatable(L, -2);
	return payload;
}

int fw_source_new(lua_State *L, const char *grade)
{
	size_t length;
	const char *text = luaL_checklstring(L, 1, &length);

	if (length > FW_SOURCE_MOST || !fw_words_is_text(L, 1))
		return luaL_error(L, "%s: say in one to %d characters of UTF-8 where the figure comes from",
		                  grade, FW_SOURCE_MOST);
	struct fw_figure_source *source = lua_newuserdatauv(L, sizeof *source + length + 1, 0);
	source->grade = grade;
	memcpy(source->text, text, length + 1);
	if (luaL_newmetatable(L, SOURCE))
		lock_metatable(L, source_tostring);
	lua_setmetatable(L, -2);
	return 1;
}

/* A fresh copy each time, so that a procedure can't change the sheet for its later steps. */
static void push_list(lua_State *L, int index)
{
	lua_getiuservalue(L, index, 2);
	lua_Integer count = (lua_Integer)lua_rawlen(L, -1);
	lua_createtable(L, (int)count, 0);
	for (lua_Integer i = 1; i <= count; i++) {
		lua_rawgeti(L, -2, i);
		lua_rawseti(L, -2, i);
	}
	lua_remove(L, -2);
}

void fw_figure_push_value(lua_State *L, int index)
{
	index = lua_absindex(L, index);
	if (fw_figure_is(L, index, FW_FIGURE_LIST)) {
		push_list(L, index);
	} else if (fw_figure_is(L, index, FW_FIGURE_VALUE)) {
		lua_getiuservalue(L, index, 1);
		lua_getfield(L, -1, "value");
		lua_remove(L, -2);
	} else {
		lua_pushvalue(L, index);
	}
}

json_t *fw_figure_source_json(const struct fw_figure_source *source)
{
	return source ? json_pack("{s:s, s:s}", "grade", source->grade, "text", source->text)
	              : json_null();
}

json_t *fw_figure_limits_json(const struct fw_figure_limits *limits,
                              const struct fw_figure_source *source)
{
	const struct fw_limits *si = &limits->si;
	json_t *out = json_object();
	int failed = 0;

	if (si->min > -HUGE_VAL)
		failed |= json_object_set_new(out, "min", fw_json_of(si->min, limits->unit));
	if (si->max < HUGE_VAL)
		failed |= json_object_set_new(out, "max", fw_json_of(si->max, limits->unit));
	if (!isnan(si->aim)) /* none but what the sheet asks for */
		failed |= json_object_set_new(out, "aim", fw_json_of(si->aim, limits->unit));
	failed |= json_object_set_new(out, "source", fw_figure_source_json(source));
	if (!failed)
		return out;
	json_decref(out);
	return NULL;
}
