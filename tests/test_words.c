/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is wrong in a procedure or a sheet is said with file, line, word and step, and what would be
 * right. */
#include <stdlib.h>
#include <string.h>

#include "words_play.h"

/* Good figures to be wrong with. */
#define FIGURES                                                                                    \
	"local me = owner 'me' local float = limits { min = mm(0.1), max = mm(0.3), source = me }\n"   \
	"local turn = limits { min = Nm(1), max = Nm(3), source = me }\n"                              \
	"local shim = kit { unit = mm, { 0.1, 4 }, { 0.5, 2 }, source = me }\n"                        \
	"local bolt = joint { thread = 'M8', class = '8.8', torque = Nm(20), bolts = 4, source = me "  \
	"}\n"                                                                                          \
	"local dial = gauge { name = 'my dial', resolution = mm(0.01), error = mm(0.02), source = me " \
	"}\n"

struct fault {
	const char *line, *says;
};

/* Each line stands in line 7 of the procedure. */
static void all_faults(const struct fault *faults, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		char text[8192], says[512];
		snprintf(text, sizeof text, RUN(FIGURES "%s"), faults[i].line);
		snprintf(says, sizeof says, "p.lua:7: |%s", faults[i].says);
		play_badly(text, NULL, NULL, says);
	}
}

#define ALL(faults) all_faults(faults, sizeof(faults) / sizeof *(faults))

static void fields_in_general(void **state)
{
	(void)state;
	static const struct fault faults[] = {
	    {"task { say = 'x' }", "task: |'id' is missing"},
	    {"task { id = 'a' }", "task 'a': |'say' is missing|what to do"},
	    {"task { id = 'a', sya = 'x' }", "task 'a': |no field 'sya'|did you mean 'say'?"},
	    {"task { id = 'a', sayy = 'x' }", "did you mean 'say'?"},
	    {"task { id = 'a', sa = 'x' }", "did you mean 'say'?"},
	    {"task { id = 'a', sax = 'x' }", "did you mean 'say'?"},
	    {"task { id = 'a', say = 'x', colour = 'red' }",
	     "no field 'colour'; it takes id, say, caution, help"},
	    {"task { id = 'a', 'x' }", "task 'a': |named fields only"},
	    {"task { id = 'a', [true] = 'x' }", "named fields only"},
	    {"task 'x'", "task: |called with a table"},
	    {"task()", "called with a table"},
	    {"task(nil)", "called with a table"},
	    {"task { id = 3, say = 'x' }", "'id' must be a name of letters|not 3"},
	    {"task { id = 'a', say = '' }", "task 'a': |'say' must be a text that isn't empty"},
	    {"task { id = 'a', say = 'x\\0y' }", "'say' must be a text"},
	    {"task { id = 'a', say = string.rep('x', 4001) }", "'say' must be a text"},
	    {"task { id = 'a', say = 'x\\xFF' }", "'say' must be a text|UTF-8"},
	    {"task { id = 'a', say = 'x', caution = {} }", "'caution' must be a text|not this table"},
	    {"caution { id = 'a' }", "'say' is missing"},
	    {"caution(3)", "caution: |called with a table"},
	    {"phase 'R'", "'R' isn't in the procedure's list of phases"},
	    {"phase()", "phase"},
	};
	ALL(faults);
}

