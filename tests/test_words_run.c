/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the words do when all is well: what they ask, what they find, what they return. */
#include <stdlib.h>
#include <string.h>

#include "words_play.h"

#define FIGURES                                                                                    \
	"local me = owner 'me' local float = limits { min = mm(0.1), max = mm(0.3), source = me }\n"   \
	"local shim = kit { unit = mm, { 0.1, 4 }, { 0.5, 2 }, source = me }\n"                        \
	"local bolt = joint { thread = 'M8', class = '8.8', torque = Nm(20), bolts = 4, source = me "  \
	"}\n"

/* How often `part` stands in `text`. */
static size_t times(const char *text, const char *part)
{
	size_t n = 0;

	for (const char *at = strstr(text, part); at; at = strstr(at + 1, part))
		n++;
	return n;
}

static void questions(void **state)
{
	(void)state;
	play_holds(
	    RUN("task { id = 'a', say = 'Do it.', caution = 'Hot.', help = 'More.' }\n"
	        "phase 'Q' task { id = 'a', say = 'Again.' }\n caution 'Sharp.' caution { id = 'c', "
	        "say = 'Heavy.' }"),
	    "done||ok|y",
	    "\"ask\":\"done\",\"word\":\"task\",\"step\":\"a\",\"round\":0,\"say\":\"Do "
	    "it.\",\"caution\":\"Hot.\",\"help\":\"More.\"|"
	    "\"step\":\"a\",\"phase\":\"Q\",\"phase_number\":2,\"phase_count\":2,\"round\":1,\"say\":"
	    "\"Again.\"|"
	    "\"word\":\"caution\",\"step\":\"caution\"|\"caution\":\"Sharp.\"|\"step\":\"c\"|"
	    "\"caution\":\"Heavy.\"");
	play_holds(
	    RUN("assert(choose { id = 'a', say = 'x', options = { 'left', 'right' } } == 'right')"),
	    "2", "\"ask\":\"choice\"|\"options\":[\"left\",\"right\"]");
	play_holds(RUN("assert(note { id = 'a', say = 'x' } == '') assert(note { id = 'b', say = 'x', "
	               "required = true } == 'so it is')"),
	           "|so it is", "\"optional\":true|\"step\":\"b\"");
	play_holds(RUN("assert(sign { id = 's', role = 'technician' } == 'B. Hand')\n"
	               "sign { id = 's', role = 'owner', meaning = 'I saw it.', say = 'Sign here.' }"),
	           "B. Hand|O. Ner",
	           "\"ask\":\"sign\"|\"role\":\"technician\",\"meaning\":\"I did this work|Sign as "
	           "technician.|"
	           "\"role\":\"owner\",\"meaning\":\"I saw it.\"");
}

static void looks_and_parts(void **state)
{
	(void)state;
	play_holds(
	    RUN("local grade, remark = inspect { id = 'i', say = 'x' } assert(grade == 'sound' and "
	        "remark == '')\n"
	        "grade, remark = inspect { id = 'i', say = 'x' } assert(grade == 'worn' and remark "
	        "== 'teeth')\n"
	        "grade, remark = inspect { id = 'j', say = 'x', options = { 'bright', 'dull' } } "
	        "assert(grade == 'dull' and remark == 'all over')"),
	    "sound|worn|teeth|2|all over",
	    "\"options\":[\"sound\",\"worn\",\"damaged\"]|\"item\":\"remark\"|\"item\":\"remark\"");
	play_holds(
	    RUN("local decision, reason = part { id = 'b', part = 'bearing' } assert(decision == "
	        "'reject' and reason == '7 balls')\n"
	        "decision, reason = part { id = 'r', part = 'ring', say = 'Look.' } assert(decision "
	        "== 'reuse' and reason == '')"),
	    "reject|7 balls|reuse|",
	    "bearing: what becomes of it?|! b "
	    "{\"find\":\"part\",\"part\":\"bearing\",\"decision\":\"reject\",\"reason\":\"7 balls\"} "
	    "{\"text\":\"bearing: reject, 7 "
	    "balls\"}|\"say\":\"Look.\"|\"optional\":true|{\"text\":\"ring: reuse\"}");
	play_holds(
	    RUN("local m = grid { id = 'g', say = 'Where?', rows = { 'first', 'top' }, columns = { "
	        "'drive', 'overrun' }, caution = 'Road.' }\n"
	        "assert(m.first.drive == 'none' and m.first.overrun == 'marked' and m.top.drive == "
	        "'slight' and m.top.overrun == 'none')"),
	    "none|marked|slight|none",
	    "\"item\":\"first, "
	    "drive\"|\"caution\":\"Road.\"|\"row\":\"first\",\"column\":\"drive\"|\"item\":\"first, "
	    "overrun\"|\"item\":\"top, drive\"|"
	    "\"item\":\"top, overrun\"");
}

