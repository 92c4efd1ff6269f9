/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the terminal face prints: text, rules, number lines, questions. The pictures are drawn by
 * hand from the rules in the headers. */
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "face/glyph.h"
#include "face/number_line.h"
#include "face/screen.h"
#include "face/show.h"
#include "face/wrap.h"
#include "face_screen.h"

static void expect_wrap(const char *text, int width, int indent, const char *wanted)
{
	struct page page;
	page_open(&page, width, true);
	fw_wrap(&page.screen, text, indent, FW_STYLE_PLAIN);
	assert_string_equal(page_text(&page), wanted);
	page_close(&page);
}

static void wraps_between_words(void **state)
{
	(void)state;
	expect_wrap("one two three", 40, 0, "one two three\n");
	expect_wrap("one two three", 8, 0, "one two\nthree\n");
	expect_wrap("one two three", 7, 0, "one two\nthree\n");
	expect_wrap("one two three", 6, 0, "one\ntwo\nthree\n");
	expect_wrap("one two three", 10, 2, "  one two\n  three\n");
	expect_wrap("", 40, 2, "\n");
	expect_wrap("a\n\nb\n", 40, 0, "a\n\nb\n");
	expect_wrap("a\r\nb", 40, 0, "a\nb\n");
}

static void keeps_lines_that_fit_as_they_are(void **state)
{
	(void)state;
	expect_wrap("datum   1.204 mm\n  shims 0.8", 40, 2, "  datum   1.204 mm\n    shims 0.8\n");
	expect_wrap("  - one two three four", 14, 0, "  - one two\n  three four\n");
}

static void cuts_words_longer_than_a_line(void **state)
{
	(void)state;
	expect_wrap("abcdefghij", 4, 0, "abcd\nefgh\nij\n");
	expect_wrap("x abcdefghij y", 4, 0, "x\nabcd\nefgh\nij y\n");
}

/* Columns are not bytes: RFC 3629 for the bytes, Unicode for what takes no column or two. */
static void counts_columns_not_bytes(void **state)
{
	(void)state;
	expect_wrap("\xC2\xB5m \xC2\xB5m \xC2\xB5m", 5, 0, "\xC2\xB5m \xC2\xB5m\n\xC2\xB5m\n");
	expect_wrap("e\xCC\x81\x65 e\xCC\x81\x65", 5, 0, "e\xCC\x81\x65 e\xCC\x81\x65\n");
	expect_wrap("\xE6\xBC\xA2\xE5\xAD\x97 \xE6\xBC\xA2\xE5\xAD\x97", 8, 0,
	            "\xE6\xBC\xA2\xE5\xAD\x97\n\xE6\xBC\xA2\xE5\xAD\x97\n");
	assert_int_equal(fw_text_width("e\xCC\x81", true), 1);
	assert_int_equal(fw_text_width("\xE6\xBC\xA2", true), 2);
}

static void expect_shown(const char *text, bool utf8, const char *wanted)
{
	struct page page;
	page_open(&page, 80, utf8);
	int used = fw_text_print(&page.screen, text, -1);
	assert_string_equal(page_text(&page), wanted);
	assert_int_equal(used, fw_text_width(text, utf8));
	page_close(&page);
}

static void makes_hostile_text_visible(void **state)
{
	(void)state;
	expect_shown("\033[2Jgone", true, "\\x1b[2Jgone");
	expect_shown("bell\a\b\x7f", true, "bell\\x07\\x08\\x7f");
	expect_shown("c1 \xC2\x9B\x32J", true, "c1 \\x9b2J");
	expect_shown("turn \xE2\x80\xAE over", true, "turn <U+202E> over");
	expect_shown("bom\xEF\xBB\xBF", true, "bom<U+FEFF>");
	expect_shown("bad \xFF\xC3 end", true, "bad \\xff\\xc3 end");
	expect_shown("cut \xE2\x82", true, "cut \\xe2\\x82");
	expect_shown("overlong \xC0\xAF", true, "overlong \\xc0\\xaf");
	expect_shown("surrogate \xED\xA0\x80", true, "surrogate \\xed\\xa0\\x80");
	expect_shown("two\nlines\tone", true, "two lines one");
}

