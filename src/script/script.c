/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "script.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "files.h"
#include "lua_quantity.h"
#include "words.h"

/* How deep modules may require modules. */
#define REQUIRE_DEPTH 16

/* Work done on the Lua state under protection. */
struct chunk {
	lua_State *thread;
	const char *module; /* what its result is kept as, or NULL */
	int results;
};

static int open_words(lua_State *L)
{
	fw_lua_quantity_open(L);
	fw_words_open(L);
	return 0;
}

static int keep_module(lua_State *L)
{
	struct chunk *chunk = lua_touserdata(L, 1);

	luaL_getsubtable(L, LUA_REGISTRYINDEX, FW_FILES_MODULES);
	if (chunk->results > 0) {
		lua_settop(chunk->thread, lua_gettop(chunk->thread) - chunk->results + 1);
		lua_xmove(chunk->thread, L, 1);
	} else {
		lua_pushboolean(L, 1); /* a module that returns nothing is loaded all the same */
	}
	if (lua_isnil(L, -1))
		luaL_error(L, "%s.lua: a module must not return nil", chunk->module);
	lua_setfield(L, -2, chunk->module);
	return 0;
}

static int run_file(struct fw_script *script, const struct fw_script_text *text, const char *module,
                    int depth, struct fw_error *err);

/* Loads the module that a require() waits for. */
static int load_module(struct fw_script *script, int depth, struct fw_error *err)
{
	char module[FW_FILES_NAME_MOST + 1], name[FW_FILES_NAME_MOST + 5];
	char *bytes = NULL;
	size_t size = 0;

	memcpy(module, script->wanted, sizeof module);
	script->wanted[0] = '\0';
	if (depth >= REQUIRE_DEPTH)
		return fw_fail(err, FW_ERR_SCRIPT,
		               "%s.lua: modules require one another in a circle, or too deep", module);
	int code = script->host.module(script->host.context, module, &bytes, &size, err);
	if (code == FW_OK) {
		snprintf(name, sizeof name, "%s.lua", module);
		code =
		    run_file(script, &(struct fw_script_text){name, bytes, size}, module, depth + 1, err);
	}
	free(bytes);
	return code;
}

static int run_file(struct fw_script *script, const struct fw_script_text *text, const char *module,
                    int depth, struct fw_error *err)
{
	struct chunk chunk = {.module = module};
	enum fw_slice slice;
	int code =
	    fw_sandbox_load(script->box, &chunk.thread, text->bytes, text->size, text->name, err);

	while (code == FW_OK) {
		code = fw_sandbox_resume(script->box, chunk.thread, 0, &slice, &chunk.results, err);
		if (code != FW_OK || slice == FW_SLICE_DONE)
			break;
		code = load_module(script, depth, err);
	}
	if (code == FW_OK && module)
		code = fw_sandbox_protect(script->box, keep_module, &chunk, err);
	return code;
}

/* Title and phases of the procedure into the facts. */
static int keep_procedure(lua_State *L)
{
	struct fw_script *script = fw_words_script(L);

	if (lua_getfield(L, LUA_REGISTRYINDEX, FW_FILES_PROCEDURE) == LUA_TNIL)
		return luaL_error(
		    L, "%s: the file holds no procedure; it must end in 'return procedure { … }'",
		    (const char *)lua_touserdata(L, 1));
	fw_words_put_text(L, script->facts, "title", fw_words_text(L, -1, "title"));
	lua_getfield(L, -1, "phases");
	fw_words_put_texts(L, script->facts, "phases", -1);
	return 0;
}

static int check_sheet_file(lua_State *L)
{
	if (lua_getfield(L, LUA_REGISTRYINDEX, FW_FILES_SHEET) == LUA_TNIL)
		return luaL_error(L, "%s: the file holds no sheet; it must end in 'return sheet { … }'",
		                  (const char *)lua_touserdata(L, 1));
	return 0;
}

static int after_run(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	lua_settop(L, 0);
	return fw_check_close_all(L);
}

/* `run`, the upvalue, and behind it what a procedure can't leave out. */
static int run_whole(lua_State *L)
{
	lua_pushvalue(L, lua_upvalueindex(1));
	lua_insert(L, 1);
	lua_callk(L, lua_gettop(L) - 1, 0, 0, after_run);
	return after_run(L, LUA_OK, 0);
}

