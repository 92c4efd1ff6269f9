/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The engine through its public calls: begin, answer, resume, withdraw, take back, release. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "trail_make.h"

#define PROCEDURE FW_TEST_SOURCE "/procedures/shaft-end-float.lua"
#define SHEET     FW_TEST_SOURCE "/demo/gearbox.lua"
#define ANSWERS   FW_TEST_SOURCE "/demo/answers.txt"

/* A procedure with a choice on which it fails, a measurement, a note and a signature. */
static const char small[] =
    "return procedure { title = 'Small', phases = { 'One', 'Two' }, run = function()\n"
    "  phase 'One'\n"
    "  note { id = 'first', say = 'What came in?' }\n"
    "  local way = choose { id = 'way', say = 'Which way?', options = { 'left', 'right', 'wrong' } "
    "}\n"
    "  if way == 'wrong' then local none; none() end\n"
    "  phase 'Two'\n"
    "  local play = measure { id = 'play', say = 'Read.', unit = mm, gauge = 'dial indicator',\n"
    "                         plausible = { mm(0), mm(2) } }\n"
    "  if way == 'left' then note { id = 'left', say = 'Left?' } end\n"
    "  task { id = 'close', say = 'Close it.' }\n"
    "  sign { id = 'release', role = 'technician' }\n"
    "end }\n";

static int begin_text(struct bench *bench, struct fw_job **job, const char *text,
                      struct fw_error *err)
{
	char path[PATH_MAX];
	const struct fw_job_begin begin = {path, NULL, "gearbox", "B. Hand"};

	bench_write(bench, "procedure.lua", text, path);
	return fw_job_begin(job, bench->trail, &begin, bench_clock, &bench->clock, err);
}

static struct fw_job *begin_small(struct bench *bench)
{
	struct fw_error error = {0};
	struct fw_job *job;

	assert_ok(begin_text(bench, &job, small, &error));
	return job;
}

static void assert_asks(const struct fw_job *job, const char *step)
{
	const struct fw_question *q = fw_job_pending(job);

	if (!q || strcmp(q->step, step) != 0)
		fail_msg("the job asks %s, not %s", q ? q->step : "nothing", step);
}

/* ---- a job from end to end ---- */

static void whole_job(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_answers answers;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	bench_answers_read(&answers, ANSWERS);
	struct fw_job *job = bench_begin(&bench, PROCEDURE, SHEET);
	assert_int_equal(fw_job_number(job), 1);
	assert_string_equal(fw_job_title(job), "Gearbox shaft: end float found, set and proved");
	assert_string_equal(fw_job_unit(job), "gearbox on the stand");
	assert_int_equal(fw_job_answered(job), 0);
	bench_play(job, &answers);
	assert_null(fw_job_pending(job));
	assert_int_equal(fw_job_answered(job), answers.count);
	assert_code(fw_job_answer(job, "more", false, &error), FW_ERR_STATE);
	assert_contains(error.text, "released");
	assert_code(fw_job_withdraw(job, "too late", &error), FW_ERR_STATE);
	assert_contains(error.text, "released");
	fw_job_close(job);
	assert_code(
	    fw_job_take_back(bench.trail, 1, NULL, "too late", bench_clock, &bench.clock, &error),
	    FW_ERR_STATE);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_true(audit.sum.released);
	assert_int_equal(audit.sum.answers, answers.count);
	assert_int_equal(audit.sum.entries, bench_entries(bench.trail, 1));

	/* A released job can be looked at, and looking writes nothing. */
	job = bench_resume(&bench, 1);
	assert_null(fw_job_pending(job));
	assert_int_equal(bench_entries(bench.trail, 1), audit.sum.entries);
	fw_job_close(job);
	bench_answers_free(&answers);
	bench_close(&bench);
}

