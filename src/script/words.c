/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How every word asks, finds, and fails. */
#include "words.h"

#include <stdio.h>
#include <string.h>

#include "json.h"

#define BOX "fw.json"

/* The collector sees only the small boxes around JSON: after so many bytes of it all that was left
 * behind, by calls that failed, is swept. */
#define JSON_MOST ((size_t)8 * 1024 * 1024)
/* What a value costs beside its text, roughly. */
#define JSON_VALUE 100

struct fw_script *fw_words_script(lua_State *L)
{
	return fw_sandbox_context(L);
}

static void free_box(json_t **box)
{
	json_decref(*box);
	*box = NULL;
}

static int collect_box(lua_State *L)
{
	free_box(luaL_checkudata(L, 1, BOX));
	return 0;
}

json_t *fw_words_object(lua_State *L)
{
	json_t **box = lua_newuserdatauv(L, sizeof *box, 0);

	*box = NULL; /* born closed: a collection during the next calls finds nothing to free */
	if (luaL_newmetatable(L, BOX)) {
		lua_pushcfunction(L, collect_box);
		lua_setfield(L, -2, "__gc");
	}
	lua_setmetatable(L, -2);
	*box = json_object();
	if (!*box)
		luaL_error(L, "out of memory");
	return *box;
}

/* Pays for a text of JSON: what is outside the Lua state is bounded by the work it takes. */
static void pay_for_text(lua_State *L, const char *text)
{
	struct fw_script *script = fw_words_script(L);
	size_t size = strlen(text) + JSON_VALUE;

	fw_sandbox_charge(L, size);
	script->json += size;
	if (script->json > JSON_MOST) {
		script->json = 0;
		lua_gc(L, LUA_GCCOLLECT);
	}
}

void fw_words_put(lua_State *L, json_t *object, const char *key, json_t *value)
{
	if (json_object_set_new_nocheck(object, key, value) != 0) /* keys are the program's own */
		luaL_error(L, "'%s' can't be recorded: out of memory", key);
}

void fw_words_put_text(lua_State *L, json_t *object, const char *key, const char *text)
{
	if (!text)
		return;
	pay_for_text(L, text);
	json_t *value = json_string(text);
	if (!value)
		luaL_error(L, "'%s' can't be recorded: it isn't UTF-8 text", key);
	fw_words_put(L, object, key, value);
}

void fw_words_put_texts(lua_State *L, json_t *object, const char *key, int list)
{
	json_t *texts = json_array();

	list = lua_absindex(L, list);
	fw_words_put(L, object, key, texts);
	for (lua_Integer i = 1; i <= (lua_Integer)lua_rawlen(L, list); i++) {
		lua_rawgeti(L, list, i);
		pay_for_text(L, lua_tostring(L, -1));
		if (json_array_append_new(texts, json_string(lua_tostring(L, -1))) != 0)
			luaL_error(L, "'%s' can't be recorded: out of memory", key);
		lua_pop(L, 1);
	}
}

/* How often this step and item were asked before; counts this time too. */
static lua_Integer next_round(lua_State *L, const char *step, const char *item)
{
	luaL_getsubtable(L, LUA_REGISTRYINDEX, "fw.rounds");
	lua_pushfstring(L, "%s\n%s", step, item ? item : "");
	lua_pushvalue(L, -1);
	lua_rawget(L, -3);
	lua_Integer round = lua_tointeger(L, -1);
	lua_pop(L, 1);
	lua_pushinteger(L, round + 1);
	lua_rawset(L, -3);
	lua_pop(L, 1);
	return round;
}

static void put_phase(lua_State *L, json_t *question)
{
	const struct fw_script *script = fw_words_script(L);
	const json_t *phases = json_object_get(script->facts, "phases");

	if (script->phase == 0)
		return;
	fw_words_put(L, question, "phase", json_incref(json_array_get(phases, script->phase - 1)));
	fw_words_put(L, question, "phase_number", json_integer((json_int_t)script->phase));
	fw_words_put(L, question, "phase_count", json_integer((json_int_t)json_array_size(phases)));
}

json_t *fw_words_question(lua_State *L, const struct fw_word *word, int args, enum fw_ask ask,
                          const char *item)
{
	const char *step = fw_words_text(L, args, "id");
	json_t *question = fw_words_object(L);

	fw_words_put_text(L, question, "ask", fw_ask_name(ask));
	fw_words_put_text(L, question, "word", word->name);
	fw_words_put_text(L, question, "step", step ? step : word->name);
	fw_words_put_text(L, question, "item", item);
	put_phase(L, question);
	fw_words_put(L, question, "round", json_integer(next_round(L, step ? step : word->name, item)));
	fw_words_put_text(L, question, "say", fw_words_text(L, args, "say"));
	fw_words_put_text(L, question, "caution", fw_words_text(L, args, "caution"));
	fw_words_put_text(L, question, "help", fw_words_text(L, args, "help"));
	return question;
}

