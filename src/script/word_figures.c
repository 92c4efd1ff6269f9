/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of a unit sheet that make figures: limits, kit, joint, gauge, list, figure, and the
 * sources. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures_internal.h"
#include "figures_joint.h"
#include "lua_quantity.h"
#include "words.h"

static const struct fw_word *word_of(enum fw_figure_kind kind);

static int raise_error(lua_State *L, enum fw_figure_kind kind, const struct fw_error *error)
{
	return fw_words_error(L, fw_figure_kind_name(kind), 0, "%s", error->text);
}

/* The field's text into a buffer, which it must not overflow: what is cut off would be another
 * thread, or another name. "" when it is left out. */
static void take_text(lua_State *L, enum fw_figure_kind kind, const char *field, char *out,
                      size_t size)
{
	const char *text = fw_words_text(L, 1, field);

	if (text && strlen(text) >= size)
		fw_words_error(L, fw_figure_kind_name(kind), 0,
		               "'%s' has %d bytes; it takes %d at the most", field, (int)strlen(text),
		               (int)size - 1);
	snprintf(out, size, "%s", text ? text : "");
}

/* The unit a figure is written in. Some products of quantities have none. */
static const struct fw_unit *unit_of(lua_State *L, enum fw_figure_kind kind,
                                     const struct fw_quantity *q)
{
	char name[64];

	if (!q->unit)
		fw_words_error(L, fw_figure_kind_name(kind), 0,
		               "no unit is known for a %s, so it can't be written down",
		               fw_dimension_name(q->dimension, name, sizeof name));
	return q->unit;
}

/* Limits. */

static bool same_dimension(lua_State *L, const struct fw_quantity *a, const char *field,
                           struct fw_quantity *b)
{
	if (!fw_words_quantity(L, 1, field, b))
		return false;
	if (!fw_dimension_equal(a->dimension, b->dimension)) {
		char left[64], right[64];
		fw_words_error(L, "limits", 0, "'%s' is a %s where the others are a %s", field,
		               fw_dimension_name(b->dimension, left, sizeof left),
		               fw_dimension_name(a->dimension, right, sizeof right));
	}
	return true;
}

static int make_limits(lua_State *L)
{
	struct fw_quantity first, q;
	struct fw_error error = {0};
	struct fw_limits si = {-INFINITY, INFINITY, NAN};

	fw_words_check(L, word_of(FW_FIGURE_LIMITS));
	if (!fw_words_quantity(L, 1, "min", &first) && !fw_words_quantity(L, 1, "max", &first))
		return fw_words_error(L, "limits", 0, "needs 'min', 'max', or both");
	if (same_dimension(L, &first, "min", &q))
		si.min = q.value;
	if (same_dimension(L, &first, "max", &q))
		si.max = q.value;
	if (same_dimension(L, &first, "aim", &q))
		si.aim = q.value;
	const struct fw_unit *unit = unit_of(L, FW_FIGURE_LIMITS, &first);
	if (fw_limits_check(&si, &error) != FW_OK)
		return raise_error(L, FW_FIGURE_LIMITS, &error);
	struct fw_figure_limits *limits = fw_figure_new(L, FW_FIGURE_LIMITS, sizeof *limits);
	limits->si = si;
	limits->unit = unit;
	return 1;
}

/* Kits. */

/* A length written as a quantity, or as a number in the kit's unit. */
static double length_at(lua_State *L, int index, const struct fw_unit *unit, size_t entry)
{
	struct fw_quantity q;
	struct fw_error error = {0};

	if (fw_lua_quantity_get(L, index, &q)) {
		if (!fw_dimension_equal(q.dimension, unit->dimension))
			fw_words_error(L, "kit", 0, "entry %d: its thickness is no length", (int)entry);
		return q.value;
	}
	if (lua_type(L, index) != LUA_TNUMBER)
		fw_words_error(L, "kit", 0, "entry %d must be { thickness, count }, such as { 0.10, 4 }",
		               (int)entry);
	if (fw_quantity_make(&q, lua_tonumber(L, index), unit, &error) != FW_OK)
		fw_words_error(L, "kit", 0, "entry %d: %s", (int)entry, error.text);
	return q.value;
}

