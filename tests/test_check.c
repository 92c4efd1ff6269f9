/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A check that isn't within its limits stops the work: what is asked, and that nothing is signed,
 * held or ended over one that is neither corrected nor conceded. A concession is leave to use what
 * doesn't conform (ISO 9000:2015, 3.12.5, from memory). */
#include <string.h>

#include "words_play.h"

#define LIMITS                                                                                     \
	"local float = limits { min = mm(0.1), max = mm(0.3), source = owner 'me' }\n"                 \
	"local function read() return measure { id = 'm', say = 'x', unit = mm, gauge = 'micrometer' " \
	"} end\n"

static void corrected_by_the_check(void **state)
{
	(void)state;
	/* The check measures by itself, until it is within. */
	play_holds(
	    RUN(LIMITS "local v = check { id = 'c', name = 'float', value = read, limits = float }\n"
	               "assert(v.within and v.accepted and not v.conceded)\n"
	               "sign { id = 's', role = 'technician' }"),
	    "0.5|correct and measure again|0.4|1|0.2|B. Hand",
	    "\"step\":\"m\",\"round\":0|! m |! c |\"verdict\":\"outside\"|"
	    "? {\"ask\":\"choice\",\"word\":\"check\",\"step\":\"c\",\"item\":\"verdict\",\"round\":0|"
	    "float: 0.500 |mm is outside its limits, 0.100 mm to 0.300 mm|/amend|"
	    "\"options\":[\"correct and measure again\",\"concession\"]|"
	    "\"step\":\"m\",\"round\":1|! c |\"outside\"|\"item\":\"verdict\",\"round\":1|"
	    "\"step\":\"m\",\"round\":2|! c |\"verdict\":\"within\"|"
	    "? {\"ask\":\"sign\",\"word\":\"sign\"");
}

static void corrected_by_the_procedure(void **state)
{
	(void)state;
	play_holds(RUN(LIMITS "local v, rounds = nil, 0\n"
	                      "repeat\n"
	                      "  v = check { id = 'c', value = read(), limits = float }\n"
	                      "  rounds = rounds + 1\n"
	                      "  assert(v.accepted == v.within)\n"
	                      "until v.accepted\n"
	                      "assert(rounds == 2)\n"
	                      "sign { id = 's', role = 'technician' }"),
	           "0.5|correct|0.2|B. Hand",
	           "! c |\"outside\"|\"options\":[\"correct and measure again\",\"concession\"]|"
	           "\"step\":\"m\",\"round\":1|! c |\"within\"|? {\"ask\":\"sign\",\"word\":\"sign\"");
}

static void conceded(void **state)
{
	(void)state;
	play_holds(
	    RUN(LIMITS "local v = check { id = 'c', name = 'float', value = mm(0.5), limits = float }\n"
	               "assert(v.outside and v.accepted and v.conceded and not v.within)\n"
	               "v = check { id = 'd', value = mm(0.5), limits = float, concession = 'owner' }\n"
	               "assert(v.conceded)\n"
	               "sign { id = 's', role = 'technician' }"),
	    "2|to the next service|A. Chief|concession|it will do|O. Owner|B. Hand",
	    "\"item\":\"verdict\"|? "
	    "{\"ask\":\"text\",\"word\":\"check\",\"step\":\"c\",\"item\":\"reason\"|"
	    "? {\"ask\":\"sign\",\"word\":\"check\",\"step\":\"c\",\"item\":\"concession\"|"
	    "\"role\":\"concession\"|\"meaning\":\"I concede float: 0.500 mm, outside its limits, "
	    "0.100 mm "
	    "to 0.300 mm.\"|\"purpose\":\"concession\",\"reason\":\"to the next service\"|"
	    "! c "
	    "{\"find\":\"concession\",\"name\":\"float\",\"value\":{|\"limits\":{|\"verdict\":"
	    "\"outside\"}"
	    " {\"reason\":\"to the next service\",\"by\":\"A. "
	    "Chief\",\"role\":\"concession\",\"text\":\"float: 0.500 mm, outside its limits, 0.100 mm "
	    "to "
	    "0.300 mm; conceded by A. Chief (concession): to the next service\"}|"
	    "\"step\":\"d\",\"item\":\"concession\"|\"role\":\"owner\"|conceded by O. Owner (owner)|"
	    "? {\"ask\":\"sign\",\"word\":\"sign\"");
}

/* 0.3 mm read by a gauge with an uncertainty, on the limit itself: doubtful (JCGM 106:2012, 8.3.2:
 * a value on a limit conforms with a probability of a half). */
static void doubtful_stops_too(void **state)
{
	(void)state;
	play_holds(
	    RUN(LIMITS "local v = check { id = 'c', value = read, limits = float }\n"
	               "assert(v.doubtful and v.conceded)"),
	    "0.3|2|it will do|A. Chief",
	    "\"verdict\":\"doubtful\"|is doubtful, too near a limit for its uncertainty: 0.100 mm to "
	    "0.300 mm|\"meaning\":\"I concede c: 0.3|doubtful|"
	    "\"find\":\"concession\"|\"verdict\":\"doubtful\"}");
}

