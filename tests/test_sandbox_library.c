/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a script may call: like Lua's own, in an order that never changes. */
#include "sandbox_run.h"

#include <lualib.h>

/* pairs */

static void test_pairs_order(void **state)
{
	(void)state;
	expect_result(
	    "local t = { 'x', 'y', b = 1, a = 2, B = 3, [''] = 4, [true] = 5, [false] = 6,"
	    " [-3] = 7, [2.5] = 8, [1e300] = 9, [-1e300] = 10, ['a\\0'] = 11, ['\\xff'] = 12 }"
	    "local s = '' for k, v in pairs(t) do s = s .. tostring(v) .. ' ' end return s",
	    "10 7 x y 8 9 4 3 2 11 1 12 6 5 ");
	/* 2^53 + 1 has no double: the integer lies between the two floats. */
	expect_result(
	    "local t = { [9007199254740993] = 'i', [9007199254740991.5] = 'a',"
	    " [math.maxinteger] = 'm', [2.0^63] = 'z', [math.mininteger] = 'n', [-2.0^64] = '0' }"
	    "local s = '' for _, v in pairs(t) do s = s .. v end return s",
	    "0naimz");
}

static void test_pairs_snapshot(void **state)
{
	(void)state;
	expect_result("local t, s = { a = 1, b = 2, c = 3 }, ''"
	              "for k in pairs(t) do s = s .. k t[k .. 'x'] = 1 t.b = nil end return s",
	              "ac");
	expect_result("local n = 0 for k in pairs({}) do n = n + 1 end return n", "0");
	expect_result("local s = '' for k in pairs(utf8) do s = s .. k .. ' ' end return s",
	              "char codepoint codes len offset ");
	expect_error("pairs(1)", FW_ERR_SCRIPT, "table expected");
	expect_error("pairs { [{}] = 1 }", FW_ERR_SCRIPT, "test.lua:1: pairs: a key is a table");
}

/* The order doesn't hang on how the table came about. */
static void test_pairs_history(void **state)
{
	(void)state;
	expect_result("local function list(t) local s = '' for k in pairs(t) do s = s .. k .. ' ' end "
	              "return s end "
	              "local a, b = {}, {} "
	              "for i = 1, 300 do a['k' .. i] = i end "
	              "for i = 900, 1, -1 do b['k' .. i] = i end "
	              "for i = 301, 900 do b['k' .. i] = nil end "
	              "return list(a) == list(b)",
	              "true");
}

/* The same words in stock Lua, whose libraries are written by its own authors, must give the same.
 */