static void read_shim(lua_State *L, struct fw_figure_kit *kit, size_t i)
{
	struct fw_shim *shim = &kit->shim[i];
	int top = lua_gettop(L);

	if (lua_rawgeti(L, 1, (lua_Integer)i + 1) != LUA_TTABLE || lua_rawlen(L, -1) < 1 ||
	    lua_rawlen(L, -1) > 2)
		fw_words_error(L, "kit", 0, "entry %d must be { thickness, count }, such as { 0.10, 4 }",
		               (int)i + 1);
	lua_rawgeti(L, top + 1, 1);
	shim->thickness = length_at(L, top + 2, kit->unit, i + 1);
	if (lua_rawgeti(L, top + 1, 2) == LUA_TNIL)
		shim->count = 1;
	else if (lua_isinteger(L, -1) && lua_tointeger(L, -1) >= 1 && lua_tointeger(L, -1) <= 10000)
		shim->count = (unsigned)lua_tointeger(L, -1);
	else
		fw_words_error(L, "kit", 0, "entry %d: its count must be a whole number from 1 to 10000",
		               (int)i + 1);
	lua_settop(L, top);
}

/* A limit of error, as a rectangle: u = e / sqrt(3) (JCGM 100:2008, 4.3.7). */
static double u_of_limit(double limit)
{
	return limit / sqrt(3.0);
}

static int make_kit(lua_State *L)
{
	struct fw_quantity piece;
	struct fw_error error = {0};

	fw_words_check(L, word_of(FW_FIGURE_KIT));
	lua_getfield(L, 1, "unit");
	const struct fw_unit *unit = fw_lua_unit_get(L, -1);
	if (unit->dimension.length != 1)
		return fw_words_error(L, "kit", 0, "the unit '%s' is no length", unit->symbol);
	size_t count = lua_rawlen(L, 1);
	if (count == 0 || count > FW_KIT_SIZES)
		return fw_words_error(L, "kit", 0, "holds %d sizes; it takes 1 to %d", (int)count,
		                      FW_KIT_SIZES);
	bool has_piece = fw_words_quantity(L, 1, "error", &piece);
	if (has_piece && (!fw_dimension_equal(piece.dimension, unit->dimension) || piece.value < 0))
		return fw_words_error(L, "kit", 0,
		                      "'error' must be a length from 0, the limit of error of one piece");

	struct fw_figure_kit *kit =
	    fw_figure_new(L, FW_FIGURE_KIT, sizeof *kit + count * sizeof kit->shim[0]);
	kit->unit = unit;
	kit->count = count;
	for (size_t i = 0; i < count; i++) {
		kit->shim[i].u = has_piece ? u_of_limit(piece.value) : 0.0;
		kit->shim[i].crush = fw_words_number(L, 1, "crush", 0.0);
		kit->shim[i].crush_u = u_of_limit(fw_words_number(L, 1, "crush_error", 0.0));
		read_shim(L, kit, i);
	}
	if (fw_kit_check(kit->shim, count, &error) != FW_OK)
		return raise_error(L, FW_FIGURE_KIT, &error);
	return 1;
}

/* Joints. */

static int make_joint(lua_State *L)
{
	struct fw_error error = {0};

	fw_words_check(L, word_of(FW_FIGURE_JOINT));
	struct fw_figure_joint *joint = fw_figure_new(L, FW_FIGURE_JOINT, sizeof *joint);
	if (fw_figure_read_joint(joint, L, &error) != FW_OK)
		return raise_error(L, FW_FIGURE_JOINT, &error);
	return 1;
}

/* Gauges. */

