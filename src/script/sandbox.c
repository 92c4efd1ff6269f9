/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The state, its threads and its slices. */
#include "script/sandbox.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "script/sandbox_internal.h"

struct fw_sandbox *fw_sandbox_of(lua_State *L)
{
	return *(struct fw_sandbox **)lua_getextraspace(L); /* coroutines copy it */
}

void *fw_sandbox_context(lua_State *L)
{
	return fw_sandbox_of(L)->context;
}

lua_State *fw_sandbox_state(struct fw_sandbox *box)
{
	return box->L;
}

static void arm(lua_State *L)
{
	lua_sethook(L, fw_sandbox_hook, LUA_MASKCOUNT | LUA_MASKCALL, FW_BOX_STEP);
}

/* The outermost entry opens a full budget; an entry inside another goes on with what is left. */
static void enter(struct fw_sandbox *box, uint64_t budget)
{
	if (box->depth++ > 0)
		return;
	box->left = budget;
	box->spent = false;
	box->out_of_memory = false;
	box->refusal = FW_REFUSED_NOTHING;
	box->place[0] = '\0';
}

static void leave(struct fw_sandbox *box)
{
	box->depth--;
}

static int fail_memory(const struct fw_sandbox *box, const char *place, struct fw_error *err)
{
	switch (box->refusal) {
	case FW_REFUSED_SYSTEM:
		return fw_fail(err, FW_ERR_MEMORY, "%sout of memory", place);
	case FW_REFUSED_STRING:
		return fw_fail(err, FW_ERR_LIMIT, "%sa text grew beyond %d KiB", place,
		               FW_BOX_STRING / 1024);
	case FW_REFUSED_WORK:
		return fw_fail(err, FW_ERR_LIMIT,
		               "%stoo much work between two questions: does a loop never end?", place);
	default:
		return fw_fail(err, FW_ERR_LIMIT, "%sthe script needs more than its %zu KiB of memory",
		               place, box->memory / 1024);
	}
}

static int fail_over(const struct fw_sandbox *box, const char *place, struct fw_error *err)
{
	if (box->doom)
		return fw_fail(err, box->doom, "%s", box->message);
	if (box->spent)
		return fw_fail(err, FW_ERR_LIMIT,
		               "%stoo much work between two questions (%llu steps): does a loop never end?",
		               box->place, (unsigned long long)box->budget);
	return fail_memory(box, place, err);
}

/* Whether a message says its place already: "file:12: …". */
static bool has_place(const char *text)
{
	const char *colon = strchr(text, ':');
	if (!colon || colon == text || !isdigit((unsigned char)colon[1]))
		return false;
	return colon[1 + strspn(colon + 1, "0123456789")] == ':';
}

/* Length of the well-formed UTF-8 character at `s`, or 0. What is too long or out of range is left
 * to the ranges of its second byte. */
static size_t utf8_length(const unsigned char *s)
{
	size_t more = s[0] < 0x80 ? 0 : s[0] >= 0xF0 ? 3 : s[0] >= 0xE0 ? 2 : 1;
	unsigned low = s[0] == 0xE0 ? 0xA0 : s[0] == 0xF0 ? 0x90 : 0x80;
	unsigned high = s[0] == 0xED ? 0x9F : s[0] == 0xF4 ? 0x8F : 0xBF;

	if (s[0] < 0x20 || s[0] == 0x7F || (s[0] >= 0x80 && s[0] < 0xC2) || s[0] > 0xF4)
		return 0;
	if (more > 0 && (s[1] < low || s[1] > high))
		return 0;
	for (size_t i = 2; i <= more; i++)
		if ((s[i] & 0xC0) != 0x80)
			return 0;
	return more + 1;
}

/* A message is one line of UTF-8, whatever a script puts into it. */
static void make_printable(char *text)
{
	unsigned char *at = (unsigned char *)text;
	while (*at) {
		size_t length = utf8_length(at);
		if (length == 0)
			*at = *at < 0x20 ? ' ' : '?';
		at += length ? length : 1;
	}
}

struct description {
	const char *place;
	struct fw_error *err;
};

