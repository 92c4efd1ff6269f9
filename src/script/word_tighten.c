/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tighten: a joint to its torque, in passes and in order. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures.h"
#include "fitwright/joint.h"
#include "fitwright/pattern.h"
#include "json.h"
#include "lua_quantity.h"
#include "words.h"

#define PASSES_MOST 8
/* A wrench setting further from the pass than this is asked about once. */
#define SETTING_SLACK 0.15
/* A last setting further from the torque asked for than this is called otherwise: as near as a
 * wrench is (ISO 6789, from memory). */
#define SETTING_TOLERANCE 0.04

/* The joint at work, at index 2 of the running word. */
struct tightening {
	const struct fw_figure_joint *joint; /* held by the call's table */
	size_t passes;
	double share[PASSES_MOST];
	struct fw_quantity setting[PASSES_MOST]; /* of the wrench, as entered */
	unsigned order[FW_BOLTS_MOST];
};

static int ask_pass(lua_State *L, const struct tightening *t, size_t pass);

/* What the wrench is set to: the share of the torque, what turns the nut on top, less what an
 * adapter adds. */
static struct fw_quantity pass_setting(const struct tightening *t, size_t pass)
{
	struct fw_quantity setting = t->joint->torque;

	setting.value =
	    (setting.value * t->share[pass] + t->joint->joint.prevailing) * t->joint->factor;
	return setting;
}

static int after_pass(lua_State *L, int status, lua_KContext pass);

static void put_order(lua_State *L, json_t *object, const struct tightening *t)
{
	json_t *order = json_array();

	fw_words_put(L, object, "order", order);
	for (unsigned i = 0; i < t->joint->bolts; i++)
		if (json_array_append_new(order, json_integer((json_int_t)t->order[i])) != 0)
			luaL_error(L, "out of memory");
	if (t->joint->rows) {
		fw_words_put(L, object, "rows", json_integer((json_int_t)t->joint->rows));
		fw_words_put(L, object, "columns", json_integer((json_int_t)t->joint->columns));
	}
}

/* " (20 N·m to clamp, 1.5 N·m to turn the nut, with an adapter of 50 mm at 45°)", or nothing. */
static void setting_note(char *out, size_t size, const struct tightening *t, size_t pass)
{
	const struct fw_figure_joint *joint = t->joint;
	struct fw_quantity clamp = joint->torque;
	char text[64], nut[96] = "", adapter[160] = "", angle[64];

	out[0] = '\0';
	if (!joint->has_prevailing && !joint->has_adapter)
		return;
	if (joint->has_prevailing)
		snprintf(nut, sizeof nut, ", %s to turn the nut",
		         fw_quantity_text(&joint->prevailing, false, text, sizeof text));
	if (joint->has_adapter)
		snprintf(adapter, sizeof adapter, ", with an adapter of %s at %s",
		         fw_quantity_text(&joint->adapter_extension, false, text, sizeof text),
		         fw_quantity_text(&joint->adapter_angle, false, angle, sizeof angle));
	clamp.value *= t->share[pass];
	snprintf(out, size, " (%s to clamp%s%s)", fw_quantity_text(&clamp, false, text, sizeof text),
	         nut, adapter);
}

static void push_pass_text(lua_State *L, const struct tightening *t, size_t pass,
                           const struct fw_quantity *setting)
{
	const struct fw_figure_joint *joint = t->joint;
	const char *turn = joint->left_hand ? " Left-hand thread: it tightens anticlockwise." : "";
	const char *numbers = joint->rows ? " Bolts count along the rows, from the top left." : "";
	char torque[64], note[384];

	fw_quantity_text(setting, false, torque, sizeof torque);
	setting_note(note, sizeof note, t, pass);
	if (joint->bolts > 1)
		lua_pushfstring(L,
		                "Set the wrench to %s%s and tighten all %d in the order shown.%s%s "
		                "Then enter what the wrench was set to.",
		                torque, note, (int)joint->bolts, numbers, turn);
	else
		lua_pushfstring(L,
		                "Set the wrench to %s%s and tighten.%s Then enter what the wrench was set "
		                "to.",
		                torque, note, turn);
}