/* What a face sees between two answers. */
static void view(char *out, size_t size, const struct fw_job *job)
{
	const struct fw_question *q = fw_job_pending(job);
	size_t count, used;
	const struct fw_finding *finding = fw_job_findings(job, &count);

	snprintf(out, size, "%zu answered\n%s %s %u %s %u/%u: %s\n", fw_job_answered(job),
	         q ? q->step : "-", q && q->item ? q->item : "-", q ? q->round : 0,
	         q && q->phase ? q->phase : "-", q ? q->phase_number : 0, q ? q->phase_count : 0,
	         q ? q->say : "-");
	for (size_t i = 0; i < count; i++) {
		used = strlen(out);
		snprintf(out + used, size - used, "%s %s %s %d %.17g %.17g %.17g %.17g\n", finding[i].find,
		         finding[i].step, finding[i].text, finding[i].has_scale, finding[i].value,
		         finding[i].u, finding[i].min, finding[i].max);
	}
}

static void resume_at_every_answer(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_answers answers;
	struct bench_audit audit;
	struct fw_error error = {0};
	static char before[16384], after[16384];

	bench_open(&bench);
	bench_answers_read(&answers, ANSWERS);
	struct fw_job *job = bench_begin(&bench, PROCEDURE, SHEET);
	for (size_t i = 0; i < answers.count; i++) {
		assert_ok(bench_give(job, &answers.list[i], &error));
		view(before, sizeof before, job);
		int64_t entries = bench_entries(bench.trail, 1);
		fw_job_close(job);
		bench_reopen(&bench);
		job = bench_resume(&bench, 1);
		view(after, sizeof after, job);
		assert_string_equal(after, before);
		assert_int_equal(bench_entries(bench.trail, 1), entries);
	}
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_true(audit.sum.released);
	printf("resumed after each of %zu answers, %zu entries\n", answers.count, audit.sum.entries);
	bench_answers_free(&answers);
	bench_close(&bench);
}

/* ---- answers that aren't taken ---- */

static void refused_answers(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	struct fw_job *job = begin_small(&bench);
	assert_ok(fw_job_answer(job, "a box", false, &error));
	int64_t entries = bench_entries(bench.trail, 1);
	assert_code(fw_job_answer(job, "up", false, &error), FW_ERR_INPUT);
	assert_code(fw_job_answer(job, "", false, &error), FW_ERR_INPUT);
	assert_code(fw_job_answer(job, "up", true, &error),
	            FW_ERR_INPUT); /* confirming makes no choice */
	assert_int_equal(bench_entries(bench.trail, 1), entries);
	assert_asks(job, "way");
	assert_ok(fw_job_answer(job, "right", false, &error));
	entries = bench_entries(bench.trail, 1);
	assert_code(fw_job_answer(job, "12 Nm", false, &error), FW_ERR_DIMENSION);
	assert_code(fw_job_answer(job, "12 Nm", true, &error), FW_ERR_DIMENSION);
	assert_code(fw_job_answer(job, "wide", false, &error), FW_ERR_INPUT);
	assert_code(fw_job_answer(job, "16", false, &error), FW_ERR_IMPLAUSIBLE);
	assert_contains(error.text, "thou");
	assert_int_equal(bench_entries(bench.trail, 1), entries);
	assert_ok(fw_job_answer(job, "16", true, &error));
	assert_string_equal(error.text, "");
	char confirmed[32];
	make_ask(bench.file, "SELECT json_extract(value, '$.confirmed') FROM entry WHERE step = 'play'",
	         confirmed, sizeof confirmed);
	assert_string_equal(confirmed, "1");

	/* Confirmed for nothing: the mark is kept for readings that were doubted. */
	assert_ok(fw_job_withdraw(job, "thou were meant", &error));
	assert_ok(fw_job_answer(job, "16 thou", true, &error));
	make_ask(bench.file,
	         "SELECT json_extract(value, '$.confirmed') FROM entry WHERE step = 'play' "
	         "AND kind = 'answer' ORDER BY seq DESC",
	         confirmed, sizeof confirmed);
	assert_string_equal(confirmed, "(null)");
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	bench_close(&bench);
}

/* ---- withdraw and take back ---- */

