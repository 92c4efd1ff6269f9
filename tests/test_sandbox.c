/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sandbox: what a script may do, in an order that never changes, and that it can be stopped. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "sandbox_run.h"

#if defined(__SANITIZE_ADDRESS__)
#define SLACK 5
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SLACK 5
#endif
#endif
#ifndef SLACK
#define SLACK 1
#endif

static void test_good_script(void **state)
{
	(void)state;
	expect_result("local n = 0 for i = 1, 10 do n = n + i end return n", "55");
}

/* Attacks */

static char *read_file(const char *path, size_t *size)
{
	FILE *file = fopen(path, "rb");
	char *text = calloc(1, FW_BOX_SOURCE);
	assert_non_null(file);
	assert_non_null(text);
	*size = fread(text, 1, FW_BOX_SOURCE - 1, file);
	fclose(file);
	return text;
}

/* Longest time for one attack. FW_TEST_SLACK multiplies it, for runs under an instrumenting tool.
 */
static double seconds_allowed(void)
{
	const char *slack = getenv("FW_TEST_SLACK");
	return SLACK * (slack ? atof(slack) : 1.0);
}

/* Each file says on its second comment line how it ends. */
static void attack(const char *path)
{
	static const char mark[] = "-- ends with: ";
	size_t size;
	char *text = read_file(path, &size);
	char *end = strstr(text, mark);
	assert_non_null(end);

	struct run run;
	clock_t begun = clock();
	int code = start_within(&run, NULL, text, size, UINT64_MAX);
	finish(&run);
	double seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;

	end += sizeof mark - 1;
	end[strcspn(end, "\n")] = '\0';
	bool clean_end = strcmp(end, "(a clean end)") == 0;
	if (clean_end ? code != FW_OK : code != FW_ERR_SCRIPT && code != FW_ERR_LIMIT)
		fail_msg("%s: %d: %s", path, code, run.error.text);
	if (!clean_end && !strstr(run.error.text, end))
		fail_msg("%s: \"%s\" does not contain \"%s\"", path, run.error.text, end);
	if (strstr(run.error.text, "0x"))
		fail_msg("%s: an address came out: %s", path, run.error.text);
	if (seconds > seconds_allowed())
		fail_msg("%s: %.2f s", path, seconds);
	free(text);
}

static void test_attacks(void **state)
{
	static const char folder[] = FW_TEST_SOURCE "/tests/attacks";
	DIR *files = opendir(folder);
	int count = 0;
	assert_non_null(files);
	for (struct dirent *entry; (entry = readdir(files));) {
		char path[1024];
		if (!strstr(entry->d_name, ".lua"))
			continue;
		snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
		attack(path);
		test_good_script(state);
		count++;
	}
	closedir(files);
	assert_true(count >= 35);
}

/* Source that is slow to compile: names looked for through many functions full of locals. No hook
 * runs there, so the length of the source is what bounds it. */
static void test_slow_source(void **state)
{
	(void)state;
	static char text[FW_BOX_SOURCE + 1];
	enum { DEPTH = 60, LOCALS = 195, TAIL = 4 * DEPTH };
	size_t length = 0;
	for (int d = 0; d < DEPTH; d++) {
		length += (size_t)sprintf(text + length, "local function f()");
		for (int i = 0; i < LOCALS; i++)
			length += (size_t)sprintf(text + length, "%s%c%c", i ? "," : " local V", 'a' + i % 26,
			                          'A' + i / 26);
		length += (size_t)sprintf(text + length, "\n");
	}
	while (length + TAIL + 4 < sizeof text)
		length += (size_t)sprintf(text + length, "X()");
	for (int d = 0; d < DEPTH; d++)
		length += (size_t)sprintf(text + length, " end");

	struct run run;
	clock_t begun = clock();
	int code = start_within(&run, NULL, text, length, UINT64_MAX);
	double seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;
	if (code)
		fail_msg("%s", run.error.text);
	assert_true(seconds < seconds_allowed());
	finish(&run);
}

/* Limits */

