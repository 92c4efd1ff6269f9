/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file sandbox_run.h  How the tests of the sandbox run one script. */
#ifndef FITWRIGHT_TESTS_SANDBOX_RUN_H
#define FITWRIGHT_TESTS_SANDBOX_RUN_H

#include <string.h>

#include "check.h"

#include "script/sandbox_internal.h"

/* One script, run to its end or to its first yield. */
struct run {
	struct fw_sandbox *box;
	lua_State *thread;
	enum fw_slice slice;
	int results;
	struct fw_error error;
};

static inline int start_within(struct run *run, const struct fw_sandbox_limits *limits,
                               const char *text, size_t size, uint64_t allocations)
{
	*run = (struct run){0};
	int code = fw_sandbox_new_within(&run->box, limits, NULL, allocations, &run->error);
	if (!code)
		code = fw_sandbox_load(run->box, &run->thread, text, size, "test.lua", &run->error);
	if (!code)
		code = fw_sandbox_resume(run->box, run->thread, 0, &run->slice, &run->results, &run->error);
	return code;
}

static inline int start(struct run *run, const char *text)
{
	return start_within(run, NULL, text, strlen(text), UINT64_MAX);
}

static inline void finish(struct run *run)
{
	fw_sandbox_free(run->box);
	run->box = NULL;
}

/* The script's only result, as text; it must succeed. */
static inline void expect_result(const char *text, const char *expected)
{
	struct run run;
	if (start(&run, text))
		fail_msg("%s: %s", text, run.error.text);
	assert_int_equal(run.slice, FW_SLICE_DONE);
	assert_int_equal(run.results, 1);
	assert_string_equal(fw_sandbox_tostring(run.thread, -1, NULL), expected);
	finish(&run);
}

static inline void expect_error(const char *text, int code, const char *message)
{
	struct run run;
	int got = start(&run, text);
	if (got != code || !strstr(run.error.text, message))
		fail_msg("%s: %d: %s\nexpected %d: %s", text, got, run.error.text, code, message);
	finish(&run);
}

#endif