/* The error value is argument 1. A table without a metatable may carry its text in `message`. */
static int describe(lua_State *L)
{
	struct description *d = lua_touserdata(L, 2);
	lua_settop(L, 1);
	if (lua_istable(L, 1) && !lua_getmetatable(L, 1)) {
		lua_pushliteral(L, "message");
		if (lua_rawget(L, 1) != LUA_TSTRING)
			lua_settop(L, 1);
	}
	lua_settop(L, lua_type(L, -1) == LUA_TSTRING ? lua_gettop(L) : 1);
	const char *kind = lua_type(L, -1) == LUA_TSTRING ? "" : "error raised with a value of kind ";
	const char *text = fw_sandbox_tostring(L, -1, NULL);
	fw_fail(d->err, FW_ERR_SCRIPT, "%s%s%s", has_place(text) ? "" : d->place, kind, text);
	return 0;
}

/* Turns the error value on top of `thread` into `err`. */
static int fail_script(struct fw_sandbox *box, lua_State *thread, const char *place,
                       struct fw_error *err)
{
	lua_State *L = box->L;
	struct fw_error text = {0};
	struct description d = {place, &text};

	if (!lua_checkstack(L, 3))
		return fw_fail(err, FW_ERR_MEMORY, "%sout of memory", place);
	lua_xmove(thread, L, 1); /* nothing moves when it is the main state */
	lua_pushcfunction(L, describe);
	lua_insert(L, -2);
	lua_pushlightuserdata(L, &d);
	if (lua_pcall(L, 2, 0, 0) != LUA_OK) {
		lua_pop(L, 1);
		return fw_fail(err, FW_ERR_SCRIPT, "%serror without a readable message", place);
	}
	make_printable(text.text);
	return fw_fail(err, FW_ERR_SCRIPT, "%s", text.text);
}

/* The thread, or the main state, has just failed with `status` and the error value on top. */
static int fail_status(struct fw_sandbox *box, lua_State *thread, int status, struct fw_error *err)
{
	char place[FW_BOX_PLACE];
	fw_sandbox_place(thread, place, sizeof place);
	if (status == LUA_ERRMEM)
		box->out_of_memory = true;
	if (fw_sandbox_over(box))
		return fail_over(box, place, err);
	return fail_script(box, thread, place, err);
}

int fw_sandbox_protect(struct fw_sandbox *box, lua_CFunction setup, void *argument,
                       struct fw_error *err)
{
	lua_State *L = box->L;
	int top = lua_gettop(L);

	if (!lua_checkstack(L, 4))
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	enter(box, box->budget > FW_BOX_INSTRUCTIONS ? box->budget : FW_BOX_INSTRUCTIONS);
	if (!fw_sandbox_over(box))
		arm(L); /* a budget spent here before left it at every instruction */
	lua_pushcfunction(L, setup);
	lua_pushlightuserdata(L, argument);
	int status = lua_pcall(L, 1, 0, 0);
	int code = status == LUA_OK ? FW_OK : fail_status(box, L, status, err);
	leave(box);
	lua_settop(L, top);
	return code;
}

static int open_all(lua_State *L)
{
	fw_sandbox_open_base(L);
	fw_sandbox_open_pairs(L);
	fw_sandbox_open_string(L);
	fw_sandbox_open_table(L);
	fw_sandbox_open_math(L);
	return 0;
}

int fw_sandbox_new_within(struct fw_sandbox **out, const struct fw_sandbox_limits *limits,
                          void *context, uint64_t allocations, struct fw_error *err)
{
	*out = NULL;
	struct fw_sandbox *box = calloc(1, sizeof *box);
	if (!box)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");

	box->context = context;
	box->allocations = allocations;
	box->memory = limits && limits->memory ? limits->memory : FW_BOX_MEMORY;
	box->budget = limits && limits->instructions ? limits->instructions : FW_BOX_INSTRUCTIONS;
	box->L = lua_newstate(fw_sandbox_allocate, box);
	if (!box->L) {
		int code = fail_memory(box, "", err);
		free(box);
		return code;
	}
	*(struct fw_sandbox **)lua_getextraspace(box->L) = box;
	arm(box->L); /* before any coroutine is made: they inherit it */

	int code = fw_sandbox_protect(box, open_all, NULL, err);
	if (code) {
		fw_sandbox_free(box);
		return code;
	}
	*out = box;
	return FW_OK;
}

int fw_sandbox_new(struct fw_sandbox **out, const struct fw_sandbox_limits *limits, void *context,
                   struct fw_error *err)
{
	return fw_sandbox_new_within(out, limits, context, UINT64_MAX, err);
}

