/* SPDX-License-Identifier: GPL-3.0-or-later */
/* shims.together: shims at several places that share a kit, as an object with learn() and choose().
 */
#include "together.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures.h"
#include "lua_quantity.h"

#define WORD (fw_words_together->name)

struct fw_together fw_lua_together_fit(const struct fw_lua_together *t,
                                       const struct fw_bench_kit *kit)
{
	struct fw_together fit = t->fit;

	fit.kit = kit->shim;
	fit.sizes = kit->count;
	return fit;
}

struct fw_bench_kit *fw_lua_together_kit(lua_State *L, int index)
{
	lua_getiuservalue(L, index, 2);
	struct fw_bench_kit *kit = lua_touserdata(L, -1);
	lua_pop(L, 1);
	return kit;
}

/* Copies the name on top of the stack, and pops it. */
static void take_name(lua_State *L, char name[FW_TOGETHER_NAME + 1], const char *whose)
{
	if (!fw_words_is_text(L, -1) || lua_rawlen(L, -1) > FW_TOGETHER_NAME)
		fw_words_error(L, WORD, 1, "the name of a %s must be a text of 1 to %d bytes", whose,
		               FW_TOGETHER_NAME);
	snprintf(name, FW_TOGETHER_NAME + 1, "%s", lua_tostring(L, -1));
	lua_pop(L, 1);
}

static void take_places(lua_State *L, struct fw_lua_together *t)
{
	lua_Integer most = fw_words_whole(L, 1, "most", 4);

	if (most > FW_STACK_MOST)
		fw_words_error(L, WORD, 1, "'most' is %d; a stack holds %d at the most", (int)most,
		               FW_STACK_MOST);
	lua_getfield(L, 1, "places");
	t->fit.places = lua_rawlen(L, -1);
	if (t->fit.places > FW_PLACES_MOST)
		fw_words_error(L, WORD, 1, "%d places; %d can be handled", (int)t->fit.places,
		               FW_PLACES_MOST);
	for (size_t j = 0; j < t->fit.places; j++) {
		lua_rawgeti(L, -1, (lua_Integer)j + 1);
		take_name(L, t->place_name[j], "place");
		t->place[j] = (struct fw_together_place){
		    .name = t->place_name[j], .most = (size_t)most, .may_be_empty = true};
	}
	lua_pop(L, 1);
}

/* A field of the response on top of the stack. */
static int raw_field(lua_State *L, const char *name)
{
	lua_pushstring(L, name);
	return lua_rawget(L, -2);
}

/* A number for each place in the order of the places, or by their names: then 0 where left out. */
static void take_per(lua_State *L, struct fw_lua_together *t, size_t i)
{
	const char *name = t->response_name[i];
	size_t taken = 0, held = 0;

	if (raw_field(L, "per") != LUA_TTABLE)
		fw_words_error(L, WORD, 1,
		               "response '%s': 'per' must hold a number for each place, such as { -1, -1 }",
		               name);
	for (size_t j = 0; j < t->fit.places; j++) {
		if (raw_field(L, t->place_name[j]) == LUA_TNIL) {
			lua_pop(L, 1);
			lua_rawgeti(L, -1, (lua_Integer)j + 1);
		}
		if (lua_type(L, -1) == LUA_TNUMBER) {
			t->response[i].per[j] = lua_tonumber(L, -1);
			taken++;
		}
		lua_pop(L, 1);
	}
	for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1))
		held++;
	if (taken != held || (lua_rawlen(L, -1) > 0 && taken != t->fit.places))
		fw_words_error(
		    L, WORD, 1,
		    "response '%s': 'per' must hold a number for each place, in their order or by their "
		    "names, and nothing else",
		    name);
	lua_pop(L, 1);
}

static bool is_field(lua_State *L, int key, const void *context)
{
	static const char *const fields[] = {"name", "limits", "per"};

	(void)context;
	for (size_t f = 0; lua_type(L, key) == LUA_TSTRING && f < sizeof fields / sizeof *fields; f++)
		if (strcmp(fields[f], lua_tostring(L, key)) == 0)
			return true;
	return false;
}

static void check_fields(lua_State *L)
{
	const char *name = fw_words_unknown_key(L, -1, is_field, NULL);

	if (name)
		fw_words_error(L, WORD, 1, "a response has no field '%s'; it takes name, limits, per",
		               name);
}