static void as_found_never_stops(void **state)
{
	(void)state;
	struct play play = {0};

	play_holds(RUN(LIMITS
	               "local v = check { id = 'c', value = mm(0.5), limits = float, found = true }\n"
	               "assert(v.outside and not v.accepted and not v.conceded)\n"
	               "sign { id = 's', role = 'technician' }"),
	           "B. Hand", "\"found\":true} {\"verdict\":\"outside\"|? {\"ask\":\"sign\"");
	play_well(&play, RUN(LIMITS "check { id = 'c', value = mm(0.2), limits = float }"), NULL, NULL);
	assert_true(play.ended);
	assert_null(strstr(play.log, "found"));
	play_free(&play);
}

/* What was left open is asked about before anything is signed, oldest first, each once. */
static void nothing_is_signed_over_it(void **state)
{
	(void)state;
	play_holds(
	    RUN(LIMITS "local a = check { id = 'a', value = mm(0.5), limits = float }\n"
	               "local b = check { id = 'b', value = mm(0.6), limits = float }\n"
	               "assert(not a.accepted and not b.accepted)\n"
	               "assert(sign { id = 's', role = 'technician' } == 'B. Hand')\n"
	               "sign { id = 't', role = 'technician' }"),
	    "1|1|concession|why a|A. Chief|1|why b|A. Chief|B. Hand|B. Hand",
	    "\"step\":\"a\",\"item\":\"verdict\",\"round\":0|\"step\":\"b\",\"item\":\"verdict\","
	    "\"round\":0|"
	    "\"step\":\"a\",\"item\":\"verdict\",\"round\":1|This check is still open|/back|"
	    "\"options\":[\"concession\"]|\"step\":\"a\",\"item\":\"concession\"|why a\"}|"
	    "\"step\":\"b\",\"item\":\"verdict\",\"round\":1|\"options\":[\"concession\"]|why b\"}|"
	    "\"step\":\"s\"|\"purpose\":\"sign\"|\"step\":\"t\"");
}

static void nothing_is_held_over_it(void **state)
{
	(void)state;
	play_holds(RUN(LIMITS
	               "check { id = 'a', value = read, limits = float }\n"
	               "assert(hold { id = 'h', role = 'inspector', say = 'Look.' } == 'A. Chief')"),
	           "0.5|2|it will do|A. Chief|A. Chief",
	           "! a {\"find\":\"verdict\"|! a {\"find\":\"concession\"|"
	           "? "
	           "{\"ask\":\"sign\",\"word\":\"hold\",\"step\":\"h\"|\"say\":\"Look.\"|\"role\":"
	           "\"inspector\"|"
	           "\"purpose\":\"hold\"");
	/* One that isn't conceded at once is asked about again at the hold. */
	play_holds(RUN(LIMITS "check { id = 'a', value = mm(0.5), limits = float }\n"
	                      "hold { id = 'h', role = 'inspector' }"),
	           "1|1|it will do|A. Chief|A. Chief",
	           "\"round\":0|\"round\":1|This check is still open|\"find\":\"concession\"|"
	           "\"word\":\"hold\"|\"say\":\"Hold point: the work stops until another person has "
	           "looked at it "
	           "and signs as inspector.\"");
}

static void nothing_ends_over_it(void **state)
{
	(void)state;
	struct play play = {0};

	/* Where the procedure signs nothing at all. */
	play_holds(RUN(LIMITS "check { id = 'a', value = mm(0.5), limits = float }"),
	           "1|1|it will do|A. Chief", "\"round\":1|still open|\"find\":\"concession\"");
	/* Where answers run out it waits there; the same one for ever is no way out. */
	play_run(&play, RUN(LIMITS "check { id = 'a', value = mm(0.5), limits = float }"), NULL, "1");
	assert_int_equal(play.code, FW_OK);
	assert_false(play.ended);
	assert_contains(play.log, "\"options\":[\"concession\"]");
	play_free(&play);
	/* Nor can it be swallowed. */
	play_run(&play,
	         RUN(LIMITS "check { id = 'a', value = mm(0.5), limits = float }\n"
	                    "pcall(sign, { id = 's', role = 'technician' })"),
	         NULL, "1");
	assert_int_equal(play.code, FW_OK);
	assert_false(play.ended);
	assert_null(strstr(play.log, "\"word\":\"sign\""));
	play_free(&play);
}

/* A check that measures by itself, left by an error on the way, measures again before the
 * signature. */