static void withdraw(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	struct fw_job *job = begin_small(&bench);
	assert_code(fw_job_withdraw(job, "nothing yet", &error), FW_ERR_STATE);
	assert_ok(fw_job_answer(job, "a box", false, &error));
	assert_ok(fw_job_answer(job, "left", false, &error));
	assert_ok(fw_job_answer(job, "0.5", false, &error));
	assert_asks(job, "left");
	int64_t entries = bench_entries(bench.trail, 1);
	assert_code(fw_job_withdraw(job, "", &error), FW_ERR_ARGUMENT);
	assert_code(fw_job_withdraw(job, " \t", &error), FW_ERR_ARGUMENT);
	assert_int_equal(bench_entries(bench.trail, 1), entries);

	assert_ok(fw_job_withdraw(job, "dial slipped", &error));
	assert_asks(job, "play");
	assert_int_equal(fw_job_pending(job)->round, 0);
	assert_int_equal(fw_job_answered(job), 2);
	assert_ok(fw_job_withdraw(job, "the other side", &error));
	assert_asks(job, "way");
	fw_job_close(job);
	bench_reopen(&bench);
	job = bench_resume(&bench, 1); /* what was taken back stays taken back */
	assert_asks(job, "way");
	assert_int_equal(fw_job_answered(job), 1);
	assert_ok(fw_job_answer(job, "right", false, &error));
	assert_ok(fw_job_answer(job, "0.6", false, &error));
	assert_asks(job, "close"); /* the note of the left way isn't asked any more */
	assert_ok(fw_job_withdraw(job, "read again", &error));
	fw_job_close(job);
	assert_ok(fw_job_take_back(bench.trail, 1, "C. Other", "the left way after all", bench_clock,
	                           &bench.clock, &error));
	job = bench_resume(&bench, 1);
	assert_asks(job, "way");
	assert_ok(fw_job_answer(job, "left", false, &error));
	assert_ok(fw_job_answer(job, "0.55", false, &error));
	assert_ok(fw_job_answer(job, "", false, &error));
	assert_ok(fw_job_answer(job, "done", false, &error));
	assert_ok(fw_job_answer(job, "B. Hand", false, &error));
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_true(audit.sum.released);
	assert_contains(audit.text, "4 answers were taken back");
	assert_int_equal(audit.sum.answers, 6);
	char left[32];
	make_ask(bench.file, "SELECT count(*) FROM entry WHERE kind = 'answer' AND step = 'play'", left,
	         sizeof left);
	assert_string_equal(left, "3"); /* all of them are there */
	bench_close(&bench);
}

static void procedure_fails_on_an_answer(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};
	struct fw_job *job;

	bench_open(&bench);
	job = begin_small(&bench);
	assert_ok(fw_job_answer(job, "a box", false, &error));
	assert_code(fw_job_answer(job, "wrong", false, &error), FW_ERR_SCRIPT);
	assert_contains(error.text, "procedure.lua:5");
	assert_null(fw_job_pending(job));
	assert_code(fw_job_answer(job, "left", false, &error), FW_ERR_STATE);
	assert_contains(error.text, "take that answer back");
	/* The same handle can take it back, */
	assert_ok(fw_job_withdraw(job, "the procedure fails on it", &error));
	assert_asks(job, "way");
	assert_code(fw_job_answer(job, "wrong", false, &error), FW_ERR_SCRIPT);
	fw_job_close(job);
	/* and so can one who can't resume it. */
	assert_code(fw_job_resume(&job, bench.trail, 1, NULL, bench_clock, &bench.clock, &error),
	            FW_ERR_SCRIPT);
	assert_null(job);
	assert_code(fw_job_take_back(bench.trail, 1, NULL, "  ", bench_clock, &bench.clock, &error),
	            FW_ERR_ARGUMENT);
	assert_code(
	    fw_job_take_back(bench.trail, 7, NULL, "no such job", bench_clock, &bench.clock, &error),
	    FW_ERR_NOT_FOUND);
	assert_ok(fw_job_take_back(bench.trail, 1, NULL, "the procedure fails on it", bench_clock,
	                           &bench.clock, &error));
	job = bench_resume(&bench, 1);
	assert_asks(job, "way");
	assert_ok(fw_job_answer(job, "right", false, &error));
	assert_asks(job, "play");
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	bench_close(&bench);
}