/* The response on top of the stack; its limits go into the list below it. */
static void take_response(lua_State *L, struct fw_lua_together *t, size_t i)
{
	if (!lua_istable(L, -1))
		fw_words_error(L, WORD, 1,
		               "'responses' must be a list of { name = …, limits = …, per = … }");
	check_fields(L);
	raw_field(L, "name");
	take_name(L, t->response_name[i], "response");
	t->response[i].name = t->response_name[i];
	for (size_t b = 0; b < i; b++)
		if (strcmp(t->response_name[b], t->response_name[i]) == 0)
			fw_words_error(L, WORD, 1, "two responses are called '%s'", t->response_name[i]);
	raw_field(L, "limits");
	const struct fw_figure_limits *limits = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	if (limits) {
		t->response[i].limits = limits->si;
		t->unit[i] = limits->unit;
	} else {
		fw_words_error(L, WORD, 1, "response '%s': 'limits' must be limits", t->response_name[i]);
	}
	lua_rawseti(L, -3, (lua_Integer)i + 1);
	take_per(L, t, i);
}

/* Leaves the list of limits on top. */
static void take_responses(lua_State *L, struct fw_lua_together *t)
{
	lua_getfield(L, 1, "responses");
	int list = lua_gettop(L);
	t->fit.responses = lua_rawlen(L, list);
	if (t->fit.responses < 1 || t->fit.responses > FW_RESPONSES_MOST)
		fw_words_error(L, WORD, 1, "'responses' must be a list of 1 to %d", FW_RESPONSES_MOST);
	lua_newtable(L);
	for (size_t i = 0; i < t->fit.responses; i++) {
		lua_rawgeti(L, list, (lua_Integer)i + 1);
		take_response(L, t, i);
		lua_pop(L, 1);
	}
	lua_remove(L, list);
}

static void take_settle(lua_State *L, struct fw_lua_together *t, const struct fw_unit *length)
{
	struct fw_quantity settle;

	if (!fw_words_quantity(L, 1, "settle", &settle))
		return;
	if (!fw_dimension_equal(settle.dimension, length->dimension) || settle.value < 0)
		fw_words_error(L, WORD, 1, "'settle' must be a length from 0");
	for (size_t i = 0; i < t->fit.responses; i++)
		t->response[i].settle_u = settle.value;
}

/* What the solver says of it at once, not at the first trial. */
static void check(lua_State *L, const struct fw_lua_together *t, const struct fw_bench_kit *kit)
{
	struct fw_together fit = fw_lua_together_fit(t, kit);
	struct fw_error error = {0};

	for (size_t i = 0; i < t->fit.responses; i++)
		if (!fw_dimension_equal(t->unit[i]->dimension, kit->unit->dimension))
			fw_words_error(L, WORD, 1, "response '%s': the limits are no length",
			               t->response_name[i]);
	if (fw_together_check(&fit, &error) != FW_OK)
		fw_words_error(L, WORD, 1, "%s", error.text);
}

static int run_together(lua_State *L)
{
	static const luaL_Reg methods[] = {
	    {"learn", fw_lua_together_learn}, {"choose", fw_lua_together_choose}, {NULL, NULL}};

	fw_words_check(L, fw_words_together);
	struct fw_lua_together *t = lua_newuserdatauv(L, sizeof *t, 3); /* index 2 */
	memset(t, 0, sizeof *t);
	fw_words_keep(L);
	lua_setiuservalue(L, 2, 1);
	lua_getfield(L, 1, "kit");
	struct fw_bench_kit *kit = fw_bench_kit_new(L, fw_figure_get(L, -1, FW_FIGURE_KIT));
	lua_setiuservalue(L, 2, 2);
	take_places(L, t);
	take_responses(L, t);
	lua_setiuservalue(L, 2, 3);
	t->fit.place = t->place;
	t->fit.response = t->response;
	t->fit.near = fw_words_flag(L, 1, "fewest") ? INFINITY : 0.0;
	take_settle(L, t, kit->unit);
	check(L, t, kit);
	lua_settop(L, 2);
	fw_words_set_methods(L, FW_LUA_TOGETHER, methods);
	return 1;
}

/* The table. */

static const struct fw_field together_fields[] = {
    {"id", FW_FIELD_ID, true, "name of the fit, its own in the procedure"},
    {"kit", FW_FIELD_KIT, true, "the shims at hand, for all places"},
    {"places", FW_FIELD_TEXTS, true, "names of the places"},
    {"responses", FW_FIELD_TABLE, true,
     "list of { name = …, limits = …, per = { … } }: what each stack does to each"},
    {"most", FW_FIELD_WHOLE, false, "most shims at one place; 4 when left out"},
    {"settle", FW_FIELD_QUANTITY, false, "how well an assembly repeats, as a standard deviation"},
    {"fewest", FW_FIELD_FLAG, false, "fewest shims that serve, wherever in the limits"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_together[] = {
    {"shims.together",
     "Shims at several places by trial; has learn(stacks, readings) and choose().", run_together,
     together_fields, NULL, false},
    {NULL, NULL, NULL, NULL, NULL, false}};
