/* SPDX-License-Identifier: GPL-3.0-or-later */
/* measure: readings off a gauge, combined. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures.h"
#include "fitwright/measure.h"
#include "json.h"
#include "lua_quantity.h"
#include "words.h"

static const struct fw_word *const words = fw_words_measure;

/* A measurement under way, at index 2 of the running word. */
struct measurement {
	struct fw_gauge gauge;
	const struct fw_unit *unit;
	lua_Integer want;
	double spread;                /* widest range that isn't queried, SI */
	bool kept;                    /* a wider one was, and stays */
	struct fw_quantity reading[]; /* want of them */
};

/* The gauge of the call: a figure of the sheet, or a typical one by name. */
static struct fw_gauge find_gauge(lua_State *L)
{
	const char *name = fw_words_text(L, 1, "gauge");
	const struct fw_gauge *typical = name ? fw_gauge_typical(name) : NULL;

	if (typical)
		return *typical;
	if (name) {
		size_t count;
		const struct fw_gauge *list = fw_gauges_typical(&count);
		luaL_Buffer known;
		luaL_buffinit(L, &known);
		for (size_t i = 0; i < count; i++) {
			luaL_addstring(&known, i ? ", " : "");
			luaL_addstring(&known, list[i].name);
		}
		luaL_pushresult(&known);
		fw_words_error(
		    L, "measure", 1,
		    "no typical gauge is called '%s'; there are: %s; or describe yours in the sheet", name,
		    lua_tostring(L, -1));
	}
	lua_getfield(L, 1, "gauge");
	const struct fw_figure_gauge *figure = fw_figure_get(L, -1, FW_FIGURE_GAUGE);
	lua_pop(L, 1); /* the call's table still holds it */
	return figure->gauge;
}

static int ask_reading(lua_State *L, const struct measurement *m, lua_Integer taken);
static int ask_spread(lua_State *L, const struct measurement *m);

static json_t *gauge_json(const struct measurement *m)
{
	return json_pack("{s:s, s:o, s:o, s:s}", "name", m->gauge.name, "resolution",
	                 fw_json_span(m->gauge.resolution, m->unit), "error",
	                 fw_json_span(m->gauge.error, m->unit), "source", m->gauge.source);
}

/* How far the readings lie apart: of a temperature a difference in kelvins. */
static struct fw_quantity range_of(lua_State *L, const struct measurement *m)
{
	const struct fw_quantity *low = &m->reading[0], *high = low;
	struct fw_quantity range;
	struct fw_error error = {0};

	for (lua_Integer i = 1; i < m->want; i++) {
		if (m->reading[i].value < low->value)
			low = &m->reading[i];
		if (m->reading[i].value > high->value)
			high = &m->reading[i];
	}
	if (fw_quantity_sub(&range, high, low, &error) != FW_OK)
		fw_words_error(L, "measure", 1, "%s", error.text);
	if (m->unit->offset == 0)
		range.unit = m->unit;
	return range;
}

static void push_measurement_text(lua_State *L, const struct measurement *m,
                                  const struct fw_quantity *mean)
{
	char text[64], apart[64];
	struct fw_quantity shown = *mean, range = range_of(L, m);

	shown.unit = m->unit;
	fw_quantity_text(&shown, true, text, sizeof text);
	if (m->kept)
		lua_pushfstring(L, "%s (mean of %d readings that lie %s apart, %s)", text, (int)m->want,
		                fw_quantity_text(&range, false, apart, sizeof apart), m->gauge.name);
	else if (m->want > 1)
		lua_pushfstring(L, "%s (mean of %d readings, %s)", text, (int)m->want, m->gauge.name);
	else
		lua_pushfstring(L, "%s (%s)", text, m->gauge.name);
}

