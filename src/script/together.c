/* SPDX-License-Identifier: GPL-3.0-or-later */
/* learn() and choose() of several shimmed places. */
#include "together.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures.h"
#include "json.h"
#include "lua_quantity.h"
#include "stack.h"

/* A difference of up to so many standard uncertainties is as expected. */
#define EXPECTED_SIGMAS FW_USUAL_SIGMAS
/* Steps of a choice that cost as much as one instruction. */
#define STEPS 100.0

static json_t *length_json(double si, double u, const struct fw_unit *unit)
{
	struct fw_quantity q = fw_stack_length(si, u, "length", unit);
	return fw_json_quantity(&q);
}

static const char *length_text(double si, const struct fw_unit *unit, char *buffer, size_t size)
{
	struct fw_quantity q = fw_quantity_of(si, unit);
	return fw_quantity_text(&q, false, buffer, size);
}

/* The id of the call, which the value keeps. */
static const char *step_of(lua_State *L, int self)
{
	lua_getiuservalue(L, self, 1);
	const char *step = fw_words_text(L, -1, "id");
	lua_pop(L, 1);
	return step;
}

/* learn(stacks, readings) */

struct names {
	size_t count;
	char (*name)[FW_TOGETHER_NAME + 1];
};

static bool is_name(lua_State *L, int key, const void *context)
{
	const struct names *names = context;

	if (lua_isinteger(L, key))
		return lua_tointeger(L, key) >= 1 && lua_tointeger(L, key) <= (lua_Integer)names->count;
	for (size_t i = 0; lua_type(L, key) == LUA_TSTRING && i < names->count; i++)
		if (strcmp(lua_tostring(L, key), names->name[i]) == 0)
			return true;
	return false;
}

/* Every key of the table at `index` is one of the names or their numbers, not both of one. */
static void check_keys(lua_State *L, int index, const char *what, size_t count,
                       char (*name)[FW_TOGETHER_NAME + 1])
{
	const struct names names = {count, name};

	if (!lua_istable(L, index))
		luaL_error(L, "learn: give the %ss in a table, by name or in their order", what);
	const char *unknown = fw_words_unknown_key(L, index, is_name, &names);
	if (unknown)
		luaL_error(L, "learn: there is no %s '%s'", what, unknown[0] ? unknown : "of that number");
	for (size_t i = 0; i < count; i++) {
		bool numbered = lua_rawgeti(L, index, (lua_Integer)i + 1) != LUA_TNIL;
		lua_pushstring(L, name[i]);
		if (lua_rawget(L, index) != LUA_TNIL && numbered)
			luaL_error(L, "learn: the %s '%s' is given twice, by name and by number", what,
			           name[i]);
		lua_pop(L, 2);
	}
}

/* Pushes the entry of that name, or else of that number. */
static int push_entry(lua_State *L, int index, const char *name, size_t number)
{
	lua_pushstring(L, name);
	if (lua_rawget(L, index) != LUA_TNIL)
		return lua_type(L, -1);
	lua_pop(L, 1);
	return lua_rawgeti(L, index, (lua_Integer)number + 1);
}

/* A chosen stack, or a length that was miked. */
static struct fw_quantity stack_entry(lua_State *L, const struct fw_lua_together *t, size_t j)
{
	struct fw_quantity q;

	push_entry(L, 2, t->place_name[j], j);
	const struct fw_lua_stack *stack = fw_stack_get(L, -1);
	if (stack)
		q = fw_stack_length(stack->thickness, stack->u, "pieces of a stack", t->unit[0]);
	else if (!fw_lua_quantity_get(L, -1, &q))
		luaL_error(L, "learn: '%s' needs a stack that choose() gave, or a length such as mm(0.8)",
		           t->place_name[j]);
	if (!fw_dimension_equal(q.dimension, t->unit[0]->dimension))
		luaL_error(L, "learn: the stack of '%s' is no length", t->place_name[j]);
	lua_pop(L, 1);
	return q;
}

