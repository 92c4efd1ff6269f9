/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fw_answer_read(): each kind of question, good answers and bad ones. */
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "fitwright/question.h"

static const char *const gears[] = {"first", "second", "third", "third, again", "12"};

static struct fw_question question(enum fw_ask ask)
{
	struct fw_question q = {.ask = ask,
	                        .word = "test",
	                        .step = "step",
	                        .say = "Say.",
	                        .low = -INFINITY,
	                        .high = INFINITY};

	if (ask == FW_ASK_QUANTITY)
		q.unit = fw_unit_find("mm", 2);
	if (ask == FW_ASK_CHOICE) {
		q.options = gears;
		q.option_count = sizeof gears / sizeof *gears;
	}
	return q;
}

struct trial {
	const char *typed;
	int code;
	const char *says; /* part of the message */
	double number;    /* si, or index of the option */
};

static void try_all(const struct fw_question *q, const struct trial *trials, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const struct trial *t = &trials[i];
		struct fw_answer answer;
		struct fw_error error = {0};
		char buffer[8192];
		int code = fw_answer_read(&answer, q, t->typed, false, buffer, sizeof buffer, &error);
		if (code != t->code)
			fail_msg("\"%s\": got %d (%s), wanted %d", t->typed, code, error.text, t->code);
		if (code != FW_OK) {
			assert_contains(error.text, t->says);
			continue;
		}
		assert_int_equal(answer.ask, q->ask);
		if (q->ask == FW_ASK_QUANTITY)
			assert_near(answer.quantity.value, t->number, 1e-12);
		if (q->ask == FW_ASK_CHOICE) {
			assert_int_equal(answer.option, (size_t)t->number);
			assert_string_equal(answer.text, q->options[answer.option]);
		}
		if (q->ask == FW_ASK_TEXT || q->ask == FW_ASK_SIGN)
			assert_string_equal(answer.text, t->says);
	}
}

#define TRY(q, trials) try_all(&(q), trials, sizeof(trials) / sizeof *(trials))

static void done(void **state)
{
	(void)state;
	struct fw_question q = question(FW_ASK_DONE);
	static const struct trial trials[] = {
	    {"", FW_OK, NULL, 0},
	    {"  \t ", FW_OK, NULL, 0},
	    {"done", FW_OK, NULL, 0},
	    {" DONE\r\n", FW_OK, NULL, 0},
	    {"yes", FW_OK, NULL, 0},
	    {"y", FW_OK, NULL, 0},
	    {"Ok", FW_OK, NULL, 0},
	    {"d", FW_OK, NULL, 0},
	    {"no", FW_ERR_INPUT, "'no'", 0},
	    {"don't", FW_ERR_INPUT, "done", 0},
	    {"0", FW_ERR_INPUT, "Enter", 0},
	    {"done it", FW_ERR_INPUT, "done it", 0},
	};
	TRY(q, trials);
}

/* An inch is 25.4 mm by definition; 16 thou are 0.4064 mm. */
static void quantity(void **state)
{
	(void)state;
	struct fw_question q = question(FW_ASK_QUANTITY);
	static const struct trial trials[] = {
	    {"0.41", FW_OK, NULL, 0.00041},
	    {" 0.41 mm ", FW_OK, NULL, 0.00041},
	    {"16 thou", FW_OK, NULL, 0.0004064},
	    {".016\"", FW_OK, NULL, 0.0004064},
	    {"-0.02", FW_OK, NULL, -0.00002},
	    {"0", FW_OK, NULL, 0},
	    {"", FW_ERR_INPUT, "", 0},
	    {"wide", FW_ERR_INPUT, "wide", 0},
	    {"0.4.1", FW_ERR_INPUT, "", 0},
	    {"nan", FW_ERR_INPUT, "nan", 0},
	    {"inf", FW_ERR_INPUT, "inf", 0},
	    {"0x10", FW_ERR_INPUT, "", 0},
	    {"34 Nm", FW_ERR_DIMENSION, "torque", 0},
	    {"3 kg", FW_ERR_DIMENSION, "mass", 0},
	    {"0.41\x01", FW_ERR_INPUT, "control", 0},
	};
	TRY(q, trials);
}

