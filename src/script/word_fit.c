/* SPDX-License-Identifier: GPL-3.0-or-later */
/* shims.fit: shims at one place by trial, as an object with learn() and choose(). */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "bench_kit.h"
#include "figures.h"
#include "fitwright/shim.h"
#include "json.h"
#include "lua_quantity.h"
#include "stack.h"
#include "words.h"

#define FIT "fw.fit"

/* A difference of up to so many standard uncertainties is as expected: 95 in 100 are smaller. */
#define EXPECTED_SIGMAS 2.0

/* Uservalues: 1 a copy of the call's table, 2 the bench kit. */
struct fit {
	struct fw_datum datum;
	struct fw_limits limits;
	const struct fw_unit *unit;
	size_t most;
	double settle_u;
	unsigned trials;
};

static struct fw_bench_kit *kit_of(lua_State *L, int fit)
{
	lua_getiuservalue(L, fit, 2);
	struct fw_bench_kit *kit = lua_touserdata(L, -1);
	lua_pop(L, 1);
	return kit;
}

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

/* fit:learn(stack, play) */

static void push_trial_text(lua_State *L, const struct fit *fit, const struct fw_trial *trial,
                            double play)
{
	char predicted[64], read[64], difference[64], datum[64], sigmas[32], limit[32];

	snprintf(sigmas, sizeof sigmas, "%.1f", trial->sigmas);
	snprintf(limit, sizeof limit, "%g", FW_SURPRISE_SIGMAS);

	length_text(trial->predicted, fit->unit, predicted, sizeof predicted);
	length_text(play, fit->unit, read, sizeof read);
	length_text(fabs(trial->difference), fit->unit, difference, sizeof difference);
	length_text(fit->datum.value, fit->unit, datum, sizeof datum);
	if (isnan(trial->predicted)) {
		lua_pushfstring(L, "First reading with known shims: with none at all the play would be %s.",
		                datum);
	} else if (!trial->surprise && trial->sigmas <= EXPECTED_SIGMAS) {
		lua_pushfstring(L, "Predicted %s, read %s: as expected.", predicted, read);
	} else if (!trial->surprise) {
		lua_pushfstring(L,
		                "Predicted %s, read %s: %s off, %s times its standard uncertainty. That is "
		                "more than usual; it is called a surprise from %s on.",
		                predicted, read, difference, sigmas, limit);
	} else {
		lua_pushfstring(
		    L,
		    "Predicted %s, read %s, %s %s than the shims explain. Something else moved: a "
		    "bearing not seated, a gasket left out or doubled, a shim miscounted, another part, "
		    "dirt. "
		    "Look for it now. The earlier trials no longer count; the next stack is worked out "
		    "from "
		    "this one.",
		    predicted, read, difference, trial->difference < 0 ? "less" : "more");
	}
}

static void find_trial(lua_State *L, const struct fit *fit, const char *step,
                       const struct fw_quantity *stack, const struct fw_quantity *play,
                       const struct fw_trial *trial)
{
	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", "trial");
	fw_words_put_text(L, ask, "place", step);
	fw_words_put(L, ask, "stack", fw_json_quantity(stack));
	fw_words_put(L, ask, "play", fw_json_quantity(play));
	fw_words_put(L, ask, "trial", json_integer((json_int_t)fit->trials));
	json_t *value = fw_words_object(L);
	fw_words_put(L, value, "datum", length_json(fit->datum.value, fit->datum.u, fit->unit));
	if (!isnan(trial->predicted)) {
		fw_words_put(L, value, "predicted",
		             length_json(trial->predicted, trial->expected_u, fit->unit));
		fw_words_put(L, value, "difference", length_json(trial->difference, 0, fit->unit));
		fw_words_put(L, value, "sigmas", json_real(trial->sigmas));
		fw_words_put(L, value, "surprise", json_boolean(trial->surprise));
	}
	push_trial_text(L, fit, trial, play->value);
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	fw_words_find(L, step, -3, -2);
	lua_pop(L, 3);
}

/* The stack of a trial: a chosen one, or a length that was miked. */
static struct fw_quantity stack_argument(lua_State *L, int index, const struct fit *fit)
{
	struct fw_quantity q;
	const struct fw_lua_stack *stack = fw_stack_get(L, index);

	if (stack)
		return fw_stack_length(stack->thickness, stack->u, "pieces of a stack", fit->unit);
	if (!fw_lua_quantity_get(L, index, &q))
		luaL_error(L,
		           "learn: the stack must be one that choose() gave, or a length such as mm(0.8)");
	return q;
}