static int make_gauge(lua_State *L)
{
	struct fw_quantity resolution, limit;

	fw_words_check(L, word_of(FW_FIGURE_GAUGE));
	fw_words_quantity(L, 1, "resolution", &resolution);
	fw_words_quantity(L, 1, "error", &limit);
	if (!fw_dimension_equal(resolution.dimension, limit.dimension))
		return fw_words_error(L, "gauge", 0, "'resolution' and 'error' must be of one kind");
	if (resolution.value <= 0 || limit.value < 0)
		return fw_words_error(L, "gauge", 0, "'resolution' must be above 0, and 'error' 0 or more");
	const struct fw_unit *unit = unit_of(L, FW_FIGURE_GAUGE, &resolution);
	if (unit->offset != 0 || unit_of(L, FW_FIGURE_GAUGE, &limit)->offset != 0)
		return fw_words_error(
		    L, "gauge", 0, "'resolution' and 'error' of a thermometer are differences: write K(1)");
	struct fw_figure_gauge *gauge = fw_figure_new(L, FW_FIGURE_GAUGE, sizeof *gauge);
	const struct fw_figure_source *source = fw_figure_source(L, -1);
	take_text(L, FW_FIGURE_GAUGE, "name", gauge->name, sizeof gauge->name);
	snprintf(gauge->source, sizeof gauge->source, "%s: %s", source->grade, source->text);
	gauge->gauge = (struct fw_gauge){.name = gauge->name,
	                                 .resolution = resolution.value,
	                                 .error = limit.value,
	                                 .dimension = resolution.dimension,
	                                 .source = gauge->source};
	gauge->unit = unit;
	return 1;
}

/* Lists and single figures. */

static int make_list(lua_State *L)
{
	fw_words_check(L, word_of(FW_FIGURE_LIST));
	lua_Integer count = (lua_Integer)lua_rawlen(L, 1);
	if (count == 0 || count > 200)
		return fw_words_error(L, "list", 0, "holds %d texts; it takes 1 to 200", (int)count);
	fw_figure_new(L, FW_FIGURE_LIST, 0);
	lua_createtable(L, (int)count, 0);
	for (lua_Integer i = 1; i <= count; i++) {
		lua_rawgeti(L, 1, i);
		if (!fw_words_is_text(L, -1))
			return fw_words_error(L, "list", 0, "entry %d is no text, or empty, or no UTF-8",
			                      (int)i);
		lua_rawseti(L, -2, i);
	}
	lua_setiuservalue(L, -2, 2);
	return 1;
}

static int make_value(lua_State *L)
{
	fw_words_check(L, word_of(FW_FIGURE_VALUE));
	fw_figure_new(L, FW_FIGURE_VALUE, 0);
	return 1;
}

/* Sources. */

static int source_standard(lua_State *L)
{
	return fw_source_new(L, "standard");
}

static int source_maker(lua_State *L)
{
	return fw_source_new(L, "maker");
}

static int source_measured(lua_State *L)
{
	return fw_source_new(L, "measured");
}

static int source_owner(lua_State *L)
{
	return fw_source_new(L, "owner");
}

static int source_practice(lua_State *L)
{
	return fw_source_new(L, "practice");
}

/* The table. */

#define SOURCE_FIELD                                                                               \
	{                                                                                              \
		"source", FW_FIELD_SOURCE, true, "where the figure comes from"                             \
	}
#define END_FIELD                                                                                  \
	{                                                                                              \
		NULL, FW_FIELD_TEXT, false, NULL                                                           \
	}

static const struct fw_field limits_fields[] = {
    {"min", FW_FIELD_QUANTITY, false, "the lower limit; leave out when open"},
    {"max", FW_FIELD_QUANTITY, false, "the upper limit; leave out when open"},
    {"aim", FW_FIELD_QUANTITY, false, "what to set it to; the middle when left out"},
    {"name", FW_FIELD_TEXT, false, "what is limited, in words"},
    SOURCE_FIELD,
    END_FIELD};

static const struct fw_field kit_fields[] = {
    {"unit", FW_FIELD_UNIT, true, "the unit of the sizes"},
    {"error", FW_FIELD_QUANTITY, false, "limit of error of one piece's thickness"},
    {"crush", FW_FIELD_NUMBER, false, "share of its thickness a gasket loses when clamped, 0 to 1"},
    {"crush_error", FW_FIELD_NUMBER, false, "limit of error of that share"},
    SOURCE_FIELD,
    END_FIELD};