static void spells_signs_out_in_ascii(void **state)
{
	(void)state;
	expect_shown("0.2 \xC2\xB1 0.1 \xC2\xB5m", false, "0.2 +/- 0.1 um");
	expect_shown("25 lbf\xC2\xB7\x66t, 80 \xC2\xB0\x43", false, "25 lbf.ft, 80 degC");
	expect_shown("\xC3\x85ngstr\xC3\xB6m \xE6\xBC\xA2", false, "Angstrom ?");
}

static void cuts_with_an_ellipsis(void **state)
{
	struct page page;
	(void)state;
	page_open(&page, 80, true);
	assert_int_equal(fw_text_print(&page.screen, "abcdef", 4), 4);
	assert_int_equal(fw_text_print(&page.screen, "abcd", 4), 4);
	assert_string_equal(page_text(&page), "abc\xE2\x80\xA6"
	                                      "abcd");
	page_close(&page);
}

static void knows_clean_text(void **state)
{
	(void)state;
	assert_true(fw_text_clean("0.41 \xC2\xB5m\t", 9));
	assert_false(fw_text_clean("a\033b", 3));
	assert_false(fw_text_clean("a\0b", 3));
	assert_false(fw_text_clean("\xFF", 1));
	assert_false(fw_text_clean("\xE2\x80\xAE", 3));
}

static void reads_the_charset_from_the_environment(void **state)
{
	(void)state;
	assert_true(fw_screen_env_utf8(NULL, NULL, "de_DE.UTF-8"));
	assert_true(fw_screen_env_utf8(NULL, "C.utf8", "C"));
	assert_true(fw_screen_env_utf8("", "", "en_GB.UTF-8@euro"));
	assert_false(
	    fw_screen_env_utf8("C", NULL, "de_DE.UTF-8")); /* LC_ALL goes first, POSIX.1-2017, 8.2 */
	assert_false(fw_screen_env_utf8(NULL, NULL, "de_DE.ISO-8859-1"));
	assert_false(fw_screen_env_utf8(NULL, NULL, NULL));
}

static void rules_are_as_wide_as_the_screen(void **state)
{
	static const char *const lefts[] = {
	    NULL, "Fit-up", "A phase whose name is very much longer than it should be, all told"};
	static const char *const rights[] = {NULL, "float-on-trial",
	                                     "a-step-with-a-name-that-goes-on-and-on-and-on"};
	(void)state;

	for (int width = FW_SCREEN_NARROWEST; width <= FW_SCREEN_WIDEST; width++) {
		for (size_t i = 0; i < 9; i++) {
			struct page page;
			page_open(&page, width, i % 2 == 0);
			fw_screen_rule(&page.screen, lefts[i / 3], rights[i % 3]);
			assert_int_equal(page_widest(&page), width);
			page_close(&page);
		}
	}
}

static const struct fw_unit *unit_named(const char *name)
{
	const struct fw_unit *unit = fw_unit_find(name, strlen(name));
	assert_non_null(unit);
	return unit;
}

static void expect_line(double value, double u, double min, double max, double aim, bool utf8,
                        const char *wanted)
{
	struct page page;
	struct fw_number_line line = {value, u, {min, max, aim}, unit_named("mm")};
	page_open(&page, 40, utf8);
	assert_true(fw_number_line_draw(&page.screen, &line));
	assert_string_equal(page_text(&page), wanted);
	page_close(&page);
}

/* 36 columns from 0.05 to 0.35 mm: min at (0.10 - 0.05) / 0.30 * 35 = 5.8, max at 29.2, 0.23
 * at 21.0, two standard uncertainties of 0.01 are 2.3 columns. */