/* ---- replay that doesn't match ---- */

/* Resuming fails, names the entry, and leaves the file as it was, to the byte. */
static void assert_no_replay(struct bench *bench, const char *file, const char *names)
{
	struct fw_error error = {0};
	struct fw_trail *trail;
	struct fw_job *job;
	uint8_t before[FW_HASH], after[FW_HASH];

	bench_hash_file(before, file);
	assert_ok(fw_trail_open(&trail, file, FW_TRAIL_WRITE, &error));
	assert_code(fw_job_resume(&job, trail, 1, NULL, bench_clock, &bench->clock, &error),
	            FW_ERR_REPLAY);
	assert_null(job);
	assert_contains(error.text, names);
	assert_contains(error.text, "nothing was changed");
	fw_trail_close(trail);
	bench_hash_file(after, file);
	assert_memory_equal(before, after, FW_HASH);
}

/* The stored source becomes `text`, its hash and the beginning with it, the chain worked out again:
 * what one does who has the file and no keys. */
static void change_source(const char *file, const char *text)
{
	char sql[8192], hex[FW_HASH_TEXT];
	uint8_t hash[FW_HASH];

	fw_trail_hash(hash, text, strlen(text));
	fw_hash_text(hex, hash);
	char *quoted = sqlite3_mprintf(
	    "INSERT INTO source VALUES (x'%s', CAST(%Q AS BLOB));"
	    "UPDATE entry SET value = json_set(value, '$.procedure.hash', '%s') WHERE seq = 1",
	    hex, text, hex);
	assert_true(snprintf(sql, sizeof sql, "%s", quoted) < (int)sizeof sql);
	sqlite3_free(quoted);
	bench_tamper(file, sql, BENCH_SEALED);
}

static void replay_mismatch(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	struct fw_trail *trail;
	char copy[PATH_MAX], changed[sizeof small];
	struct fw_job *job;

	bench_open(&bench);
	make_name(copy, bench.folder, "copy.db");
	job = begin_small(&bench);
	assert_ok(fw_job_answer(job, "a box", false, &error));
	assert_ok(fw_job_answer(job, "right", false, &error));
	assert_ok(fw_job_answer(job, "0.4", false, &error));
	fw_job_close(job);
	bench_shut(&bench);

	/* The procedure asks in other words: entry 3 is the answer to 'way'. */
	memcpy(changed, small, sizeof small);
	memcpy(strstr(changed, "Which way?"), "What  way?", 10);
	bench_copy(bench.file, copy);
	change_source(copy, changed);
	assert_no_replay(&bench, copy, "entry 3 (answer way)");

	/* It ends before the record does. */
	bench_copy(bench.file, copy);
	change_source(
	    copy, "return procedure { title = 'Small', phases = { 'One', 'Two' }, run = function()\n"
	          "phase 'One'  note { id = 'first', say = 'What came in?' } end }");
	assert_no_replay(&bench, copy, "entry 3 (answer way)");

	/* It works something out otherwise: another gauge is another uncertainty; entry 5 is what 0.4
	 * came to. */
	bench_copy(bench.file, copy);
	bench_tamper(copy, "UPDATE entry SET value = replace(value, '0.40', '0.41') WHERE seq = 5",
	             BENCH_SEALED);
	assert_no_replay(&bench, copy, "entry 5 (finding play)");

	/* The recorded question differs. */
	bench_copy(bench.file, copy);
	bench_tamper(copy, "UPDATE entry SET ask = json_set(ask, '$.say', 'Which?') WHERE seq = 3",
	             BENCH_PLAIN);
	assert_no_replay(&bench, copy, "entry 3 (answer way)");

	/* The source under its old hash is no longer that source. */
	bench_copy(bench.file, copy);
	bench_tamper(
	    copy,
	    "UPDATE source SET bytes = CAST(replace(CAST(bytes AS TEXT), 'Which', 'What ') AS BLOB)",
	    BENCH_PLAIN);
	assert_ok(fw_trail_open(&trail, copy, FW_TRAIL_WRITE, &error));
	assert_code(fw_job_resume(&job, trail, 1, NULL, bench_clock, &bench.clock, &error),
	            FW_ERR_TRAIL);
	assert_null(job);
	fw_trail_close(trail);
	bench_close(&bench);
}

