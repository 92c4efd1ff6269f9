/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities in Lua: the arithmetic is that of the quantity room, the errors name both sides. */
#include "sandbox_run.h"

#include "fitwright/quantity.h"
#include "script/lua_quantity.h"

/* Two readings off one gauge and one off another, as a host would push them. */
static int define_readings(lua_State *L)
{
	struct fw_quantity a, b, c;
	struct fw_error error;
	const struct fw_unit *mm = fw_unit_find("mm", 2);
	uint64_t gauge = fw_source_name("gauge: micrometer");

	assert_ok(fw_quantity_make(&a, 3.0, mm, &error));
	assert_ok(fw_quantity_add_term(&a, gauge, 4e-6, INFINITY, &error));
	assert_ok(fw_quantity_make(&b, 1.0, mm, &error));
	assert_ok(fw_quantity_add_term(&b, gauge, 4e-6, INFINITY, &error));
	assert_ok(fw_quantity_make(&c, 1.0, mm, &error));
	assert_ok(fw_quantity_add_term(&c, fw_source_name("gauge: other"), 3e-6, INFINITY, &error));

	fw_lua_quantity_push(L, &a);
	fw_sandbox_define(L, "a");
	fw_lua_quantity_push(L, &b);
	fw_sandbox_define(L, "b");
	fw_lua_quantity_push(L, &c);
	fw_sandbox_define(L, "c");
	return 0;
}

static int open_room(lua_State *L)
{
	fw_lua_quantity_open(L);
	return lua_touserdata(L, 1) ? define_readings(L) : 0;
}

static int run_within(struct run *run, const char *text, uint64_t allocations, bool readings)
{
	*run = (struct run){0};
	int code = fw_sandbox_new_within(&run->box, NULL, NULL, allocations, &run->error);
	if (!code)
		code = fw_sandbox_protect(run->box, open_room, readings ? run : NULL, &run->error);
	if (!code)
		code = fw_sandbox_load(run->box, &run->thread, text, strlen(text), "test.lua", &run->error);
	if (!code)
		code = fw_sandbox_resume(run->box, run->thread, 0, &run->slice, &run->results, &run->error);
	return code;
}

static void expect_text(const char *text, const char *expected)
{
	struct run run;
	if (run_within(&run, text, UINT64_MAX, true))
		fail_msg("%s: %s", text, run.error.text);
	const char *got = fw_sandbox_tostring(run.thread, -1, NULL);
	if (strcmp(got, expected) != 0)
		fail_msg("%s: \"%s\", expected \"%s\"", text, got, expected);
	finish(&run);
}

static void expect_number(const char *text, double expected, double tolerance)
{
	struct run run;
	if (run_within(&run, text, UINT64_MAX, true))
		fail_msg("%s: %s", text, run.error.text);
	assert_int_equal(lua_type(run.thread, -1), LUA_TNUMBER);
	assert_near(lua_tonumber(run.thread, -1), expected, tolerance);
	finish(&run);
}

static void expect_failure(const char *text, const char *one, const char *other)
{
	struct run run;
	int code = run_within(&run, text, UINT64_MAX, true);
	if (code != FW_ERR_SCRIPT || strncmp(run.error.text, "test.lua:", 9) != 0 ||
	    !strstr(run.error.text, one) || !strstr(run.error.text, other))
		fail_msg("%s: %d: %s\nexpected %s, %s", text, code, run.error.text, one, other);
	finish(&run);
}

/* NIST SP 811, appendix B.8: 1 in = 25.4 mm, 1 mil (thou) = 0.0254 mm, 1 ft·lbf = 1.355 818 N·m,
 * 1 lbf·in = 0.112 984 8 N·m, 1 psi = 6.894 757 kPa, 1 lbf = 4.448 222 N, t/°C = (t/°F - 32)/1.8.
 */
