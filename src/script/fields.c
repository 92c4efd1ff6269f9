/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The check of a call against the table of its word, and the way to read its fields. */
#include "words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "figures.h"
#include "lua_quantity.h"

/* Longest id, and most options: what an answers file and a screen take. */
#define ID_MOST      60
#define OPTIONS_MOST 100

static const char *const kind_names[] = {
    [FW_FIELD_ID] = "a name of letters, digits, '-', '_' and '.', 60 at most",
    [FW_FIELD_TEXT] = "a text that isn't empty, UTF-8, 4000 bytes at most",
    [FW_FIELD_TEXTS] = "a list of texts alone, no two alike, such as { \"sound\", \"worn\" }",
    [FW_FIELD_OPTIONS] = "a list of texts that can be told apart (a number only in its own place)",
    [FW_FIELD_UNIT] = "a unit, such as mm",
    [FW_FIELD_QUANTITY] = "a quantity, such as mm(0.3)",
    [FW_FIELD_VALUE] = "a quantity, such as mm(0.3), or a function that measures it",
    [FW_FIELD_RANGE] = "two quantities, such as { mm(0), mm(3) }, the lower first",
    [FW_FIELD_WHOLE] = "a whole number from 1",
    [FW_FIELD_NUMBER] = "a plain number",
    [FW_FIELD_FLAG] = "true or false",
    [FW_FIELD_SHARES] = "a list of numbers, such as { 0.5, 1.0 }",
    [FW_FIELD_GAUGE] = "a gauge: the name of a typical one, or one from the sheet",
    [FW_FIELD_LIMITS] = "limits, such as limits { min = mm(0.1), max = mm(0.3), source = … }",
    [FW_FIELD_KIT] = "a kit, such as kit { unit = mm, { 0.1, 4 }, source = … }",
    [FW_FIELD_JOINT] = "a joint, such as joint { thread = \"M8\", … }",
    [FW_FIELD_SOURCE] = "a source, such as practice \"common practice\"",
    [FW_FIELD_FUNCTION] = "a function",
    [FW_FIELD_TABLE] = "a table",
};

/* Longest text of one field: what fits on a screen many times over. */
#define TEXT_MOST 4000
/* Longest list in a field. */
#define LIST_MOST 1000
/* Work of one check of a call, and of one entry of a list. */
enum { CALL_COST = 100, ENTRY_COST = 10 };

bool fw_words_is_text(lua_State *L, int index)
{
	size_t length;

	if (lua_type(L, index) != LUA_TSTRING)
		return false;
	const char *text = lua_tolstring(L, index, &length);
	return length > 0 && length <= TEXT_MOST && strlen(text) == length && fw_utf8_check(text);
}

/* A table that holds entries 1 to n and nothing else. The length of one with gaps, and of one with
 * names beside, may differ from run to run. */
static bool is_list(lua_State *L, int index)
{
	lua_Unsigned count = lua_istable(L, index) ? lua_rawlen(L, index) : 0;
	lua_Unsigned held = 0;

	if (count == 0 || count > LIST_MOST)
		return false;
	fw_sandbox_charge(L, count * ENTRY_COST);
	for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
		lua_Integer key = lua_isinteger(L, -2) ? lua_tointeger(L, -2) : 0;
		if (key < 1 || (lua_Unsigned)key > count) {
			lua_pop(L, 2);
			return false;
		}
		held++;
	}
	return held == count;
}

static bool each_is(lua_State *L, int index, bool (*test)(lua_State *L, int index))
{
	if (!is_list(L, index))
		return false;
	lua_Integer count = (lua_Integer)lua_rawlen(L, index);
	for (lua_Integer i = 1; i <= count; i++) {
		lua_rawgeti(L, index, i);
		bool fits = test(L, lua_gettop(L));
		lua_pop(L, 1);
		if (!fits)
			return false;
	}
	return true;
}

/* Whether two entries of the list at `index` are alike: one could not be told from the other later.
 */
