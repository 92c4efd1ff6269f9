/* SPDX-License-Identifier: GPL-3.0-or-later */
/* shims.together in a procedure: what it learns, chooses, finds and asks. The shaft is that of
 * tests/solve/test_together.c, invented and worked out by hand there. */
#include <stdlib.h>
#include <string.h>

#include "words_play.h"

#define FIGURES                                                                                    \
	"local me = owner 'me' local float = limits { min = mm(0.1), max = mm(0.2), source = me }\n"   \
	"local middle = limits { min = mm(-0.05), max = mm(0.05), source = me }\n"                     \
	"local turn = limits { min = Nm(1), max = Nm(3), source = me }\n"                              \
	"local kit1 = kit { unit = mm, { 0.1, 2 }, { 0.2, 2 }, { 0.3, 1 }, { 0.5, 2 }, source = me "   \
	"}\n"
#define FIT(kit)                                                                                   \
	"local f = shims.together { id = 'ends', kit = " kit ", places = { 'left', 'right' }, "        \
	"responses = { "                                                                               \
	"{ name = 'end float', limits = float, per = { -1, -1 } }, "                                   \
	"{ name = 'offset', limits = middle, per = { left = 0.5, right = -0.5 } } } }\n"

/* 0.5 and 0.3 in, 0.55 and 0.20 read: 0.5 and 0.7 are wanted. Then read as promised; then the
 * offset alone far from it. */
static void test_fitting(void **state)
{
	(void)state;
	play_holds(
	    RUN(FIGURES FIT(
	        "kit1") "local o = f:learn({ mm(0.5), mm(0.3) }, { ['end float'] = mm(0.55), offset = "
	                "mm(0.2) "
	                "})\n"
	                "assert(not o.surprise and #o.surprised == 0 and o.differences.offset == nil)\n"
	                "local s, e = f:choose()\n"
	                "assert(s.left.count == 1 and s.right.count == 2 and s.right.probability > "
	                "0.99)\n"
	                "assert(s.right.thickness > mm(0.699) and s.right.thickness < mm(0.701))\n"
	                "assert(e['end float'] > mm(0.149) and e['end float'] < mm(0.151))\n"
	                "task { id = 'fit', say = 'Fit ' .. tostring(s.left) .. ' left.' }\n"
	                "assert(not f:learn(s, { mm(0.15), mm(0) }).surprise)\n"
	                "o = f:learn(s, { offset = mm(0.3) }) assert(o.surprise and o.surprised[1] == "
	                "'offset' and o.differences.offset > mm(0.29))\n"
	                "s = f:choose()\n" /* offset 0.3 too far: 0.3 less on the left than on the
	                                      right: 0.2 and 1.0 */
	                "assert(s.left.thickness < mm(0.25) and s.right.thickness > mm(0.95))"),
	    "done",
	    "! ends {\"find\":\"trial\",\"place\":\"end float\",\"stacks\":[{\"place\":\"left\"|"
	    "\"trial\":1|end float: first reading|! ends "
	    "{\"find\":\"trial\",\"place\":\"offset\"|offset: first reading|"
	    "! ends {\"find\":\"stack\",\"place\":\"left\"}|left: fit 0.500 mm.|"
	    "\"place\":\"right\"}|right: fit 0.500 + 0.200 mm (together 0.700 mm).|"
	    "! ends {\"find\":\"response\",\"place\":\"end "
	    "float\",\"limits\":{|\"grade\":\"owner\"|\"probability\":1.0|end float should come to "
	    "0.150|chance of being inside over 99.9 %|\"place\":\"offset\"|Fit 0.500 mm left.|"
	    "\"trial\":2|as expected|\"trial\":3|\"surprise\":true|Something else moved|"
	    "! ends {\"find\":\"stack\"");
}

/* Nothing at hand serves: it asks for a piece until it does. 0.5 is wanted left and 0.7 right. */
static void test_piece(void **state)
{
	(void)state;
	play_holds(
	    RUN(FIGURES "local small = kit { unit = mm, { 0.2, 2 }, { 0.3, 1 }, source = me }\n" FIT(
	        "small") "f:learn({ mm(0.5), mm(0.3) }, { mm(0.55), mm(0.2) })\n"
	                 "local s = f:choose()\n"
	                 "assert(s.left.count == 1 and s.left.thickness == mm(0.5))\n"
	                 "assert(s.right.count == 3)"),
	    "0.9|0.5",
	    "\"ask\":\"quantity\",\"word\":\"shims.together\",\"step\":\"ends\",\"item\":\"another "
	    "piece\"|Nothing at hand serves: no stacks from the kit bring all within their limits: "
	    "get one piece of|\"round\":1|! ends {\"find\":\"stack\"");
}

/* What shims can't help with comes back as nil and why. */
static void test_contradiction(void **state)
{
	(void)state;
	play_holds(RUN(FIGURES FIT("kit1") "f:learn({ mm(0), mm(0) }, { mm(0.05), mm(0.2) })\n"
	                                   "local s, why = f:choose() assert(s == nil and #why > 20)\n"
	                                   "note { id = 'n', say = why }"),
	           "so it is",
	           "! ends {\"find\":\"remark\"} {\"text\":\"no shims at all leave the end float "
	           "(|\"say\":\"no "
	           "shims at all leave the end float");
}

