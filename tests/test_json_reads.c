/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_json_reads.c  A text is told to be that of a value: held against the writer and the
 * reader of jansson, on values made at random and texts changed at random. */
#include "check.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draws.h"
#include "script/json.h"

static size_t below(uint64_t *seed, size_t n)
{
	return (size_t)(next(seed) % n);
}

static double any_double(uint64_t *seed)
{
	uint64_t bits = next(seed);
	double value;

	switch (below(seed, 4)) {
	case 0: /* any bits at all */
		memcpy(&value, &bits, sizeof value);
		return isfinite(value) ? value : 0.0;
	case 1: /* a size met in a workshop */
		return (uniform(seed) - 0.5) * pow(10.0, (double)below(seed, 12) - 6.0);
	case 2: /* few digits */
		return (double)below(seed, 100000) / 1000.0;
	default: /* beside a power of two, where doubles lie twice as close on one side */
		value = ldexp(1.0, (int)below(seed, 60) - 30);
		return nextafter(value, below(seed, 2) ? 0.0 : INFINITY);
	}
}

static json_t *any_text(uint64_t *seed)
{
	static const char *const parts[] = {"a",    "mm",   "\"",   "\\", "\n",    "\t",
	                                    "\x01", "\x1f", "\x7f", "µ",  "± 0.1", "\xf0\x9f\x94\xa7",
	                                    "/",    "\b",   "\f",   "\r", "0.25",  ""};
	char text[256] = "";

	for (size_t i = below(seed, 9); i > 0; i--)
		strcat(text, parts[below(seed, sizeof parts / sizeof *parts)]);
	return json_string(text);
}

static json_t *any_value(uint64_t *seed, int depth)
{
	json_t *out;
	char key[32];

	switch (below(seed, depth > 3 ? 6 : 8)) {
	case 0:
		return json_real(any_double(seed));
	case 1:
		return json_integer((json_int_t)next(seed) >> below(seed, 64));
	case 2:
		return any_text(seed);
	case 3:
		return json_true();
	case 4:
		return json_false();
	case 5:
		return json_null();
	case 6:
		out = json_array();
		for (size_t i = below(seed, 5); i > 0; i--)
			json_array_append_new(out, any_value(seed, depth + 1));
		return out;
	default:
		out = json_object();
		for (size_t i = below(seed, 6); i > 0; i--) {
			snprintf(key, sizeof key, "k%u\"\n", (unsigned)below(seed, 100));
			json_object_set_new(out, below(seed, 2) ? key : key + 1, any_value(seed, depth + 1));
		}
		return out;
	}
}

/* Whether a real of the value is beyond what is told without help. */
static bool is_extreme(const json_t *json)
{
	size_t i;
	const char *key;
	json_t *item;

	if (json_is_real(json)) {
		double size = fabs(json_real_value(json));
		return size != 0.0 && (size < 1e-9 || size > 1e25);
	}
	json_array_foreach((json_t *)json, i, item) if (is_extreme(item)) return true;
	json_object_foreach((json_t *)json, key, item) if (is_extreme(item)) return true;
	if (json_is_string(json))
		for (const char *c = json_string_value(json); *c; c++)
			if ((unsigned char)*c < 0x20 && !strchr("\b\f\n\r\t", *c))
				return true;
	return false;
}

static json_t *in_array(json_t *value)
{
	json_t *array = json_array();

	json_array_append_new(array, value);
	return array;
}

static void what_is_written_is_told(void **state)
{
	uint64_t seed = 11;
	unsigned plain = 0, extreme = 0;

	(void)state;
	for (int n = 0; n < 100000; n++) {
		json_t *value = in_array(any_value(&seed, 0));
		char *text = fw_json_text(value);
		assert_non_null(text);
		bool reads = fw_json_reads(value, text);
		if (is_extreme(value))
			extreme++;
		else if (plain++, !reads)
			fail_msg("not told: %s", text);
		free(text);
		json_decref(value);
	}
	assert_true(plain > 30000 && extreme > 1000);
}

/* Whenever it says yes, the reader of jansson reads the same value. */
static void what_is_told_is_the_same(void **state)
{
	static const char letters[] = "0123456789+-.eE\"\\,:[]{}untrbf \x01x";
	uint64_t seed = 12;
	unsigned yes = 0, no = 0;

	(void)state;
	for (int n = 0; n < 200000; n++) {
		json_t *value = in_array(any_value(&seed, 0));
		char *text = fw_json_text(value);
		size_t length = strlen(text), at = below(&seed, length);
		char letter = letters[below(&seed, sizeof letters - 1)];
		if (below(&seed, 3) == 0)
			memmove(text + at, text + at + 1, length - at);
		else
			text[at] = letter;
		if (fw_json_reads(value, text)) {
			json_t *read = json_loads(text, JSON_REJECT_DUPLICATES, NULL);
			if (!read || !json_equal(read, value))
				fail_msg("told to be the same: %s", text);
			json_decref(read);
			yes++;
		} else {
			no++;
		}
		free(text);
		json_decref(value);
	}
	assert_true(yes > 100 &&
	            no > 100000); /* a digit beyond the 17th place of a double, and the like */
}

/* A double and its neighbours, each in the digits of the other. */
static void neighbours_are_told_apart(void **state)
{
	uint64_t seed = 13;
	char text[64];

	(void)state;
	for (int n = 0; n < 300000; n++) {
		double value = any_double(&seed),
		       other = nextafter(value, below(&seed, 2) ? INFINITY : -INFINITY);
		if (value == 0.0 || !isfinite(other))
			continue;
		json_t *array = in_array(json_real(value));
		snprintf(text, sizeof text, "[%.16e]", other);
		if (fw_json_reads(array, text))
			fail_msg("%.17g is told to read %s", value, text);
		json_decref(array);
	}
}

static void kinds_are_kept_apart(void **state)
{
	json_t *real = in_array(json_real(85.0)), *whole = in_array(json_integer(85)),
	       *zero = in_array(json_real(-0.0));

	(void)state;
	assert_true(fw_json_reads(real, "[85.0]"));
	assert_false(fw_json_reads(real, "[85]"));
	assert_true(fw_json_reads(real, "[8.50e1]"));
	assert_true(fw_json_reads(whole, "[85]"));
	assert_false(fw_json_reads(whole, "[85.0]"));
	assert_false(fw_json_reads(whole, "[-85]"));
	assert_false(fw_json_reads(whole, "[85"));
	assert_false(fw_json_reads(whole, "[85]]"));
	assert_false(fw_json_reads(whole, NULL));
	assert_true(fw_json_reads(zero, "[-0.0]"));
	assert_false(fw_json_reads(zero, "[0.0]"));
	json_decref(real);
	json_decref(whole);
	json_decref(zero);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(what_is_written_is_told),
	    cmocka_unit_test(what_is_told_is_the_same),
	    cmocka_unit_test(neighbours_are_told_apart),
	    cmocka_unit_test(kinds_are_kept_apart),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