/* Mean of 0.40, 0.42, 0.44: 0.42 mm. Its uncertainty by JCGM 100: s/sqrt(3) = 0.02/sqrt(3) mm,
 * resolution 0.01/sqrt(12), limit of error 0.02/sqrt(3): together 0.01658 mm. */
static void measurements(void **state)
{
	(void)state;
	play_holds(
	    RUN(FIGURES
	        "local dial = gauge { name = 'my dial', resolution = mm(0.01), error = mm(0.02), "
	        "source = me }\n"
	        "local m = measure { id = 'm', say = 'x', unit = mm, gauge = dial, readings = 3, "
	        "plausible = { mm(0), mm(2) }, caution = 'Sharp.' }\n"
	        "assert(m > mm(0.4199) and m < mm(0.4201))\n"
	        "assert(m:u() > mm(0.01657) and m:u() < mm(0.01659))\n"
	        "local v = check { id = 'c', name = 'float', value = m, limits = float }\n"
	        "assert(v.outside and not v.within and not v.doubtful and v.verdict == 'outside' and "
	        "v.probability < 0.01)\n"
	        "v = check { id = 'c', value = mm(0.2), limits = float } assert(v.within and "
	        "v.probability == 1)\n"
	        "local near = measure { id = 'near', say = 'x', unit = mm, gauge = 'dial indicator' }\n"
	        "v = check { id = 'n', value = near, limits = float, found = true } "
	        "assert(v.doubtful)"),
	    "0.40|0.42|0.44|correct and measure again|0.3",
	    "\"item\":\"reading 1 of 3\"|\"caution\":\"Sharp.\"|\"unit\":\"mm\",\"gauge\":\"my "
	    "dial\",\"low\":{|\"item\":\"reading 3 of 3\"|"
	    "! m {\"find\":\"measurement\"|\"name\":\"my dial\"|owner: me|mean of 3 readings, my dial|"
	    "! c "
	    "{\"find\":\"verdict\",\"name\":\"float\"|\"source\":{\"grade\":\"owner\",\"text\":\"me\"}|"
	    "\"verdict\":\"outside\"|"
	    "\"verdict\":\"within\"|\"found\":true|\"verdict\":\"doubtful\"");
}

/* Readings further apart than the gauge explains are asked about: 0.24 typed for 0.42. */
static void scattered_readings(void **state)
{
	(void)state;
	static const char steady[] = RUN(
	    "local m = measure { id = 'm', say = 'x', unit = mm, gauge = 'dial indicator', readings "
	    "= 3, caution = 'Sharp.' } assert(m > mm(0.42) and m < mm(0.43))");
	play_holds(
	    steady, "0.24|0.43|0.42|1|0.42|0.43|0.42",
	    "\"item\":\"reading 3 of 3\"|\"item\":\"spread\"|lie 0.190 mm apart|0.240 mm, 0.430 mm, "
	    "0.420 mm|\"item\":\"reading 1 of 3\"|mean of 3 readings, dial indicator");
	play_holds(
	    RUN("local m = measure { id = 'm', say = 'x', unit = mm, gauge = 'dial indicator', "
	        "readings "
	        "= 3 } assert(m > mm(0.36) and m < mm(0.37))"),
	    "0.24|0.43|0.42|2",
	    "\"item\":\"spread\"|\"spread\":{\"si\":0.0001|0.190 mm\"}|readings that lie 0.190 mm "
	    "apart");
	/* The procedure may say what is usual for the part. */
	play_holds(
	    RUN("measure { id = 'm', say = 'x', unit = mm, gauge = 'dial indicator', readings = 3, "
	        "spread = mm(0.2) }"),
	    "0.24|0.43|0.42", "mean of 3 readings, dial indicator");
}