static int ask_pass(lua_State *L, const struct tightening *t, size_t pass)
{
	struct fw_quantity setting = pass_setting(t, pass);
	struct fw_quantity low = setting, high = setting;
	const char *own = fw_words_text(L, 1, "say");

	low.value *= 1.0 - SETTING_SLACK;
	high.value *= 1.0 + SETTING_SLACK;
	const char *item = lua_pushfstring(L, "pass %d of %d", (int)pass + 1, (int)t->passes);
	json_t *question = fw_words_question(L, fw_words_tighten, 1, FW_ASK_QUANTITY, item);
	push_pass_text(L, t, pass, &setting);
	if (own && pass == 0) {
		lua_pushfstring(L, "%s %s", own, lua_tostring(L, -1));
		lua_remove(L, -2);
	}
	fw_words_put_text(L, question, "say", lua_tostring(L, -1));
	lua_pop(L, 1);
	fw_words_put_text(L, question, "unit", setting.unit->symbol);
	if (fw_words_script(L)->host.rules > 1) {
		const char *wrench = fw_words_text(L, 1, "wrench");
		fw_words_put_text(L, question, "gauge", wrench ? wrench : "torque wrench");
	}
	fw_words_put(L, question, "low", fw_json_quantity(&low));
	fw_words_put(L, question, "high", fw_json_quantity(&high));
	fw_words_put(L, question, "torque", fw_json_quantity(&setting));
	if (t->joint->bolts > 1)
		put_order(L, question, t);
	return fw_words_ask(L, after_pass, (lua_KContext)pass);
}

static json_t *torques_json(const struct fw_quantity *torque, size_t count)
{
	json_t *list = json_array();

	for (size_t i = 0; list && i < count; i++)
		if (json_array_append_new(list, fw_json_quantity(&torque[i])) != 0) {
			json_decref(list);
			return NULL;
		}
	return list;
}

/* "M8 at 20 N·m clamps with about 15 kN a bolt (…)", and whether that is too much. */
static void push_preload_text(lua_State *L, const struct fw_figure_joint *joint,
                              const struct fw_quantity *torque, const struct fw_preload *preload)
{
	char text[64], head[64] = "", line[512], share[256] = "";

	if (joint->head_friction[0])
		snprintf(head, sizeof head, " in the thread, %s under the head,", joint->head_friction);
	snprintf(line, sizeof line,
	         "%s at %s clamps with about %.1f kN a bolt (%.1f to %.1f with %s friction%s and the "
	         "wrench)",
	         joint->thread, fw_quantity_text(torque, false, text, sizeof text),
	         preload->usual / 1e3, preload->low / 1e3, preload->high / 1e3, joint->friction, head);
	if (!isnan(preload->share))
		snprintf(share, sizeof share, "; %.0f %% of the proof load, %.0f %% at the most%s",
		         100.0 * preload->usual_share, 100.0 * preload->share,
		         preload->share > 1.0 ? ". TOO MUCH: the proof load can be passed; stop and check "
		                                "torque, class and oil"
		                              : "");
	lua_pushfstring(L, "%s%s", line, share);
}

/* One warning more, in the list and behind the text on top of the stack. */
static void add_warning(lua_State *L, json_t *value, const char *warning)
{
	json_t *list = json_object_get(value, "warnings");

	if (!list) {
		list = json_array();
		fw_words_put(L, value, "warnings", list);
	}
	if (json_array_append_new(list, json_string(warning)) != 0)
		luaL_error(L, "out of memory");
	lua_pushfstring(L, "%s. BEWARE: %s", lua_tostring(L, -1), warning);
	lua_remove(L, -2);
}

/* Whether the threads stand the highest preload; text on top of the stack. */
static void put_strip(lua_State *L, json_t *value, const struct fw_figure_joint *joint,
                      const struct fw_preload *preload)
{
	const struct fw_unit *kilonewton = fw_unit_find("kN", strlen("kN"));
	const struct fw_strip *strip = &joint->strip;
	double margin = strip->load / preload->high;
	const char *first = strip->parent_first ? "the parent's thread" : "the bolt's thread";
	char warning[256];

	json_t *object = fw_words_object(L);
	fw_words_put(L, object, "load", fw_json_of(strip->load, kilonewton));
	fw_words_put_text(L, object, "first", first);
	fw_words_put(L, object, "margin", json_real(margin));
	fw_words_put(L, value, "strip", json_incref(object));
	lua_pop(L, 1);
	if (margin >= FW_STRIP_MARGIN)
		return;
	snprintf(warning, sizeof warning,
	         "%s in %s %s: %.1f kN at the most against the %.1f kN that strip it", first,
	         joint->parent, margin < 1.0 ? "can strip" : "is near stripping", preload->high / 1e3,
	         strip->load / 1e3);
	add_warning(L, value, warning);
}