static void fields_of_words(void **state)
{
	(void)state;
	static const struct fault faults[] = {
	    {"choose { id = 'a', say = 'x' }", "choose 'a': |'options' is missing"},
	    {"choose { id = 'a', say = 'x', options = {} }", "'options' must be a list of texts"},
	    {"choose { id = 'a', say = 'x', options = { 'b', 3 } }",
	     "'options' must be a list of texts"},
	    {"choose { id = 'a', say = 'x', options = { 'b', 'c', other = 'd' } }",
	     "'options' must be a list of texts that can be told apart"},
	    {"choose { id = 'a', say = 'x', options = { 'b', nil, 'c' } }",
	     "'options' must be a list of texts"},
	    {"choose { id = 'a', say = 'x', options = 'b' }",
	     "'options' must be a list of texts|not \""},
	    {"choose { id = 'a', say = 'x', options = { 'b', '\\xC3' } }",
	     "'options' must be a list of texts"},
	    {"inspect { id = 'a', say = 'x', options = { '' } }", "inspect 'a': |'options'"},
	    {"part { id = 'a' }", "part 'a': |'part' is missing"},
	    {"note { id = 'a', say = 'x', required = 'yes' }",
	     "note 'a': |'required' must be true or false"},
	    {"sign { id = 'a' }", "sign 'a': |'role' is missing"},
	    {"grid { id = 'a', say = 'x', rows = { 'r' } }", "grid 'a': |'columns' is missing"},
	    {"grid { id = 'a', say = 'x', rows = {}, columns = { 'c' } }", "'rows' must be a list"},
	    {"grid { id = 'a', say = 'x', rows = { 'r', 's', 'r' }, columns = { 'c' } }",
	     "'rows' must be |no two alike"},
	    {"choose { id = 'a', say = 'x', options = { 'yes', 'yes' } }", "|can be told apart"},
	    {"choose { id = 'a', say = 'x', options = { 'yes', 'Yes' } }", "|can be told apart"},
	    {"choose { id = 'a', say = 'x', options = { '2', '1' } }",
	     "'options' must be |a number only in its own place"},
	    {"task { id = 'a: b', say = 'x' }", "'id' must be a name of letters|not \"a: b\""},
	    {"check { id = 'a', value = mm(0.2), limits = float }\tnote { id = 'a', say = 'x' }",
	     "note 'a': this id is already that of a step of 'check'"},
	    {"local t = {} for i = 1, 21 do t[i] = 'c' .. i end\tgrid { id = 'a', say = 'x', rows = t, "
	     "columns = t }",
	     "grid 'a': |more than 400 cells"},
	};
	ALL(faults);
}

static void fields_of_measure(void **state)
{
	(void)state;
#define MEASURE(rest) "measure { id = 'm', say = 'x', " rest " }"
	static const struct fault faults[] = {
	    {MEASURE("gauge = dial"), "measure 'm': |'unit' is missing"},
	    {MEASURE("unit = degC, gauge = 'thermometer', spread = degC(5)"),
	     "measure 'm': |is a difference: write K(5)"},
	    {MEASURE("unit = 'mm', gauge = dial"), "'unit' must be a unit, such as mm, not \"mm\""},
	    {MEASURE("unit = mm(1), gauge = dial"), "'unit' must be a unit"},
	    {MEASURE("unit = mm"), "'gauge' is missing"},
	    {MEASURE("unit = mm, gauge = 3"), "'gauge' must be a gauge"},
	    {MEASURE("unit = mm, gauge = float"), "'gauge' must be a gauge"},
	    {MEASURE("unit = mm, gauge = 'laser'"), "no typical gauge is called 'laser'; there are: "
	                                            "|micrometer, |dial indicator|in the sheet"},
	    {MEASURE("unit = Nm, gauge = dial"),
	     "the gauge 'my dial' reads a length, and 'N·m' is a torque"},
	    {MEASURE("unit = mm, gauge = 'torque wrench'"), "reads a torque, and 'mm' is a length"},
	    {MEASURE("unit = mm, gauge = dial, readings = 0"),
	     "'readings' must be a whole number from 1"},
	    {MEASURE("unit = mm, gauge = dial, readings = 1.5"), "'readings' must be a whole number"},
	    {MEASURE("unit = mm, gauge = dial, readings = '3'"), "'readings' must be a whole number"},
	    {MEASURE("unit = mm, gauge = dial, readings = 65"), "65 readings are more than the 64"},
	    {MEASURE("unit = mm, gauge = dial, plausible = mm(1)"),
	     "'plausible' must be two quantities"},
	    {MEASURE("unit = mm, gauge = dial, plausible = { mm(1) }"),
	     "'plausible' must be two quantities"},
	    {MEASURE("unit = mm, gauge = dial, plausible = { mm(1), 2 }"),
	     "'plausible' must be two quantities"},
	    {MEASURE("unit = mm, gauge = dial, plausible = { mm(2), mm(1) }"), "the lower first"},
	    {MEASURE("unit = mm, gauge = dial, plausible = { mm(1), Nm(2) }"),
	     "'plausible' must be two quantities"},
	    {MEASURE("unit = mm, gauge = dial, plausible = { Nm(1), Nm(2) }"),
	     "'plausible' is a torque, and 'mm' is a length"},
	    {MEASURE("unit = Nm, gauge = 'torque wrench', limits = float"),
	     "'limits' are a length, and 'N·m' is a torque"},
	    {MEASURE("unit = mm, gauge = dial, limits = { mm(1), mm(2) }"), "'limits' must be limits"},
	    {"check { id = 'c', value = 3, limits = float }",
	     "check 'c': |'value' must be a quantity|not "},
	    {"check { id = 'c', value = mm, limits = float }", "'value' must be a quantity"},
	    {"check { id = 'c', value = mm(1), limits = { min = mm(1) } }", "'limits' must be limits"},
	    {"check { id = 'c', value = mm(1), limits = shim }", "'limits' must be limits"},
	    {"check { id = 'c', value = Nm(2), limits = float }",
	     "check 'c': |the value is a torque, the limits are a length"},
	};
	ALL(faults);
}