static struct fw_together_reading reading_entry(lua_State *L, const struct fw_lua_together *t,
                                                size_t i)
{
	struct fw_together_reading reading = {.read = false};
	struct fw_quantity q;

	if (push_entry(L, 3, t->response_name[i], i) != LUA_TNIL) {
		if (!fw_lua_quantity_get(L, -1, &q) ||
		    !fw_dimension_equal(q.dimension, t->unit[i]->dimension))
			luaL_error(L, "learn: '%s' must be a length, such as measure() gives",
			           t->response_name[i]);
		reading = (struct fw_together_reading){true, q.value, fw_quantity_u(&q)};
	}
	lua_pop(L, 1);
	return reading;
}

static void push_trial_text(lua_State *L, const struct fw_lua_together *t, size_t i,
                            const struct fw_trial *trial, double read)
{
	char predicted[64], now[64], difference[64], datum[64], sigmas[32], limit[32];
	const char *name = t->response_name[i];

	length_text(read, t->unit[i], now, sizeof now);
	length_text(t->datum[i].value, t->unit[i], datum, sizeof datum);
	if (isnan(trial->difference)) {
		lua_pushfstring(L, "%s: first reading with known shims: with none at all it would be %s.",
		                name, datum);
		return;
	}
	length_text(trial->predicted, t->unit[i], predicted, sizeof predicted);
	length_text(fabs(trial->difference), t->unit[i], difference, sizeof difference);
	snprintf(sigmas, sizeof sigmas, "%.1f", trial->sigmas);
	snprintf(limit, sizeof limit, "%g", FW_SURPRISE_SIGMAS);
	if (trial->surprise)
		lua_pushfstring(
		    L,
		    "%s: predicted %s, read %s, %s %s than the shims explain. Something else moved: a "
		    "bearing not seated, a gasket left out or doubled, a shim miscounted or at the wrong "
		    "place, another part, dirt. Look for it now. Its earlier trials no longer count; the "
		    "next stacks are worked out from this one.",
		    name, predicted, now, difference, trial->difference < 0 ? "less" : "more");
	else if (trial->sigmas > EXPECTED_SIGMAS)
		lua_pushfstring(L,
		                "%s: predicted %s, read %s: %s off, %s times its standard uncertainty. "
		                "That is more than usual; it is called a surprise from %s on.",
		                name, predicted, now, difference, sigmas, limit);
	else
		lua_pushfstring(L, "%s: predicted %s, read %s: as expected.", name, predicted, now);
}

/* One object for each place: its name and stack. */
static json_t *stacks_json(const struct fw_lua_together *t, const double *stack,
                           const double *stack_u)
{
	json_t *list = json_array();

	for (size_t j = 0; list && j < t->fit.places; j++) {
		json_t *one = json_object();
		bool failed =
		    json_object_set_new(one, "place", json_string(t->place_name[j])) != 0 ||
		    json_object_set_new(one, "stack", length_json(stack[j], stack_u[j], t->unit[0])) != 0;
		if (json_array_append_new(list, one) != 0 || failed) {
			json_decref(list);
			return NULL;
		}
	}
	return list;
}

/* What was given of one trial. */
struct given {
	double stack[FW_PLACES_MOST], stack_u[FW_PLACES_MOST];
	struct fw_together_reading reading[FW_RESPONSES_MOST];
};

static void find_trial(lua_State *L, const struct fw_lua_together *t, size_t i,
                       const struct given *given, const struct fw_trial *trial)
{
	const char *step = step_of(L, 1);
	const struct fw_together_reading *reading = &given->reading[i];
	json_t *ask = fw_words_object(L);

	fw_words_put_text(L, ask, "find", "trial");
	fw_words_put_text(L, ask, "place", t->response_name[i]);
	fw_words_put(L, ask, "stacks", stacks_json(t, given->stack, given->stack_u));
	fw_words_put(L, ask, "play", length_json(reading->value, reading->u, t->unit[i]));
	fw_words_put(L, ask, "trial", json_integer((json_int_t)t->trials));
	json_t *value = fw_words_object(L);
	fw_words_put(L, value, "datum", length_json(t->datum[i].value, t->datum[i].u, t->unit[i]));
	if (!isnan(trial->difference)) {
		fw_words_put(L, value, "predicted",
		             length_json(trial->predicted, trial->expected_u, t->unit[i]));
		fw_words_put(L, value, "difference", length_json(trial->difference, 0, t->unit[i]));
		fw_words_put(L, value, "sigmas", json_real(trial->sigmas));
		fw_words_put(L, value, "surprise", json_boolean(trial->surprise));
	}
	push_trial_text(L, t, i, trial, reading->value);
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	fw_words_find(L, step, -3, -2);
	lua_pop(L, 3);
}