static void test_like_stock_lua(void **state)
{
	(void)state;
	static const char *const snippets[] = {
	    "return ('ab'):rep(3) .. ('ab'):rep(2, '-') .. ('ab'):rep(0) .. ('ab'):rep(-1) .. "
	    "(''):rep(9)",
	    "return table.concat({ ('abc'):byte(1, -1) }, ',') .. table.concat({ ('abc'):byte(-2, 9) "
	    "}, ',')",
	    "return tostring((('abc'):byte(4))) .. tostring(('abc'):byte()) .. "
	    "tostring((('abc'):byte(0, -4)))",
	    "local a, b = ('hello world'):find('o w', 1, true) return a .. ' ' .. b",
	    "local a, b = ('hello'):find('l', -2, true) return a .. ' ' .. b",
	    "return tostring(('hello'):find('l', 6, true)) .. tostring(('x'):find('', 2)) .. "
	    "tostring(('x'):find('', 3))",
	    "return string.format('%5d|%-5d|%05d|%+d|%x|%X|%o|%c', 42, 42, 42, 42, 255, 255, 8, 65)",
	    "return string.format('%.3f|%10.2f|%-10.1f|%g|%e|%a|%%', 1/3, 2.5, 2.5, 1e20, 12345.678, "
	    "1.0)",
	    "return string.format('%s|%10s|%-10s|%.2s|%s|%s', 'abc', 'abc', 'abc', 'abc', 12, true)",
	    "return string.format('%i %5.1f', '7', '2.25')",
	    "local t = { 1, 2, 3 } table.insert(t, 9) table.insert(t, 1, 8) return table.concat(t, ' "
	    "')",
	    "local t = { 1, 2, 3 } local r = table.remove(t, 1) return r .. table.concat(t, ' ') .. "
	    "table.remove(t)",
	    "local t = {} return tostring(table.remove(t)) .. #t",
	    "local t = { 5, 2, 8, 1, 9, 3 } table.sort(t) return table.concat(t, ' ')",
	    "local t = { 'pear', 'Fig', 'apple' } table.sort(t, function(a, b) return a > b end) "
	    "return table.concat(t, ' ')",
	    "local t = {} for i = 1, 500 do t[i] = (i * 7919) % 503 end table.sort(t) return "
	    "table.concat(t, ' ')",
	    "return table.concat(table.move({ 1, 2, 3, 4 }, 2, 4, 1), ' ')",
	    "return table.concat(table.move({ 1, 2, 3, 4 }, 1, 3, 2), ' ')",
	    "return table.concat(table.move({ 1, 2, 3 }, 1, 3, 3, { 7, 7 }), ' ')",
	    "return table.concat({ 1, 2.5, 'x' }, ', ', 2, 3) .. table.concat({}, 'x')",
	    "local t = table.pack(1, nil, 3) return t.n .. ' ' .. tostring(t[2])",
	    "local a, b, c = table.unpack({ 1, 2, 3 }, 2) return a .. b .. tostring(c)",
	    "return select('#') .. select('#', 1, nil) .. select(2, 'a', 'b') .. select(-1, 'a', 'b')",
	    "return tostring(tonumber('0x10')) .. tostring(tonumber(' 12 ')) .. "
	    "tostring(tonumber('1e2')) .. tostring(tonumber('x'))",
	    "return tostring(tonumber('ff', 16)) .. tostring(tonumber('-zz', 36)) .. "
	    "tostring(tonumber('8', 8)) .. tostring(tonumber('', 10))",
	    "return tostring(1e15) .. tostring(-0.0) .. tostring(2^53) .. tostring(nil) .. tostring(3) "
	    ".. type(2) .. type('')",
	    "local s = '' for i, v in ipairs({ 'a', 'b', nil, 'd' }) do s = s .. i .. v end return s",
	    "return tostring(pcall(error)) .. select(2, pcall(error, 'm', 0)) .. tostring(select(2, "
	    "pcall(error, nil)))",
	    "local ok, e = pcall(error, { 7 }) return e[1] .. tostring(ok)",
	    "return tostring(pcall(assert, false)) .. tostring(select(2, pcall(assert, nil, 'm')))",
	    "return utf8.len('añ') .. utf8.char(233, 8364) .. utf8.codepoint('é') .. "
	    "utf8.offset('añb', 3)",
	    "return ('AbC'):lower() .. ('AbC'):upper() .. ('abc'):reverse() .. ('abc'):sub(-2) .. "
	    "#'abc'",
	    "return math.max(1, 5, 3) .. math.min(2.5, 1) .. math.floor(-1.5) .. math.tointeger(3.0) "
	    ".. math.type(1)",
	};
	for (size_t i = 0; i < sizeof snippets / sizeof snippets[0]; i++) {
		lua_State *stock = luaL_newstate();
		assert_non_null(stock);
		luaL_openlibs(stock);
		if (luaL_dostring(stock, snippets[i]))
			fail_msg("%s: stock: %s", snippets[i], lua_tostring(stock, -1));
		expect_result(snippets[i], luaL_tolstring(stock, -1, NULL));
		lua_close(stock);
	}
}

static void test_own_words(void **state)
{
	(void)state;
	expect_result("return table.concat((',a,,b'):split(','), '|')", "|a||b");
	expect_result("return #(''):split(', ')", "1");
	expect_result("return '[' .. (' \\t a b \\r\\n'):trim() .. (' '):trim() .. ']'", "[a b]");
	expect_result(
	    "return tostring({}) .. tostring(tostring) .. tostring(0/0) .. string.format('%f', -(0/0))",
	    "tablefunctionnannan");
	/* Items that compare equal stay in their order. */
	expect_result("local t = {} for i = 1, 40 do t[i] = { i % 3, i } end "
	              "table.sort(t, function(a, b) return a[1] < b[1] end) "
	              "for i = 2, 40 do if t[i - 1][1] == t[i][1] and t[i - 1][2] > t[i][2] then "
	              "return 'unstable' end end "
	              "return 'stable'",
	              "stable");
	expect_error("return ('a.b'):find('.')", FW_ERR_SCRIPT, "there are no patterns");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_pairs_order),   cmocka_unit_test(test_pairs_snapshot),
	    cmocka_unit_test(test_pairs_history), cmocka_unit_test(test_like_stock_lua),
	    cmocka_unit_test(test_own_words),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