static void fields_of_fits_and_joints(void **state)
{
	(void)state;
	static const struct fault faults[] = {
	    {"shims.fit { id = 'f', kit = shim }", "shims.fit 'f': |'limits' is missing"},
	    {"shims.fit { id = 'f', kit = float, limits = float }", "'kit' must be a kit"},
	    {"shims.fit { id = 'f', kit = shim, limits = turn }",
	     "shims.fit 'f': |the limits are no length"},
	    {"shims.fit { id = 'f', kit = shim, limits = float, most = 9 }",
	     "'most' is 9; a stack holds 8"},
	    {"shims.fit { id = 'f', kit = shim, limits = float, settle = Nm(1) }",
	     "'settle' must be a length"},
	    {"shims.fit { id = 'f', kit = shim, limits = float, settle = mm(-1) }",
	     "'settle' must be a length from 0"},
	    {"shims.fitt { }", "unknown name 'shims.fitt'"},
	    {"shims.fit = task", "read-only"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f:choose()",
	     "no trial yet; call learn()"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f:learn(3, mm(1))",
	     "the stack must be"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f:learn(mm(1), 3)",
	     "the play must be a length"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f:learn(mm(1), Nm(3))",
	     "both be lengths"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f:learn(mm(-1), mm(1))",
	     "learn: |not negative"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f.learn(shim, mm(1), mm(1))",
	     "learn|fw.fit|expected"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f.x = 1", "index"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f:learn(mm(0.5), mm(0.4)) "
	     "local s = f:choose().weight",
	     "a stack has no field 'weight'; it has thickness, play, probability, count"},
	    {"local f = shims.fit { id = 'f', kit = shim, limits = float } f:learn(mm(0.5), mm(0.4)) "
	     "local s = 'Fit ' .. f:choose() .. '.'",
	     "'..' joins texts only: write tostring() around the stack"},
	    {"gaskets.choose { id = 'g', gap = Nm(1), kit = shim, nip = float }",
	     "gaskets.choose 'g': |'gap' and 'nip' must both be lengths"},
	    {"gaskets.choose { id = 'g', gap = mm(1), kit = shim, nip = turn }",
	     "must both be lengths"},
	    {"gaskets.choose { id = 'g', gap = mm(-1), kit = shim, nip = float }",
	     "gaskets.choose 'g': "},
	    {"gaskets.choose { id = 'g', gap = mm(1), kit = shim, nip = float, most = 9 }",
	     "gaskets.choose 'g': "},
	    {"tighten { id = 't', joint = float }", "tighten 't': |'joint' must be a joint"},
	    {"tighten { id = 't', joint = bolt, passes = {} }", "'passes' must be a list of numbers"},
	    {"tighten { id = 't', joint = bolt, passes = { 'half', 1 } }",
	     "'passes' must be a list of numbers"},
	    {"tighten { id = 't', joint = bolt, passes = { 1.0, 0.5 } }", "tighten 't': "},
	    {"tighten { id = 't', joint = bolt, passes = { 0.5, 0.9 } }", "tighten 't': "},
	    {"tighten { id = 't', joint = bolt, passes = { .1, .2, .3, .4, .5, .6, .7, .8, 1 } }",
	     "more than 8 passes"},
	};
	ALL(faults);
}