static int finish_measurement(lua_State *L, const struct measurement *m)
{
	const char *step = fw_words_text(L, 1, "id");
	struct fw_error error = {0};
	struct fw_quantity mean;

	lua_getfield(L, LUA_REGISTRYINDEX, "fw.measured");
	lua_Integer number = lua_tointeger(L, -1) + 1;
	lua_pushinteger(L, number);
	lua_setfield(L, LUA_REGISTRYINDEX, "fw.measured");
	const char *label = lua_pushfstring(L, "%s#%d", step, (int)number);
	if (fw_measure_combine(&mean, m->reading, (size_t)m->want, &m->gauge, label, &error) != FW_OK)
		return fw_words_error(L, "measure", 1, "%s", error.text);
	mean.unit = m->unit;

	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", "measurement");
	json_t *readings = json_array();
	fw_words_put(L, ask, "readings", readings);
	for (lua_Integer i = 0; i < m->want; i++)
		if (json_array_append_new(readings, fw_json_quantity(&m->reading[i])) != 0)
			return luaL_error(L, "out of memory");
	fw_words_put(L, ask, "gauge", gauge_json(m));
	json_t *value = fw_words_object(L);
	fw_words_put(L, value, "quantity", fw_json_quantity(&mean));
	if (m->kept) {
		struct fw_quantity range = range_of(L, m);
		fw_words_put(L, value, "spread", fw_json_quantity(&range));
	}
	push_measurement_text(L, m, &mean);
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	fw_words_find(L, step, -3, -2);
	fw_lua_quantity_push(L, &mean);
	return 1;
}

/* Readings further apart than the gauge explains: a slip, or a part that doesn't sit still.
 * Averaged in silence they would make any prediction look right. */

static int after_spread(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	struct measurement *m = lua_touserdata(L, 2);

	lua_settop(L, 2);
	if (fw_words_answer(L)->option == 0)
		return ask_reading(L, m, 0);
	m->kept = true;
	return finish_measurement(L, m);
}

static void push_spread_text(lua_State *L, const struct measurement *m)
{
	char text[64];
	struct fw_quantity range = range_of(L, m);
	luaL_Buffer out;

	luaL_buffinit(L, &out);
	luaL_addstring(&out, "The readings lie ");
	luaL_addstring(&out, fw_quantity_text(&range, false, text, sizeof text));
	luaL_addstring(&out, " apart, more than the gauge explains:");
	for (lua_Integer i = 0; i < m->want; i++) {
		luaL_addstring(&out, i ? ", " : " ");
		luaL_addstring(&out,
		               fw_quantity_text_in(&m->reading[i], m->unit, false, text, sizeof text));
	}
	luaL_addstring(&out, ". Was one mistyped, or does the part not sit still?");
	luaL_pushresult(&out);
}

static int ask_spread(lua_State *L, const struct measurement *m)
{
	json_t *question = fw_words_question(L, words, 1, FW_ASK_CHOICE, "spread");

	json_object_del(question, "caution");
	push_spread_text(L, m);
	fw_words_put_text(L, question, "say", lua_tostring(L, -1));
	lua_pop(L, 1);
	fw_words_put(L, question, "options",
	             json_pack("[s, s]", "measure again", "keep these readings"));
	return fw_words_ask(L, after_spread, 0);
}

static int after_reading(lua_State *L, int status, lua_KContext taken)
{
	(void)status;
	struct measurement *m = lua_touserdata(L, 2);

	lua_settop(L, 2);
	m->reading[taken] = fw_words_answer(L)->quantity;
	if (taken + 1 < m->want)
		return ask_reading(L, m, (lua_Integer)taken + 1);
	return range_of(L, m).value > m->spread ? ask_spread(L, m) : finish_measurement(L, m);
}

static int ask_reading(lua_State *L, const struct measurement *m, lua_Integer taken)
{
	struct fw_quantity low, high;
	const char *item = NULL;

	if (m->want > 1)
		item = lua_pushfstring(L, "reading %d of %d", (int)taken + 1, (int)m->want);
	json_t *question = fw_words_question(L, words, 1, FW_ASK_QUANTITY, item);
	if (taken > 0)
		json_object_del(question, "caution"); /* said at the first reading */
	fw_words_put_text(L, question, "unit", m->unit->symbol);
	fw_words_put_text(L, question, "gauge", m->gauge.name);
	if (lua_getfield(L, 1, "plausible") == LUA_TTABLE &&
	    fw_words_range(L, lua_gettop(L), &low, &high)) {
		fw_words_put(L, question, "low", fw_json_quantity(&low));
		fw_words_put(L, question, "high", fw_json_quantity(&high));
	}
	lua_pop(L, 1);
	return fw_words_ask(L, after_reading, (lua_KContext)taken);
}

