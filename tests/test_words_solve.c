/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench calculators as words: what goes in, what comes back, what is recorded. */
#include <string.h>

#include "words_play.h"

/* A torque by a nut factor, T = K·D·F, is what the calculator compares with: 20 N·m on 10 mm with
 * 0.2 is 10 kN by hand. */
static void results_come_back(void **state)
{
	(void)state;
	play_holds(RUN("local o = solve.thread { id = 't', thread = 'M10' }\n"
	               "assert(#o.warnings == 0)\n"
	               "assert(math.abs(o.pitch:number(mm) - 1.5) < 1e-9)"),
	           NULL, "\"find\":\"worked\",\"place\":\"t\",\"calculator\":\"thread\"");
	/* ISO 286-1: 25 H7 is 0 to +21 µm, g6 -7 to -20 µm (Machinery's Handbook prints them too). */
	play_holds(
	    RUN("local o = solve.fit { id = 'f', fit = '25 H7/g6' }\n"
	        "assert(math.abs(o.clearance_max:number(um) - 41) < 1e-6, tostring(o.clearance_max))"),
	    NULL, "\"text\":");
}

/* JCGM 100:2008, 5.2: a gauge's error that both readings share leaves their difference. Two
 * readings off one gauge go into a calculator, and come out less uncertain than each by itself. */
static void uncertainty_goes_through(void **state)
{
	(void)state;
	play_holds(
	    RUN("local a = measure { id = 'a', say = 'x', unit = mm, gauge = 'micrometer' }\n"
	        "local b = measure { id = 'b', say = 'x', unit = mm, gauge = 'micrometer' }\n"
	        "local o = solve.oil_clearance { id = 'o', bore = { { a } }, journal = { { b } } }\n"
	        "local d = a - b\n"
	        "assert(math.abs(o.clearance:u():number(um) - d:u():number(um)) < 1e-4, "
	        "tostring(o.clearance))"),
	    "50.04|50.00", "\"calculator\":\"oil-clearance\"");
}

static void limits_stand_for_three(void **state)
{
	(void)state;
	play_holds(RUN("local l = limits { min = mm(0.1), max = mm(0.3), source = owner 'me' }\n"
	               "local o = solve.conform { id = 'c', value = mm(0.2), limits = l }\n"
	               "assert(o.verdict == 'within')"),
	           NULL, "\"min\":{\"si\":0.0001");
}

static void refused(void **state)
{
	(void)state;
	play_badly(RUN("solve.thread { thread = 'M10' }"), NULL, NULL, "p.lua:2|solve.thread|'id'");
	play_badly(RUN("solve.thread { id = 't' }"), NULL, NULL, "solve.thread 't'|thread is missing");
	play_badly(RUN("solve.thread { id = 't', thread = 'M10', colour = 1 }"), NULL, NULL,
	           "unknown field 'colour'");
	play_badly(RUN("solve.thread { id = 't', thread = 'M0' }"), NULL, NULL, "solve.thread 't'");
	play_badly(RUN("solve.thread { id = 't', thread = mm(3) }"), NULL, NULL,
	           "thread: takes no number");
	play_badly(RUN("solve.thread { id = 't', thread = {} }"), NULL, NULL, "a table can't be used");
	play_badly(RUN("solve.conform { id = 'c', value = 3, max = mm(1) }"), NULL, NULL,
	           "value: the unit is missing");
	play_badly(RUN("solve.conform { id = 'c', value = mm(3), max = Nm(1) }"), NULL, NULL,
	           "max: a length in mm is asked for, not a torque");
	play_badly(RUN("solve.conform { id = 'c', value = mm(3), limits = 1 }"), NULL, NULL,
	           "'limits' can't be used");
	play_badly(RUN("solve.stack_up { id = 's', links = 3 }"), NULL, NULL, "solve.stack_up 's'");
	play_badly(RUN("local o = solve.thread { id = 't', thread = 'M8' } return o.pich"), NULL, NULL,
	           "unknown name 'solve.thread.pich'");
	play_badly(RUN("local o = solve.fit { id = 'f', fit = '25 H7/g6' } return o.limits[1].mim"),
	           NULL, NULL, "unknown name 'solve.fit.mim'");
	play_badly(RUN("local l = limits { min = mm(1), max = mm(2), source = owner 'me' }\n"
	               "return check { id = 'c', value = mm(1.5), limits = l }.outsde"),
	           NULL, NULL, "unknown name 'check.outsde'");
	play_badly(RUN("solve.nothing { id = 's' }"), NULL, NULL, "solve.nothing");
	play_badly(RUN("solve.thread = nil"), NULL, NULL, "p.lua:2");
	play_badly(RUN("solve.thread('M10')"), NULL, NULL, "takes a table");
	play_badly(RUN("solve.conform { id = 'c', value = mm(0/0), max = mm(1) }"), NULL, NULL,
	           "p.lua:2");
}

/* What a message names doesn't hang on the order in which Lua keeps keys: it may reach the record.
 */
static void named_alike(void **state)
{
	(void)state;
	play_badly(
	    RUN("solve.thread { id = 'x', thread = 'M8', zeta = 1, alpha = 1, gamma = 1, beta = 1 }"),
	    NULL, NULL, "unknown field 'alpha'");
	play_badly(RUN("task { id = 'x', say = 'y', zeta = 1, alpha = 1, gamma = 1, beta = 1 }"), NULL,
	           NULL, "'alpha'");
	play_badly(RUN("solve.thread { id = 'x', thread = 'M8', ['a' .. ('é'):rep(60)] = 1 }"), NULL,
	           NULL, "unknown field 'aé");
}

/* A script can't spend hours in a calculator: each call is paid for. */
static void paid_for(void **state)
{
	struct play play = {0};
	(void)state;

	play_run(&play,
	         RUN("while true do solve.conform { id = 'c', value = mm(0.2), max = mm(1) } end"),
	         NULL, NULL);
	assert_int_equal(play.code, FW_ERR_LIMIT);
	play_free(&play);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(results_come_back),
	    cmocka_unit_test(uncertainty_goes_through),
	    cmocka_unit_test(limits_stand_for_three),
	    cmocka_unit_test(refused),
	    cmocka_unit_test(named_alike),
	    cmocka_unit_test(paid_for),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