/* { surprise = any, surprised = names, differences = by name }. */
static void push_outcome(lua_State *L, const struct fw_lua_together *t,
                         const struct fw_trial *trial)
{
	lua_Integer surprises = 0;

	lua_createtable(L, 0, 3);
	lua_newtable(L);
	lua_newtable(L);
	for (size_t i = 0; i < t->fit.responses; i++) {
		if (isnan(trial[i].difference))
			continue;
		struct fw_quantity q = fw_quantity_of(trial[i].difference, t->unit[i]);
		fw_lua_quantity_push(L, &q);
		lua_setfield(L, -2, t->response_name[i]);
		if (trial[i].surprise) {
			lua_pushstring(L, t->response_name[i]);
			lua_rawseti(L, -3, ++surprises);
		}
	}
	lua_setfield(L, -3, "differences");
	lua_setfield(L, -2, "surprised");
	lua_pushboolean(L, surprises > 0);
	lua_setfield(L, -2, "surprise");
}

int fw_lua_together_learn(lua_State *L)
{
	struct fw_lua_together *t = luaL_checkudata(L, 1, FW_LUA_TOGETHER);
	struct fw_together fit = fw_lua_together_fit(t, fw_lua_together_kit(L, 1));
	struct fw_trial trial[FW_RESPONSES_MOST];
	struct fw_error error = {0};
	struct given given = {.stack = {0.0}};

	lua_settop(L, 3);
	check_keys(L, 2, "place", fit.places, t->place_name);
	check_keys(L, 3, "response", fit.responses, t->response_name);
	for (size_t j = 0; j < fit.places; j++) {
		struct fw_quantity q = stack_entry(L, t, j);
		given.stack[j] = q.value;
		given.stack_u[j] = fw_quantity_u(&q);
	}
	for (size_t i = 0; i < fit.responses; i++)
		given.reading[i] = reading_entry(L, t, i);
	if (fw_together_learn(t->datum, &fit, given.stack, given.stack_u, given.reading,
	                      FW_SURPRISE_SIGMAS, trial, &error) != FW_OK)
		return luaL_error(L, "learn: %s", error.text);
	t->trials++;
	for (size_t i = 0; i < fit.responses; i++)
		if (given.reading[i].read)
			find_trial(L, t, i, &given, &trial[i]);
	push_outcome(L, t, trial);
	return 1;
}

/* choose() */

static const char *chance_text(double probability, char *buffer, size_t size)
{
	if (probability > 0.999)
		snprintf(buffer, size, "over 99.9 %%");
	else
		snprintf(buffer, size, "%.1f %%", 100.0 * probability);
	return buffer;
}

/* The stack on top of the Lua stack, chosen for place `j`. */
static void find_stack(lua_State *L, const struct fw_lua_together *t, size_t j)
{
	const struct fw_lua_stack *stack = fw_stack_get(L, -1);
	const char *step = step_of(L, 1);
	int top = lua_gettop(L);
	json_t *ask = fw_words_object(L);

	fw_words_put_text(L, ask, "find", "stack");
	fw_words_put_text(L, ask, "place", t->place_name[j]);
	json_t *value = fw_words_object(L);
	fw_words_put(L, value, "shims", fw_stack_pieces_json(stack));
	fw_words_put(L, value, "stack", length_json(stack->thickness, stack->u, stack->unit));
	fw_words_put(L, value, "probability", json_real(stack->probability));
	fw_stack_push_text(L, stack);
	lua_pushfstring(L, "%s: fit %s.", t->place_name[j], lua_tostring(L, -1));
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	fw_words_find(L, step, top + 1, top + 2);
	lua_settop(L, top);
}