static void draws_a_value_within_its_limits(void **state)
{
	(void)state;
	expect_line(0.23e-3, 0.01e-3, 0.1e-3, 0.3e-3, NAN, false,
	            "  min 0.100 mm           max 0.300 mm\n"
	            "  ......[======================]......\n"
	            "                     (-o-)\n"
	            "              0.230 +/- 0.020 mm\n");
	expect_line(0.23e-3, 0.01e-3, 0.1e-3, 0.3e-3, NAN, true,
	            "  min 0.100 mm           max 0.300 mm\n"
	            "  ······╞══════════════════════╡······\n"
	            "                     ├─●─┤\n"
	            "               0.230 ± 0.020 mm\n");
}

/* A column is 0.0086 mm wide here: 0.3001 would round onto the limit, and must not. */
static void never_draws_a_value_on_the_wrong_side(void **state)
{
	(void)state;
	expect_line(0.3001e-3, 0, 0.1e-3, 0.3e-3, NAN, false,
	            "  min 0.100 mm           max 0.300 mm\n"
	            "  ......[======================]......\n"
	            "                                o\n"
	            "                            0.300 mm\n");
	expect_line(0.0999e-3, 0, 0.1e-3, 0.3e-3, NAN, false,
	            "  min 0.100 mm           max 0.300 mm\n"
	            "  ......[======================]......\n"
	            "       o\n"
	            "   0.100 mm\n");
}

static void draws_lines_at_awkward_values(void **state)
{
	static const double values[] = {0,     1e-9,  -1e-3, 0.2e-3, 0.1e-3,        0.3e-3,
	                                55e-3, -55e3, 1e300, 1e-320, 0.30000001e-3, 1.7e308};
	static const double us[] = {0, 1e-12, 0.01e-3, 1, 1e300};
	static const double mins[] = {-INFINITY, 0.1e-3, 0.3e-3, 0, -1e308};
	static const double maxs[] = {INFINITY, 0.3e-3, 0.3e-3, 1e-320, 1e308};
	static const double aims[] = {NAN, 0.2e-3};
	size_t drawn = 0;
	(void)state;

	for (size_t i = 0; i < 12 * 5 * 5 * 5 * 2 * 2; i++) {
		struct page page;
		size_t k = i;
		bool utf8 = k % 2;
		struct fw_number_line line = {.unit = unit_named("mm")};
		line.value = values[(k /= 2) % 12];
		line.u = us[(k /= 12) % 5];
		line.limits.min = mins[(k /= 5) % 5];
		line.limits.max = maxs[(k /= 5) % 5];
		line.limits.aim = aims[(k /= 5) % 2];
		page_open(&page, i % 3 ? 40 : 80, utf8);
		if (fw_number_line_draw(&page.screen, &line)) {
			drawn++;
			assert_true(page_widest(&page) <=
			            (fabs(line.value) < 1 && line.u < 1 ? page.screen.width : 2000));
		} else {
			assert_string_equal(page_text(&page), "");
		}
		page_close(&page);
	}
	assert_true(drawn > 500);
}

static void draws_nothing_without_numbers(void **state)
{
	static const struct fw_number_line lines[] = {
	    {NAN, 0, {0, 1, NAN}, NULL},
	    {INFINITY, 0, {0, 1, NAN}, NULL},
	    {1, 0, {-INFINITY, INFINITY, NAN}, NULL},
	    {1, 0, {NAN, 1, NAN}, NULL},
	    {0, 0, {-1.7e308, 1.7e308, NAN}, NULL},
	};
	(void)state;
	for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
		struct page page;
		page_open(&page, 80, true);
		assert_false(fw_number_line_draw(&page.screen, &lines[i]));
		assert_string_equal(page_text(&page), "");
		page_close(&page);
	}
}