void fw_sandbox_free(struct fw_sandbox *box)
{
	if (!box)
		return;
	lua_close(box->L);
	free(box);
}

lua_State *fw_sandbox_thread(lua_State *from)
{
	luaL_checkstack(from, 3, NULL);
	lua_State *thread = lua_newthread(from);
	lua_rawsetp(from, LUA_REGISTRYINDEX, thread);
	lua_xmove(from, thread, 1);
	return thread;
}

struct loading {
	const char *bytes, *name;
	size_t size;
	lua_State *thread;
};

static int load_chunk(lua_State *L)
{
	struct loading *load = lua_touserdata(L, 1);
	const char *shown = lua_pushfstring(L, "@%s", load->name);
	int status = luaL_loadbufferx(L, load->bytes, load->size, shown, "t");
	if (status == LUA_ERRMEM)
		fw_sandbox_of(L)->out_of_memory = true;
	if (status != LUA_OK)
		return lua_error(L);
	load->thread = fw_sandbox_thread(L);
	return 0;
}

static int line_of(const char *bytes, const char *at)
{
	int line = 1;
	for (; bytes < at; bytes++)
		line += *bytes == '\n';
	return line;
}

/* A word that would let a chunk change its own environment, and that 5.4.4 miscompiles when it is
 * constant. */
static const char *find_env(const char *bytes, size_t size)
{
	static const char word[] = "_ENV";
	for (size_t i = 0; i + sizeof word - 1 <= size; i++)
		if (memcmp(bytes + i, word, sizeof word - 1) == 0)
			return bytes + i;
	return NULL;
}

int fw_sandbox_load(struct fw_sandbox *box, lua_State **thread, const char *bytes, size_t size,
                    const char *name, struct fw_error *err)
{
	*thread = NULL;
	if (size > FW_BOX_SOURCE)
		return fw_fail(err, FW_ERR_LIMIT, "%s: longer than %d KiB", name, FW_BOX_SOURCE / 1024);
	if (size > 0 && bytes[0] == LUA_SIGNATURE[0])
		return fw_fail(err, FW_ERR_SCRIPT, "%s: compiled, not text: give the Lua source", name);
	if (size >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) { /* some editors put it first */
		bytes += 3;
		size -= 3;
	}
	const char *env = find_env(bytes, size);
	if (env)
		return fw_fail(err, FW_ERR_SCRIPT, "%s:%d: the name _ENV can't be used", name,
		               line_of(bytes, env));

	struct loading load = {bytes, name, size, NULL};
	int code = fw_sandbox_protect(box, load_chunk, &load, err);
	if (code && err && !has_place(err->text) && !box->doom)
		fw_error_prefix(err, "%s: ", name);
	*thread = load.thread;
	return code;
}

static int check_resumable(lua_State *thread, int arguments, struct fw_error *err)
{
	int status = lua_status(thread);
	bool fresh = status == LUA_OK && lua_gettop(thread) > arguments &&
	             lua_isfunction(thread, -(arguments + 1));
	if (status != LUA_YIELD && !fresh)
		return fw_fail(err, FW_ERR_STATE, "the script has ended and can't go on");
	return FW_OK;
}

int fw_sandbox_resume(struct fw_sandbox *box, lua_State *thread, int arguments,
                      enum fw_slice *slice, int *results, struct fw_error *err)
{
	int code = check_resumable(thread, arguments, err);
	if (code)
		return code;
	if (box->doom)
		return fail_over(box, "", err);

	lua_State *outer = box->running;
	enter(box, box->budget);
	box->running = thread;
	arm(thread);
	int status = lua_resume(thread, box->L, arguments, results);
	box->running = outer;
	if (status == LUA_OK || status == LUA_YIELD) {
		/* A budget spent, or a doom spoken, in the slice's last instructions counts too. */
		code = box->doom ? fail_over(box, "", err) : FW_OK;
		*slice = status == LUA_OK ? FW_SLICE_DONE : FW_SLICE_YIELDED;
	} else {
		code = fail_status(box, thread, status, err);
	}
	leave(box);
	return code;
}

void fw_sandbox_doom(struct fw_sandbox *box, int code, const char *message)
{
	if (box->doom)
		return; /* the first reason is the true one */
	box->doom = code;
	snprintf(box->message, sizeof box->message, "%s", message);
	if (box->running)
		lua_sethook(box->running, fw_sandbox_hook, LUA_MASKCOUNT | LUA_MASKCALL, 1);
}