static bool has_twins(lua_State *L, int index)
{
	lua_Integer count = (lua_Integer)lua_rawlen(L, index);
	bool found = false;

	lua_createtable(L, 0, (int)count); /* the entries met so far, as keys */
	for (lua_Integer i = 1; i <= count && !found; i++) {
		lua_rawgeti(L, index, i);
		lua_pushvalue(L, -1);
		found = lua_rawget(L, -3) != LUA_TNIL;
		lua_pop(L, 1);
		lua_pushboolean(L, 1);
		lua_rawset(L, -3);
	}
	lua_pop(L, 1);
	return found;
}

static bool is_share(lua_State *L, int index)
{
	return lua_type(L, index) == LUA_TNUMBER;
}

static bool is_range(lua_State *L, int index)
{
	struct fw_quantity low, high;

	return is_list(L, index) && fw_words_range(L, index, &low, &high) && low.value < high.value;
}

static bool is_whole(lua_State *L, int index)
{
	return lua_isinteger(L, index) && lua_tointeger(L, index) >= 1 &&
	       lua_tointeger(L, index) <= 1000000;
}

/* An answers file has "id: answer", and views are searched by it. */
bool fw_words_is_id(lua_State *L, int index)
{
	static const char allowed[] =
	    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.";
	size_t length;

	if (lua_type(L, index) != LUA_TSTRING)
		return false;
	const char *id = lua_tolstring(L, index, &length);
	return length > 0 && length <= ID_MOST && strspn(id, allowed) == length;
}

/* Whether two options read alike but for capitals, or one is the number of another. */
static bool is_ambiguous(lua_State *L, int index)
{
	lua_Integer count = (lua_Integer)lua_rawlen(L, index);
	bool found = false;

	for (lua_Integer i = 1; i <= count && !found; i++) {
		lua_rawgeti(L, index, i);
		const char *text = lua_tostring(L, -1);
		found = strspn(text, "0123456789") == strlen(text) && strtoll(text, NULL, 10) != i;
		for (lua_Integer j = 1; j < i && !found; j++) {
			lua_rawgeti(L, index, j);
			found = strcasecmp(lua_tostring(L, -1), text) == 0;
			lua_pop(L, 1);
		}
		lua_pop(L, 1);
	}
	return found;
}

static bool fits(lua_State *L, int index, enum fw_field_kind kind)
{
	struct fw_quantity q;

	switch (kind) {
	case FW_FIELD_ID:
		return fw_words_is_id(L, index);
	case FW_FIELD_TEXT:
		return fw_words_is_text(L, index);
	case FW_FIELD_TEXTS:
		return each_is(L, index, fw_words_is_text) && !has_twins(L, index);
	case FW_FIELD_OPTIONS:
		return fits(L, index, FW_FIELD_TEXTS) && lua_rawlen(L, index) <= OPTIONS_MOST &&
		       !is_ambiguous(L, index);
	case FW_FIELD_UNIT:
		return fw_lua_unit_get(L, index) != NULL;
	case FW_FIELD_QUANTITY:
		return fw_lua_quantity_get(L, index, &q) != 0;
	case FW_FIELD_VALUE:
		return lua_isfunction(L, index) || fits(L, index, FW_FIELD_QUANTITY);
	case FW_FIELD_RANGE:
		return is_range(L, index);
	case FW_FIELD_WHOLE:
		return is_whole(L, index);
	case FW_FIELD_NUMBER:
		return lua_type(L, index) == LUA_TNUMBER && isfinite(lua_tonumber(L, index));
	case FW_FIELD_FLAG:
		return lua_isboolean(L, index);
	case FW_FIELD_SHARES:
		return each_is(L, index, is_share);
	case FW_FIELD_GAUGE:
		return fw_words_is_text(L, index) || fw_figure_is(L, index, FW_FIGURE_GAUGE);
	case FW_FIELD_LIMITS:
		return fw_figure_is(L, index, FW_FIGURE_LIMITS);
	case FW_FIELD_KIT:
		return fw_figure_is(L, index, FW_FIGURE_KIT);
	case FW_FIELD_JOINT:
		return fw_figure_is(L, index, FW_FIGURE_JOINT);
	case FW_FIELD_SOURCE:
		return fw_source_get(L, index) != NULL;
	case FW_FIELD_FUNCTION:
		return lua_isfunction(L, index);
	case FW_FIELD_TABLE:
		return lua_istable(L, index);
	}
	return false;
}

