/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words that make up the files: procedure, sheet, require; and phase, which cuts the run into
 * parts. */
#include <string.h>

#include "figures.h"
#include "files.h"
#include "words.h"

enum { PROCEDURE, SHEET, REQUIRE, PHASE };

static const struct fw_word *const words = fw_words_files;

static int keep_once(lua_State *L, const char *key, const char *word)
{
	if (lua_getfield(L, LUA_REGISTRYINDEX, key) != LUA_TNIL)
		return fw_words_error(
		    L, word, 0, "is called a second time; it is called once, in 'return %s { … }'", word);
	lua_pop(L, 1);
	fw_words_keep(L);
	lua_setfield(L, LUA_REGISTRYINDEX, key);
	return 1;
}

static int run_procedure(lua_State *L)
{
	fw_words_check(L, &words[PROCEDURE]);
	lua_settop(L, 1);
	return keep_once(L, FW_FILES_PROCEDURE, "procedure");
}

/* A sheet's fields are names of the figures that its procedure asks for: anything goes here, and is
 * held against the procedure once both are loaded. */
static int run_sheet(lua_State *L)
{
	lua_settop(L, 1);
	if (!lua_istable(L, 1))
		return fw_words_error(L, "sheet", 0, "is called with a table: sheet { title = … }");
	return keep_once(L, FW_FILES_SHEET, "sheet");
}

/* require: modules are loaded while the files are, so that all of them are known, and stored, when
 * the job begins. The host loads them: this call yields until it has. */

static int after_require(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	lua_getfield(L, LUA_REGISTRYINDEX, FW_FILES_MODULES);
	lua_getfield(L, -1, lua_tostring(L, 1));
	return 1;
}

static int run_require(lua_State *L)
{
	struct fw_script *script = fw_words_script(L);
	size_t length;
	const char *name = luaL_checklstring(L, 1, &length);

	lua_settop(L, 1);
	if (length == 0 || length > FW_FILES_NAME_MOST ||
	    strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-_") != length)
		return luaL_error(
		    L,
		    "require: '%s' is no name of a module: a file beside the procedure, named in "
		    "small letters, digits, - and _, without its ending .lua",
		    name);
	luaL_getsubtable(L, LUA_REGISTRYINDEX, FW_FILES_MODULES);
	if (lua_getfield(L, -1, name) != LUA_TNIL)
		return 1;
	if (script->running)
		return luaL_error(
		    L, "require: '%s' must be required at the top of the file, not while the job runs",
		    name);
	lua_settop(L, 1);
	memcpy(script->wanted, name, length + 1);
	return lua_yieldk(L, 0, 0, after_require);
}

/* phase */

static int run_phase(lua_State *L)
{
	struct fw_script *script = fw_words_script(L);
	const json_t *phases = json_object_get(script->facts, "phases");
	const char *name = luaL_checkstring(L, 1);

	if (!script->running)
		return luaL_error(L, "phase: belongs into the function 'run'");
	fw_sandbox_charge(L, json_array_size(phases));
	for (size_t i = 0; i < json_array_size(phases); i++)
		if (strcmp(json_string_value(json_array_get(phases, i)), name) == 0) {
			script->phase = (unsigned)i + 1;
			return 0;
		}
	return luaL_error(L, "phase: '%s' isn't in the procedure's list of phases", name);
}

/* The table. */

#define END_FIELD                                                                                  \
	{                                                                                              \
		NULL, FW_FIELD_TEXT, false, NULL                                                           \
	}

static const struct fw_field procedure_fields[] = {
    {"title", FW_FIELD_TEXT, true, "what is done to what"},
    {"phases", FW_FIELD_TEXTS, true, "its parts in order, such as { \"Receive\", \"Fit-up\" }"},
    {"sheet", FW_FIELD_TABLE, false,
     "figures it needs: name = kind, such as { float = \"limits\" }"},
    {"run", FW_FIELD_FUNCTION, true, "the steps, function(sheet) … end"},
    END_FIELD};

static const struct fw_field no_fields[] = {END_FIELD};

const struct fw_word fw_words_files[] = {
    [PROCEDURE] = {"procedure", "A procedure; its file returns it.", run_procedure,
                   procedure_fields, NULL, false},
    [SHEET] = {"sheet", "The figures of one kind of unit; its file returns it.", run_sheet,
               no_fields, NULL, false},
    [REQUIRE] = {"require", "A module beside the procedure.", run_require, no_fields, NULL, false},
    [PHASE] = {"phase", "Begins the phase of that name.", run_phase, no_fields, NULL, false},
    [PHASE + 1] = {NULL, NULL, NULL, NULL, NULL, false}};