/* A margin and a gauge's figures are differences: 5 K from a limit, never -268 °C. */
static void temperatures(void **state)
{
	(void)state;
	play_holds(
	    RUN("local oil = limits { min = degC(70), max = degC(90), source = owner 'me' }\n"
	        "local t = measure { id = 't', say = 'x', unit = degC, gauge = 'thermometer' }\n"
	        "assert(check { id = 'c', value = t, limits = oil }.within)"),
	    "75",
	    "\"name\":\"thermometer\",\"resolution\":{\"si\":1.0,\"unit\":\"K\"|\"error\":{\"si\":2.0,"
	    "\"unit\":\"K\"|\"margin\":{\"si\":5.0,\"unit\":\"K\"|75.0");
}

static void fitting(void **state)
{
	(void)state;
	/* 0.5 in, 0.4 read: 0.9 with none; aim 0.2 wants 0.7 = 0.5 + 0.1 + 0.1. Then read as promised,
	 * and far from it. */
	play_holds(
	    RUN(FIGURES
	        "local f = shims.fit { id = 'f', kit = shim, limits = float, settle = mm(0.005) }\n"
	        "local first = f:learn(mm(0.5), mm(0.4)) assert(first.surprise == false and "
	        "first.difference == nil)\n"
	        "local s = f:choose() assert(s.count == 3 and s.play > mm(0.199) and s.play < "
	        "mm(0.201) and s.probability > 0.99)\n"
	        "assert(s.thickness > mm(0.699) and s.thickness < mm(0.701))\n"
	        "task { id = 'fit', say = 'Fit ' .. tostring(s) .. '.' }\n"
	        "assert(not f:learn(s, mm(0.2)).surprise)\n"
	        "local t = f:learn(s, mm(0.5)) assert(t.surprise and t.difference > mm(0.29))\n"
	        "s = f:choose() assert(s.play > mm(0.19) and s.play < mm(0.21))\n" /* from the last
	                                                                              trial: 1.2 with
	                                                                              none */
	        "assert(s.thickness > mm(0.99))"),
	    "done",
	    "\"find\":\"trial\"|\"trial\":1|First reading|! f {\"find\":\"stack\"|Fit 0.5|Fit 0.500 "
	    "+ 0.100 + 0.100 mm (together 0.700 mm).|"
	    "\"trial\":2|\"surprise\":false|as expected|\"trial\":3|\"surprise\":true|Something else "
	    "moved|\"find\":\"stack\"");
}

/* Nothing at hand brings 5 mm of play down: it asks for a piece until one serves, and uses it. */
static void kit_exhausted(void **state)
{
	(void)state;
	play_holds(RUN(FIGURES
	               "local f = shims.fit { id = 'f', kit = shim, limits = float, most = 3 }\n"
	               "f:learn(mm(0), mm(5)) local s = f:choose()\n"
	               "assert(s.count == 2 and s.thickness > mm(4.799) and s.thickness < mm(4.801))\n"
	               "local again = f:choose() assert(again.count == 2)"),
	           "0.3|4.3",
	           "\"ask\":\"quantity\",\"word\":\"shims.fit\",\"step\":\"f\",\"item\":\"another "
	           "piece\",\"round\":0|Nothing at hand serves|"
	           "Get or make one|\"item\":\"another piece\",\"round\":1|! f {\"find\":\"stack\"");
	play_holds(
	    RUN(FIGURES "local g = gaskets.choose { id = 'g', gap = mm(1), kit = shim, nip = float }\n"
	                "assert(g.count == 1 and g.thickness > mm(0.799) and g.thickness < mm(0.801))"),
	    "0.8", "\"item\":\"another piece\"|! g {\"find\":\"gasket\"|Fit a gasket of 0.800 mm");
	/* None is no piece: it is asked again. */
	play_holds(RUN(FIGURES
	               "local f = shims.fit { id = 'f', kit = shim, limits = float } f:learn(mm(0), "
	               "mm(5)) f:choose()"),
	           "0|-1|4.8", "\"round\":0|\"round\":1|\"round\":2|! f {\"find\":\"stack\"");
}