static void test_limits_not_swallowed(void **state)
{
	(void)state;
	expect_error("while true do pcall(function() while true do end end) end", FW_ERR_LIMIT,
	             "test.lua:1: too much work");
	expect_error("local ok = pcall(function() while true do end end) return 'swallowed'",
	             FW_ERR_LIMIT, "too much work");
	expect_error(
	    "local t = {} local ok = pcall(function() while true do t = { t } end end) t = nil "
	    "return 'swallowed'",
	    FW_ERR_LIMIT, "KiB of memory");
	expect_error(
	    "local ok = pcall(pcall, function() local s = 'x' while true do s = s .. s end end) "
	    "return 'swallowed'",
	    FW_ERR_LIMIT, "test.lua:1: a text grew");
}

static void test_memory_cap(void **state)
{
	(void)state;
	struct fw_sandbox_limits limits = {.memory = 1024 * 1024};
	static const char text[] = "local t = {} while true do t = { t } end";
	struct run run;
	assert_int_equal(start_within(&run, &limits, text, strlen(text), UINT64_MAX), FW_ERR_LIMIT);
	assert_contains(run.error.text, "test.lua:1: the script needs more than its 1024 KiB");
	assert_true(run.box->used <= limits.memory);
	finish(&run);

	limits.memory = 100;
	assert_int_equal(start_within(&run, &limits, text, strlen(text), UINT64_MAX), FW_ERR_LIMIT);
	finish(&run);
}

static void test_small_budget(void **state)
{
	(void)state;
	struct fw_sandbox_limits limits = {.instructions = 10000};
	static const char little[] = "for i = 1, 1000 do end";
	static const char much[] = "for i = 1, 20000 do end";
	struct run run;
	assert_int_equal(start_within(&run, &limits, little, strlen(little), UINT64_MAX), FW_OK);
	finish(&run);
	assert_int_equal(start_within(&run, &limits, much, strlen(much), UINT64_MAX), FW_ERR_LIMIT);
	finish(&run);
}

/* ask(x): yields its argument, returns what the host resumes with. */
static int ask(lua_State *L)
{
	return lua_yield(L, lua_gettop(L));
}

static int doom(lua_State *L)
{
	fw_sandbox_doom(fw_sandbox_context(L), FW_ERR_REPLAY, "entry 7 does not match");
	return 0;
}

static int define_words(lua_State *L)
{
	lua_pushcfunction(L, ask);
	fw_sandbox_define(L, "ask");
	lua_pushcfunction(L, doom);
	fw_sandbox_define(L, "doom");
	return 0;
}

static void open_with_words(struct run *run, const char *text)
{
	struct fw_error error;
	*run = (struct run){0};
	assert_ok(fw_sandbox_new(&run->box, NULL, NULL, &error));
	run->box->context = run->box;
	assert_ok(fw_sandbox_protect(run->box, define_words, NULL, &error));
	assert_ok(fw_sandbox_load(run->box, &run->thread, text, strlen(text), "test.lua", &error));
}

static int go_on(struct run *run, const char *answer)
{
	if (answer) {
		lua_settop(run->thread, 0);
		lua_pushstring(run->thread, answer);
	}
	return fw_sandbox_resume(run->box, run->thread, answer != NULL, &run->slice, &run->results,
	                         &run->error);
}

static void test_yield_across_pcall(void **state)
{
	(void)state;
	struct run run;
	open_with_words(&run, "local ok, message = pcall(function()\n"
	                      "  local a = ask 'first'\n"
	                      "  local deep, b = pcall(function() return ask 'second' end)\n"
	                      "  error(a .. b)\n"
	                      "end)\n"
	                      "return tostring(ok) .. message");
	assert_int_equal(go_on(&run, NULL), FW_OK);
	assert_int_equal(run.slice, FW_SLICE_YIELDED);
	assert_string_equal(lua_tostring(run.thread, -1), "first");
	assert_int_equal(go_on(&run, "one "), FW_OK);
	assert_int_equal(run.slice, FW_SLICE_YIELDED);
	assert_string_equal(lua_tostring(run.thread, -1), "second");
	assert_int_equal(go_on(&run, "two"), FW_OK);
	assert_int_equal(run.slice, FW_SLICE_DONE);
	assert_string_equal(lua_tostring(run.thread, -1), "falsetest.lua:4: one two");
	assert_int_equal(go_on(&run, NULL), FW_ERR_STATE);
	finish(&run);
}