/* ---- the clock ---- */

static void clock_set_back(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};
	char at[64], last[64];

	bench_open(&bench);
	struct fw_job *job = begin_small(&bench);
	assert_ok(fw_job_answer(job, "a box", false, &error));
	make_ask(bench.file, "SELECT max(at) FROM entry WHERE job = 1", last, sizeof last);
	bench.clock.seconds -=
	    100; /* a correction in passing: the entry bears the time of the one before */
	assert_ok(fw_job_answer(job, "right", false, &error));
	make_ask(bench.file, "SELECT at FROM entry WHERE job = 1 ORDER BY seq DESC", at, sizeof at);
	assert_string_equal(at, last);

	bench.clock.seconds -= 7200; /* two hours: refused, and nothing recorded */
	int64_t entries = bench_entries(bench.trail, 1);
	assert_code(fw_job_answer(job, "0.5", false, &error), FW_ERR_STATE);
	assert_contains(error.text, "clock");
	assert_contains(error.text, last);
	assert_int_equal(bench_entries(bench.trail, 1), entries);
	assert_asks(job, "play");
	bench.clock.seconds += 7400;
	assert_ok(fw_job_answer(job, "0.5", false, &error)); /* set right, the job goes on */
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	bench_close(&bench);
}

/* ---- two at one job ---- */

static void two_handles(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};
	struct fw_trail *other_trail;
	struct fw_job *other;

	bench_open(&bench);
	struct fw_job *job = begin_small(&bench);
	assert_ok(fw_trail_open(&other_trail, bench.file, FW_TRAIL_WRITE, &error));
	/* Who would go on with it elsewhere is told who is at it. */
	assert_code(
	    fw_job_resume(&other, other_trail, 1, "C. Other", bench_clock, &bench.clock, &error),
	    FW_ERR_BUSY);
	assert_null(other);
	assert_contains(error.text, "job 1 is being worked on by B. Hand on host ");
	assert_code(
	    fw_job_take_back(other_trail, 1, "C. Other", "wrong", bench_clock, &bench.clock, &error),
	    FW_ERR_BUSY);
	assert_int_equal(bench_entries(bench.trail, 1), 1);
	/* With the leases taken away from under it, what one of them built on is still checked. */
	char leases[PATH_MAX + 16];
	snprintf(leases, sizeof leases, "%s-benches", bench.file);
	assert_int_equal(unlink(leases), 0);
	assert_ok(fw_job_resume(&other, other_trail, 1, "C. Other", bench_clock, &bench.clock, &error));
	assert_ok(fw_job_answer(job, "a box", false, &error));
	assert_code(fw_job_answer(other, "a crate", false, &error), FW_ERR_BUSY);
	assert_int_equal(bench_entries(bench.trail, 1), 2);
	fw_job_close(other);
	assert_ok(fw_job_resume(&other, other_trail, 1, "C. Other", bench_clock, &bench.clock, &error));
	assert_asks(other, "way");
	assert_ok(fw_job_answer(other, "right", false, &error));
	assert_code(fw_job_answer(job, "left", false, &error), FW_ERR_BUSY);
	fw_job_close(other);
	fw_trail_close(other_trail);
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	char who[64];
	make_ask(bench.file, "SELECT who FROM entry ORDER BY seq DESC", who, sizeof who);
	assert_string_equal(who, "C. Other");
	bench_close(&bench);
}