static void late_and_measured_again(void **state)
{
	(void)state;
	play_holds(RUN(LIMITS "local broken = true\n"
	                      "pcall(check, { id = 'a', limits = float, value = function()\n"
	                      "  local m = read() if m < mm(0.4) and broken then error('fell off') end "
	                      "return m end })\n"
	                      "broken = false\n"
	                      "sign { id = 's', role = 'technician' }"),
	           "0.5|1|0.2|1|0.25|B. Hand",
	           "\"item\":\"verdict\",\"round\":0|\"step\":\"m\",\"round\":1|"
	           "\"item\":\"verdict\",\"round\":1|still open|\"options\":[\"correct and measure "
	           "again\",\"concession\"]|\"step\":\"m\",\"round\":2|\"verdict\":\"within\"|"
	           "? {\"ask\":\"sign\"");
}

static void last_verdict_counts(void **state)
{
	(void)state;
	struct play play = {0};

	/* Within, then outside: open. Conceded, then outside again: open. */
	play_run(&play,
	         RUN(LIMITS "check { id = 'a', value = mm(0.2), limits = float }\n"
	                    "check { id = 'a', value = mm(0.5), limits = float }\n"
	                    "check { id = 'a', value = mm(0.6), limits = float }\n"
	                    "sign { id = 's', role = 'technician' }"),
	         NULL, "2|why|A. Chief|1");
	assert_int_equal(play.code, FW_OK);
	assert_null(strstr(play.log, "\"word\":\"sign\""));
	assert_contains(play.log,
	                "a: 0.600 mm is outside its limits, 0.100 mm to 0.300 mm. This check");
	play_free(&play);
}

/* Nor does the same, called as found behind it, close what is open. */
static void as_found_closes_nothing(void **state)
{
	(void)state;
	struct play play = {0};

	play_run(&play,
	         RUN(LIMITS "check { id = 'a', value = mm(0.5), limits = float }\n"
	                    "check { id = 'a', value = mm(0.5), limits = float, found = true }\n"
	                    "sign { id = 's', role = 'technician' }"),
	         NULL, "1");
	assert_int_equal(play.code, FW_OK);
	assert_false(play.ended);
	assert_null(strstr(play.log, "\"word\":\"sign\""));
	assert_contains(play.log, "This check is still open");
	play_free(&play);
}

static void errors(void **state)
{
	(void)state;
	play_badly(RUN(LIMITS "check { id = 'c', value = function() end, limits = float }"), NULL, NULL,
	           "p.lua:4|check 'c'|'value' is a function that returned a nil, not a quantity");
	play_badly(
	    RUN(LIMITS "check { id = 'c', value = function() return Nm(2) end, limits = float }"), NULL,
	    NULL, "p.lua:4|check 'c'|torque|length");
	play_badly(RUN(LIMITS "check { id = 'c', value = function() error('dropped it') end, limits = "
	                      "float }"),
	           NULL, NULL, "p.lua:4|dropped it");
	play_badly(RUN(LIMITS "check { id = 'c', value = 'x', limits = float }"), NULL, NULL,
	           "'value' must be a quantity, such as mm(0.3), or a function that measures it");
	/* A check that measures by checking itself comes to an end. */
	play_badly(
	    RUN(LIMITS "local function f() check { id = 'c', value = f, limits = float } end f()"),
	    NULL, NULL, "p.lua:4|C stack overflow");
	play_badly(RUN("hold { id = 'h' }"), NULL, NULL, "hold 'h'|'role' is missing");
}

/* Jobs that began before checks stopped the work go by the words of then. */
static void rules_of_old(void **state)
{
	(void)state;
	struct play play = {.rules = 1};

	play_run(&play,
	         RUN(LIMITS "local v = check { id = 'c', value = mm(0.5), limits = float }\n"
	                    "assert(v.outside)\n"
	                    "local keys = {} for k in pairs(v) do keys[#keys + 1] = k end\n"
	                    "assert(table.concat(keys, ' ') == 'doubtful outside probability verdict "
	                    "within')\n"
	                    "sign { id = 's', role = 'technician' }"),
	         NULL, "B. Hand");
	assert_int_equal(play.code, FW_OK);
	assert_true(play.ended);
	assert_null(strstr(play.log, "purpose"));
	assert_null(strstr(play.log, "\"item\":\"verdict\""));
	play_free(&play);
	play_run(&play, RUN("hold { id = 'h', role = 'inspector' }"), NULL, NULL);
	assert_int_equal(play.code, FW_ERR_SCRIPT);
	assert_contains(play.error.text, "hold");
	assert_null(strstr(play.log, "\"ask\""));
	play_free(&play);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(corrected_by_the_check),
	    cmocka_unit_test(corrected_by_the_procedure),
	    cmocka_unit_test(conceded),
	    cmocka_unit_test(doubtful_stops_too),
	    cmocka_unit_test(as_found_never_stops),
	    cmocka_unit_test(nothing_is_signed_over_it),
	    cmocka_unit_test(nothing_is_held_over_it),
	    cmocka_unit_test(nothing_ends_over_it),
	    cmocka_unit_test(late_and_measured_again),
	    cmocka_unit_test(last_verdict_counts),
	    cmocka_unit_test(as_found_closes_nothing),
	    cmocka_unit_test(errors),
	    cmocka_unit_test(rules_of_old),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
