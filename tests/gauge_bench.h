/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file gauge_bench.h  A bench with registered gauges, and a procedure that reads them. */
#ifndef FITWRIGHT_TESTS_GAUGE_BENCH_H
#define FITWRIGHT_TESTS_GAUGE_BENCH_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "trail_make.h"

/* Two measurements with one kind of gauge, checked; their difference; and a torque. */
static const char procedure[] =
    "return procedure { title = 'Gauges', phases = { 'One' }, run = function()\n"
    "  local wide = limits { min = mm(0), max = mm(1), source = owner 'invented' }\n"
    "  phase 'One'\n"
    "  local a = measure { id = 'a', say = 'Read.', unit = mm, gauge = 'dial indicator', readings "
    "= 2,"
    " limits = wide }\n"
    "  check { id = 'first', value = a, limits = wide, found = true }\n"
    "  local b = measure { id = 'b', say = 'Read.', unit = mm, gauge = 'dial indicator' }\n"
    "  check { id = 'step', value = a - b, limits = wide, found = true }\n"
    "  local t = measure { id = 't', say = 'Turn.', unit = Nm, gauge = 'torque wrench' }\n"
    "  check { id = 'torque', value = t, limits = limits { min = Nm(45), max = Nm(55), source = "
    "owner"
    " 'invented' }, found = true }\n"
    "  task { id = 'end', say = 'Put it away.' }\n"
    "end }\n";

/* Limits too narrow for a dial indicator, and limits open at one end. */
static const char narrow[] =
    "return procedure { title = 'Narrow', phases = { 'One' }, run = function()\n"
    "  local tight = limits { min = mm(0.10), max = mm(0.16), source = owner 'invented' }\n"
    "  local open = limits { min = mm(0.10), source = owner 'invented' }\n"
    "  phase 'One'\n"
    "  measure { id = 'tight', say = 'Read.', unit = mm, gauge = 'dial indicator', limits = tight "
    "}\n"
    "  measure { id = 'open', say = 'Read.', unit = mm, gauge = 'dial indicator', limits = open }\n"
    "  task { id = 'end', say = 'Put it away.' }\n"
    "end }\n";

/* A clock that stands: `context` is the time. */
static inline void told_time(void *context, char out[32])
{
	snprintf(out, 32, "%s", (const char *)context);
}

static inline struct fw_job *begin(struct bench *bench, const char *text)
{
	char path[PATH_MAX];
	const struct fw_job_begin what = {path, NULL, "gearbox", "R. Example"};
	struct fw_error error = {0};
	struct fw_job *job;

	bench_write(bench, "procedure.lua", text, path);
	assert_ok(fw_job_begin(&job, bench->trail, &what, bench_clock, &bench->clock, &error));
	return job;
}

/* Registers a gauge; a figure in mm, or of a wrench in N·m. The bench's day is 2026-03-05. */
static inline void enter(struct bench *bench, const char *id, const char *kind, double resolution,
                         double error_limit, double relative, const char *due)
{
	bool length = strcmp(kind, "torque wrench") != 0;
	const struct fw_shop_gauge gauge = {.id = (char *)id,
	                                    .kind = (char *)kind,
	                                    .resolution = resolution * (length ? 1e-3 : 1),
	                                    .error = error_limit * (length ? 1e-3 : 1),
	                                    .relative = relative,
	                                    .unit = (char *)(length ? "mm" : "N·m"),
	                                    .calibrated = (char *)"2025-03-01",
	                                    .due = (char *)due};
	struct fw_error error = {0};

	assert_ok(fw_shop_gauge_record(bench->trail, &gauge, "A. Sample", NULL, &error));
}

static inline void enter_dial(struct bench *bench, const char *id)
{
	enter(bench, id, "dial indicator", 0.01, 0.02, 0, "2026-12-31");
}

static inline void find_bad(struct bench *bench, const char *id, const char *from)
{
	struct fw_error error = {0};

	assert_ok(fw_shop_gauge_bad(bench->trail, id, from, "worn spindle", "A. Sample", NULL, &error));
}

static inline void give(struct fw_job *job, const char *step, const char *typed)
{
	const struct fw_question *q = fw_job_pending(job);
	struct fw_error error = {0};

	if (!q || strcmp(q->step, step) != 0)
		fail_msg("the job asks %s, not %s", q ? q->step : "nothing", step);
	assert_ok(fw_job_answer(job, typed, false, &error));
}

/* The reading is refused, and nothing is recorded for it. */
static inline void refuse(struct bench *bench, struct fw_job *job, const char *typed,
                          const char *says)
{
	struct fw_error error = {0};
	int64_t entries = bench_entries(bench->trail, 1);

	assert_code(fw_job_answer(job, typed, false, &error), FW_ERR_INPUT);
	assert_contains(error.text, says);
	assert_int_equal(bench_entries(bench->trail, 1), entries);
}

/* The gauge at the prompt; `note` "": none, else a part of it. */
static inline void expect_gauge(const struct fw_job *job, const char *id, const char *note)
{
	const char *said;
	const struct fw_shop_gauge *gauge = fw_job_gauge(job, &said);

	if ((id == NULL) != (gauge == NULL) || (id && strcmp(gauge->id, id) != 0))
		fail_msg("the gauge is %s, not %s (%s)", gauge ? gauge->id : "none", id ? id : "none",
		         said ? said : "");
	if (*note) {
		assert_non_null(said);
		assert_contains(said, note);
	} else if (said) {
		fail_msg("said at the prompt: %s", said);
	}
}

static inline void ask(struct bench *bench, const char *sql, char *out, size_t size)
{
	make_ask(bench->file, sql, out, size);
}

/* A number out of the one finding of that kind and step. */
static inline double figure(struct bench *bench, const char *find, const char *step,
                            const char *path)
{
	char sql[512], text[64];

	snprintf(
	    sql, sizeof sql,
	    "select printf('%%!.17g', json_extract(value, '%s')) from standing where job = 1 and "
	    "kind = 'finding' and step = '%s' and ask ->> '$.find' = '%s' order by seq desc limit 1",
	    path, step, find);
	ask(bench, sql, text, sizeof text);
	return strtod(text, NULL);
}

#endif