static void test_units(void **state)
{
	(void)state;
	expect_number("return inch(1):number(mm)", 25.4, 1e-12);
	expect_number("return thou(55):number(mm)", 1.397, 1e-12);
	expect_number("return (thou(55) - mm(0.4)):number(mm)", 0.997, 1e-12);
	expect_number("return lbf_ft(1):number(Nm)", 1.355818, 5e-7);
	expect_number("return lbf_in(1):number(Nm)", 0.1129848, 5e-8);
	expect_number("return psi(1):number(kPa)", 6.894757, 5e-7);
	expect_number("return lbf(1):number(N)", 4.448222, 5e-7);
	expect_number("return degF(212):number(degC)", 100.0, 1e-9);
	expect_number("return min(2):number(s)", 120.0, 1e-12);
	expect_number("return percent(50) * 1 + 0", 0.5, 1e-15);
}

static void test_as_typed(void **state)
{
	(void)state;
	expect_number("return (inch '3/8'):number(mm)", 9.525, 1e-12); /* 3/8 of 25.4 */
	expect_number("return (thou '16'):number(inch)", 0.016, 1e-15);
	expect_number("return (mm '0,41'):number(mm)", 0.41, 1e-15);
	expect_number("return (mm '16 thou'):number(thou)", 16.0, 1e-12);
	expect_failure("\nreturn mm 'three'", "test.lua:2:", "three");
	expect_failure("return mm '3 Nm'", "length", "torque");
	expect_failure("return mm()", "mm: give one number", "");
	expect_failure("return mm({})", "a number or a text", "table");
	expect_failure("return mm(0/0)", "finite", "");
	expect_failure("return mm(mm(3))", "not a quantity", "mm");
}

static void test_arithmetic(void **state)
{
	(void)state;
	expect_text("return type(mm(1)) .. ' ' .. type(mm)", "quantity unit");
	expect_number("return (mm(1) + thou(100)):number(mm)", 3.54, 1e-12);
	expect_number("return (2 * mm(3) - mm(3) * 0.5):number(mm)", 4.5, 1e-12);
	expect_number("return (-mm(3)):number(mm)", -3, 1e-15);
	expect_number("return inch(1) / mm(1)", 25.4, 1e-12);
	expect_number("return (N(10) * m(2)):number(Nm)", 20, 1e-12);
	expect_number("return (Nm(20) / m(2)):number(N)", 10, 1e-12);
	expect_number("return (mm(3) / 2):number(mm)", 1.5, 1e-15);
	expect_number("return mm(2) * (1 / mm(4))", 0.5, 1e-15);
	expect_number("return (degC(80) - degC(20)):number(K)", 60, 1e-9);
}

static void test_comparison(void **state)
{
	(void)state;
	expect_text("return mm(25.4) == inch(1)", "true");
	expect_failure("return mm(1) == Nm(1)", "1.000 mm (length)", "1.00 N·m (torque)");
	expect_text("return mm(1) == 1", "false");
	expect_text("return mm(1) ~= mm", "true");
	expect_text("return mm == mm and mm ~= inch", "true");
	expect_text("return mm(25) < inch(1) and inch(1) <= mm(25.5) and mm(3) > mm(2)", "true");
	expect_text("return inch(1) < mm(25)", "false");
	expect_text(
	    "local t = { mm(3), thou(1), inch(1) } table.sort(t) "
	    "return table.concat({ t[1]:to(mm) == thou(1) and 'first' or '', tostring(t[3]) }, ' ')",
	    "first 1.0000 in");
}

static void test_text(void **state)
{
	(void)state;
	expect_text("return tostring(mm(0.4)) .. '|' .. tostring(mm)", "0.400 mm|mm");
	expect_text("return string.format('%s, %-5s|', mm(1.5), Nm)", "1.500 mm, N·m |");
	expect_text("return tostring(mm(25.4):to(inch))", "1.0000 in");
	expect_text("return table.concat({ mm(1), ' and ', thou(2) })", "1.000 mm and 2.0 thou");
}

/* JCGM 100:2008, 5.1.2 and 5.2.2: independent contributions add as squares, one shared source adds
 * with sign. */
