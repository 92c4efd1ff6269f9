/* SPDX-License-Identifier: GPL-3.0-or-later */
/* measure: readings off a gauge, combined. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures.h"
#include "fitwright/measure.h"
#include "gauge_ratio.h"
#include "json.h"
#include "lua_quantity.h"
#include "words.h"

static const struct fw_word *const words = fw_words_measure;

/* A gauge of the shop's register; its texts are held by the measurement's user values. */
struct registered {
	const char *kind; /* NULL: the gauge is a typical one, or one of the sheet */
	const char *calibrated, *due, *source;
};
enum { HELD_ID = 1, HELD_KIND, HELD_CALIBRATED, HELD_DUE, HELD_SOURCE, HELD = HELD_SOURCE };

/* A measurement under way, at index 2 of the running word. */
struct measurement {
	struct fw_gauge asked; /* what the procedure asks for */
	struct fw_gauge gauge; /* what is read: one of the register, named by its id, or the same */
	struct registered registered;
	const struct fw_unit *unit;
	lua_Integer want;
	double width;                 /* of the limits it is for, SI; 0: not known, or open */
	double spread;                /* widest range that isn't queried, SI; 0: by the gauge */
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

/* Puts the gauge into what a finding was worked out from. */
static void put_gauge(lua_State *L, json_t *ask, const struct measurement *m)
{
	json_t *gauge = json_object();

	fw_words_put(L, ask, "gauge", gauge);
	fw_words_put_text(L, gauge, "name", m->asked.name);
	fw_words_put(L, gauge, "resolution", fw_json_span(m->gauge.resolution, m->unit));
	fw_words_put(L, gauge, "error", fw_json_span(m->gauge.error, m->unit));
	if (m->gauge.relative > 0)
		fw_words_put(L, gauge, "relative", json_real(m->gauge.relative));
	if (!m->registered.kind) {
		fw_words_put_text(L, gauge, "source", m->gauge.source);
		return;
	}
	fw_words_put_text(L, gauge, "id", m->gauge.name);
	fw_words_put_text(L, gauge, "calibrated", m->registered.calibrated);
	fw_words_put_text(L, gauge, "due", m->registered.due);
	fw_words_put_text(L, gauge, "source", m->registered.source);
}

/* "dial indicator", "dial indicator DI-2". */
static void push_gauge_text(lua_State *L, const struct measurement *m)
{
	if (m->registered.kind)
		lua_pushfstring(L, "%s %s", m->registered.kind, m->gauge.name);
	else
		lua_pushstring(L, m->gauge.name);
}

/* Holds a text in the measurement at index 2. */
static const char *hold(lua_State *L, int place, const char *text)
{
	const char *held = lua_pushstring(L, text);

	lua_setiuservalue(L, 2, place);
	return held;
}

/* The gauge of the first reading is that of the measurement. */
static void take_gauge(lua_State *L, struct measurement *m, const struct fw_answer_gauge *used)
{
	m->gauge = m->asked;
	m->registered = (struct registered){NULL, NULL, NULL, NULL};
	if (!used->id)
		return;
	m->gauge = (struct fw_gauge){.name = hold(L, HELD_ID, used->id),
	                             .resolution = used->resolution,
	                             .error = used->error,
	                             .relative = used->relative,
	                             .dimension = used->unit->dimension};
	m->registered.kind = hold(L, HELD_KIND, used->kind);
	m->registered.calibrated = hold(L, HELD_CALIBRATED, used->calibrated);
	m->registered.due = hold(L, HELD_DUE, used->due);
	m->registered.source = hold(L, HELD_SOURCE, used->source);
}

/* The engine lets nobody change over in the middle: this is a record that was made otherwise. */
static void check_gauge(lua_State *L, const struct measurement *m,
                        const struct fw_answer_gauge *used)
{
	bool registered = m->registered.kind != NULL;

	if (registered != (used->id != NULL) || (registered && strcmp(used->id, m->gauge.name) != 0))
		fw_words_error(L, "measure", 1,
		               "the readings of one measurement were taken with different gauges");
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
	push_gauge_text(L, m);
	const char *gauge = lua_tostring(L, -1);
	if (m->kept)
		lua_pushfstring(L, "%s (mean of %d readings that lie %s apart, %s)", text, (int)m->want,
		                fw_quantity_text(&range, false, apart, sizeof apart), gauge);
	else if (m->want > 1)
		lua_pushfstring(L, "%s (mean of %d readings, %s)", text, (int)m->want, gauge);
	else
		lua_pushfstring(L, "%s (%s)", text, gauge);
	lua_remove(L, -2);
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
	fw_gauge_ratio_note(L, &m->gauge, label, m->registered.kind != NULL);

	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", "measurement");
	json_t *readings = json_array();
	fw_words_put(L, ask, "readings", readings);
	for (lua_Integer i = 0; i < m->want; i++)
		if (json_array_append_new(readings, fw_json_quantity(&m->reading[i])) != 0)
			return luaL_error(L, "out of memory");
	put_gauge(L, ask, m);
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

/* What was asked for, or four steps of the scale and twice the gauge's limit of error. */
static double widest(const struct measurement *m)
{
	return m->spread > 0
	           ? m->spread
	           : 4.0 * m->gauge.resolution + 2.0 * fw_gauge_limit(&m->gauge, m->reading[0].value);
}

static int after_reading(lua_State *L, int status, lua_KContext taken)
{
	(void)status;
	struct measurement *m = lua_touserdata(L, 2);
	const struct fw_answer *answer = fw_words_answer(L);

	lua_settop(L, 2);
	m->reading[taken] = answer->quantity;
	if (taken == 0)
		take_gauge(L, m, &answer->gauge);
	else
		check_gauge(L, m, &answer->gauge);
	if (taken + 1 < m->want)
		return ask_reading(L, m, (lua_Integer)taken + 1);
	return range_of(L, m).value > widest(m) ? ask_spread(L, m) : finish_measurement(L, m);
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
	fw_words_put_text(L, question, "gauge", m->asked.name);
	if (m->width > 0)
		fw_words_put(L, question, "width", fw_json_span(m->width, m->unit));
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
	if (!fw_dimension_equal(m->unit->dimension, m->asked.dimension))
		fw_words_error(L, "measure", 1, "the gauge '%s' reads a %s, and '%s' is a %s",
		               m->asked.name,
		               fw_dimension_name(m->asked.dimension, other_name, sizeof other_name),
		               m->unit->symbol, unit_name);
	if (lua_getfield(L, 1, "plausible") == LUA_TTABLE &&
	    fw_words_range(L, lua_gettop(L), &low, &high) &&
	    !fw_dimension_equal(low.dimension, m->unit->dimension))
		fw_words_error(L, "measure", 1, "'plausible' is a %s, and '%s' is a %s",
		               fw_dimension_name(low.dimension, other_name, sizeof other_name),
		               m->unit->symbol, unit_name);
	lua_pop(L, 1);
}

/* What the call asks for; 0 when it leaves that to the gauge. */
static double spread_of(lua_State *L, const struct measurement *m)
{
	struct fw_quantity own;

	if (!fw_words_quantity(L, 1, "spread", &own))
		return 0;
	if (!fw_dimension_equal(own.dimension, m->unit->dimension) || !(own.value > 0))
		fw_words_error(L, "measure", 1,
		               "'spread' must be above 0 and of the same kind as the readings");
	if (own.unit && own.unit->offset != 0)
		fw_words_error(L, "measure", 1, "'spread' of temperatures is a difference: write K(5)");
	return own.value;
}

/* Width of the limits that the reading is for. */
static double width_of(lua_State *L, const struct measurement *m)
{
	char unit_name[64], other_name[64];

	lua_getfield(L, 1, "limits");
	const struct fw_figure_limits *limits = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
	lua_pop(L, 1); /* the call's table still holds it */
	if (!limits)
		return 0;
	if (!fw_dimension_equal(limits->unit->dimension, m->unit->dimension))
		fw_words_error(L, "measure", 1, "'limits' are a %s, and '%s' is a %s",
		               fw_dimension_name(limits->unit->dimension, other_name, sizeof other_name),
		               m->unit->symbol,
		               fw_dimension_name(m->unit->dimension, unit_name, sizeof unit_name));
	double width = limits->si.max - limits->si.min;
	return isfinite(width) ? width : 0;
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
	    lua_newuserdatauv(L, sizeof *m + (size_t)want * sizeof m->reading[0], HELD);
	m->asked = m->gauge = gauge;
	m->registered = (struct registered){NULL, NULL, NULL, NULL};
	m->want = want;
	lua_getfield(L, 1, "unit");
	m->unit = fw_lua_unit_get(L, -1);
	lua_pop(L, 1);
	check_dimensions(L, m);
	m->kept = false;
	m->spread = spread_of(L, m);
	m->width = width_of(L, m);
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
    {"limits", FW_FIELD_LIMITS, false, "what it is for: a gauge too coarse for them is named"},
    {"spread", FW_FIELD_QUANTITY, false,
     "readings further apart are asked about; by the gauge when left out"},
    {"caution", FW_FIELD_TEXT, false, "what can hurt, and how to avoid it"},
    {"help", FW_FIELD_TEXT, false, "more, shown when asked for"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_measure[] = {
    {"measure", "Readings off a gauge; returns their mean with its uncertainty.", run_measure,
     measure_fields, NULL, false},
    {NULL, NULL, NULL, NULL, NULL, false}};