static const struct fw_field *find_field(const struct fw_word *word, const char *name)
{
	for (const struct fw_field *field = word->fields; field->name; field++)
		if (strcmp(field->name, name) == 0)
			return field;
	return NULL;
}

/* The known field nearest to a misspelt one: same letters but for one put in, left out, changed or
 * swapped. */
static bool near_name(const char *a, const char *b)
{
	size_t m = strlen(a), n = strlen(b), i = 0;

	while (i < m && i < n && a[i] == b[i])
		i++;
	if (m == n)
		return strcmp(a + i + (i < m), b + i + (i < n)) == 0 ||
		       (i + 1 < m && a[i] == b[i + 1] && a[i + 1] == b[i] &&
		        strcmp(a + i + 2, b + i + 2) == 0);
	if (m + 1 == n)
		return strcmp(a + i, b + i + 1) == 0;
	return m == n + 1 && strcmp(a + i + 1, b + i) == 0;
}

static int unknown_field(lua_State *L, const struct fw_word *word, const char *name)
{
	luaL_Buffer list;
	const char *meant = NULL;

	luaL_buffinit(L, &list);
	for (const struct fw_field *field = word->fields; field->name; field++) {
		if (near_name(name, field->name))
			meant = field->name;
		if (field != word->fields)
			luaL_addstring(&list, ", ");
		luaL_addstring(&list, field->name);
	}
	luaL_pushresult(&list);
	if (meant)
		return fw_words_error(L, word->name, 1, "there is no field '%s'; did you mean '%s'?", name,
		                      meant);
	return fw_words_error(L, word->name, 1, "there is no field '%s'; it takes %s", name,
	                      lua_tostring(L, -1));
}

static bool is_known(lua_State *L, int key, const void *context)
{
	const struct fw_word *word = context;

	if (lua_type(L, key) == LUA_TSTRING)
		return find_field(word, lua_tostring(L, key)) != NULL;
	return word->listed && lua_isinteger(L, key) && lua_tointeger(L, key) >= 1 &&
	       (lua_Unsigned)lua_tointeger(L, key) <= lua_rawlen(L, 1);
}

static void check_known(lua_State *L, const struct fw_word *word)
{
	const char *name = fw_words_unknown_key(L, 1, is_known, word);

	if (!name)
		return;
	if (name[0] != '\0')
		unknown_field(L, word, name);
	else if (word->listed)
		fw_words_error(L, word->name, 1, "its entries aren't numbered from 1 without a gap");
	else
		fw_words_error(L, word->name, 1, "takes named fields only, such as %s = …",
		               word->fields->name);
}

/* Pushes what was given instead, as far as it can be shown. */
static const char *push_given(lua_State *L, int index)
{
	const char *text = lua_type(L, index) == LUA_TSTRING ? lua_tostring(L, index) : NULL;

	if (text && strlen(text) == lua_rawlen(L, index) && strlen(text) <= 40)
		return lua_pushfstring(L, "\"%s\"", text);
	if (lua_type(L, index) == LUA_TNUMBER) {
		lua_pushvalue(L, index);
		return lua_tostring(L, -1);
	}
	if (lua_isboolean(L, index))
		return lua_pushstring(L, lua_toboolean(L, index) ? "true" : "false");
	return lua_pushfstring(L, "this %s", luaL_typename(L, index));
}

static void check_field(lua_State *L, const struct fw_word *word, const struct fw_field *field)
{
	lua_pushstring(L, field->name);
	lua_rawget(L, 1);
	if (lua_isnil(L, -1)) {
		if (field->required)
			fw_words_error(L, word->name, 1, "the field '%s' is missing: %s, %s", field->name,
			               field->doc, kind_names[field->kind]);
	} else if (!fits(L, lua_gettop(L), field->kind)) {
		fw_words_error(L, word->name, 1, "the field '%s' must be %s, not %s", field->name,
		               kind_names[field->kind], push_given(L, lua_gettop(L)));
	}
	lua_pop(L, 1);
}