static void put_warnings(lua_State *L, json_t *value, const struct fw_figure_joint *joint,
                         const struct fw_preload *preload)
{
	char warning[256];

	/* Above proof load that is said already, in louder words. */
	if (preload->yield_share > 1.0 && !(preload->share > 1.0)) {
		snprintf(warning, sizeof warning,
		         "pull and twist together can pass yield while tightening, %.0f %% of it",
		         100.0 * preload->yield_share);
		add_warning(L, value, warning);
	}
	if (joint->has_parent)
		put_strip(L, value, joint, preload);
}

static void put_adapter(lua_State *L, json_t *ask, const struct fw_figure_joint *joint)
{
	json_t *adapter = fw_words_object(L);

	fw_words_put(L, adapter, "length", fw_json_quantity(&joint->adapter_length));
	fw_words_put(L, adapter, "extension", fw_json_quantity(&joint->adapter_extension));
	fw_words_put(L, adapter, "angle", fw_json_quantity(&joint->adapter_angle));
	fw_words_put(L, ask, "adapter", json_incref(adapter));
	lua_pop(L, 1);
}

/* What a joint may have and most have not. */
static void put_extras(lua_State *L, json_t *ask, const struct fw_figure_joint *joint)
{
	if (joint->head_friction[0])
		fw_words_put_text(L, ask, "head_friction", joint->head_friction);
	if (joint->has_prevailing)
		fw_words_put(L, ask, "prevailing", fw_json_quantity(&joint->prevailing));
	if (joint->has_adapter)
		put_adapter(L, ask, joint);
	if (joint->has_parent) {
		fw_words_put(L, ask, "engagement", fw_json_quantity(&joint->engagement));
		fw_words_put_text(L, ask, "parent", joint->parent);
	}
	if (joint->left_hand)
		fw_words_put(L, ask, "left_hand", json_true());
}

/* What both findings about a joint are worked out from. Pushes it. */
static json_t *push_joint_ask(lua_State *L, const char *find, const struct tightening *t)
{
	const struct fw_figure_joint *joint = t->joint;

	lua_getfield(L, 1, "joint");
	const struct fw_figure_source *source = fw_figure_source(L, -1);
	lua_pop(L, 1); /* the call's table still holds it */
	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", find);
	fw_words_put_text(L, ask, "name", fw_words_text(L, 1, "id"));
	fw_words_put_text(L, ask, "thread", joint->thread);
	fw_words_put_text(L, ask, "class", joint->property_class[0] ? joint->property_class : NULL);
	fw_words_put_text(L, ask, "friction", joint->friction);
	fw_words_put(L, ask, "torque", fw_json_quantity(&joint->torque));
	fw_words_put(L, ask, "bolts", json_integer((json_int_t)joint->bolts));
	put_extras(L, ask, joint);
	fw_words_put(L, ask, "source", fw_figure_source_json(source));
	return ask;
}

/* Preload at a setting of the wrench, in numbers and words. Pushes it. */
static json_t *push_preload(lua_State *L, const struct tightening *t,
                            const struct fw_quantity *setting)
{
	const struct fw_figure_joint *joint = t->joint;
	struct fw_preload preload;
	struct fw_error error = {0};
	struct fw_quantity clamp = *setting;

	clamp.value = setting->value / joint->factor;
	if (fw_joint_preload(&preload, &joint->joint, clamp.value, &error) != FW_OK)
		fw_words_error(L, "tighten", 1, "%s", error.text);
	clamp.value -= joint->joint.prevailing;
	const struct fw_unit *kilonewton = fw_unit_find("kN", strlen("kN"));
	json_t *value = fw_words_object(L);
	fw_words_put(L, value, "low", fw_json_of(preload.low, kilonewton));
	fw_words_put(L, value, "usual", fw_json_of(preload.usual, kilonewton));
	fw_words_put(L, value, "high", fw_json_of(preload.high, kilonewton));
	if (!isnan(preload.share)) {
		fw_words_put(L, value, "share", json_real(preload.share));
		fw_words_put(L, value, "usual_share", json_real(preload.usual_share));
		fw_words_put(L, value, "yield_share", json_real(preload.yield_share));
	}
	push_preload_text(L, joint, &clamp, &preload);
	put_warnings(L, value, joint, &preload);
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	lua_pop(L, 1);
	return value;
}