static void test_limit_after_yield_in_pcall(void **state)
{
	(void)state;
	struct run run;
	open_with_words(&run, "while true do pcall(function() ask 'q' while true do end end) end");
	assert_int_equal(go_on(&run, NULL), FW_OK);
	assert_int_equal(go_on(&run, "a"), FW_ERR_LIMIT);
	finish(&run);
}

/* 4 slices of about three quarters of a budget. */
static void test_budget_is_per_slice(void **state)
{
	(void)state;
	struct run run;
	open_with_words(&run, "for _ = 1, 4 do for i = 1, 13000000 do end ask 'q' end");
	for (int i = 0; i < 4; i++) {
		assert_int_equal(go_on(&run, i ? "a" : NULL), FW_OK);
		assert_int_equal(run.slice, FW_SLICE_YIELDED);
	}
	finish(&run);
}

static void test_doom(void **state)
{
	(void)state;
	static const char *const texts[] = {
	    "while true do pcall(doom) end",
	    "pcall(function() doom() while true do end end) return 'swallowed'",
	    "pcall(function() pcall(doom) end) return 'swallowed'",
	    "doom()",
	};
	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
		struct run run;
		open_with_words(&run, texts[i]);
		assert_int_equal(go_on(&run, NULL), FW_ERR_REPLAY);
		assert_string_equal(run.error.text, "entry 7 does not match");
		finish(&run);
	}
}

static void test_doomed_before(void **state)
{
	(void)state;
	struct run run;
	open_with_words(&run, "return 1");
	fw_sandbox_doom(run.box, FW_ERR_TRAIL, "the disk is gone");
	fw_sandbox_doom(run.box, FW_ERR_REPLAY, "a later reason");
	assert_int_equal(go_on(&run, NULL), FW_ERR_TRAIL);
	assert_string_equal(run.error.text, "the disk is gone");
	finish(&run);
}

/* Every allocation, and all after it, fails in turn: over making the state, loading and running. */
static void test_memory_sweep(void **state)
{
	(void)state;
	static const char text[] =
	    "local t = { 3, 1, 2, a = 'x', b = 'y' }\n"
	    "table.sort(t) table.insert(t, 4) table.remove(t, 1)\n"
	    "local s = '' for k, v in pairs(t) do s = s .. tostring(k) .. string.format('%5.2f|%s', "
	    "1.5, v) end\n"
	    "local ok, e = pcall(function() error({ message = 'm' .. #s }) end)\n"
	    "local parts = (('a,b'):rep(40, ',')):split(',')\n"
	    "local f = function(...) return select('#', ...) + #table.concat({ ... }, ' ') end\n"
	    "f(table.unpack(parts))\n"
	    "error('at the end ' .. e.message .. s)\n";
	struct run run;
	uint64_t n = 0;
	int code = FW_ERR_MEMORY;
	for (; code == FW_ERR_MEMORY && n < 100000; n++) {
		code = start_within(&run, NULL, text, strlen(text), n);
		if (code == FW_ERR_MEMORY && !strstr(run.error.text, "out of memory"))
			fail_msg("allocation %d: %s", (int)n, run.error.text);
		finish(&run);
	}
	assert_int_equal(code, FW_ERR_SCRIPT);
	assert_contains(run.error.text, "test.lua:8: at the end m");
	assert_true(n > 300);
}

/* Names */

/* Walks what scripts can reach from the value on top; appends names to `list`. */
static void walk(lua_State *L, const char *prefix, char *list, size_t size)
{
	assert_true(fw_sandbox_push_original(L, -1));
	for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1)) {
		char name[64];
		assert_int_equal(lua_type(L, -2), LUA_TSTRING);
		snprintf(name, sizeof name, "%s%s%s", prefix, prefix[0] ? "." : "", lua_tostring(L, -2));
		if (lua_istable(L, -1))
			walk(L, name, list, size);
		else
			snprintf(list + strlen(list), size - strlen(list), "%s\n", name);
		assert_false(lua_isuserdata(L, -1));
	}
	lua_pop(L, 1);
}

static int by_text(const void *a, const void *b)
{
	return strcmp(*(char *const *)a, *(char *const *)b);
}