static void implausible(void **state)
{
	(void)state;
	struct fw_question q = question(FW_ASK_QUANTITY);
	struct fw_answer answer;
	struct fw_error error = {0};
	char buffer[64];

	q.high = 0.002;
	q.low = 0;
	static const struct trial trials[] = {
	    {"2", FW_OK, NULL, 0.002}, /* the ends belong to it */
	    {"0", FW_OK, NULL, 0},
	    {"16", FW_ERR_IMPLAUSIBLE, "thou", 0}, /* thou entered as mm */
	    {"-0.1", FW_ERR_IMPLAUSIBLE, "-0.1", 0},
	    {"12 Nm", FW_ERR_DIMENSION, "", 0}, /* never a matter of plausibility */
	};
	TRY(q, trials);
	assert_ok(fw_answer_read(&answer, &q, "16", true, buffer, sizeof buffer, &error));
	assert_near(answer.quantity.value, 0.016, 1e-15);
	assert_code(fw_answer_read(&answer, &q, "12 Nm", true, buffer, sizeof buffer, &error),
	            FW_ERR_DIMENSION);
	assert_code(fw_answer_read(&answer, &q, "wide", true, buffer, sizeof buffer, &error),
	            FW_ERR_INPUT);
}

static void choice(void **state)
{
	(void)state;
	struct fw_question q = question(FW_ASK_CHOICE);
	static const struct trial trials[] = {
	    {"first", FW_OK, NULL, 0},
	    {"FIRST", FW_OK, NULL, 0},
	    {"f", FW_OK, NULL, 0},
	    {" sec ", FW_OK, NULL, 1},
	    {"3", FW_OK, NULL, 2},
	    {"03", FW_OK, NULL, 2},
	    {"5", FW_OK, NULL, 4},
	    {"third", FW_OK, NULL, 2}, /* in full, though another begins so */
	    {"third,", FW_OK, NULL, 3},
	    {"12", FW_OK, NULL, 4}, /* the option's text goes before its number */
	    {"thi", FW_ERR_INPUT, "fits 2", 0},
	    {"", FW_ERR_INPUT, "1 first", 0},
	    {"0", FW_ERR_INPUT, "5 12", 0},
	    {"6", FW_ERR_INPUT, "1 first", 0},
	    {"-1", FW_ERR_INPUT, "1 first", 0},
	    {"1.0", FW_ERR_INPUT, "1 first", 0},
	    {"firsts", FW_ERR_INPUT, "firsts", 0},
	    {"99999999999999999999", FW_ERR_INPUT, "1 first", 0},
	};
	TRY(q, trials);
}

static void words(void **state)
{
	(void)state;
	struct fw_question q = question(FW_ASK_TEXT);
	static const struct trial needed[] = {
	    {"  whines in third \n", FW_OK, "whines in third", 0},
	    {"a\tb", FW_OK, "a\tb", 0},
	    {"Spiel 0,4 – größer", FW_OK, "Spiel 0,4 – größer", 0},
	    {"\xF0\x9F\x94\xA7", FW_OK, "\xF0\x9F\x94\xA7", 0},
	    {"", FW_ERR_INPUT, "few words", 0},
	    {" \t\r\n", FW_ERR_INPUT, "few words", 0},
	};
	TRY(q, needed);
	q.optional = true;
	static const struct trial optional[] = {
	    {"", FW_OK, "", 0}, {"  ", FW_OK, "", 0}, {"x", FW_OK, "x", 0}};
	TRY(q, optional);
	q = question(FW_ASK_SIGN);
	q.optional = true; /* a signature never is */
	static const struct trial sign[] = {{" B. Hand ", FW_OK, "B. Hand", 0},
	                                    {"", FW_ERR_INPUT, "name in full", 0}};
	TRY(q, sign);
}

/* Ill-formed by RFC 3629, table of section 4: stray and missing tails, too long forms, surrogates,
 * beyond 10FFFF. And control characters: those of ASCII, and of U+0080 to U+009F, which some
 * terminals obey. */
