/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file check.h  What the tests share: cmocka 1.1.5 compares floats only, so doubles are compared here. */
#ifndef FITWRIGHT_TESTS_CHECK_H
#define FITWRIGHT_TESTS_CHECK_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "fitwright/error.h"

/* Both finite and within `tolerance`, or both the same infinity; NaN never passes. */
#define assert_near(actual, expected, tolerance)                                                   \
	do {                                                                                           \
		double near_a = (actual), near_e = (expected), near_t = (tolerance);                       \
		if (!(fabs(near_a - near_e) <= near_t) && !(isinf(near_a) && near_a == near_e))            \
			fail_msg("%s = %.17g, expected %.17g within %g", #actual, near_a, near_e, near_t);     \
	} while (0)

/* A call that must succeed; prints our own message when it doesn't. Needs a `struct fw_error error`. */
#define assert_ok(call)                                                                            \
	do {                                                                                           \
		fw_error_clear(&error);                                                                    \
		int ok_code = (call);                                                                      \
		if (ok_code != FW_OK)                                                                      \
			fail_msg("%s: %d: %s", #call, ok_code, error.text);                                    \
	} while (0)

/* A call that must fail with this code and say something. */
#define assert_code(call, code_wanted)                                                             \
	do {                                                                                           \
		fw_error_clear(&error);                                                                    \
		int code_got = (call);                                                                     \
		if (code_got != (code_wanted))                                                             \
			fail_msg("%s: got %d (%s), wanted %d", #call, code_got, error.text, (code_wanted));    \
		if (error.text[0] == '\0')                                                                 \
			fail_msg("%s: failed without a message", #call);                                       \
	} while (0)

#define assert_contains(text, part)                                                                \
	do {                                                                                           \
		const char *contains_text = (text);                                                        \
		if (!strstr(contains_text, (part)))                                                        \
			fail_msg("\"%s\" does not contain \"%s\"", contains_text, (part));                     \
	} while (0)

#endif
