/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Texts a person might type, spoilt: the readers of threads, classes, friction states and materials
 * say what is wrong and never read past the end. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "fitwright/joint.h"
#include "fitwright/strip.h"

#define ROUNDS   60000
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static const char *const seeds[] = {
    "M8",
    "M8x1",
    "M8\xC3\x97 1.25",
    "M 10 x 1,5",
    "M10x1.5-6g-LH",
    "M12-6H/6g",
    "1/4-20",
    "5/16-18 UNC",
    "3/8-24 UNF-2A",
    "#10-32",
    "1 1/8-7",
    "1-1/8-7 UNC-2B-LH",
    "0.25-20",
    "1/4-32 UNEF",
    "2-4.5 UNC",
    "8.8",
    "SAE J429 grade 5",
    "10.9",
    "SAE 8.2",
    "dry",
    "anti-seize",
    "threadlocker",
    "cast aluminium",
    "grey cast iron",
};

static uint32_t roll(uint32_t *state, uint32_t below)
{
	*state = *state * 1664525U + 1013904223U; /* Numerical Recipes' quick and dirty generator */
	return (*state >> 8) % below;
}

/* One change: a byte replaced, put in, left out, doubled, or the rest cut off. */
static size_t spoil(char *text, size_t length, size_t room, uint32_t *state)
{
	static const char likely[] = "0123456789.,/-# xX*mMuUnNcCfFeElLhHgG\"\xC3\x97\xE2\t\n\x7F\xFF";
	size_t at = length ? roll(state, (uint32_t)length) : 0;
	char byte = likely[roll(state, sizeof likely - 1)];

	switch (roll(state, 5)) {
	case 0:
		if (length)
			text[at] = byte;
		return length;
	case 1:
	case 2:
		if (length + 1 >= room)
			return length;
		memmove(text + at + 1, text + at, length - at);
		text[at] = byte;
		return length + 1;
	case 3:
		if (!length)
			return 0;
		memmove(text + at, text + at + 1, length - at - 1);
		return length - 1;
	default:
		return at;
	}
}

static void check_message(const struct fw_error *error, int code, const char *text)
{
	if (error->code != code || error->text[0] == '\0' || strchr(error->text, '\n') ||
	    !fw_utf8_check(error->text))
		fail_msg("\"%s\": %d, message %d \"%s\"", text, code, error->code, error->text);
}

static void check_thread(const char *text)
{
	struct fw_error error = {0};
	struct fw_thread t = {0}, again;
	struct fw_thread_limits l;
	char plain[96];
	int code = fw_thread_parse(&t, text, &error);

	if (code != FW_OK) {
		assert_int_equal(code, FW_ERR_INPUT);
		check_message(&error, code, text);
		assert_near(t.diameter, 0.0, 0.0); /* untouched */
		return;
	}
	if (!(t.diameter > 0.0 && t.diameter <= 1.0 && t.pitch > 0.0 && t.pitch <= 0.3 * t.diameter &&
	      t.minor_dia > 0.0 && t.minor_dia < t.inner_dia && t.inner_dia < t.pitch_dia &&
	      t.pitch_dia < t.diameter && t.stress_area > 0.0))
		fail_msg("\"%s\" was read as %g x %g", text, t.diameter, t.pitch);
	/* written plainly it is the same thread */
	if (t.inch)
		snprintf(plain, sizeof plain, "%.6f-%.6f%s", t.diameter / 0.0254, 0.0254 / t.pitch,
		         t.left_hand ? "-LH" : "");
	else
		snprintf(plain, sizeof plain, "M%.5fx%.5f%s", t.diameter * 1e3, t.pitch * 1e3,
		         t.left_hand ? "-LH" : "");
	/* nine digits are all that is read, so very long sizes don't come back */
	if (fw_thread_parse(&again, plain, &error) == FW_OK) {
		assert_near(again.diameter, t.diameter, 3e-8);
		assert_near(again.pitch, t.pitch, 1e-6 * t.pitch + 1e-8);
		assert_int_equal(again.left_hand, t.left_hand);
	}
	code = fw_thread_limits(&l, &t, &error);
	if (code != FW_OK)
		check_message(&error, FW_ERR_RANGE, text);
}

static void check_names(const char *text)
{
	struct fw_error error = {0};
	struct fw_strength strength;
	struct fw_friction friction;
	const struct fw_parent *parent;
	int code = fw_class_strength(&strength, text, 0.01, &error);

	if (code != FW_OK)
		check_message(&error, code, text);
	else
		assert_true(strength.proof > 0.0 && strength.proof < strength.yield &&
		            strength.yield < strength.tensile);
	if (fw_friction_state(&friction, text, &error) != FW_OK)
		check_message(&error, FW_ERR_INPUT, text);
	if (fw_parent_find(&parent, text, &error) != FW_OK)
		check_message(&error, FW_ERR_INPUT, text);
}

static void test_spoilt_texts(void **state)
{
	uint32_t seed = 20240229;
	size_t read = 0;
	(void)state;

	for (int round = 0; round < ROUNDS; round++) {
		char text[80];
		const char *from = seeds[(size_t)round % COUNT(seeds)];
		size_t length = strlen(from);
		memcpy(text, from, length);
		for (uint32_t n = 1 + roll(&seed, 4); n > 0; n--)
			length = spoil(text, length, sizeof text, &seed);
		/* in a block of its own size, so that a byte too many is seen */
		char *copy = malloc(length + 1);
		assert_non_null(copy);
		memcpy(copy, text, length);
		copy[length] = '\0';
		struct fw_thread t;
		read += fw_thread_parse(&t, copy, NULL) == FW_OK;
		check_thread(copy);
		check_names(copy);
		free(copy);
	}
	/* some must still be threads, most must not: else this test tests nothing */
	assert_true(read > ROUNDS / 100 && read < ROUNDS / 2);
}

/* Very long texts are cut in messages, not in memory. */
static void test_long_texts(void **state)
{
	struct fw_error error = {0};
	struct fw_thread t;
	size_t length = 100000;
	char *text = malloc(length + 1);
	(void)state;

	assert_non_null(text);
	memset(text, '9', length);
	text[length] = '\0';
	assert_code(fw_thread_parse(&t, text, &error), FW_ERR_INPUT);
	check_names(text);
	text[0] = 'M';
	assert_code(fw_thread_parse(&t, text, &error), FW_ERR_INPUT);
	memset(text, ' ', length);
	assert_code(fw_thread_parse(&t, text, &error), FW_ERR_INPUT);
	free(text);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_spoilt_texts),
	    cmocka_unit_test(test_long_texts),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