/* Puts `run` and its sheet on a thread of their own. */
static int prepare_run(lua_State *L)
{
	struct fw_script *script = fw_words_script(L);
	const char *name = lua_touserdata(L, 1);

	fw_files_push_sheet(L, name);
	lua_getfield(L, LUA_REGISTRYINDEX, FW_FILES_PROCEDURE);
	lua_getfield(L, -1, "run");
	if (script->host.rules > 1)
		lua_pushcclosure(L, run_whole, 1);
	script->thread = fw_sandbox_thread(L);
	lua_pop(L, 1);
	luaL_checkstack(script->thread, 4, NULL);
	lua_xmove(L, script->thread, 1);
	return 0;
}

static int load_all(struct fw_script *script, const struct fw_script_text *procedure,
                    const struct fw_script_text *sheet, struct fw_error *err)
{
	int code = fw_sandbox_protect(script->box, open_words, NULL, err);

	if (code == FW_OK)
		code = run_file(script, procedure, NULL, 0, err);
	if (code == FW_OK)
		code = fw_sandbox_protect(script->box, keep_procedure, (void *)procedure->name, err);
	if (code == FW_OK && sheet) {
		code = run_file(script, sheet, NULL, 0, err);
		if (code == FW_OK)
			code = fw_sandbox_protect(script->box, check_sheet_file, (void *)sheet->name, err);
	}
	if (code == FW_OK)
		code =
		    fw_sandbox_protect(script->box, prepare_run, sheet ? (void *)sheet->name : NULL, err);
	return code;
}

int fw_script_new(struct fw_script **out, const struct fw_script_text *procedure,
                  const struct fw_script_text *sheet, const struct fw_script_host *host,
                  struct fw_error *err)
{
	struct fw_script *script = calloc(1, sizeof *script);

	*out = NULL;
	if (!script)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	script->host = *host;
	script->facts = json_object();
	int code = script->facts ? fw_sandbox_new(&script->box, NULL, script, err)
	                         : fw_fail(err, FW_ERR_MEMORY, "out of memory");
	if (code == FW_OK)
		code = load_all(script, procedure, sheet, err);
	if (code != FW_OK) {
		fw_script_free(script);
		return code;
	}
	*out = script;
	return FW_OK;
}

void fw_script_free(struct fw_script *script)
{
	if (!script)
		return;
	fw_sandbox_free(script->box);
	json_decref(script->facts);
	json_decref(script->question);
	free(script);
}

const char *fw_script_language(void)
{
	return LUA_RELEASE;
}

const json_t *fw_script_facts(const struct fw_script *script)
{
	return script->facts;
}

json_t *fw_script_question(const struct fw_script *script)
{
	return script->question;
}

/* Lua's own messages name file and line; which step that was, the question answered last tells. */
static void add_step(const json_t *question, struct fw_error *err)
{
	const char *step = json_string_value(json_object_get(question, "step"));
	char quoted[80], text[FW_ERROR_TEXT];

	if (!err || !step)
		return;
	snprintf(quoted, sizeof quoted, "'%s'", step);
	if (strstr(err->text, quoted))
		return;
	memcpy(text, err->text, sizeof text);
	fw_fail(err, err->code, "%s (after step %s)", text, quoted);
}

/* Runs to the next question or to the end. */
static int run_on(struct fw_script *script, int arguments, struct fw_error *err)
{
	enum fw_slice slice;
	int results;
	json_t *answered = script->question;

	script->question = NULL;
	int code = fw_sandbox_resume(script->box, script->thread, arguments, &slice, &results, err);
	if (code == FW_OK && slice == FW_SLICE_YIELDED && !script->question)
		code = fw_fail(err, FW_ERR_SCRIPT, "the procedure stopped without a question");
	if (code != FW_OK) {
		json_decref(script->question);
		script->question = NULL;
	}
	if (code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT)
		add_step(answered, err);
	json_decref(answered);
	return code;
}

int fw_script_start(struct fw_script *script, struct fw_error *err)
{
	if (script->running)
		return fw_fail(err, FW_ERR_STATE, "the procedure has been started already");
	script->running = true;
	return run_on(script, 1, err);
}

int fw_script_answer(struct fw_script *script, const struct fw_answer *answer, struct fw_error *err)
{
	if (!script->question)
		return fw_fail(err, FW_ERR_STATE, "the procedure asks nothing");
	script->answer = answer;
	int code = run_on(script, 0, err);
	script->answer = NULL;
	return code;
}
