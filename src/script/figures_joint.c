/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A joint of a unit sheet: read from the fields of its table. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures_joint.h"
#include "lua_quantity.h"
#include "words.h"

/* Longest texts: what is cut off would be another thread, or another name. */
static int take_text(char *out, size_t size, lua_State *L, const char *field,
                     struct fw_error *error)
{
	const char *text = fw_words_text(L, 1, field);

	if (text && strlen(text) >= size)
		return fw_fail(error, FW_ERR_INPUT, "'%s' has %d bytes; it takes %d at the most", field,
		               (int)strlen(text), (int)size - 1);
	snprintf(out, size, "%s", text ? text : "");
	return FW_OK;
}

static const struct fw_dimension torque_dimension = {.length = 2, .mass = 1, .time = -2};

/* A quantity of the table at `index`; false when it is left out, or is `what` it must be not. */
static bool take(lua_State *L, int index, const char *field, struct fw_dimension dimension,
                 const char *what, struct fw_quantity *out, int *code, struct fw_error *error)
{
	if (*code != FW_OK || !fw_words_quantity(L, index, field, out))
		return false;
	if (!fw_dimension_equal(out->dimension, dimension))
		*code = fw_fail(error, FW_ERR_DIMENSION, "'%s' must be %s", field, what);
	return *code == FW_OK;
}

static int read_thread(struct fw_figure_joint *out, lua_State *L, struct fw_error *error)
{
	struct fw_joint *joint = &out->joint;
	struct fw_strength strength;
	int code = take_text(out->thread, sizeof out->thread, L, "thread", error);

	if (code == FW_OK)
		code = take_text(out->property_class, sizeof out->property_class, L, "class", error);
	if (code == FW_OK)
		code = fw_thread_parse(&joint->thread, out->thread, error);
	if (code != FW_OK || !out->property_class[0])
		return code;
	code = fw_class_strength(&strength, out->property_class, joint->thread.diameter, error);
	if (code != FW_OK)
		return code;
	joint->proof_stress = strength.proof;
	joint->yield_stress = strength.yield;
	out->tensile = strength.tensile;
	return FW_OK;
}

static int read_friction(struct fw_figure_joint *out, lua_State *L, struct fw_error *error)
{
	int code = take_text(out->friction, sizeof out->friction, L, "friction", error);

	if (code == FW_OK)
		code = take_text(out->head_friction, sizeof out->head_friction, L, "head_friction", error);
	if (code != FW_OK)
		return code;
	if (!out->friction[0])
		snprintf(out->friction, sizeof out->friction, "dry");
	code = fw_friction_state(&out->joint.friction, out->friction, error);
	if (code == FW_OK && out->head_friction[0])
		code = fw_friction_state(&out->joint.head, out->head_friction, error);
	return code;
}

static int read_bearing(struct fw_figure_joint *out, lua_State *L, struct fw_error *error)
{
	const struct fw_dimension length = {.length = 1};
	struct fw_quantity mean, face, hole;
	int code = FW_OK;
	bool has_mean = take(L, 1, "bearing", length, "a length, the mean diameter under the head",
	                     &mean, &code, error);
	bool has_face = take(L, 1, "face", length, "a length, the outer diameter under the head", &face,
	                     &code, error);
	bool has_hole =
	    take(L, 1, "hole", length, "a length, the diameter of the hole", &hole, &code, error);

	if (code != FW_OK)
		return code;
	if (has_face != has_hole || (has_mean && has_face))
		return fw_fail(error, FW_ERR_ARGUMENT,
		               "give 'bearing', or 'face' and 'hole' together, or none of them");
	if (has_mean)
		out->joint.bearing_dia = mean.value;
	return has_face
	           ? fw_bearing_diameter(&out->joint.bearing_dia, NULL, face.value, hole.value, error)
	           : FW_OK;
}

/* The adapter's table holds these three and nothing else. */
static int check_adapter(lua_State *L, int table, struct fw_error *error)
{
	for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1)) {
		const char *key = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "";
		if (strcmp(key, "length") != 0 && strcmp(key, "extension") != 0 &&
		    strcmp(key, "angle") != 0) {
			lua_pop(L, 2);
			return fw_fail(error, FW_ERR_INPUT,
			               "'adapter' takes length, extension and angle, and nothing else");
		}
	}
	return FW_OK;
}

static int read_adapter(struct fw_figure_joint *out, lua_State *L, struct fw_error *error)
{
	const struct fw_dimension length = {.length = 1}, angle = {.angle = 1};
	int top = lua_gettop(L), code = FW_OK;

	lua_pushstring(L, "adapter");
	if (lua_rawget(L, 1) != LUA_TTABLE) {
		lua_settop(L, top);
		return FW_OK;
	}
	luaL_checkstack(L, 6, NULL);
	code = check_adapter(L, top + 1, error);
	bool has_length = take(L, top + 1, "length", length, "a length, from grip to square",
	                       &out->adapter_length, &code, error);
	bool has_extension = take(L, top + 1, "extension", length, "a length, from square to bolt",
	                          &out->adapter_extension, &code, error);
	bool has_angle = take(L, top + 1, "angle", angle, "an angle, such as deg(90)",
	                      &out->adapter_angle, &code, error);
	lua_settop(L, top);
	if (code != FW_OK)
		return code;
	if (!has_length || !has_extension)
		return fw_fail(error, FW_ERR_INPUT,
		               "'adapter' needs length, from grip to square, and extension, from square to "
		               "bolt");
	if (!has_angle)
		out->adapter_angle = fw_quantity_of(0.0, fw_unit_find("°", strlen("°")));
	out->adapter = (struct fw_adapter){out->adapter_length.value, out->adapter_extension.value,
	                                   out->adapter_angle.value};
	out->has_adapter = true;
	return fw_adapter_factor(&out->factor, &out->adapter, error);
}