/* Each figure of a sheet: what it can't be made of. */
static void faulty_figures(void **state)
{
	(void)state;
	static const struct fault faults[] = {
	    {"limits { min = mm(1) }", "limits: |'source' is missing: where the figure comes from"},
	    {"kit { unit = mm, { 0.1, 1 } }", "kit: |'source' is missing"},
	    {"joint { thread = 'M8', torque = Nm(20) }", "joint: |'source' is missing"},
	    {"gauge { name = 'g', resolution = mm(1), error = mm(1) }", "gauge: |'source' is missing"},
	    {"list { 'a' }", "list: |'source' is missing"},
	    {"figure { value = mm(1) }", "figure: |'source' is missing"},
	    {"figure { value = mm(1), source = 'the book' }",
	     "'source' must be a source, such as practice"},
	    {"figure { value = mm(1), source = practice }", "'source' must be a source"},
	    {"practice ''", "practice: say in one to 500 characters"},
	    {"standard(nil)", "standard"},
	    {"maker(string.rep('x', 501))", "maker: say in one to 500"},
	    {"limits { source = me }", "limits: needs 'min', 'max', or both"},
	    {"limits { aim = mm(1), source = me }", "needs 'min', 'max', or both"},
	    {"limits { min = mm(2), max = mm(1), source = me }", "limits: |min is not below max"},
	    {"limits { min = mm(1), max = mm(2), aim = mm(3), source = me }", "aim is above max"},
	    {"limits { min = mm(1), max = Nm(2), source = me }",
	     "'max' is a torque where the others are a length"},
	    {"kit { unit = Nm, { 1, 1 }, source = me }", "kit: the unit 'N·m' is no length"},
	    {"kit { unit = mm, source = me }", "holds 0 sizes"},
	    {"kit { unit = mm, 0.1, source = me }", "entry 1 must be { thickness, count }"},
	    {"kit { unit = mm, { 0.1, 1, 1 }, source = me }", "entry 1 must be { thickness, count }"},
	    {"kit { unit = mm, { 0.1, 0 }, source = me }", "entry 1: its count"},
	    {"kit { unit = mm, { 0.1, 1 }, { 0.2, 1.5 }, source = me }", "entry 2: its count"},
	    {"kit { unit = mm, { '0.1', 1 }, source = me }", "entry 1 must be { thickness, count }"},
	    {"kit { unit = mm, { Nm(1), 1 }, source = me }", "entry 1: its thickness is no length"},
	    {"kit { unit = mm, { 0.1, 1 }, { 0.1, 2 }, source = me }", "kit: "},
	    {"kit { unit = mm, { -0.1, 1 }, source = me }", "kit: "},
	    {"kit { unit = mm, { 0.1, 1 }, [5] = { 0.2, 1 }, source = me }",
	     "aren't numbered from 1 without a gap"},
	    {"kit { unit = mm, [0] = { 0.2, 1 }, { 0.1, 1 }, source = me }",
	     "aren't numbered from 1 without a gap"},
	    {"kit { unit = mm, { 0.1, 1 }, error = mm(-1), source = me }",
	     "'error' must be a length from 0"},
	    {"kit { unit = mm, { 0.1, 1 }, crush = 1.5, source = me }", "kit: "},
	    {"joint { thread = 'M8x', torque = Nm(20), source = me }", "joint: |M8x"},
	    {"joint { thread = 'M8', class = '8.9', torque = Nm(20), source = me }", "joint: |8.9"},
	    {"joint { thread = 'M8', torque = mm(20), source = me }", "'torque' must be a torque"},
	    {"joint { thread = 'M8', torque = Nm(0), source = me }", "joint: the torque"},
	    {"joint { thread = 'M8', torque = Nm(20), friction = 'wet', source = me }",
	     "wet|dry, oiled"},
	    {"joint { thread = 'M8', torque = Nm(20), bearing = Nm(1), source = me }",
	     "'bearing' must be a length"},
	    {"joint { thread = 'M8', torque = Nm(20), head_friction = 'wet', source = me }",
	     "joint: friction state"},
	    {"joint { thread = 'M8', torque = Nm(20), face = mm(12), source = me }",
	     "joint: give 'bearing', or 'face' and 'hole'"},
	    {"joint { thread = 'M8', torque = Nm(20), face = mm(8), hole = mm(9), source = me }",
	     "joint: bearing under the head"},
	    {"joint { thread = 'M8', torque = Nm(20), pattern = 'star', source = me }",
	     "'pattern' must be \"circle\" or \"rows\""},
	    {"joint { thread = 'M8', torque = Nm(20), pattern = 'rows', source = me }",
	     "joint: bolts in rows need 'rows'"},
	    {"joint { thread = 'M8', torque = Nm(20), rows = 2, source = me }",
	     "joint: bolts in rows need 'rows'"},
	    {"joint { thread = 'M8', torque = Nm(20), pattern = 'circle', rows = 2, source = me }",
	     "a circle has no 'rows'"},
	    {"joint { thread = 'M8', torque = Nm(20), rows = 2, columns = 4, bolts = 9, source = me }",
	     "2 rows of 4 are not 9 bolts"},
	    {"joint { thread = 'M8', torque = Nm(20), rows = 100000, columns = 100000, source = me }",
	     "joint: 100000 rows of 100000 bolts are more"},
	    {"joint { thread = 'M8', torque = Nm(20), prevailing = mm(2), source = me }",
	     "'prevailing' must be a torque"},
	    {"joint { thread = 'M8', torque = Nm(20), prevailing = Nm(-2), source = me }",
	     "'prevailing' must be 0 or more"},
	    {"joint { thread = 'M8', torque = Nm(20), adapter = {}, source = me }",
	     "'adapter' needs length"},
	    {"joint { thread = 'M8', torque = Nm(20), adapter = { length = mm(300), extension = "
	     "mm(50), "
	     "side = 3 }, source = me }",
	     "'adapter' takes length, extension and angle"},
	    {"joint { thread = 'M8', torque = Nm(20), adapter = { length = mm(300), extension = Nm(50) "
	     "}, source = me }",
	     "'extension' must be a length"},
	    {"joint { thread = 'M8', torque = Nm(20), adapter = { length = mm(300), extension = "
	     "mm(300), "
	     "angle = deg(180) }, source = me }",
	     "joint: adapter: it points back"},
	    {"joint { thread = 'M8', torque = Nm(20), engagement = mm(12), source = me }",
	     "'engagement' and 'parent' belong together"},
	    {"joint { thread = 'M8', torque = Nm(20), engagement = mm(12), parent = 'tin', source = me "
	     "}",
	     "joint: parent material"},
	    {"joint { thread = 'M8', torque = Nm(20), engagement = mm(120), parent = 'brass', source = "
	     "me "
	     "}",
	     "joint: stripping"},
	    {"joint { thread = 'M8', torque = Nm(20), bolts = 100000, source = me }",
	     "joint: 100000 bolts are more"},
	    {"gauge { name = 'g', resolution = degC(1), error = degC(2), source = me }",
	     "gauge: |are differences: write K(1)"},
	    {"gauge { name = 'g', resolution = mm(0), error = mm(1), source = me }",
	     "'resolution' must be above 0"},
	    {"gauge { name = 'g', resolution = mm(1), error = Nm(1), source = me }",
	     "must be of one kind"},
	    {"list { source = me }", "list: holds 0 texts"},
	    {"list { 'a', 3, source = me }", "entry 2 is no text"},
	    {"list { 'a', '', source = me }", "entry 2 is no text, or empty"},
	    {"list { 'a', '\\xFF', source = me }", "entry 2 is no text, or empty, or no UTF-8"},
	    {"figure { value = 3, source = me }", "figure: |'value' must be a quantity"},
	    {"owner 'x\\xFF'", "owner: say in one to 500 characters of UTF-8"},
	    {"limits { min = mm(1) * mm(1) * Nm(1), source = me }", "limits: no unit is known for a"},
	    {"gauge { name = 'g', resolution = mm(1) * Nm(1) * s(1), error = mm(1) * Nm(1) * s(1), "
	     "source = me }",
	     "gauge: no unit is known for a"},
	    {"gauge { name = string.rep('é', 32), resolution = mm(1), error = mm(1), source = me }",
	     "gauge: 'name' has 64 bytes; it takes 63 at the most"},
	    {"joint { thread = 'M8' .. string.rep(' ', 40) .. 'x 9', torque = Nm(20), source = me }",
	     "joint: 'thread' has 45 bytes; it takes 31 at the most"},
	    {"mm '3\\0inch'", "the text holds a zero byte"},
	    {"float.min = mm(0)", "index"},
	    {"local x = float.width", "limits has no field 'width'"},
	};
	ALL(faults);
}