static void test_uncertainty(void **state)
{
	(void)state;
	expect_number("return (a - b):u():number(mm)", 0, 1e-15);
	expect_number("return (a + b):u():number(mm)", 0.008, 1e-12);
	expect_number("return (b - c):u():number(mm)", 0.005, 1e-12);
	expect_number("return (a - a):u():number(mm)", 0, 0);
	expect_number("return (a * 2):u():number(um)", 8, 1e-9);
	expect_text("return tostring(a:u():u())", "0.000 mm");
	expect_number("return degC(20):u():number(K)", 0, 0);
}

/* JCGM 100:2008, 5.1.6: the relative uncertainty of a ratio is the root of the sum of squares of
 * those of its parts; one shared source counts by its difference. a = 3 mm and b = 1 mm bear 4 µm
 * of one gauge, c = 1 mm 3 µm of another. */
static void test_uncertain_ratio(void **state)
{
	(void)state;
	expect_text("return type(a / c) .. ' ' .. type(mm(3) / mm(1)) .. ' ' .. type(a / a)",
	            "quantity number number");
	expect_number("return (a / c):number()", 3, 1e-12);
	expect_number("return (a / c):u():number()", 3 * hypot(0.004 / 3, 0.003), 1e-12);
	expect_number("return (a / b):u():number()", 3 * (0.004 - 0.004 / 3), 1e-12);
	expect_number("return (a / c):to(percent):number(percent)", 300, 1e-9);
	/* beside plain numbers */
	expect_text(
	    "local r = a / c return tostring(r < 3.1 and r <= 3 and r > 2.9 and 2 < r and r >= 3)",
	    "true");
	expect_text("return tostring(a / c < 3)", "false");
	expect_number("return (a / c + 1 - 0.5):number()", 3.5, 1e-12);
	expect_number("return (1 - a / c):number()", -2, 1e-12);
	expect_number("return (2 * (a / c) / 3):number()", 2, 1e-12);
	expect_number("return (1 / (a / c)):number()", 1 / 3.0, 1e-12);
	expect_number("return (-(a / c)):number()", -3, 1e-12);
	/* and with quantities: its uncertainty goes on, and goes where it came from */
	expect_number("return ((a / c) * mm(3)):number(mm)", 9, 1e-12);
	expect_text("return tostring((a / c) * mm(3))", "9.000 mm");
	expect_number("return (a / c * c):u():number(mm)", 0.004, 1e-12);
	expect_text("return type(a / c * (c / a))", "number");
	expect_text("return tostring(a / c)", "3.000");
	expect_text("return tostring(a / c == 3) .. ' ' .. tostring(a / c == a / c)", "false true");
	expect_failure("return a / c + mm(1)", "plain number", "length");
	expect_failure("return a / c < mm(1)", "plain number", "length");
	expect_failure("return mm(3):number()", "q:number needs a unit", "");
	expect_failure("return (a / c):number(mm)", "plain number", "length");
}

/* The side of a square, with half its relative uncertainty (JCGM 100:2008, 5.1.6). */
static void test_square_root(void **state)
{
	(void)state;
	expect_number("return (mm(3) * mm(12)):sqrt():number(mm)", 6, 1e-12);
	expect_number("return (a * mm(12)):sqrt():u():number(mm)", 6 * 0.004 / 3 / 2, 1e-12);
	expect_number("return (a * a):sqrt():u():number(mm)", 0.004, 1e-12);
	expect_number("return (a / c * 3):sqrt():number()", 3, 1e-12);
	expect_number("return (mm(0) * mm(1)):sqrt():number(mm)", 0, 0);
	expect_failure("return mm(4):sqrt()", "4.000 mm (length)", "square root");
	expect_failure("return (-(mm(2) * mm(2))):sqrt()", "square root", "");
	expect_failure("return (b * (c - mm(1))):sqrt()", "uncertain", "");
	expect_failure("return degC(20):sqrt()", "point on a scale", "");
	expect_failure("return mm(4).sqrt()", "with a colon", "");
}