static const struct fw_field joint_fields[] = {
    {"thread", FW_FIELD_TEXT, true, "the thread, such as \"M8\" or \"5/16-18 UNC\""},
    {"class", FW_FIELD_TEXT, false, "property class, such as \"8.8\" or \"SAE 5\""},
    {"torque", FW_FIELD_QUANTITY, true, "final torque"},
    {"friction", FW_FIELD_TEXT, false,
     "\"dry\" (if left out), \"oiled\", \"anti-seize\" or \"threadlocker\""},
    {"head_friction", FW_FIELD_TEXT, false, "the same under the head, where it differs"},
    {"bolts", FW_FIELD_WHOLE, false, "bolts in the circle; 1 when left out"},
    {"pattern", FW_FIELD_TEXT, false, "\"circle\" (if left out) or \"rows\""},
    {"rows", FW_FIELD_WHOLE, false, "rows of bolts"},
    {"columns", FW_FIELD_WHOLE, false, "bolts in each row"},
    {"bearing", FW_FIELD_QUANTITY, false, "mean diameter under the head"},
    {"face", FW_FIELD_QUANTITY, false, "outer diameter of the face under the head"},
    {"hole", FW_FIELD_QUANTITY, false, "diameter of the hole below it"},
    {"wrench", FW_FIELD_NUMBER, false, "relative error of the wrench; 0.04 when left out"},
    {"prevailing", FW_FIELD_QUANTITY, false, "torque that turns the nut before it clamps; added"},
    {"adapter", FW_FIELD_TABLE, false,
     "{ length, extension, angle } of an adapter on the wrench: grip to square, square to bolt"},
    {"engagement", FW_FIELD_QUANTITY, false, "length of full threads in the tapped part"},
    {"parent", FW_FIELD_TEXT, false, "what the tapped part is made of, such as \"cast aluminium\""},
    {"left_hand", FW_FIELD_FLAG, false, "true for a left-hand thread"},
    SOURCE_FIELD,
    END_FIELD};

static const struct fw_field gauge_fields[] = {
    {"name", FW_FIELD_TEXT, true, "what the gauge is called in the shop"},
    {"resolution", FW_FIELD_QUANTITY, true, "smallest step it is read to"},
    {"error", FW_FIELD_QUANTITY, true, "its limit of error"},
    SOURCE_FIELD,
    END_FIELD};

static const struct fw_field list_fields[] = {SOURCE_FIELD, END_FIELD};

static const struct fw_field value_fields[] = {
    {"value", FW_FIELD_QUANTITY, true, "the figure"}, SOURCE_FIELD, END_FIELD};

/* A source is called with a text; fw_source_new() checks it. */
static const struct fw_field no_fields[] = {END_FIELD};

const struct fw_word fw_words_figures[] = {
    {"limits", "Limits of a figure of the unit.", make_limits, limits_fields, NULL, false},
    {"kit", "Shims or gaskets at hand, { thickness, count } each.", make_kit, kit_fields, NULL,
     true},
    {"joint", "A bolted joint or a circle of bolts.", make_joint, joint_fields, NULL, false},
    {"gauge", "A gauge of the shop.", make_gauge, gauge_fields, NULL, false},
    {"list", "Names of parts of the unit, such as its gears.", make_list, list_fields, NULL, true},
    {"figure", "A single figure of the unit.", make_value, value_fields, NULL, false},
    {"standard", "Source: a published standard.", source_standard, no_fields, NULL, false},
    {"maker", "Source: data of the unit's maker.", source_maker, no_fields, NULL, false},
    {"measured", "Source: measured in this shop.", source_measured, no_fields, NULL, false},
    {"owner", "Source: the owner's word.", source_owner, no_fields, NULL, false},
    {"practice", "Source: common practice, nothing published.", source_practice, no_fields, NULL,
     false},
    {NULL, NULL, NULL, NULL, NULL, false}};

static const struct fw_word *word_of(enum fw_figure_kind kind)
{
	const struct fw_word *word = fw_words_figures;

	while (strcmp(word->name, fw_figure_kind_name(kind)) != 0)
		word++;
	return word;
}

bool fw_figure_has_field(enum fw_figure_kind kind, const char *name)
{
	for (const struct fw_field *field = word_of(kind)->fields; field->name; field++)
		if (strcmp(field->name, name) == 0)
			return true;
	return false;
}