static void faulty_files(void **state)
{
	(void)state;
	play_badly("local x = 1", NULL, NULL, "p.lua: |holds no procedure|return procedure { … }");
	play_badly("return procedure { phases = { 'P' }, run = function() end }", NULL, NULL,
	           "p.lua:1: procedure: |'title' is missing");
	play_badly("return procedure { title = 'T', run = function() end }", NULL, NULL,
	           "'phases' is missing");
	play_badly("return procedure { title = 'T', phases = {}, run = function() end }", NULL, NULL,
	           "'phases' must be");
	play_badly("return procedure { title = 'T', phases = { 'P' } }", NULL, NULL,
	           "'run' is missing");
	play_badly("return procedure { title = 'T', phases = { 'P' }, run = 3 }", NULL, NULL,
	           "'run' must be a function");
	play_badly("return procedure { title = 'T', phases = { 'P' }, sheet = 'x', run = print }", NULL,
	           NULL, "unknown name 'print'");
	play_badly("return procedure { title = 'T', phases = { 'P' }, sheet = 'x', run = type }", NULL,
	           NULL, "'sheet' must be a table");
	play_badly("local t = { title = 'T', phases = { 'P' }, run = function() end "
	           "}\nprocedure(t)\nreturn procedure(t)",
	           NULL, NULL, "p.lua:3: |called a second time");
	play_badly(RUN(""), "return 3", NULL, "s.lua: |holds no sheet");
	play_badly(RUN(""), "return sheet 'x'", NULL, "s.lua:1: |sheet: is called with a table");
	play_badly(RUN(""), "return procedure { title = 'T', phases = { 'P' }, run = type }", NULL,
	           "second time");
	play_badly(RUN(""), "return sheet {\n(", NULL, "s.lua:2: ");
	/* Nothing is asked or worked out while files are loaded, in whichever file. */
	play_badly("task { id = 'a', say = 'x' }", NULL, NULL,
	           "p.lua:1: |while the files are being loaded|'run'");
	play_badly(RUN(""), "note { id = 'a', say = 'x' }", NULL,
	           "s.lua:1: |while the files are being loaded");
	play_badly(
	    "check { id = 'a', value = mm(1), limits = limits { min = mm(0), source = owner 'me' } }",
	    NULL, NULL, "p.lua:1: |while the files are being loaded");
	play_badly("phase 'P'", NULL, NULL, "belongs into the function 'run'");
}