/* To look at a released job nobody has to wait; nor does an audit, at any job. */
static void looking_needs_no_lease(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};
	struct fw_lease *lease;
	struct fw_job *job;

	bench_open(&bench);
	job = begin_small(&bench);
	bench_audit(&audit, bench.file, 1); /* while it is open for work */
	assert_int_equal(audit.sum.broken, 0);
	while (fw_job_pending(job)) {
		const struct fw_question *q = fw_job_pending(job);
		const char *typed = q->ask == FW_ASK_QUANTITY ? "0.5"
		                    : q->ask == FW_ASK_CHOICE ? "2"
		                    : q->ask == FW_ASK_DONE   ? ""
		                                              : "B. Hand";
		assert_ok(fw_job_answer(job, typed, true, &error));
	}
	/* Released: the lease is free though the job is still open here. */
	assert_ok(fw_lease_take(&lease, bench.trail, 1, "C. Other", &error));
	fw_job_close(job);
	job = bench_resume(&bench, 1);
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	fw_lease_free(lease);
	bench_close(&bench);
}

/* Where no lease can be had, nothing begins that could not be gone on with. */
static void without_leases_nothing_begins(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	struct fw_job *job;
	char leases[PATH_MAX + 16], procedure[PATH_MAX];

	bench_open(&bench);
	snprintf(leases, sizeof leases, "%s-benches", bench.file);
	assert_int_equal(mkdir(leases, 0700), 0);
	bench_write(&bench, "small.lua", small, procedure);
	const struct fw_job_begin begin = {procedure, NULL, "a box", "B. Hand"};
	assert_code(fw_job_begin(&job, bench.trail, &begin, bench_clock, &bench.clock, &error),
	            FW_ERR_TRAIL);
	assert_contains(error.text, "-benches");
	assert_int_equal(bench_entries(bench.trail, 1), 0);
	assert_int_equal(rmdir(leases), 0);
	bench_close(&bench);
}

/* ---- beginnings that fail ---- */

static void assert_nothing_begun(struct bench *bench, const struct fw_job_begin *begin, int code,
                                 const char *says)
{
	struct fw_error error = {0};
	struct fw_job *job;

	assert_code(fw_job_begin(&job, bench->trail, begin, bench_clock, &bench->clock, &error), code);
	assert_null(job);
	assert_contains(error.text, says);
	assert_int_equal(bench_entries(bench->trail, 1), 0);
	char sources[16];
	make_ask(bench->file, "SELECT count(*) FROM source", sources, sizeof sources);
	assert_string_equal(sources, "0");
}

static void failed_beginnings(void **state)
{
	(void)state;
	struct bench bench;
	char path[PATH_MAX], sheet[PATH_MAX];

	bench_open(&bench);
	struct fw_job_begin begin = {path, NULL, "gearbox", "B. Hand"};
	bench_write(&bench, "syntax.lua", "return procedure {\n  title = = 1\n}", path);
	assert_nothing_begun(&bench, &begin, FW_ERR_SCRIPT, "syntax.lua:2");
	bench_write(&bench, "early.lua",
	            "return procedure { title = 'E', phases = { 'P' }, run = function()\n"
	            "  local limit\n  limit.max = 1\nend }",
	            path);
	assert_nothing_begun(&bench, &begin, FW_ERR_SCRIPT, "early.lua:3");
	bench_write(&bench, "module.lua",
	            "require 'not-there' return procedure { title = 'M', "
	            "phases = { 'P' }, run = function() end }",
	            path);
	assert_nothing_begun(&bench, &begin, FW_ERR_NOT_FOUND, "not-there.lua");
	bench_write(&bench, "nothing.lua", "local x = 1", path);
	assert_nothing_begun(&bench, &begin, FW_ERR_SCRIPT, "nothing.lua");
	bench_write(&bench, "changed.lua",
	            "local p = { title = 'C', phases = { 'P' }, "
	            "run = function() error 'ran' end }\nprocedure(p)\np.title = nil p.phases[1] = nil",
	            path);
	assert_nothing_begun(&bench, &begin, FW_ERR_SCRIPT, "ran"); /* it keeps what it was given */

	begin.procedure = PROCEDURE;
	assert_nothing_begun(&bench, &begin, FW_ERR_SCRIPT, "no unit sheet was given");
	bench_write(&bench, "other.lua",
	            "return sheet { gap = figure { value = mm(1), source = owner 'me' } }", sheet);
	begin.sheet = sheet;
	assert_nothing_begun(&bench, &begin, FW_ERR_SCRIPT, "'gap' isn't asked for");
	begin.sheet = FW_TEST_SOURCE "/demo/nowhere.lua";
	assert_nothing_begun(&bench, &begin, FW_ERR_NOT_FOUND, "nowhere.lua");
	begin.sheet = FW_TEST_SOURCE "/demo";
	assert_nothing_begun(&bench, &begin, FW_ERR_INPUT, "plain file");
	begin.sheet = SHEET;
	begin.who = " ";
	assert_nothing_begun(&bench, &begin, FW_ERR_ARGUMENT, "who");
	begin.who = "B. Hand";
	begin.unit = "";
	assert_nothing_begun(&bench, &begin, FW_ERR_ARGUMENT, "unit");
	begin.procedure = NULL;
	assert_nothing_begun(&bench, &begin, FW_ERR_ARGUMENT, "procedure");
	bench_close(&bench);
}

