/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "gauge_ratio.h"

#include <math.h>
#include <string.h>

#include <lauxlib.h>

#include "words.h"

/* Registry: number of a source -> "r" for a resolution, "e" for the error of a gauge, with its id
 * behind it where it has one. Looked up by source only, never walked: the order of a table is no
 * order. */
#define SOURCES "fw.gauge.sources"

/* What is left of a contribution that cancels out, against the width of the limits. */
#define CANCELLED 1e-9

static void note(lua_State *L, const char *prefix, const char *name, char what, const char *id)
{
	const char text[2] = {what, '\0'};

	luaL_getsubtable(L, LUA_REGISTRYINDEX, SOURCES);
	const char *whole = lua_pushfstring(L, "%s%s", prefix, name);
	uint64_t source = fw_source_name(whole);
	lua_pop(L, 1);
	lua_pushfstring(L, "%s%s", text, id);
	lua_rawseti(L, -2, (lua_Integer)source);
	lua_pop(L, 1);
}

void fw_gauge_ratio_note(lua_State *L, const struct fw_gauge *gauge, const char *label,
                         bool registered)
{
	const char *id = registered ? gauge->name : "";

	note(L, "resolution: ", label, 'r', id);
	note(L, "gauge: ", gauge->name, 'e', id);
}

/* Limits of error, and resolutions, that went into a value. */
struct sums {
	double error, resolution;
};

static bool holds(const json_t *ids, const char *id)
{
	for (size_t i = 0; i < json_array_size(ids); i++)
		if (strcmp(json_string_value(json_array_get(ids, i)), id) == 0)
			return true;
	return false;
}

/* Adds one term. The gauges are those of both kinds of term: a difference of two readings rests on
 * a gauge though its error cancels out. */
static void add_term(lua_State *L, struct sums *sums, json_t *ids, const struct fw_term *term)
{
	if (lua_rawgeti(L, -1, (lua_Integer)term->source) == LUA_TSTRING) {
		const char *what = lua_tostring(L, -1);
		if (*what == 'r')
			sums->resolution += fabs(term->u) * sqrt(12);
		else
			sums->error += fabs(term->u) * sqrt(3);
		if (what[1] != '\0' && !holds(ids, what + 1) &&
		    json_array_append_new(ids, json_string(what + 1)) != 0)
			luaL_error(L, "out of memory");
	}
	lua_pop(L, 1);
}

void fw_gauge_ratio_put(lua_State *L, json_t *out, const struct fw_quantity *value,
                        const struct fw_limits *limits)
{
	double width = limits->max - limits->min;
	struct sums sums = {0, 0};
	json_t *ids = json_array();

	fw_words_put(L, out, "gauges", ids); /* owned from here on */
	luaL_getsubtable(L, LUA_REGISTRYINDEX, SOURCES);
	for (size_t i = 0; i < value->count; i++)
		add_term(L, &sums, ids, &value->terms[i]);
	lua_pop(L, 1);
	if (json_array_size(ids) == 0)
		json_object_del(out, "gauges");
	if (!isfinite(width) || !(width > 0))
		return;
	if (sums.error > CANCELLED * width)
		fw_words_put(L, out, "ratio", json_real(width / (2 * sums.error)));
	if (sums.resolution > CANCELLED * width)
		fw_words_put(L, out, "steps", json_real(width / sums.resolution));
}