/* A table given to a word is read then, and is the script's own again afterwards. */
static void tables_are_read_once(void **state)
{
	(void)state;
	play_holds(RUN(FIGURES
	               "local t = { id = 'f', kit = shim, limits = float } local f = shims.fit(t)\n"
	               "t.id = nil t.kit = nil t.limits = 'none'\n"
	               "f:learn(mm(0.5), mm(0.4)) f:choose()"),
	           NULL, "! f {\"find\":\"trial\"|! f {\"find\":\"stack\"|\"min\":{\"si\":0.0001");
	struct play play = {0};
	play_well(&play,
	          "local phases, asked = { 'P' }, {} local t = { title = 'T', phases = phases, sheet = "
	          "asked, run = function() phase 'P' end }\n"
	          "procedure(t) t.title = nil t.run = nil phases[1] = 'R' asked.float = 'limits'",
	          NULL, NULL);
	assert_true(play.ended);
	play_free(&play);
}

/* M8 of class 8.8 at 20 N·m; then twice the torque, which passes the proof load. */
static void tightening(void **state)
{
	(void)state;
	play_holds(
	    RUN(FIGURES "local set = tighten { id = 't', joint = bolt, passes = { 0.5, 1 }, say = "
	                "'Dry.', caution = 'Pull.' } assert(set == Nm(20))"),
	    "10|20",
	    "! t "
	    "{\"find\":\"joint\"|\"thread\":\"M8\",\"class\":\"8.8\",\"friction\":\"dry\"|\"share\":|"
	    "of the proof load|\"order\":[1,|\"passes\":[{|"
	    "\"item\":\"pass 1 of 2\"|Dry. Set the wrench to 10|all 4 in the order "
	    "shown|\"order\":[1,|\"item\":\"pass 2 of 2\"|Set the wrench to 20|"
	    "\"find\":\"tightened\"|\"settings\":[{|\"otherwise\":false");
	/* What was done is told from what was asked: twice the torque, and no torque at all. */
	play_holds(RUN(FIGURES "local set = tighten { id = 't', joint = bolt } assert(set == Nm(40))"),
	           "0|40",
	           "\"item\":\"pass 1 of 1\"|\"item\":\"pass 1 of 1\"|\"find\":\"tightened\"|"
	           "\"settings\":[{\"si\":40|M8 at 40|TOO MUCH|\"otherwise\":true");
	play_holds(
	    RUN(FIGURES "tighten { id = 't', joint = joint { thread = 'M8', class = '8.8', torque = "
	                "Nm(45), left_hand = true, source = me } }"),
	    "45", "TOO MUCH: the proof load can be passed|Left-hand thread: it tightens anticlockwise");
	struct play play = {0};
	play_well(&play, RUN(FIGURES "tighten { id = 't', joint = bolt }"), NULL, "20");
	assert_int_equal(times(play.log, "TOO MUCH"), 0);
	play_free(&play);
}