static void shows_far_values_at_the_edge(void **state)
{
	struct page page;
	struct fw_number_line line = {55e-3, 0.01e-3, {0.1e-3, 0.3e-3, NAN}, unit_named("mm")};
	(void)state;
	page_open(&page, 80, false);
	assert_true(fw_number_line_draw(&page.screen, &line));
	assert_contains(page_text(&page), ">\n");
	assert_contains(page_text(&page), "55.000 +/- 0.020 mm");
	page_close(&page);
}

static void one_sided_limits_have_one_end(void **state)
{
	struct page page;
	struct fw_number_line line = {0.2e-3, 0, {-INFINITY, 0.3e-3, NAN}, unit_named("mm")};
	(void)state;
	page_open(&page, 80, false);
	assert_true(fw_number_line_draw(&page.screen, &line));
	assert_contains(page_text(&page), "]");
	assert_null(strchr(page_text(&page), '['));
	assert_null(strstr(page_text(&page), "min"));
	page_close(&page);
}

static struct fw_question quantity_question(void)
{
	return (struct fw_question){
	    .ask = FW_ASK_QUANTITY,
	    .word = "measure",
	    .step = "end-float",
	    .phase = "Fit-up",
	    .phase_number = 4,
	    .phase_count = 6,
	    .say = "Shaft out, zero, shaft in, read.",
	    .unit = unit_named("mm"),
	    .low = 0,
	    .high = 3e-3,
	};
}

static void expect_prompt(const struct fw_question *question, int width, const char *wanted)
{
	char prompt[FW_PROMPT];
	struct fw_screen screen = {.out = stdout, .width = width, .utf8 = true};
	assert_string_equal(fw_question_prompt(&screen, question, prompt), wanted);
}

static void prompts_name_unit_and_range(void **state)
{
	static const char *const options[] = {"no", "yes"};
	struct fw_question question = quantity_question();
	(void)state;

	expect_prompt(&question, 80, "end float [mm, 0 to 3] > ");
	question.item = "reading 2 of 3";
	expect_prompt(&question, 80, "reading 2 of 3 [mm, 0 to 3] > ");
	question.low = -INFINITY;
	expect_prompt(&question, 80, "reading 2 of 3 [mm, 3 at most] > ");
	question.high = INFINITY;
	expect_prompt(&question, 80, "reading 2 of 3 [mm] > ");
	question.low = 0.0031; /* 3.1 mm, though 0.0031 / 0.001 isn't 3.1 in binary */
	expect_prompt(&question, 80, "reading 2 of 3 [mm, 3.1 at least] > ");
	question.unit = unit_named("\xC2\xB0\x43");
	question.low = 273.15;
	question.high = 353.15;
	expect_prompt(&question, 80, "reading 2 of 3 [\xC2\xB0\x43, 0 to 80] > ");
	question.item = "a name that takes more than half of it";
	expect_prompt(&question, 40, "[\xC2\xB0\x43, 0 to 80] > ");
	question.item = NULL;
	question.ask = FW_ASK_DONE;
	expect_prompt(&question, 80, "[Enter when done] > ");
	question.ask = FW_ASK_CHOICE;
	question.options = options;
	question.option_count = 2;
	expect_prompt(&question, 80, "end float [1 to 2] > ");
	question.ask = FW_ASK_TEXT;
	expect_prompt(&question, 80, "end float [words] > ");
	question.optional = true;
	expect_prompt(&question, 80, "end float [words, or Enter for none] > ");
	question.ask = FW_ASK_SIGN;
	expect_prompt(&question, 80, "end float [full name to sign] > ");
	question.item = "\033]0;x\a";
	expect_prompt(&question, 80, "\\x1b]0;x\\x07 [full name to sign] > ");
}