static int read_strip(struct fw_figure_joint *out, lua_State *L, struct fw_error *error)
{
	const struct fw_parent *parent = NULL;
	int code = FW_OK;

	out->has_parent = take(L, 1, "engagement", (struct fw_dimension){.length = 1},
	                       "a length, of full threads engaged", &out->engagement, &code, error);
	if (code == FW_OK)
		code = take_text(out->parent, sizeof out->parent, L, "parent", error);
	if (code != FW_OK)
		return code;
	if (out->has_parent != (out->parent[0] != '\0'))
		return fw_fail(error, FW_ERR_INPUT,
		               "'engagement' and 'parent' belong together: give both or neither");
	if (!out->has_parent)
		return FW_OK;
	code = fw_parent_find(&parent, out->parent, error);
	if (code != FW_OK)
		return code;
	const struct fw_strip_case in = {.thread = out->joint.thread,
	                                 .engagement = out->engagement.value,
	                                 .parent_shear = parent->shear,
	                                 .bolt_tensile = out->tensile};
	return fw_strip_work(&out->strip, &in, error);
}

static int read_pattern(struct fw_figure_joint *out, lua_State *L, struct fw_error *error)
{
	const char *pattern = fw_words_text(L, 1, "pattern");
	lua_Integer rows = fw_words_whole(L, 1, "rows", 0);
	lua_Integer columns = fw_words_whole(L, 1, "columns", 0);
	lua_Integer bolts = fw_words_whole(L, 1, "bolts", 0);

	if (pattern && strcmp(pattern, "circle") != 0 && strcmp(pattern, "rows") != 0)
		return fw_fail(error, FW_ERR_INPUT, "'pattern' must be \"circle\" or \"rows\"");
	bool in_rows = pattern ? strcmp(pattern, "rows") == 0 : rows > 0 || columns > 0;
	if (!in_rows) {
		if (rows || columns)
			return fw_fail(error, FW_ERR_INPUT, "a circle has no 'rows' and 'columns'");
		if (bolts > FW_BOLTS_MOST)
			return fw_fail(error, FW_ERR_RANGE, "%d bolts are more than the %d of one circle",
			               (int)bolts, FW_BOLTS_MOST);
		out->bolts = bolts ? (unsigned)bolts : 1;
		return FW_OK;
	}
	if (!rows || !columns)
		return fw_fail(error, FW_ERR_INPUT,
		               "bolts in rows need 'rows', how many there are, and 'columns', the bolts in "
		               "each");
	if (rows > FW_BOLTS_MOST || columns > FW_BOLTS_MOST / rows)
		return fw_fail(error, FW_ERR_RANGE, "%d rows of %d bolts are more than %d bolts", (int)rows,
		               (int)columns, FW_BOLTS_MOST);
	if (bolts && bolts != rows * columns)
		return fw_fail(error, FW_ERR_INPUT, "%d rows of %d are not %d bolts", (int)rows,
		               (int)columns, (int)bolts);
	out->rows = (unsigned)rows;
	out->columns = (unsigned)columns;
	out->bolts = out->rows * out->columns;
	return FW_OK;
}

static int read_torque(struct fw_figure_joint *out, lua_State *L, struct fw_error *error)
{
	struct fw_preload preload;
	int code = FW_OK;

	fw_words_quantity(L, 1, "torque", &out->torque);
	if (!fw_dimension_equal(out->torque.dimension, torque_dimension))
		return fw_fail(error, FW_ERR_DIMENSION, "'torque' must be a torque, such as Nm(25)");
	out->has_prevailing = take(L, 1, "prevailing", torque_dimension, "a torque, such as Nm(2)",
	                           &out->prevailing, &code, error);
	if (code != FW_OK)
		return code;
	if (out->has_prevailing && !(out->prevailing.value >= 0.0))
		return fw_fail(error, FW_ERR_RANGE, "'prevailing' must be 0 or more");
	if (!(out->torque.value > 0.0))
		return fw_fail(error, FW_ERR_RANGE, "the torque must be finite and above zero");
	out->joint.prevailing = out->has_prevailing ? out->prevailing.value : 0.0;
	return fw_joint_preload(&preload, &out->joint, out->torque.value + out->joint.prevailing,
	                        error);
}

int fw_figure_read_joint(struct fw_figure_joint *out, lua_State *L, struct fw_error *error)
{
	int code = read_thread(out, L, error);

	out->factor = 1.0;
	if (code == FW_OK)
		code = read_friction(out, L, error);
	if (code == FW_OK)
		code = read_bearing(out, L, error);
	if (code == FW_OK)
		code = read_pattern(out, L, error);
	out->joint.wrench = fw_words_number(L, 1, "wrench", 0.04);
	out->left_hand = fw_words_flag(L, 1, "left_hand") || out->joint.thread.left_hand;
	if (code == FW_OK)
		code = read_torque(out, L, error);
	if (code == FW_OK)
		code = read_adapter(out, L, error);
	return code == FW_OK ? read_strip(out, L, error) : code;
}