static void check_dimensions(lua_State *L, const struct measurement *m)
{
	struct fw_quantity low, high;
	char unit_name[64], other_name[64];

	fw_dimension_name(m->unit->dimension, unit_name, sizeof unit_name);
	if (!fw_dimension_equal(m->unit->dimension, m->gauge.dimension))
		fw_words_error(L, "measure", 1, "the gauge '%s' reads a %s, and '%s' is a %s",
		               m->gauge.name,
		               fw_dimension_name(m->gauge.dimension, other_name, sizeof other_name),
		               m->unit->symbol, unit_name);
	if (lua_getfield(L, 1, "plausible") == LUA_TTABLE &&
	    fw_words_range(L, lua_gettop(L), &low, &high) &&
	    !fw_dimension_equal(low.dimension, m->unit->dimension))
		fw_words_error(L, "measure", 1, "'plausible' is a %s, and '%s' is a %s",
		               fw_dimension_name(low.dimension, other_name, sizeof other_name),
		               m->unit->symbol, unit_name);
	lua_pop(L, 1);
}

/* What is asked for, or four steps of the scale and twice the gauge's limit of error. */
static double spread_of(lua_State *L, const struct measurement *m)
{
	struct fw_quantity own;

	if (!fw_words_quantity(L, 1, "spread", &own))
		return 4.0 * m->gauge.resolution + 2.0 * m->gauge.error;
	if (!fw_dimension_equal(own.dimension, m->unit->dimension) || !(own.value > 0))
		fw_words_error(L, "measure", 1,
		               "'spread' must be above 0 and of the same kind as the readings");
	if (own.unit && own.unit->offset != 0)
		fw_words_error(L, "measure", 1, "'spread' of temperatures is a difference: write K(5)");
	return own.value;
}

static int run_measure(lua_State *L)
{
	fw_words_check(L, words);
	struct fw_gauge gauge = find_gauge(L);
	lua_settop(L, 1);
	lua_Integer want = fw_words_whole(L, 1, "readings", 1);
	if (want > FW_READINGS_MOST)
		return fw_words_error(L, "measure", 1,
		                      "%d readings are more than the %d of one measurement", (int)want,
		                      FW_READINGS_MOST);
	struct measurement *m =
	    lua_newuserdatauv(L, sizeof *m + (size_t)want * sizeof m->reading[0], 0);
	m->gauge = gauge;
	m->want = want;
	lua_getfield(L, 1, "unit");
	m->unit = fw_lua_unit_get(L, -1);
	lua_pop(L, 1);
	check_dimensions(L, m);
	m->kept = false;
	m->spread = spread_of(L, m);
	return ask_reading(L, m, 0);
}

/* The table. */

static const struct fw_field measure_fields[] = {
    {"id", FW_FIELD_ID, true, "name of the step, its own in the procedure"},
    {"say", FW_FIELD_TEXT, true, "how to measure"},
    {"unit", FW_FIELD_UNIT, true, "unit of a bare number"},
    {"gauge", FW_FIELD_GAUGE, true, "what it is measured with"},
    {"readings", FW_FIELD_WHOLE, false, "how many readings; 1 when left out"},
    {"plausible", FW_FIELD_RANGE, false, "readings outside are asked about once"},
    {"spread", FW_FIELD_QUANTITY, false,
     "readings further apart are asked about; by the gauge when left out"},
    {"caution", FW_FIELD_TEXT, false, "what can hurt, and how to avoid it"},
    {"help", FW_FIELD_TEXT, false, "more, shown when asked for"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_measure[] = {
    {"measure", "Readings off a gauge; returns their mean with its uncertainty.", run_measure,
     measure_fields, NULL, false},
    {NULL, NULL, NULL, NULL, NULL, false}};