static void shows_a_question(void **state)
{
	static const unsigned order[] = {1, 5, 3, 7, 2, 6, 4, 8};
	struct fw_question question = quantity_question();
	struct page page;
	(void)state;

	question.caution = "Keep fingers clear.";
	question.gauge = "dial indicator";
	question.order = order;
	question.order_count = 8;
	question.round = 1;
	page_open(&page, 60, false);
	fw_question_show(&page.screen, &question, 17);
	assert_string_equal(page_text(&page),
	                    "\n"
	                    "-- Fit-up - 4 of 6 - 17 answered - time 2 ----- end-float --\n"
	                    "Shaft out, zero, shaft in, read.\n"
	                    "\n"
	                    "!! CAUTION\n"
	                    "   Keep fingers clear.\n"
	                    "  with: dial indicator\n"
	                    "\n"
	                    "  Order, first to last:\n"
	                    "\n"
	                    "   1   5   3   7  |   2   6   4   8\n"
	                    "\n");
	page_close(&page);
}

/* Bolts in rows are shown where they lie too, unless the screen is too narrow for that. */
static void shows_rows_of_bolts(void **state)
{
	static const unsigned order[] = {3, 8, 2, 9, 4, 7, 1, 10, 5, 6};
	struct fw_question question = quantity_question();
	struct page page;
	(void)state;

	question.order = order;
	question.order_count = 10;
	question.columns = 5;
	page_open(&page, 60, false);
	fw_question_show(&page.screen, &question, 17);
	assert_contains(page_text(&page), "  Where they lie, each as its turn:\n"
	                                  "\n"
	                                  "    7    3    1    5    9\n"
	                                  "   10    6    2    4    8\n");
	page_close(&page);
	page_open(&page, 24, false);
	fw_question_show(&page.screen, &question, 17);
	assert_null(strstr(page_text(&page), "Where they lie"));
	page_close(&page);
}

/* Whatever a procedure says, no line is wider than the screen, no control character gets out, and a
 * screen without UTF-8 gets ASCII alone. */
static void hostile_questions_stay_within_the_screen(void **state)
{
	static const char *const texts[] = {
	    "",
	    "short",
	    "a b c d e f g h i j k l m n o p q r s t u v w x y z a b c d e f g h i j k l m n o p q r s "
	    "t u v w x y z",
	    "wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww"
	    "wwwwwwwwwwwwwwwwwwwwwwwwwwwww",
	    "\033[31m\033]0;title\a \xFF\xFE\x80 \xE2\x80\xAE \r \x7f \xC2\x85",
	    "\xC2\xB5\xC2\xB5\xC2\xB5\xC2\xB5\xC2\xB5 \xE2\x80\x94 "
	    "\xC2\xB1\xC2\xB1\xC2\xB1\xC2\xB1\xC2\xB1\xC2\xB1\xC2\xB1\xC2\xB1",
	};
	const size_t count = sizeof texts / sizeof *texts;
	unsigned order[130];
	(void)state;

	for (unsigned i = 0; i < 130; i++)
		order[i] = i + 1;
	for (size_t i = 0; i < count * count * 2 * 7; i++) {
		struct fw_question question = quantity_question();
		struct page page;
		bool utf8 = i % 2;
		int width = 40 + (int)(i / 2 % 7) * 10;
		const char *a = texts[i / 14 % count], *b = texts[i / 14 / count];
		question.say = question.gauge = question.step = question.meaning = a;
		question.caution = question.item = question.phase = question.help = question.role = b;
		question.options = &texts[0];
		question.option_count = count;
		question.order = order;
		question.order_count = i % 131;
		question.ask = (enum fw_ask)(i % 5);
		page_open(&page, width, utf8);
		fw_question_show(&page.screen, &question, 3);
		fw_question_help(&page.screen, &question);
		if (page_widest(&page) > width)
			fail_msg("%d columns of %d:\n%s", page_widest(&page), width, page_text(&page));
		for (const char *c = page_text(&page); *c; c++)
			assert_true(*c == '\n' || (unsigned char)*c >= 0x20);
		for (const char *c = page_text(&page); *c && !utf8; c++)
			assert_true((unsigned char)*c < 0x7f);
		page_close(&page);
	}
}