/* An id belongs to the word that had it first; that word may come again, in a loop. */
static void claim_id(lua_State *L, const struct fw_word *word)
{
	const char *id = fw_words_text(L, 1, "id");

	luaL_getsubtable(L, LUA_REGISTRYINDEX, "fw.ids");
	lua_pushstring(L, id ? id : word->name);
	lua_pushvalue(L, -1);
	if (lua_rawget(L, -3) == LUA_TSTRING) {
		const char *owner = lua_tostring(L, -1);
		if (strcmp(owner, word->name) != 0)
			fw_words_error(L, word->name, 1,
			               "this id is already that of a step of '%s'; give each step its own",
			               owner);
	}
	lua_pop(L, 1);
	lua_pushstring(L, word->name);
	lua_rawset(L, -3);
	lua_pop(L, 1);
}

void fw_words_check(lua_State *L, const struct fw_word *word)
{
	lua_settop(L, 1);
	if (word->shorthand && lua_type(L, 1) == LUA_TSTRING) {
		lua_createtable(L, 0, 1);
		lua_insert(L, 1);
		lua_setfield(L, 1, word->shorthand);
	}
	if (!lua_istable(L, 1))
		fw_words_error(L, word->name, 0, "is called with a table: %s { %s = … }", word->name,
		               word->fields->name);
	fw_sandbox_charge(L, CALL_COST + (word->listed ? ENTRY_COST * lua_rawlen(L, 1) : 0));
	check_known(L, word);
	for (const struct fw_field *field = word->fields; field->name; field++)
		check_field(L, word, field);
	if (find_field(word, "id"))
		claim_id(L, word);
}

/* Pushes a copy of the table at `from`; `deep`: tables in it are copied, not shared. */
static void push_copy(lua_State *L, int from, bool deep)
{
	lua_newtable(L);
	for (lua_pushnil(L); lua_next(L, from);) {
		lua_pushvalue(L, -2);
		lua_insert(L, -2);
		if (deep && lua_istable(L, -1)) {
			push_copy(L, lua_gettop(L), false);
			lua_remove(L, -2);
		}
		lua_rawset(L, -4);
	}
}

void fw_words_keep(lua_State *L)
{
	luaL_checkstack(L, 12, NULL);
	push_copy(L, 1, true);
}

/* Pushes a field without running metamethods. */
static int raw_field(lua_State *L, int args, const char *field)
{
	args = lua_absindex(L, args);
	lua_pushstring(L, field);
	return lua_rawget(L, args);
}

const char *fw_words_text(lua_State *L, int args, const char *field)
{
	int type = raw_field(L, args, field);
	const char *text = type == LUA_TSTRING ? lua_tostring(L, -1) : NULL;

	lua_pop(L, 1); /* the table still holds it */
	return text;
}

lua_Integer fw_words_whole(lua_State *L, int args, const char *field, lua_Integer otherwise)
{
	lua_Integer n = raw_field(L, args, field) == LUA_TNUMBER ? lua_tointeger(L, -1) : otherwise;
	lua_pop(L, 1);
	return n;
}

double fw_words_number(lua_State *L, int args, const char *field, double otherwise)
{
	double n = raw_field(L, args, field) == LUA_TNUMBER ? lua_tonumber(L, -1) : otherwise;
	lua_pop(L, 1);
	return n;
}

bool fw_words_flag(lua_State *L, int args, const char *field)
{
	raw_field(L, args, field);
	bool flag = lua_toboolean(L, -1);
	lua_pop(L, 1);
	return flag;
}

bool fw_words_quantity(lua_State *L, int args, const char *field, struct fw_quantity *out)
{
	raw_field(L, args, field);
	bool found = fw_lua_quantity_get(L, lua_gettop(L), out) != 0;
	lua_pop(L, 1);
	return found;
}

bool fw_words_range(lua_State *L, int index, struct fw_quantity *low, struct fw_quantity *high)
{
	if (!lua_istable(L, index) || lua_rawlen(L, index) != 2)
		return false;
	lua_rawgeti(L, index, 1);
	bool found = fw_lua_quantity_get(L, lua_gettop(L), low) != 0;
	lua_pop(L, 1);
	lua_rawgeti(L, index, 2);
	found = fw_lua_quantity_get(L, lua_gettop(L), high) != 0 && found;
	lua_pop(L, 1);
	return found && fw_dimension_equal(low->dimension, high->dimension);
}