/* A procedure that never asks is released as it begins; one that finds without end is stopped. */
static void without_questions(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};
	struct fw_job *job;

	bench_open(&bench);
	assert_code(begin_text(&bench, &job,
	                       "return procedure { title = 'F', phases = { 'P' }, run = function()\n"
	                       "  local l = limits { min = mm(1), source = owner 'me' }\n"
	                       "  while true do check { id = 'again', value = mm(2), limits = l } end\n"
	                       "end }",
	                       &error),
	            FW_ERR_LIMIT);
	assert_contains(error.text, "again");
	assert_int_equal(bench_entries(bench.trail, 1), 0);
	assert_ok(begin_text(&bench, &job,
	                     "return procedure { title = 'N', phases = { 'P' }, "
	                     "run = function() end }",
	                     &error));
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_true(audit.sum.released);
	assert_contains(audit.text, "nobody signed");
	bench_close(&bench);
}

/* ---- files that change after the beginning ---- */

static void files_changed_after_begin(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};
	char path[PATH_MAX], module[PATH_MAX];

	bench_open(&bench);
	bench_write(&bench, "words.lua", "return { first = 'one', second = 'two' }", module);
	bench_write(&bench, "procedure.lua",
	            "local words = require 'words'\n"
	            "return procedure { title = 'T', phases = { 'P' }, run = function()\n"
	            "  task { id = 'a', say = words.first }\n  task { id = 'b', say = words.second }\n"
	            "end }",
	            path);
	struct fw_job *job = bench_begin(&bench, path, NULL);
	assert_string_equal(fw_job_pending(job)->say, "one");
	fw_job_close(job);
	unlink(module);
	bench_write(&bench, "procedure.lua", "this is no procedure any more", path);
	job = bench_resume(&bench, 1);
	assert_ok(fw_job_answer(job, "", false, &error));
	assert_string_equal(fw_job_pending(job)->say, "two");
	assert_ok(fw_job_answer(job, "", false, &error));
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_code(fw_job_resume(&job, bench.trail, 2, NULL, bench_clock, &bench.clock, &error),
	            FW_ERR_NOT_FOUND);
	bench_close(&bench);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(whole_job),
	    cmocka_unit_test(resume_at_every_answer),
	    cmocka_unit_test(refused_answers),
	    cmocka_unit_test(withdraw),
	    cmocka_unit_test(procedure_fails_on_an_answer),
	    cmocka_unit_test(replay_mismatch),
	    cmocka_unit_test(clock_set_back),
	    cmocka_unit_test(two_handles),
	    cmocka_unit_test(looking_needs_no_lease),
	    cmocka_unit_test(without_leases_nothing_begins),
	    cmocka_unit_test(failed_beginnings),
	    cmocka_unit_test(without_questions),
	    cmocka_unit_test(files_changed_after_begin),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