static void shows_findings(void **state)
{
	const struct fw_finding verdict = {
	    .find = "verdict",
	    .text = "as left: 0.23 mm",
	    .has_scale = true,
	    .value = 0.23e-3,
	    .u = 0.01e-3,
	    .min = 0.1e-3,
	    .max = 0.3e-3,
	    .aim = NAN,
	    .unit = unit_named("mm"),
	    .verdict = "within",
	    .probability = 0.9999,
	};
	const struct fw_finding surprise = {.find = "surprise",
	                                    .text = "0.12 mm from what was predicted."};
	struct page page;
	(void)state;

	page_open(&page, 80, false);
	fw_finding_show(&page.screen, &verdict);
	fw_finding_show(&page.screen, &surprise);
	assert_contains(page_text(&page), "\n  as left: 0.23 mm\n");
	assert_contains(page_text(&page),
	                "\n  WITHIN, 0.070 mm inside the nearer limit; over 99.9 % likely within\n");
	assert_contains(page_text(&page), "\n** SURPRISE **\n   0.12 mm from what was predicted.\n");
	assert_null(strchr(page_text(&page), '\033'));
	page_close(&page);
}

static void findings_stay_within_the_screen(void **state)
{
	static const char *const texts[] = {
	    NULL, "a b c d e f g h i j k l m n o p q r s t u v w x y z",
	    "\033[31mwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww"};
	static const char *const verdicts[] = {"within", "outside", "doubtful", NULL};
	static const char *const finds[] = {"verdict", "surprise"};
	(void)state;

	for (size_t i = 0; i < 3 * 4 * 2 * 7; i++) {
		struct page page;
		struct fw_finding finding = {.find = finds[i % 2],
		                             .text = texts[i / 2 % 3],
		                             .verdict = verdicts[i / 6 % 4],
		                             .has_scale = i % 5 != 0,
		                             .value = 0.29e-3,
		                             .u = 0.02e-3,
		                             .min = 0.1e-3,
		                             .max = 0.3e-3,
		                             .aim = 0.2e-3,
		                             .unit = unit_named("mm"),
		                             .probability = 0.7};
		int width = 40 + (int)(i / 24) * 10;
		page_open(&page, width, i % 3 == 0);
		fw_finding_show(&page.screen, &finding);
		if (page_widest(&page) > width)
			fail_msg("%d columns of %d:\n%s", page_widest(&page), width, page_text(&page));
		assert_null(strchr(page_text(&page), '\033'));
		page_close(&page);
	}
}

/* A difference of temperatures has no zero point: 5 degrees are 5 K, not -268 degrees. */
static void margins_are_differences(void **state)
{
	struct page page;
	const struct fw_finding finding = {.find = "verdict",
	                                   .has_scale = true,
	                                   .value = 273.15 + 75,
	                                   .min = 273.15 + 60,
	                                   .max = 273.15 + 80,
	                                   .aim = NAN,
	                                   .unit = unit_named("\xC2\xB0\x43"),
	                                   .verdict = "within",
	                                   .probability = 1};
	(void)state;
	page_open(&page, 80, true);
	fw_finding_show(&page.screen, &finding);
	assert_contains(page_text(&page), "WITHIN, 5");
	assert_contains(page_text(&page), " K inside the nearer limit");
	page_close(&page);
}

static void says_the_role_once(void **state)
{
	struct page page;
	struct fw_question question = {
	    .ask = FW_ASK_SIGN, .step = "s", .say = "Sign it off.", .role = "inspector"};
	(void)state;
	page_open(&page, 80, true);
	fw_question_show(&page.screen, &question, 1);
	assert_contains(page_text(&page), "Signing as: inspector");
	question.say = "Sign as inspector.";
	size_t before = strlen(page_text(&page));
	fw_question_show(&page.screen, &question, 1);
	assert_null(strstr(page_text(&page) + before, "Signing as"));
	page_close(&page);
}