static void test_allow_list(void **state)
{
	(void)state;
	static const char *const allowed[] = {
	    "assert",         "error",           "ipairs",       "math.abs",
	    "math.acos",      "math.asin",       "math.atan",    "math.ceil",
	    "math.cos",       "math.exp",        "math.floor",   "math.fmod",
	    "math.huge",      "math.log",        "math.max",     "math.maxinteger",
	    "math.min",       "math.mininteger", "math.modf",    "math.pi",
	    "math.sin",       "math.sqrt",       "math.tan",     "math.tointeger",
	    "math.type",      "math.ult",        "pairs",        "pcall",
	    "select",         "string.byte",     "string.char",  "string.find",
	    "string.format",  "string.len",      "string.lower", "string.rep",
	    "string.reverse", "string.split",    "string.sub",   "string.trim",
	    "string.upper",   "table.concat",    "table.insert", "table.move",
	    "table.pack",     "table.remove",    "table.sort",   "table.unpack",
	    "tonumber",       "tostring",        "type",         "utf8.char",
	    "utf8.codepoint", "utf8.codes",      "utf8.len",     "utf8.offset",
	};
	enum { COUNT = sizeof allowed / sizeof allowed[0] };
	struct run run;
	static char list[8192];
	char *names[2 * COUNT];
	size_t count = 0;

	list[0] = '\0';
	assert_int_equal(start(&run, ""), FW_OK);
	lua_rawgeti(run.box->L, LUA_REGISTRYINDEX, LUA_RIDX_GLOBALS);
	walk(run.box->L, "", list, sizeof list);
	lua_pushliteral(run.box->L, "");
	assert_int_equal(luaL_getmetafield(run.box->L, -1, "__index"), LUA_TTABLE);
	assert_int_equal(luaL_getmetafield(run.box->L, -2, "__add"), LUA_TNIL);
	assert_true(fw_sandbox_push_original(run.box->L, -1));
	for (char *name = strtok(list, "\n"); name && count < 2 * COUNT; name = strtok(NULL, "\n"))
		names[count++] = name;
	qsort(names, count, sizeof names[0], by_text);
	for (size_t i = 0; i < count && i < COUNT; i++)
		assert_string_equal(names[i], allowed[i]);
	assert_int_equal(count, COUNT);
	finish(&run);
}

static void test_misspelt_names(void **state)
{
	(void)state;
	expect_error("\n\nreturn fo", FW_ERR_SCRIPT, "test.lua:3: unknown name 'fo'");
	expect_error("\nmath.sinn(1)", FW_ERR_SCRIPT, "test.lua:2: unknown name 'math.sinn'");
	expect_error("return ('x'):ucase()", FW_ERR_SCRIPT, "unknown name 'string.ucase'");
	expect_error("total = 1", FW_ERR_SCRIPT,
	             "test.lua:1: 'total' can't be set here: write 'local total'");
	expect_error("function helper() end", FW_ERR_SCRIPT, "write 'local helper'");
	expect_error("math.pi = 3", FW_ERR_SCRIPT, "'math' is read-only");
	expect_error("table.insert(math, 3)", FW_ERR_SCRIPT, "read-only");
	expect_error("table.sort(string)", FW_ERR_SCRIPT, "read-only");
	expect_result("return #math", "0");
}

static void test_error_places(void **state)
{
	(void)state;
	expect_error("local x = = 1", FW_ERR_SCRIPT, "test.lua:1: unexpected symbol near '='");
	expect_error("\n\nerror 'plain'", FW_ERR_SCRIPT, "test.lua:3: plain");
	expect_error("\nerror('bare', 0)", FW_ERR_SCRIPT, "test.lua:2: bare");
	expect_error("\nerror { message = 'in a table' }", FW_ERR_SCRIPT, "test.lua:2: in a table");
	expect_error("\nerror(true)", FW_ERR_SCRIPT,
	             "test.lua:2: error raised with a value of kind true");
	expect_error("\n\n('x'):rep({})", FW_ERR_SCRIPT, "test.lua:3: bad argument");
	expect_error("\nassert(false, 'why')", FW_ERR_SCRIPT, "test.lua:2: why");
	expect_error("\nlocal t = nil\nlocal function f() return t.x end\nf()", FW_ERR_SCRIPT,
	             "test.lua:3: attempt to index a nil value");
	expect_error("\ntable.sort({ 1, 2 }, function() error 'inside' end)", FW_ERR_SCRIPT,
	             "test.lua:2: inside");
	expect_error("error 'two\\nlines'", FW_ERR_SCRIPT, "two lines");
}

