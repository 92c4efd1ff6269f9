/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stack.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <lauxlib.h>

#include "bench_kit.h"
#include "json.h"
#include "lua_quantity.h"
#include "words.h"

#define STACK "fw.stack"

struct fw_quantity fw_stack_length(double si, double u, const char *label,
                                   const struct fw_unit *unit)
{
	struct fw_quantity q = fw_quantity_of(si, unit);

	if (label && u > 0)
		fw_quantity_add_term(&q, fw_source_name(label), u, INFINITY, NULL);
	return q;
}

json_t *fw_stack_pieces_json(const struct fw_lua_stack *stack)
{
	json_t *list = json_array();

	for (size_t i = 0; list && i < stack->count; i++) {
		if (json_array_append_new(list, fw_json_of(stack->piece[i], stack->unit)) != 0) {
			json_decref(list);
			return NULL;
		}
	}
	return list;
}

/* The figure without its unit. */
static void add_figure(luaL_Buffer *out, double si, const struct fw_unit *unit)
{
	char text[64];
	struct fw_quantity q = fw_quantity_of(si, unit);

	fw_quantity_text(&q, false, text, sizeof text);
	char *space = strchr(text, ' ');
	luaL_addlstring(out, text, space ? (size_t)(space - text) : strlen(text));
}

void fw_stack_push_text(lua_State *L, const struct fw_lua_stack *stack)
{
	luaL_Buffer out;
	char total[64];
	struct fw_quantity q = fw_quantity_of(stack->thickness, stack->unit);

	fw_quantity_text(&q, false, total, sizeof total);
	luaL_buffinit(L, &out);
	if (stack->count == 0)
		luaL_addstring(&out, "no shims");
	for (size_t i = 0; i < stack->count; i++) {
		luaL_addstring(&out, i ? " + " : "");
		add_figure(&out, stack->piece[i], stack->unit);
	}
	if (stack->count > 0) {
		luaL_addstring(&out, " ");
		luaL_addstring(&out, stack->unit->symbol);
	}
	if (stack->count > 1) {
		luaL_addstring(&out, " (together ");
		luaL_addstring(&out, total);
		luaL_addstring(&out, ")");
	}
	luaL_pushresult(&out);
}

const struct fw_lua_stack *fw_stack_get(lua_State *L, int index)
{
	return luaL_testudata(L, index, STACK);
}

static int stack_tostring(lua_State *L)
{
	fw_stack_push_text(L, luaL_checkudata(L, 1, STACK));
	return 1;
}

/* As fw_lua_concat(): '..' must not come back from a function of C. */
static int stack_concat(lua_State *L)
{
	return luaL_error(L, "'..' joins texts only: write tostring() around the stack");
}

/* The source of a chosen stack's uncertainty: its pieces, whatever trial they serve in. */
static void push_length(lua_State *L, const struct fw_lua_stack *stack, double si, double u,
                        const char *label)
{
	struct fw_quantity q = fw_stack_length(si, u, label, stack->unit);
	fw_lua_quantity_push(L, &q);
}

static int stack_index(lua_State *L)
{
	const struct fw_lua_stack *stack = luaL_checkudata(L, 1, STACK);
	const char *key = luaL_checkstring(L, 2);

	if (strcmp(key, "thickness") == 0)
		push_length(L, stack, stack->thickness, stack->u, "pieces of a stack");
	else if (strcmp(key, "play") == 0 && isnan(stack->play))
		return luaL_error(L, "a stack of several places has no play of its own; choose() returns "
		                     "what to expect beside the stacks");
	else if (strcmp(key, "play") == 0)
		push_length(L, stack, stack->play, stack->play_u, "prediction from a stack");
	else if (strcmp(key, "probability") == 0)
		lua_pushnumber(L, stack->probability);
	else if (strcmp(key, "count") == 0)
		lua_pushinteger(L, (lua_Integer)stack->count);
	else
		return luaL_error(
		    L, "a stack has no field '%s'; it has thickness, play, probability, count", key);
	return 1;
}

void fw_stack_push(lua_State *L, const struct fw_shim_choice *choice,
                   const struct fw_bench_kit *kit)
{
	static const luaL_Reg methods[] = {{"__tostring", stack_tostring},
	                                   {"__concat", stack_concat},
	                                   {"__index", stack_index},
	                                   {NULL, NULL}};
	struct fw_lua_stack *stack = lua_newuserdatauv(L, sizeof *stack, 0);

	*stack = (struct fw_lua_stack){.unit = kit->unit,
	                               .count = choice->stack.count,
	                               .thickness = choice->stack.thickness,
	                               .u = choice->stack.u,
	                               .play = choice->play,
	                               .play_u = choice->u,
	                               .probability = choice->probability};
	for (size_t i = 0; i < stack->count; i++)
		stack->piece[i] = kit->shim[choice->stack.shim[i]].thickness;
	if (luaL_newmetatable(L, STACK)) {
		luaL_setfuncs(L, methods, 0);
		lua_pushboolean(L, 0);
		lua_setfield(L, -2, "__metatable");
	}
	lua_setmetatable(L, -2);
}

static const char *chance_text(double probability, char *buffer, size_t size)
{
	if (probability > 0.999)
		snprintf(buffer, size, "over 99.9 %%");
	else
		snprintf(buffer, size, "%.1f %%", 100.0 * probability);
	return buffer;
}

static void push_sentence(lua_State *L, const struct fw_lua_stack *stack, const char *sentence,
                          const struct fw_quantity *play)
{
	char text[64], chance[32];

	fw_stack_push_text(L, stack);
	lua_pushfstring(L, sentence, lua_tostring(L, -1),
	                fw_quantity_text(play, true, text, sizeof text),
	                chance_text(stack->probability, chance, sizeof chance));
	lua_remove(L, -2);
}

void fw_stack_find(lua_State *L, int args, const struct fw_lua_stack *stack,
                   const struct fw_stack_finding *finding)
{
	const char *step = fw_words_text(L, args, "id");
	int top = lua_gettop(L);
	struct fw_quantity thickness =
	    fw_stack_length(stack->thickness, stack->u, "length", stack->unit);
	struct fw_quantity play = fw_stack_length(stack->play, stack->play_u, "length", finding->unit);

	lua_getfield(L, args, finding->limits);
	const struct fw_figure_limits *limits = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	const struct fw_figure_source *source = fw_figure_source(L, -1);
	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", finding->find);
	fw_words_put_text(L, ask, "place", step);
	fw_words_put(L, ask, "limits", fw_figure_limits_json(limits, source));
	fw_words_put(L, ask, finding->given_name, fw_json_quantity(&finding->given));
	json_t *value = fw_words_object(L);
	fw_words_put(L, value, "shims", fw_stack_pieces_json(stack));
	fw_words_put(L, value, "stack", fw_json_quantity(&thickness));
	fw_words_put(L, value, finding->outcome, fw_json_quantity(&play));
	fw_words_put(L, value, "probability", json_real(stack->probability));
	push_sentence(L, stack, finding->sentence, &play);
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	fw_words_find(L, step, top + 2, top + 3);
	lua_settop(L, top);
}