static int fit_learn(lua_State *L)
{
	struct fit *fit = luaL_checkudata(L, 1, FIT);
	struct fw_quantity stack = stack_argument(L, 2, fit), play;
	struct fw_trial trial;
	struct fw_error error = {0};

	if (!fw_lua_quantity_get(L, 3, &play))
		return luaL_error(L, "learn: the play must be a length, such as measure() gives");
	if (!fw_dimension_equal(stack.dimension, fit->unit->dimension) ||
	    !fw_dimension_equal(play.dimension, fit->unit->dimension))
		return luaL_error(L, "learn: stack and play must both be lengths");
	if (fw_shim_learn(&fit->datum, stack.value, fw_quantity_u(&stack), play.value,
	                  fw_quantity_u(&play), fit->settle_u, FW_SURPRISE_SIGMAS, &trial,
	                  &error) != FW_OK)
		return luaL_error(L, "learn: %s", error.text);
	fit->trials++;
	lua_getiuservalue(L, 1, 1);
	stack.unit = fit->unit;
	play.unit = fit->unit;
	find_trial(L, fit, fw_words_text(L, -1, "id"), &stack, &play, &trial);

	lua_createtable(L, 0, 2);
	lua_pushboolean(L, trial.surprise);
	lua_setfield(L, -2, "surprise");
	if (!isnan(trial.difference)) {
		struct fw_quantity difference = fw_quantity_of(trial.difference, fit->unit);
		fw_lua_quantity_push(L, &difference);
		lua_setfield(L, -2, "difference");
	}
	return 1;
}

/* fit:choose() */

static int after_piece(lua_State *L, int status, lua_KContext state);

static int fit_choose(lua_State *L)
{
	struct fit *fit = luaL_checkudata(L, 1, FIT);
	struct fw_bench_kit *kit = kit_of(L, 1);
	struct fw_shim_choice choice;
	struct fw_error error = {0};

	lua_settop(L, 1);
	lua_getiuservalue(L, 1, 1); /* index 2: the call's table */
	int code = fw_shim_choose(&choice, &fit->datum, kit->shim, kit->count, fit->most, true,
	                          &fit->limits, fit->settle_u, &error);
	if (code == FW_ERR_RANGE)
		return fw_bench_kit_ask(L, fw_words_fit, 2, kit, error.text, after_piece);
	if (code == FW_ERR_STATE)
		return luaL_error(
		    L, "choose: no trial yet; call learn() with the stack and the play as found");
	if (code != FW_OK)
		return luaL_error(L, "choose: %s", error.text);
	fw_stack_push(L, &choice, kit);
	fw_stack_find(L, 2, fw_stack_get(L, 3),
	              &(struct fw_stack_finding){
	                  .find = "stack",
	                  .limits = "limits",
	                  .given_name = "datum",
	                  .given = fw_stack_length(fit->datum.value, fit->datum.u, "length", fit->unit),
	                  .outcome = "play",
	                  .unit = fit->unit,
	                  .sentence = "Fit %s: the play should come to %s, chance of being inside %s.",
	              });
	return 1;
}

static int after_piece(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	fw_bench_kit_take(L, kit_of(L, 1));
	return fit_choose(L);
}

/* shims.fit { … } */

static int run_fit(lua_State *L)
{
	static const luaL_Reg methods[] = {{"learn", fit_learn}, {"choose", fit_choose}, {NULL, NULL}};
	struct fw_quantity settle;

	fw_words_check(L, fw_words_fit);
	struct fit *fit = lua_newuserdatauv(L, sizeof *fit, 2);
	memset(fit, 0, sizeof *fit);
	fw_words_keep(L);
	lua_setiuservalue(L, 2, 1);
	lua_getfield(L, 1, "kit");
	struct fw_bench_kit *kit = fw_bench_kit_new(L, fw_figure_get(L, -1, FW_FIGURE_KIT));
	lua_setiuservalue(L, 2, 2);
	lua_getfield(L, 1, "limits");
	const struct fw_figure_limits *limits = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	fit->limits = limits->si;
	fit->unit = limits->unit;
	if (!fw_dimension_equal(fit->unit->dimension, kit->unit->dimension))
		return fw_words_error(L, fw_words_fit->name, 1, "the limits are no length");
	fit->most = (size_t)fw_words_whole(L, 1, "most", 4);
	if (fit->most > FW_STACK_MOST)
		return fw_words_error(L, fw_words_fit->name, 1,
		                      "'most' is %d; a stack holds %d at the most", (int)fit->most,
		                      FW_STACK_MOST);
	if (fw_words_quantity(L, 1, "settle", &settle)) {
		if (!fw_dimension_equal(settle.dimension, kit->unit->dimension) || settle.value < 0)
			return fw_words_error(L, fw_words_fit->name, 1, "'settle' must be a length from 0");
		fit->settle_u = settle.value;
	}
	lua_settop(L, 2);
	fw_words_set_methods(L, FIT, methods);
	return 1;
}

/* The table. */

static const struct fw_field fit_fields[] = {
    {"id", FW_FIELD_ID, true, "name of the place, its own in the procedure"},
    {"kit", FW_FIELD_KIT, true, "the shims at hand"},
    {"limits", FW_FIELD_LIMITS, true, "limits of the play"},
    {"most", FW_FIELD_WHOLE, false, "most shims in one stack; 4 when left out"},
    {"settle", FW_FIELD_QUANTITY, false, "how well an assembly repeats, as a standard deviation"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_fit[] = {
    {"shims.fit", "Shims at one place by trial; has learn(stack, play) and choose().", run_fit,
     fit_fields, NULL, false},
    {NULL, NULL, NULL, NULL, NULL, false}};