/* The reason of a concession is signed along: who signs sees it, though another may have given it.
 */
static void shows_the_reason_that_is_signed(void **state)
{
	struct page page;
	struct fw_question question = {.ask = FW_ASK_SIGN,
	                               .step = "s",
	                               .say = "Leave to use it as it is.",
	                               .role = "owner",
	                               .meaning = "I concede it."};
	(void)state;
	page_open(&page, 80, true);
	fw_question_show(&page.screen, &question, 1);
	assert_null(strstr(page_text(&page), "Reason"));
	question.reason = "no new pair is to be had";
	fw_question_show(&page.screen, &question, 1);
	assert_contains(page_text(&page), "I concede it.\n  Reason: no new pair is to be had\n");
	page_close(&page);
}

static void lists_options_that_are_long(void **state)
{
	static const char *const brief[] = {"none", "slight"};
	static const char *const wordy[] = {"none", "more than slight"};
	struct page page;
	struct fw_question question = {
	    .ask = FW_ASK_CHOICE, .step = "s", .say = "Which?", .options = brief, .option_count = 2};
	(void)state;
	page_open(&page, 80, true);
	fw_question_show(&page.screen, &question, 1);
	assert_contains(page_text(&page), "\n    1  none    2  slight\n");
	question.options = wordy;
	fw_question_show(&page.screen, &question, 1);
	assert_contains(page_text(&page), "\n    1  none\n    2  more than slight\n");
	page_close(&page);
}

static void colour_wraps_the_words_only(void **state)
{
	struct page page;
	(void)state;
	page_open(&page, 40, true);
	page.screen.colour = true;
	fw_wrap(&page.screen, "plain", 2, FW_STYLE_PLAIN);
	fw_wrap(&page.screen, "loud", 2, FW_STYLE_STRONG);
	assert_string_equal(page_text(&page), "  plain\n  \033[1mloud\033[0m\n");
	page_close(&page);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(wraps_between_words),
	    cmocka_unit_test(keeps_lines_that_fit_as_they_are),
	    cmocka_unit_test(cuts_words_longer_than_a_line),
	    cmocka_unit_test(counts_columns_not_bytes),
	    cmocka_unit_test(makes_hostile_text_visible),
	    cmocka_unit_test(spells_signs_out_in_ascii),
	    cmocka_unit_test(cuts_with_an_ellipsis),
	    cmocka_unit_test(knows_clean_text),
	    cmocka_unit_test(reads_the_charset_from_the_environment),
	    cmocka_unit_test(rules_are_as_wide_as_the_screen),
	    cmocka_unit_test(draws_a_value_within_its_limits),
	    cmocka_unit_test(never_draws_a_value_on_the_wrong_side),
	    cmocka_unit_test(draws_lines_at_awkward_values),
	    cmocka_unit_test(draws_nothing_without_numbers),
	    cmocka_unit_test(shows_far_values_at_the_edge),
	    cmocka_unit_test(one_sided_limits_have_one_end),
	    cmocka_unit_test(prompts_name_unit_and_range),
	    cmocka_unit_test(shows_a_question),
	    cmocka_unit_test(shows_rows_of_bolts),
	    cmocka_unit_test(hostile_questions_stay_within_the_screen),
	    cmocka_unit_test(shows_findings),
	    cmocka_unit_test(findings_stay_within_the_screen),
	    cmocka_unit_test(margins_are_differences),
	    cmocka_unit_test(says_the_role_once),
	    cmocka_unit_test(shows_the_reason_that_is_signed),
	    cmocka_unit_test(lists_options_that_are_long),
	    cmocka_unit_test(colour_wraps_the_words_only),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