static void find_response(lua_State *L, const struct fw_lua_together *t,
                          const struct fw_together_choice *c, size_t i)
{
	const char *step = step_of(L, 1);
	int top = lua_gettop(L);
	struct fw_quantity play = fw_stack_length(c->value[i], c->u[i], "length", t->unit[i]);
	char text[64], chance[32];

	lua_getiuservalue(L, 1, 3);
	lua_rawgeti(L, -1, (lua_Integer)i + 1); /* top + 2 */
	json_t *ask = fw_words_object(L);       /* top + 3 */
	fw_words_put_text(L, ask, "find", "response");
	fw_words_put_text(L, ask, "place", t->response_name[i]);
	fw_words_put(L, ask, "limits",
	             fw_figure_limits_json(fw_figure_get(L, top + 2, FW_FIGURE_LIMITS),
	                                   fw_figure_source(L, top + 2)));
	fw_words_put(L, ask, "datum", length_json(t->datum[i].value, t->datum[i].u, t->unit[i]));
	json_t *value = fw_words_object(L);
	fw_words_put(L, value, "play", fw_json_quantity(&play));
	fw_words_put(L, value, "probability", json_real(c->probability[i]));
	lua_pushfstring(L, "%s should come to %s, chance of being inside %s.", t->response_name[i],
	                fw_quantity_text(&play, true, text, sizeof text),
	                chance_text(c->probability[i], chance, sizeof chance));
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	fw_words_find(L, step, top + 3, top + 4);
	lua_settop(L, top);
}

/* The stacks by place, and what to expect by response. */
static int push_choice(lua_State *L, const struct fw_lua_together *t,
                       const struct fw_together_choice *c, const struct fw_bench_kit *kit)
{
	lua_createtable(L, 0, (int)t->fit.places);
	for (size_t j = 0; j < t->fit.places; j++) {
		struct fw_shim_choice one = {
		    .stack = c->stack[j], .play = NAN, .u = NAN, .probability = c->chance};
		fw_stack_push(L, &one, kit);
		find_stack(L, t, j);
		lua_setfield(L, -2, t->place_name[j]);
	}
	lua_createtable(L, 0, (int)t->fit.responses);
	for (size_t i = 0; i < t->fit.responses; i++) {
		struct fw_quantity q =
		    fw_stack_length(c->value[i], c->u[i], "prediction from stacks", t->unit[i]);
		find_response(L, t, c, i);
		fw_lua_quantity_push(L, &q);
		lua_setfield(L, -2, t->response_name[i]);
	}
	return 2;
}

/* No shims can help: nil and why, which is found too. */
static int push_why(lua_State *L, const char *why)
{
	const char *step = step_of(L, 1);
	int top = lua_gettop(L);
	json_t *ask = fw_words_object(L);

	fw_words_put_text(L, ask, "find", "remark");
	json_t *value = fw_words_object(L);
	fw_words_put_text(L, value, "text", why);
	fw_words_find(L, step, top + 1, top + 2);
	lua_settop(L, top);
	lua_pushnil(L);
	lua_pushstring(L, why);
	return 2;
}

static int after_piece(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	fw_bench_kit_take(L, fw_lua_together_kit(L, 1));
	return fw_lua_together_choose(L);
}

int fw_lua_together_choose(lua_State *L)
{
	struct fw_lua_together *t = luaL_checkudata(L, 1, FW_LUA_TOGETHER);
	struct fw_bench_kit *kit = fw_lua_together_kit(L, 1);
	struct fw_together fit = fw_lua_together_fit(t, kit);
	struct fw_together_choice c = {.work = 0.0};
	struct fw_error error = {0};

	lua_settop(L, 1);
	lua_getiuservalue(L, 1, 1); /* index 2: the call's table */
	int code = fw_together_choose(&c, &fit, t->datum, &error);
	fw_sandbox_charge(L, (uint64_t)(c.work / STEPS));
	if (code == FW_OK)
		return push_choice(L, t, &c, kit);
	if (code != FW_ERR_RANGE)
		return luaL_error(L, "choose: %s", error.text);
	if (c.end == FW_TOGETHER_PIECE || c.end == FW_TOGETHER_STACKS)
		return fw_bench_kit_ask(L, fw_words_together, 2, kit, error.text, after_piece);
	return push_why(L, error.text);
}
