/* SPDX-License-Identifier: GPL-3.0-or-later */
/* gaskets.choose: the gasket for a gap measured bare. */
#include "bench_kit.h"
#include "figures.h"
#include "fitwright/shim.h"
#include "lua_quantity.h"
#include "stack.h"
#include "words.h"

static int after_piece(lua_State *L, int status, lua_KContext state);

/* Stack: 1 the call's table, 2 the bench kit. */
static int choose_gasket(lua_State *L)
{
	struct fw_bench_kit *kit = lua_touserdata(L, 2);
	struct fw_quantity gap;
	struct fw_shim_choice choice;
	struct fw_error error = {0};

	fw_words_quantity(L, 1, "gap", &gap);
	lua_getfield(L, 1, "nip");
	const struct fw_figure_limits *nip = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	lua_pop(L, 1);
	int code = fw_gasket_choose(&choice, gap.value, fw_quantity_u(&gap), kit->shim, kit->count,
	                            (size_t)fw_words_whole(L, 1, "most", 1), &nip->si, &error);
	if (code == FW_ERR_RANGE)
		return fw_bench_kit_ask(L, fw_words_gasket, 1, kit, error.text, after_piece);
	if (code != FW_OK)
		return fw_words_error(L, fw_words_gasket->name, 1, "%s", error.text);
	fw_stack_push(L, &choice, kit);
	const struct fw_lua_stack *stack = fw_stack_get(L, 3);
	fw_stack_find(
	    L, 1, stack,
	    &(struct fw_stack_finding){
	        .find = "gasket",
	        .limits = "nip",
	        .given_name = "gap",
	        .given = gap,
	        .outcome = "nip",
	        .unit = stack->unit,
	        .sentence = "Fit a gasket of %s: the nip should come to %s, chance of being right %s.",
	    });
	return 1;
}

static int after_piece(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	lua_settop(L, 2);
	fw_bench_kit_take(L, lua_touserdata(L, 2));
	return choose_gasket(L);
}

static int run_gasket(lua_State *L)
{
	static const struct fw_dimension length = {.length = 1};
	struct fw_quantity gap;

	fw_words_check(L, fw_words_gasket);
	fw_words_quantity(L, 1, "gap", &gap);
	lua_getfield(L, 1, "nip");
	const struct fw_figure_limits *nip = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	lua_pop(L, 1);
	if (!fw_dimension_equal(gap.dimension, length) ||
	    !fw_dimension_equal(nip->unit->dimension, length))
		return fw_words_error(L, fw_words_gasket->name, 1, "'gap' and 'nip' must both be lengths");
	lua_getfield(L, 1, "kit");
	fw_bench_kit_new(L, fw_figure_get(L, -1, FW_FIGURE_KIT));
	lua_remove(L, 2);
	return choose_gasket(L);
}

/* The table. */

static const struct fw_field gasket_fields[] = {
    {"id", FW_FIELD_ID, true, "name of the step, its own in the procedure"},
    {"gap", FW_FIELD_QUANTITY, true, "the gap measured bare"},
    {"kit", FW_FIELD_KIT, true, "the gaskets at hand"},
    {"nip", FW_FIELD_LIMITS, true, "limits of the nip on the bearing; negative is float"},
    {"most", FW_FIELD_WHOLE, false, "most gaskets in one pack; 1 when left out"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_gasket[] = {{"gaskets.choose",
                                           "The gasket for a gap measured bare; returns the stack.",
                                           run_gasket, gasket_fields, NULL, false},
                                          {NULL, NULL, NULL, NULL, NULL, false}};