/* Tables given to the word are read then, and are the script's own again afterwards. */
static void test_tables_are_read_once(void **state)
{
	(void)state;
	play_holds(RUN(FIGURES
	               "local per = { -1 } local r = { name = 'play', limits = float, per = per }\n"
	               "local rs, ps = { r }, { 'cover' }\n"
	               "local f = shims.together { id = 'ends', kit = kit1, places = ps, responses = "
	               "rs, most = 2, settle = mm(0.002), fewest = true }\n"
	               "per[1] = 1 r.name = 'x' r.limits = turn rs[1] = nil ps[1] = nil\n"
	               "f:learn({ cover = mm(0.5) }, { play = mm(0.4) })\n"
	               "local s = f:choose() assert(s.cover.count == 2)"),
	           NULL, "\"place\":\"play\"|\"place\":\"cover\"|\"min\":{\"si\":0.0001");
	/* And stands beside shims.fit. */
	play_holds(RUN(FIGURES "assert(shims.fit and shims.together)"), NULL, "");
}

struct fault {
	const char *line, *says;
};

#define MAKE(responses)                                                                            \
	"shims.together { id = 'e', kit = kit1, places = { 'left', 'right' }, responses = " responses  \
	" }"
#define GOOD "{ name = 'float', limits = float, per = { -1, -1 } }"

static void test_faults(void **state)
{
	static const struct fault faults[] = {
	    {"shims.together { id = 'e', kit = kit1, places = { 'left' } }", "'responses' is missing"},
	    {"shims.together { id = 'e', kit = kit1, places = {}, responses = {} }",
	     "'places' must be"},
	    {"shims.together { id = 'e', kit = kit1, places = { 'a', 'a' }, responses = {} }",
	     "'places' must be"},
	    {"shims.together { id = 'e', kit = kit1, places = { '1', '2', '3', '4', '5', '6', '7' }, "
	     "responses = {} }",
	     "7 places; 6 can be handled"},
	    {"shims.together { id = 'e', kit = kit1, places = { string.rep('x', 61) }, responses = {} "
	     "}",
	     "the name of a place must be a text of 1 to 60 bytes"},
	    {MAKE("{}"), "'responses' must be a list of 1 to 8"},
	    {MAKE("{ 3 }"), "'responses' must be a list of { name"},
	    {MAKE("{ { limits = float, per = { -1, -1 } } }"), "the name of a response must be"},
	    {MAKE("{ { name = 'a', limits = kit1, per = { -1, -1 } } }"), "'limits' must be limits"},
	    {MAKE("{ { name = 'a', limits = turn, per = { -1, -1 } } }"), "the limits are no length"},
	    {MAKE("{ { name = 'a', limits = float, per = 3 } }"), "'per' must hold a number for each"},
	    {MAKE("{ { name = 'a', limits = float, per = { -1 } } }"), "'per' must hold a number"},
	    {MAKE("{ { name = 'a', limits = float, per = { -1, -1, -1 } } }"), "and nothing else"},
	    {MAKE("{ { name = 'a', limits = float, per = { left = -1, top = 1 } } }"),
	     "and nothing else"},
	    {MAKE("{ { name = 'a', limits = float, per = { left = -1 } } }"),
	     "right: moves none of the responses"},
	    {MAKE("{ { name = 'a', limits = float, per = { 0, 0 } } }"), "a: no place moves it"},
	    {MAKE("{ { name = 'a', limits = float, per = { 0/0, 1 } } }"), "must be a plain number"},
	    {MAKE("{ { name = 'a', limits = float, par = { -1, -1 } } }"),
	     "a response has no field 'par'; it takes name, limits, per"},
	    {MAKE("{ " GOOD ", " GOOD " }"), "two responses are called 'float'"},
	    {"local f = " MAKE("{ " GOOD " }") " f:choose()", "float: nothing measured yet"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn(mm(1), mm(1))", "give the places in a table"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn({ mm(1) }, { mm(1) })",
	     "'right' needs a stack that choose() gave"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn({ mm(1), Nm(1) }, { mm(1) })",
	     "the stack of 'right' is no length"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn({ mm(1), mm(1), mm(1) }, { mm(1) })",
	     "there is no place"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn({ mm(1), mm(1) }, { flaot = mm(1) })",
	     "there is no response 'flaot'"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn({ mm(1), mm(1) }, { 3 })",
	     "'float' must be a length"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn({ mm(1), mm(1) }, {})", "nothing was read"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn({ mm(-1), mm(1) }, { mm(1) })",
	     "stack at left must be"},
	    {"local f = " MAKE("{ " GOOD " }") " f:learn({ mm(0.4), mm(0.4) }, { mm(0.2) }) local s = "
	                                       "f:choose().left.play",
	     "has no play of its own"},
	    {"local f = " MAKE("{ " GOOD " }") " f.learn(kit1, {}, {})", "fw.together|expected"},
	};
	(void)state;

	for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
		char text[8192], says[512];
		snprintf(text, sizeof text, RUN(FIGURES "%s"), faults[i].line);
		snprintf(says, sizeof says, "p.lua:6: |%s", faults[i].says);
		play_badly(text, NULL, NULL, says);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_fitting),       cmocka_unit_test(test_piece),
	    cmocka_unit_test(test_contradiction), cmocka_unit_test(test_tables_are_read_once),
	    cmocka_unit_test(test_faults),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