int fw_words_ask(lua_State *L, lua_KFunction next, lua_KContext state)
{
	struct fw_script *script = fw_words_script(L);
	json_t **box = luaL_checkudata(L, -1, BOX);

	if (!script->running)
		return luaL_error(L, "nothing can be asked while the files are being loaded; "
		                     "put the steps into the function 'run'");
	if (!lua_isyieldable(L))
		return luaL_error(L, "nothing can be asked from inside a function that compares or sorts");
	json_decref(script->question);
	script->question = *box;
	*box = NULL;
	lua_pop(L, 1);
	return lua_yieldk(L, 0, state, next);
}

const struct fw_answer *fw_words_answer(lua_State *L)
{
	const struct fw_answer *answer = fw_words_script(L)->answer;

	if (!answer)
		luaL_error(L, "the step was resumed without an answer");
	return answer;
}

void fw_words_find(lua_State *L, const char *step, int ask, int value)
{
	struct fw_script *script = fw_words_script(L);
	json_t **ask_box = luaL_checkudata(L, ask, BOX);
	json_t **value_box = luaL_checkudata(L, value, BOX);
	struct fw_error error = {0};

	if (!script->running)
		luaL_error(L, "nothing can be worked out while the files are being loaded; "
		              "put the steps into the function 'run'");
	int code = script->host.finding(script->host.context, step, *ask_box, *value_box, &error);
	free_box(ask_box);
	free_box(value_box);
	if (code != FW_OK) {
		fw_sandbox_doom(script->box, code, error.text);
		luaL_error(L, "%s", error.text);
	}
}

void fw_words_set_methods(lua_State *L, const char *kind, const luaL_Reg *methods)
{
	if (luaL_newmetatable(L, kind)) {
		lua_newtable(L);
		luaL_setfuncs(L, methods, 0);
		lua_setfield(L, -2, "__index");
		lua_pushboolean(L, 0);
		lua_setfield(L, -2, "__metatable");
	}
	lua_setmetatable(L, -2);
}

const char *fw_words_unknown_key(lua_State *L, int index, fw_words_known *known,
                                 const void *context)
{
	const char *least = NULL;

	index = lua_absindex(L, index);
	for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
		int key = lua_gettop(L) - 1;
		if (known(L, key, context))
			continue;
		const char *name = lua_type(L, key) == LUA_TSTRING ? lua_tostring(L, key) : "";
		if (!least || strcmp(name, least) < 0)
			least = name;
	}
	return least;
}

int fw_words_error(lua_State *L, const char *word, int args, const char *format, ...)
{
	va_list list;
	const char *id = NULL;

	if (args != 0 && lua_istable(L, args)) {
		lua_getfield(L, args, "id");
		id = lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : NULL;
	}
	luaL_where(L, 1);
	if (id)
		lua_pushfstring(L, "%s '%s': ", word, id);
	else
		lua_pushfstring(L, "%s: ", word);
	va_start(list, format);
	lua_pushvfstring(L, format, list);
	va_end(list);
	lua_concat(L, 3);
	return lua_error(L);
}

static const struct fw_word *const parts[] = {fw_words_files,   fw_words_tasks,  fw_words_signs,
                                              fw_words_measure, fw_words_checks, fw_words_grid,
                                              fw_words_tighten, fw_words_fit,    fw_words_together,
                                              fw_words_gasket,  fw_words_figures};
#define PARTS (sizeof parts / sizeof *parts)

/* The word at `n`, counted through all parts; NULL behind the last. */
static const struct fw_word *word_at(size_t n)
{
	for (size_t i = 0; i < PARTS; i++)
		for (const struct fw_word *word = parts[i]; word->name; word++)
			if (n-- == 0)
				return word;
	return NULL;
}

/* "shims.fit" goes into the table "shims" with all other words of that table, once: when the first
 * of them comes. */
static void define_space(lua_State *L, const struct fw_word *first, size_t length)
{
	const struct fw_word *word;
	size_t words = 0;

	lua_createtable(L, 0, 1);
	for (size_t n = 0; (word = word_at(n)) != NULL; n++) {
		if (strncmp(word->name, first->name, length + 1) != 0)
			continue;
		if (words++ == 0 && word != first)
			break; /* not the first: defined already */
		lua_pushcfunction(L, word->run);
		lua_setfield(L, -2, word->name + length + 1);
	}
	if (words > 0 && word == NULL) {
		const char *space = lua_pushlstring(L, first->name, length);
		lua_insert(L, -2);
		fw_sandbox_define_library(L, space);
	}
	lua_pop(L, 1);
}

static void define_word(lua_State *L, const struct fw_word *word)
{
	const char *dot = strchr(word->name, '.');

	if (dot) {
		define_space(L, word, (size_t)(dot - word->name));
		return;
	}
	lua_pushcfunction(L, word->run);
	fw_sandbox_define(L, word->name);
}

void fw_words_open(lua_State *L)
{
	const struct fw_word *word;

	for (size_t n = 0; (word = word_at(n)) != NULL; n++)
		define_word(L, word);
	if (fw_words_script(L)->host.rules > 1)
		define_word(L, fw_words_holds);
	fw_words_open_solve(L);
}