static void test_errors(void **state)
{
	(void)state;
	expect_failure("\n\nreturn thou(55) + Nm(3)", "test.lua:3: can't add 55.0 thou (length)",
	               "torque");
	expect_failure("return mm(1) < Nm(1)", "length", "torque");
	expect_failure("return mm(1) - 1", "length", "plain number");
	expect_failure("return mm(1) < 1", "length", "plain number");
	expect_failure("return mm(1) + {}", "a quantity and a table", "add");
	expect_failure("return mm(1) * '2'", "a quantity and a string", "multiply");
	expect_failure("return mm(1) / 0", "zero", "1.000 mm");
	expect_failure("return mm(1) * math.huge", "finite", "");
	expect_failure("return mm(1):to(Nm)", "length", "torque");
	expect_failure("return mm(1):number()", "q:number needs a unit", "");
	expect_failure("return mm(1).value", "a quantity has no 'value'", "");
	expect_failure("local q = mm(1) q.value = 2", "index", "quantity");
	expect_failure("return mm.factor", "a unit has no fields", "");
	expect_failure("return mm(1):to('mm')", "q:to needs a unit", "");
	expect_failure("return mm(1).to(3)", "with a colon", "");
	expect_failure("return 'x' .. {} .. mm(1)", "a table", "a quantity");
	expect_failure("return mm(1) .. nil", "a quantity and a nil", "join");
	expect_failure("return 'Fit ' .. mm(0.4)", "tostring() around the quantity", "");
	expect_failure("return 3 .. mm", "tostring() around the unit", "");
	expect_failure("return degC(1) + degC(1)", "temperatures on a scale", "");
	expect_failure("mm = 3", "'mm' can't be set here", "");
	expect_failure("return mm(1) + mm", "a quantity and a unit", "add");
	expect_failure("return mm(1) // 2", "arithmetic", "quantity");
}

/* A list of quantities of any length costs only its used terms. */
static void test_value_is_small(void **state)
{
	(void)state;
	struct run run;
	struct fw_quantity q;
	assert_int_equal(run_within(&run, "return a, 1, mm", UINT64_MAX, true), FW_OK);
	assert_true(lua_rawlen(run.thread, -3) < sizeof q / 4);
	assert_int_equal(fw_lua_quantity_get(run.thread, -3, &q), 1);
	assert_near(fw_quantity_u(&q), 4e-6, 1e-18);
	assert_int_equal(q.count, 1);
	assert_int_equal(fw_lua_quantity_get(run.thread, -2, &q), 0);
	assert_int_equal(fw_lua_quantity_get(run.thread, -1, &q), 0);
	assert_ptr_equal(fw_lua_unit_get(run.thread, -1), fw_unit_find("mm", 2));
	assert_null(fw_lua_unit_get(run.thread, -2));
	assert_null(fw_lua_unit_get(run.thread, -3));
	finish(&run);
}

static void test_memory_sweep(void **state)
{
	(void)state;
	struct run run;
	int code = FW_ERR_MEMORY;
	uint64_t n = 0;
	for (; code == FW_ERR_MEMORY && n < 100000; n++) {
		code = run_within(&run,
		                  "local q = thou(55) - mm '0.4' error('end ' .. tostring(q:to(inch)) .. "
		                  "tostring(q:u()))",
		                  n, false);
		finish(&run);
	}
	assert_int_equal(code, FW_ERR_SCRIPT);
	assert_contains(run.error.text, "test.lua:1: end 0.0393 in"); /* 0.055 in - 0.4/25.4 in */
	assert_true(n > 300);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_units),
	    cmocka_unit_test(test_as_typed),
	    cmocka_unit_test(test_arithmetic),
	    cmocka_unit_test(test_comparison),
	    cmocka_unit_test(test_text),
	    cmocka_unit_test(test_uncertainty),
	    cmocka_unit_test(test_uncertain_ratio),
	    cmocka_unit_test(test_square_root),
	    cmocka_unit_test(test_errors),
	    cmocka_unit_test(test_value_is_small),
	    cmocka_unit_test(test_memory_sweep),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