static void bytes(void **state)
{
	(void)state;
	static const char *const bad[] = {
	    "a\x80",
	    "\xC3",
	    "\xC3(",
	    "\xC0\xAF",
	    "\xC1\xBF",
	    "\xE0\x9F\xBF",
	    "\xE2\x82",
	    "\xED\xA0\x80",
	    "\xF0\x8F\xBF\xBF",
	    "\xF4\x90\x80\x80",
	    "\xF5\x80\x80\x80",
	    "\xFF",
	    "\xF8\x88\x80\x80\x80",
	};
	static const char *const control[] = {"a\x1B[2Jb",
	                                      "a\x07z",
	                                      "a\x7Fz",
	                                      "two\nlines",
	                                      "a\rb",
	                                      "a\xC2\x9B",
	                                      "a\xC2\x85z"};
	static const char *const good[] = {"\xC2\xA0x",    "\xDF\xBF",     "\xE0\xA0\x80",
	                                   "\xED\x9F\xBF", "\xEE\x80\x80", "\xF4\x8F\xBF\xBF"};
	static const enum fw_ask kinds[] = {FW_ASK_DONE, FW_ASK_QUANTITY, FW_ASK_CHOICE, FW_ASK_TEXT,
	                                    FW_ASK_SIGN};
	struct fw_answer answer;
	struct fw_error error = {0};
	char buffer[8192];

	for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++) {
		struct fw_question q = question(kinds[k]);
		for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
			assert_code(fw_answer_read(&answer, &q, bad[i], false, buffer, sizeof buffer, &error),
			            FW_ERR_INPUT);
			assert_contains(error.text, "UTF-8");
		}
		for (size_t i = 0; i < sizeof control / sizeof *control; i++) {
			assert_code(
			    fw_answer_read(&answer, &q, control[i], false, buffer, sizeof buffer, &error),
			    FW_ERR_INPUT);
			assert_contains(error.text, "control");
		}
	}
	struct fw_question q = question(FW_ASK_TEXT);
	for (size_t i = 0; i < sizeof good / sizeof *good; i++)
		assert_ok(fw_answer_read(&answer, &q, good[i], false, buffer, sizeof buffer, &error));
}

static void too_long(void **state)
{
	(void)state;
	struct fw_question q = question(FW_ASK_TEXT);
	struct fw_answer answer;
	struct fw_error error = {0};
	char small[8], buffer[8192];
	char *typed = malloc(5001);

	assert_non_null(typed);
	memset(typed, 'x', 5000);
	typed[5000] = '\0';
	assert_code(fw_answer_read(&answer, &q, typed, false, buffer, sizeof buffer, &error),
	            FW_ERR_INPUT);
	assert_contains(error.text, "5000");
	typed[4001] = '\0';
	assert_code(fw_answer_read(&answer, &q, typed, false, buffer, sizeof buffer, &error),
	            FW_ERR_INPUT);
	typed[4000] = '\0';
	assert_ok(fw_answer_read(&answer, &q, typed, false, buffer, sizeof buffer, &error));
	assert_string_equal(answer.text, typed);
	free(typed);
	assert_ok(fw_answer_read(&answer, &q, "1234567", false, small, sizeof small, &error));
	assert_code(fw_answer_read(&answer, &q, "12345678", false, small, sizeof small, &error),
	            FW_ERR_INPUT);
}

/* A message quotes what was typed and the options, and stays UTF-8 where it cuts them. */
static void messages_are_utf8(void **state)
{
	(void)state;
	static char option[600];
	const char *options[] = {option, "b"};
	struct fw_question q = question(FW_ASK_CHOICE);
	struct fw_answer again;
	struct fw_error error = {0};
	char buffer[8192], typed[128] = "zz";

	for (size_t i = 0; i < 290; i++)
		strcat(option, "\xC3\xA9");
	for (size_t i = 0; i < 40; i++)
		strcat(typed, "\xC3\xA9");
	q.options = options;
	q.option_count = 2;
	static const enum fw_ask kinds[] = {FW_ASK_DONE, FW_ASK_QUANTITY, FW_ASK_CHOICE};
	for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++)
		for (size_t shift = 0; shift < 2; shift++) {
			struct fw_question text = question(FW_ASK_TEXT);
			q.ask = kinds[k];
			q.unit = fw_unit_find("mm", 2);
			assert_code(
			    fw_answer_read(&again, &q, typed + shift, false, buffer, sizeof buffer, &error),
			    FW_ERR_INPUT);
			if (strchr(error.text, '?'))
				fail_msg("a character was cut in two: %s", error.text);
			struct fw_error other = {0};
			if (fw_answer_read(&again, &text, error.text, false, buffer, sizeof buffer, &other) !=
			    FW_OK)
				fail_msg("the message isn't UTF-8: %s", error.text);
		}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(done),        cmocka_unit_test(quantity),
	    cmocka_unit_test(implausible), cmocka_unit_test(choice),
	    cmocka_unit_test(words),       cmocka_unit_test(bytes),
	    cmocka_unit_test(too_long),    cmocka_unit_test(messages_are_utf8),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