/* ---- sheet against procedure ---- */

#define WANTED                                                                                     \
	"float = 'limits', shims = 'kit', gears = 'list', size = 'figure', cover = 'joint', dial = "   \
	"'gauge'"

static void sheet_against_procedure(void **state)
{
	(void)state;
	play_badly(RUN_WITH(WANTED, ""), NULL, NULL,
	           "no unit sheet was given: |'cover' is missing: joint { … }|'dial' is "
	           "missing|'float' is missing|"
	           "'gears' is missing|'shims' is missing|'size' is missing");
	play_badly(RUN_WITH(WANTED, ""),
	           "local me = owner 'me' return sheet { title = 'U', float = figure { value = mm(1), "
	           "source = me },\n"
	           "gears = list { 'first', source = me }, size = mm(3), bore = figure { value = "
	           "mm(1), source = me } }",
	           NULL,
	           "s.lua: |'float' must be made with limits { … }|'size' must be made with "
	           "figure|'shims' is missing|"
	           "'cover' is missing|'dial' is missing|'bore' isn't asked for");
	play_badly(RUN_WITH("float = 'limit'", ""), "return sheet {}", NULL,
	           "'float' as a 'limit', which is no kind of figure|limits, kit");
	play_badly(RUN_WITH("float = 3", ""), "return sheet {}", NULL, "'float'|no kind of figure");
}

#define SHEET                                                                                      \
	"local me = owner 'me' return sheet { float = limits { min = mm(0.1), max = mm(0.3), source "  \
	"= me },\n"                                                                                    \
	"gears = list { 'first', 'second', source = me }, size = figure { value = mm(3), source = me " \
	"} }"
#define ASKED "float = 'limits', gears = 'list', size = 'figure'"