/* What a joint may have besides: rows, a prevailing torque, an adapter, threads that strip. */
static void tightening_with_more(void **state)
{
	(void)state;
	/* TM 9-254 (US Army), figure 45: 12 in and 2 in, 70 lbf·in at the bolt are set as 60. */
	play_holds(
	    RUN(FIGURES "local set = tighten { id = 't', joint = joint { thread = '1/4-20', torque = "
	                "lbf_in(70), adapter = { length = inch(12), extension = inch(2) }, source = "
	                "me } } assert(set == lbf_in(60))"),
	    "60 lbf·in",
	    "\"adapter\":{\"length\":|\"extension\":|\"angle\":|\"passes\":[{|60.0 "
	    "lbf·in|Set the wrench to 60.0 lbf·in (70.0 lbf·in to clamp, with an adapter of 2.0000 in "
	    "at 0.00°)|1/4-20 at 70.0 lbf·in|\"otherwise\":false");
	/* AC 43.13-1B, 7-40: the drag of the nut on top, in each pass. */
	play_holds(
	    RUN(FIGURES
	        "tighten { id = 't', passes = { 0.5, 1 }, joint = joint { thread = 'M8', "
	        "torque = Nm(20), prevailing = Nm(2), head_friction = 'oiled', source = me } }"),
	    "12|1|22",
	    "\"head_friction\":\"oiled\",\"prevailing\":{|Set the wrench to 12.00 N·m (10.00 N·m to "
	    "clamp, 2.00 N·m to turn the nut)|pass 2 of 2|Set the wrench to 22.00 N·m|pass 2 of 2|M8 "
	    "at "
	    "20.00 N·m|\"otherwise\":false");
	/* From the middle outwards, common practice: see tests/solve/test_pattern.c. */
	play_holds(
	    RUN(FIGURES "tighten { id = 't', joint = joint { thread = 'M8-LH', torque = Nm(20), rows = "
	                "2, columns = 5, source = me } }"),
	    "20",
	    "\"bolts\":10,\"left_hand\":true|\"order\":[3,8,2,9,4,7,1,10,5,6],\"rows\":2,\"columns\":5|"
	    "tighten all 10 in the order shown. Bolts count along the rows, from the top left. "
	    "Left-hand thread|\"order\":[3,|\"rows\":2|\"find\":\"tightened\"");
	/* 8 mm in soft metal: the parent's thread goes before the bolt; both findings say so. */
	play_holds(
	    RUN(FIGURES "tighten { id = 't', joint = joint { thread = 'M8', class = '10.9', torque = "
	                "Nm(28), engagement = mm(8), parent = 'cast magnesium', source = me } }"),
	    "28",
	    "\"engagement\":{|\"parent\":\"cast magnesium\"|\"yield_share\":|\"strip\":{\"load\":|"
	    "\"first\":\"the parent's thread\",\"margin\":0.|\"warnings\":[\"the parent's thread in "
	    "cast "
	    "magnesium can strip|BEWARE: the parent's thread|\"find\":\"tightened\"|BEWARE");
	struct play play = {0};
	play_well(&play,
	          RUN(FIGURES
	              "tighten { id = 't', joint = joint { thread = 'M8', class = '8.8', torque = "
	              "Nm(20), engagement = mm(16), parent = 'mild steel', source = me } }"),
	          NULL, "20");
	assert_int_equal(times(play.log, "BEWARE"), 0);
	assert_int_equal(times(play.log, "warnings"), 0);
	play_free(&play);
	/* Pull and twist pass yield before the pull alone passes the proof load. */
	play_well(&play,
	          RUN(FIGURES
	              "tighten { id = 't', joint = joint { thread = 'M8', class = '8.8', torque = "
	              "Nm(25.9), wrench = 0, source = me } }"),
	          NULL, "25.9");
	assert_int_equal(times(play.log, "TOO MUCH"), 0);
	assert_true(times(play.log, "BEWARE: pull and twist together can pass yield") == 2);
	play_free(&play);
}

/* Steps inside pcall: they ask as ever, their faults can be caught, a limit can't. */
static void steps_in_pcall(void **state)
{
	(void)state;
	play_holds(
	    RUN("local ok, way = pcall(choose, { id = 'a', say = 'x', options = { 'left', 'right' } "
	        "})\n"
	        "assert(ok and way == 'right')\n"
	        "local fine, why = pcall(function() return choose { id = 'b', say = 'x' } end)\n"
	        "assert(not fine and string.find(why, \"'options' is missing\", 1, true))\n"
	        "ok, way = pcall(function() task { id = 'c', say = 'x' } error 'after' end) "
	        "assert(not ok)\n"
	        "task { id = 'd', say = 'end' }"),
	    "2||", "\"step\":\"a\"|\"step\":\"c\"|\"step\":\"d\"");
	struct play play = {0};
	play_run(&play, RUN("pcall(function() while true do end end) task { id = 'a', say = 'x' }"),
	         NULL, NULL);
	assert_int_equal(play.code, FW_ERR_LIMIT);
	play_free(&play);
}