static int define_sheet(lua_State *L)
{
	lua_newtable(L);
	lua_pushinteger(L, 3);
	lua_setfield(L, -2, "float");
	lua_pushliteral(L, "first");
	lua_rawseti(L, -2, 1);
	fw_sandbox_read_only(L, "sheet");
	fw_sandbox_define(L, "sheet");
	return 0;
}

static void test_read_only(void **state)
{
	(void)state;
	struct run run = {0};
	struct fw_error error;
	static const char text[] =
	    "assert(sheet.float == 3 and #sheet == 1 and sheet[2] == nil)\n"
	    "local s = '' for _, v in ipairs(sheet) do s = s .. v end\n"
	    "for k, v in pairs(sheet) do s = s .. tostring(k) .. tostring(v) end\n"
	    "assert(s == 'first1firstfloat3', s)\n"
	    "assert(not pcall(function() sheet.float = 4 end))\n"
	    "return sheet.flaot\n";
	assert_ok(fw_sandbox_new(&run.box, NULL, NULL, &error));
	assert_ok(fw_sandbox_protect(run.box, define_sheet, NULL, &error));
	assert_ok(fw_sandbox_load(run.box, &run.thread, text, strlen(text), "test.lua", &error));
	assert_int_equal(go_on(&run, NULL), FW_ERR_SCRIPT);
	assert_string_equal(run.error.text, "test.lua:6: unknown name 'sheet.flaot'");
	finish(&run);
}

static int misbehave(lua_State *L)
{
	return luaL_error(L, "set-up failed: %d", *(int *)lua_touserdata(L, 1));
}

static void test_protect_and_load(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_sandbox *box;
	lua_State *thread;
	static char large[FW_BOX_SOURCE + 1];
	int number = 7;

	assert_ok(fw_sandbox_new(&box, NULL, &number, &error));
	assert_ptr_equal(fw_sandbox_context(fw_sandbox_state(box)), &number);
	assert_code(fw_sandbox_protect(box, misbehave, &number, &error), FW_ERR_SCRIPT);
	assert_contains(error.text, "set-up failed: 7");
	memset(large, ' ', sizeof large);
	assert_code(fw_sandbox_load(box, &thread, large, sizeof large, "large.lua", &error),
	            FW_ERR_LIMIT);
	assert_ok(fw_sandbox_load(box, &thread, large, sizeof large - 1, "large.lua", &error));
	assert_ptr_equal(fw_sandbox_context(thread), &number);
	assert_ok(fw_sandbox_load(box, &thread, "\xEF\xBB\xBFreturn 1", 11, "bom.lua", &error));
	assert_code(fw_sandbox_load(box, &thread, "\n local _ENV", 12, "e.lua", &error), FW_ERR_SCRIPT);
	assert_contains(error.text, "e.lua:2: the name _ENV");
	assert_null(thread);
	fw_sandbox_free(box);
	fw_sandbox_free(NULL);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_good_script),
	    cmocka_unit_test(test_attacks),
	    cmocka_unit_test(test_slow_source),
	    cmocka_unit_test(test_limits_not_swallowed),
	    cmocka_unit_test(test_memory_cap),
	    cmocka_unit_test(test_small_budget),
	    cmocka_unit_test(test_yield_across_pcall),
	    cmocka_unit_test(test_limit_after_yield_in_pcall),
	    cmocka_unit_test(test_budget_is_per_slice),
	    cmocka_unit_test(test_doom),
	    cmocka_unit_test(test_doomed_before),
	    cmocka_unit_test(test_memory_sweep),
	    cmocka_unit_test(test_allow_list),
	    cmocka_unit_test(test_misspelt_names),
	    cmocka_unit_test(test_error_places),
	    cmocka_unit_test(test_read_only),
	    cmocka_unit_test(test_protect_and_load),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