static void sheet_in_use(void **state)
{
	(void)state;
	struct play play = {0};

	play_well(&play,
	          RUN_WITH(ASKED,
	                   "assert(sheet.size == mm(3)) assert(sheet.float.min == mm(0.1)) "
	                   "assert(sheet.float.aim == nil)\n"
	                   "local gears = sheet.gears assert(#gears == 2 and gears[2] == 'second')\n"
	                   "gears[1] = 'none' gears[3] = 'third'\n" /* a copy is changed, and no more */
	                   "assert(#sheet.gears == 2 and sheet.gears[1] == 'first')"),
	          SHEET, NULL);
	assert_true(play.ended);
	play_free(&play);
	play_badly(RUN_WITH(ASKED, "sheet.size = mm(4)"), SHEET, NULL,
	           "p.lua:2: |the sheet can't be changed");
	play_badly(RUN_WITH(ASKED, "sheet.bore = mm(4)"), SHEET, NULL, "the sheet can't be changed");
	play_badly(RUN_WITH(ASKED, "local x = sheet.bore"), SHEET, NULL,
	           "p.lua:2: |no 'bore'|sheet = { … }");
	play_badly(RUN_WITH(ASKED, "sheet.float.min = mm(0)"), SHEET, NULL, "p.lua:2: ");
	play_badly(RUN_WITH(ASKED, "for k in pairs(sheet) do end"), SHEET, NULL, "p.lua:2: ");
}

/* ---- require ---- */

static void modules(void **state)
{
	(void)state;
	static const struct play_module list[] = {
	    {"one", "local two = require 'two' return { two = two, again = require 'two' == two }"},
	    {"two", "return { name = 'two' }"},
	    {"silent", "local x = 1"},
	    {"nothing", "return nil"},
	    {"circle-a", "return require 'circle-b'"},
	    {"circle-b", "return require 'circle-a'"},
	    {"broken", "local x =\n= 1"},
	    {"asks", "task { id = 'a', say = 'x' }"},
	    {NULL, NULL}};
	struct play play = {.modules = list};

	play_well(&play,
	          "local one = require 'one' local two = require 'two'\n"
	          "assert(one.two == two and one.again and require 'silent' == true)\n" RUN(
	              "assert(require 'two' == two) assert(one.two.name == 'two')"),
	          NULL, NULL);
	assert_true(play.ended);
	assert_string_equal(play.log, "module one\nmodule two\nmodule silent\n"); /* each once */
	play_free(&play);

	static const struct fault faults[] = {
	    {"require 'circle-a'", "circle"},
	    {"require 'nothing'", "nothing.lua: a module must not return nil"},
	    {"require 'broken'", "broken.lua:2: "},
	    {"require 'asks'", "asks.lua:1: |while the files are being loaded"},
	    {"require '../two'", "p.lua:1: |'../two' is no name of a module"},
	    {"require '/etc/passwd'", "is no name of a module"},
	    {"require 'a.b'", "is no name of a module"},
	    {"require 'Two'", "is no name of a module"},
	    {"require ''", "is no name of a module"},
	    {"require 'two\\0'", "is no name of a module"},
	    {"require(string.rep('a', 61))", "is no name of a module"},
	    {"require()", "p.lua:1: "},
	};
	for (size_t i = 0; i < sizeof faults / sizeof *faults; i++) {
		struct play bad = {.modules = list};
		play_run(&bad, faults[i].line, NULL, NULL);
		assert_int_equal(bad.code, FW_ERR_SCRIPT);
		char says[256];
		snprintf(says, sizeof says, "%s", faults[i].says);
		for (char *part = strtok(says, "|"); part; part = strtok(NULL, "|"))
			assert_contains(bad.error.text, part);
		play_free(&bad);
	}
	struct play missing = {.modules = list};
	play_run(&missing, "require 'three'", NULL, NULL);
	assert_int_equal(missing.code, FW_ERR_NOT_FOUND);
	assert_contains(missing.error.text, "three.lua");
	play_free(&missing);
	play_badly(RUN("require 'three'"), NULL, NULL,
	           "p.lua:2: |'three' must be required at the top of the file");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(fields_in_general),
	    cmocka_unit_test(fields_of_words),
	    cmocka_unit_test(fields_of_measure),
	    cmocka_unit_test(fields_of_fits_and_joints),
	    cmocka_unit_test(faulty_figures),
	    cmocka_unit_test(faulty_files),
	    cmocka_unit_test(sheet_against_procedure),
	    cmocka_unit_test(sheet_in_use),
	    cmocka_unit_test(modules),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