/* A question can't wait inside a function of C. */
static void no_question_while_sorting(void **state)
{
	(void)state;
	play_holds(
	    RUN("local fine, why = pcall(table.sort, { 1, 2 }, function() task { id = 'a', say = 'x' } "
	        "end)\n"
	        "assert(not fine and string.find(why, 'compares or sorts', 1, true))"),
	    NULL, "");
	play_holds(RUN("pcall(table.sort, { 1, 2 }, function() task { id = 'a', say = 'x' } end)\n"
	               "task { id = 'b', say = 'x' }"),
	           "", "\"step\":\"b\"");
}

/* Questions that come to nothing cost work all the same: neither time nor memory runs away. */
static void failed_questions_are_paid_for(void **state)
{
	(void)state;
	static const char procedure[] =
	    RUN("local long, list = string.rep('x', 3990), {}\n"
	        "for i = 1, 100 do list[i] = long .. i end\n"
	        "pcall(table.sort, { 1, 2 }, function() for i = 1, 10000 do\n"
	        "pcall(choose, { id = 'a', say = 'x', options = list }) end end)");
	struct play play = {0};

	play_run(&play, procedure, NULL, NULL);
	assert_int_equal(play.code, FW_ERR_LIMIT);
	play_free(&play);
}

/* What could differ from run to run: the order of pairs, addresses, texts of tables and functions.
 */
static const char restless[] =
    RUN(FIGURES "local t = {} for i = 1, 40 do t['k' .. (i * 7919) % 1000] = i t[i * 1.5] = 'n' "
                "end t[true] = 'yes'\n"
                "local names = {} for k, v in pairs(t) do names[#names + 1] = tostring(k) .. '=' "
                ".. tostring(v) end\n"
                "task { id = 'order', say = table.concat(names, ' ') }\n"
                "local told = {} for _, v in ipairs { {}, function() end, task, sheet } do "
                "told[#told + 1] = select(2, pcall(tostring, v)) end\n"
                "task { id = 'told', say = 'T ' .. table.concat(told, ' ') }\n"
                "local f = shims.fit { id = 'f', kit = shim, limits = float }\n"
                "for i = 1, 3 do local m = measure { id = 'm', say = 'x', unit = mm, gauge = 'dial "
                "indicator', readings = 2 }\n"
                "f:learn(mm(0.1 * i), m) check { id = 'c', value = m * 1.1 + mm(0.01), limits = "
                "float } f:choose() end\n"
                "tighten { id = 't', joint = bolt }");

static void same_twice(void **state)
{
	(void)state;
	struct play first = {0}, again = {0};
	static const char answers[] = "||0.8|0.82|1|0.7|0.71|1|0.4|0.38|2|worn|B. Hand|20";

	play_well(&first, restless, NULL, answers);
	char *ballast = malloc(100000); /* what is allocated next comes to lie elsewhere */
	play_well(&again, restless, NULL, answers);
	free(ballast);
	assert_true(first.ended && again.ended);
	assert_string_equal(first.log, again.log);
	assert_null(strstr(first.log, "0x"));
	assert_true(times(first.log, "\n") >= 9 + 10);
	play_free(&first);
	play_free(&again);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(questions),
	    cmocka_unit_test(looks_and_parts),
	    cmocka_unit_test(measurements),
	    cmocka_unit_test(scattered_readings),
	    cmocka_unit_test(temperatures),
	    cmocka_unit_test(fitting),
	    cmocka_unit_test(kit_exhausted),
	    cmocka_unit_test(tables_are_read_once),
	    cmocka_unit_test(tightening),
	    cmocka_unit_test(tightening_with_more),
	    cmocka_unit_test(steps_in_pcall),
	    cmocka_unit_test(no_question_while_sorting),
	    cmocka_unit_test(failed_questions_are_paid_for),
	    cmocka_unit_test(same_twice),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