/* Before the first pass: what is asked for. */
static void find_joint(lua_State *L, const struct tightening *t)
{
	struct fw_quantity passes[PASSES_MOST];

	for (size_t i = 0; i < t->passes; i++)
		passes[i] = pass_setting(t, i);
	push_joint_ask(L, "joint", t);
	const struct fw_quantity last = pass_setting(t, t->passes - 1);
	json_t *value = push_preload(L, t, &last);
	put_order(L, value, t);
	fw_words_put(L, value, "passes", torques_json(passes, t->passes));
	fw_words_find(L, fw_words_text(L, 1, "id"), -2, -1);
}

/* After the last pass: what was done. */
static void find_tightened(lua_State *L, const struct tightening *t)
{
	const struct fw_quantity *last = &t->setting[t->passes - 1];
	double asked = pass_setting(t, t->passes - 1).value;

	json_t *ask = push_joint_ask(L, "tightened", t);
	fw_words_put(L, ask, "settings", torques_json(t->setting, t->passes));
	json_t *value = push_preload(L, t, last);
	fw_words_put(L, value, "otherwise",
	             json_boolean(fabs(last->value - asked) > SETTING_TOLERANCE * asked));
	fw_words_find(L, fw_words_text(L, 1, "id"), -2, -1);
}

static int after_pass(lua_State *L, int status, lua_KContext pass)
{
	(void)status;
	struct tightening *t = lua_touserdata(L, 2);

	lua_settop(L, 2);
	t->setting[pass] = fw_words_answer(L)->quantity;
	/* Nothing that clamps: the pass is still to be done. */
	if (!(t->setting[pass].value / t->joint->factor > t->joint->joint.prevailing))
		return ask_pass(L, t, (size_t)pass);
	if ((size_t)pass + 1 < t->passes)
		return ask_pass(L, t, (size_t)pass + 1);
	find_tightened(L, t);
	fw_lua_quantity_push(L, &t->setting[pass]);
	return 1;
}

static void read_passes(lua_State *L, struct tightening *t)
{
	struct fw_error error = {0};

	t->passes = 1;
	t->share[0] = 1.0;
	if (lua_getfield(L, 1, "passes") == LUA_TTABLE) {
		t->passes = lua_rawlen(L, -1);
		if (t->passes > PASSES_MOST)
			fw_words_error(L, "tighten", 1, "more than %d passes", PASSES_MOST);
		for (size_t i = 0; i < t->passes; i++) {
			lua_rawgeti(L, -1, (lua_Integer)i + 1);
			t->share[i] = lua_tonumber(L, -1);
			lua_pop(L, 1);
		}
	}
	lua_pop(L, 1);
	if (fw_passes_check(t->share, t->passes, &error) != FW_OK)
		fw_words_error(L, "tighten", 1, "%s", error.text);
}

static int run_tighten(lua_State *L)
{
	struct fw_error error = {0};

	fw_words_check(L, fw_words_tighten);
	struct tightening *t = lua_newuserdatauv(L, sizeof *t, 0);
	lua_getfield(L, 1, "joint");
	t->joint = fw_figure_get(L, -1, FW_FIGURE_JOINT);
	lua_pop(L, 1);
	read_passes(L, t);
	int code = t->joint->rows ? fw_grid_order(t->order, t->joint->rows, t->joint->columns, &error)
	                          : fw_circle_order(t->order, t->joint->bolts, &error);
	if (code != FW_OK)
		return fw_words_error(L, "tighten", 1, "%s", error.text);
	find_joint(L, t);
	lua_settop(L, 2);
	return ask_pass(L, t, 0);
}

static const struct fw_field fields[] = {
    {"id", FW_FIELD_ID, true, "name of the step, its own in the procedure"},
    {"joint", FW_FIELD_JOINT, true, "the joint"},
    {"passes", FW_FIELD_SHARES, false, "shares of the torque, up to 1; one pass when left out"},
    {"wrench", FW_FIELD_TEXT, false, "what kind of wrench; torque wrench when left out"},
    {"say", FW_FIELD_TEXT, false, "what to do before the first pass"},
    {"caution", FW_FIELD_TEXT, false, "what can hurt, and how to avoid it"},
    {"help", FW_FIELD_TEXT, false, "more, shown when asked for"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_tighten[] = {
    {"tighten", "A joint to its torque; returns the setting of the last pass.", run_tighten, fields,
     NULL, false},
    {NULL, NULL, NULL, NULL, NULL, false}};
