/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Amending an answer, and opening a released job again, through the engine's public calls. What a
 * case expects is written by hand from the rule of docs/replay.md. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "trail_make.h"

/* A choice on which words and work depend, two measurements, a task whose words hold the first of
 * them. */
static const char procedure[] =
    "return procedure { title = 'Pump', phases = { 'One', 'Two' }, run = function()\n"
    "  phase 'One'\n"
    "  note { id = 'first', say = 'What came in?' }\n"
    "  local way = choose { id = 'way', say = 'Which way?', options = { 'plain', 'words', 'work', "
    "'wrong' } }\n"
    "  if way == 'words' then note { id = 'more', say = 'Tell more.' } end\n"
    "  local found = measure { id = 'found', say = 'Read.', unit = mm, gauge = 'dial indicator', "
    "readings = 2,\n"
    "                          spread = mm(9), plausible = { mm(0), mm(2) } }\n"
    "  if way == 'work' then task { id = 'strip', say = 'Strip it again.' } end\n"
    "  if way == 'wrong' then local none; none() end\n"
    "  phase 'Two'\n"
    "  task { id = 'shim', say = 'Fit what makes up for ' .. tostring(found) .. '.' }\n"
    "  note { id = 'seen', say = 'What did you see?' }\n"
    "  measure { id = 'left', say = 'Read again.', unit = mm, gauge = 'dial indicator' }\n"
    "  sign { id = 'release', role = 'technician' }\n"
    "end }\n";

static struct fw_job *begin_text(struct bench *bench, const char *text)
{
	struct fw_error error = {0};
	struct fw_job *job;
	char path[PATH_MAX];
	const struct fw_job_begin begin = {path, NULL, "pump", "B. Hand"};

	bench_write(bench, "procedure.lua", text, path);
	assert_ok(fw_job_begin(&job, bench->trail, &begin, bench_clock, &bench->clock, &error));
	return job;
}

static void assert_asks(const struct fw_job *job, const char *step)
{
	const struct fw_question *q = fw_job_pending(job);

	if (!q || strcmp(q->step, step) != 0)
		fail_msg("the job asks %s, not %s", q ? q->step : "nothing", step);
}

/* Answers separated by '|', given in order. */
static void give(struct fw_job *job, const char *answers)
{
	struct fw_error error = {0};
	char buffer[512];
	char *rest = buffer;

	snprintf(buffer, sizeof buffer, "%s", answers);
	while (rest) {
		char *bar = strchr(rest, '|');
		if (bar)
			*bar = '\0';
		assert_ok(fw_job_answer(job, rest, true, &error));
		rest = bar ? bar + 1 : NULL;
	}
}

/* "step item typed; …" of what stands, in the order asked. */
static int list_one(void *context, const struct fw_given *given)
{
	char *text = context;
	size_t used = strlen(text);

	snprintf(text + used, 1024 - used, "%s%s%s%s %s%s; ", given->step, given->item ? "/" : "",
	         given->item ? given->item : "", given->signature ? "*" : "", given->typed, "");
	return 0;
}

static void assert_stand(struct fw_job *job, const char *wanted)
{
	struct fw_error error = {0};
	char text[1024] = "";

	assert_ok(fw_job_given(job, list_one, text, &error));
	assert_string_equal(text, wanted);
}

struct seek {
	const char *step;
	int64_t seq;
};

static int seek_one(void *context, const struct fw_given *given)
{
	struct seek *seek = context;

	if (strcmp(given->step, seek->step) == 0)
		seek->seq = given->seq;
	return 0;
}

/* The entry that holds the (last) answer of the step. */
static int64_t entry_of(struct fw_job *job, const char *step)
{
	struct fw_error error = {0};
	struct seek seek = {step, 0};

	assert_ok(fw_job_given(job, seek_one, &seek, &error));
	assert_true(seek.seq > 0);
	return seek.seq;
}

static void amend(struct fw_job *job, const char *step, const char *typed)
{
	struct fw_error error = {0};

	assert_ok(fw_job_amend(job, entry_of(job, step), typed, false, "read wrongly", &error));
}

static void ask(const struct bench *bench, const char *sql, const char *wanted)
{
	char text[512];

	make_ask(bench->file, sql, text, sizeof text);
	assert_string_equal(text, wanted);
}

static void assert_sound(struct bench *bench)
{
	struct bench_audit audit;

	bench_audit_sound(&audit, bench->trail, 1);
}

/* ---- what stays and what lapses ---- */

static void words_stay(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	struct fw_amendment *look;

	bench_open(&bench);
	struct fw_job *job = begin_text(&bench, procedure);
	give(job, "a box|plain|0.40|0.42||rust|0.10");
	assert_asks(job, "release");
	assert_ok(fw_job_amend_look(job, 2, "a crate", false, &look, &error));
	assert_int_equal(look->seq, 2);
	assert_string_equal(look->step, "first");
	assert_null(look->item);
	assert_string_equal(look->was, "a box");
	assert_string_equal(look->will_be, "a crate");
	assert_int_equal(look->kept, 6);
	assert_int_equal(look->lapsed, 0);
	assert_contains(look->next, "release");
	fw_amendment_free(look);
	amend(job, "first", "a crate");
	assert_asks(job, "release");
	assert_int_equal(fw_job_answered(job), 7);
	assert_stand(job, "first a crate; way plain; found/reading 1 of 2 0.40; found/reading 2 of 2 "
	                  "0.42; shim ; seen "
	                  "rust; left 0.10; ");
	/* The old answer is there, and all found after it was found anew: in one go, before anything
	 * else. */
	ask(&bench, "SELECT typed FROM entry WHERE job = 1 AND seq = 2", "a box");
	ask(&bench, "SELECT group_concat(kind, ' ') FROM entry WHERE job = 1 AND seq > 10",
	    "amend finding finding");
	ask(&bench,
	    "SELECT json_extract(value, '$.amends') || json_extract(value, '$.reason') || step || "
	    "typed FROM entry "
	    "WHERE kind = 'amend'",
	    "2read wronglyfirsta crate");
	assert_sound(&bench);
	/* An amendment can be amended. */
	amend(job, "first", "a sack");
	give(job, "B. Hand");
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	assert_sound(&bench);
	bench_close(&bench);
}

/* A question of words that wasn't asked before is asked; all later answers stay. */
static void new_words(void **state)
{
	(void)state;
	struct bench bench;

	bench_open(&bench);
	struct fw_job *job = begin_text(&bench, procedure);
	give(job, "a box|plain|0.40|0.42||rust|0.10");
	amend(job, "way", "words");
	assert_asks(job, "more");
	assert_int_equal(fw_job_answered(job), 7);
	assert_stand(job, "first a box; way words; ");
	fw_job_close(job);
	job = bench_resume(&bench, 1); /* those that wait are found again */
	assert_asks(job, "more");
	assert_int_equal(fw_job_answered(job), 7);
	give(job, "much more");
	assert_asks(job, "release");
	assert_int_equal(fw_job_answered(job), 8);
	ask(&bench, "SELECT count(*) FROM entry WHERE kind = 'lapse'", "0");
	assert_sound(&bench);
	fw_job_close(job);
	bench_close(&bench);
}

/* A reading changes the words of the task after it: from there on all is done anew. */
static void other_work(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	struct fw_amendment *look;

	bench_open(&bench);
	struct fw_job *job = begin_text(&bench, procedure);
	give(job, "a box|plain|0.40|0.42||rust|0.10");
	assert_ok(fw_job_amend_look(job, 5, "0.52", false, &look, &error));
	assert_int_equal(look->lapsed, 3);
	assert_int_equal(look->kept, 0);
	assert_string_equal(look->item, "reading 2 of 2");
	assert_string_equal(look->lapsed_text[0], "shim: ");
	assert_string_equal(look->lapsed_text[1], "seen: rust");
	assert_string_equal(look->lapsed_text[2], "left: 0.10");
	assert_contains(look->next, "Fit what makes up for 0.46");
	fw_amendment_free(look);
	assert_asks(job, "release"); /* looking changed nothing */
	amend(job, "found", "0.52");
	assert_asks(job, "shim");
	assert_stand(job,
	             "first a box; way plain; found/reading 1 of 2 0.40; found/reading 2 of 2 0.52; ");
	ask(&bench, "SELECT group_concat(kind, ' ') FROM entry WHERE job = 1 AND seq > 10",
	    "amend lapse finding");
	ask(&bench, "SELECT value FROM entry WHERE kind = 'lapse'", "{\"entries\":[7,8,9]}");
	assert_sound(&bench);
	fw_job_close(job);
	job = bench_resume(&bench, 1);
	assert_asks(job, "shim");
	give(job, "|dust|0.12|B. Hand");
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	assert_sound(&bench);
	bench_close(&bench);
}

/* New words first, and behind them new work: what lapses shows only then, and is recorded before it
 * is asked. */
static void lapses_later(void **state)
{
	(void)state;
	struct bench bench;

	bench_open(&bench);
	struct fw_job *job = begin_text(
	    &bench, "return procedure { title = 'L', phases = { 'P' }, run = function()\n"
	            "  phase 'P'\n"
	            "  local a = choose { id = 'a', say = 'A?', options = { 'old', 'new' } }\n"
	            "  local b = a == 'new' and choose { id = 'b', say = 'B?', options = { 'same', "
	            "'other' } }\n"
	            "  if b == 'other' then task { id = 'extra', say = 'Do more.' } end\n"
	            "  task { id = 'close', say = 'Close it.' }\n"
	            "  note { id = 'end', say = 'And?' }\n"
	            "  note { id = 'last', say = 'Last?' }\n"
	            "end }");
	give(job, "old||fine");
	amend(job, "a", "new");
	assert_asks(job, "b");
	assert_int_equal(fw_job_answered(job), 3);
	give(job, "other");
	assert_asks(job, "extra");
	assert_int_equal(fw_job_answered(job), 2);
	ask(&bench, "SELECT group_concat(kind, ' ') FROM entry WHERE job = 1",
	    "begin answer answer answer amend answer lapse");
	assert_sound(&bench);
	/* Taken back, that answer gives the others back; so does the amendment. */
	struct fw_error error = {0};
	assert_ok(fw_job_withdraw(job, "the same after all", &error));
	assert_asks(job, "b");
	assert_int_equal(fw_job_answered(job), 3);
	give(job, "same");
	assert_asks(job, "last");
	assert_stand(job, "a new; b same; close ; end fine; ");
	assert_ok(fw_job_withdraw(job, "no", &error));
	assert_ok(fw_job_withdraw(job, "no", &error));
	assert_asks(job, "last");
	assert_stand(job, "a old; close ; end fine; ");
	fw_job_close(job);
	assert_sound(&bench);
	job = bench_resume(&bench, 1);
	assert_asks(job, "last");
	assert_ok(fw_job_withdraw(job, "no", &error));
	assert_asks(job, "end");
	fw_job_close(job);
	assert_sound(&bench);
	bench_close(&bench);
}

/* The order in which work was done counts, too: a reading taken before something was fitted isn't
 * one taken after. */
static void another_order(void **state)
{
	(void)state;
	struct bench bench;

	bench_open(&bench);
	struct fw_job *job = begin_text(
	    &bench,
	    "return procedure { title = 'O', phases = { 'P' }, run = function()\n"
	    "  phase 'P'\n"
	    "  local a = choose { id = 'a', say = 'A?', options = { 'fit first', 'read first' } }\n"
	    "  local function fit() task { id = 'fit', say = 'Fit it.' } end\n"
	    "  local function read() measure { id = 'read', say = 'Read.', unit = mm,\n"
	    "    gauge = 'micrometer' } end\n"
	    "  if a == 'fit first' then fit() read() else read() fit() end\n"
	    "  note { id = 'last', say = 'Last?' }\n"
	    "end }");
	give(job, "read first|0.5|");
	assert_asks(job, "last");
	amend(job, "a", "fit first");
	/* 'fit' stays, as it comes up word for word; the reading is to be taken again. */
	assert_asks(job, "read");
	assert_stand(job, "a fit first; fit ; ");
	give(job, "0.6|done");
	fw_job_close(job);
	assert_sound(&bench);
	bench_close(&bench);
}

/* ---- signatures ---- */

static const char signed_twice[] =
    "return procedure { title = 'S', phases = { 'P' }, run = function()\n"
    "  phase 'P'\n"
    "  note { id = 'one', say = 'One?' }\n"
    "  sign { id = 'middle', role = 'technician' }\n"
    "  task { id = 'two', say = 'Two.' }\n"
    "  note { id = 'three', say = 'Three?' }\n"
    "  sign { id = 'release', role = 'technician' }\n"
    "end }";

static void signatures_lapse(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};

	bench_open(&bench);
	struct fw_job *job = begin_text(&bench, signed_twice);
	give(job, "a|R. Example||c");
	assert_code(fw_job_amend(job, entry_of(job, "middle"), "A. Sample", false, "no", &error),
	            FW_ERR_STATE);
	assert_contains(error.text, "signature");
	amend(job, "three", "d"); /* the signature was given before it */
	assert_asks(job, "release");
	amend(job, "one", "b");
	assert_asks(job, "middle");
	assert_int_equal(fw_job_answered(job), 3);
	ask(&bench, "SELECT value FROM entry WHERE kind = 'lapse'", "{\"entries\":[3]}");
	assert_sound(&bench);
	give(job, "R. Example");
	assert_asks(job, "release"); /* the task stays done */
	assert_stand(job, "one b; middle* R. Example; two ; three d; ");
	/* It now covers 'two', too, which was recorded before it. */
	assert_ok(fw_job_amend(job, entry_of(job, "two"), "ok", false, "said so", &error));
	assert_asks(job, "middle");
	assert_ok(fw_job_withdraw(job, "it was fine", &error));
	assert_asks(job, "release");
	fw_job_close(job);
	assert_sound(&bench);
	bench_close(&bench);
}

/* ---- what can't be amended ---- */

static void refused(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	struct fw_amendment *look;

	bench_open(&bench);
	struct fw_job *job = begin_text(&bench, procedure);
	give(job, "a box|plain|0.40|0.42||rust|0.10");
	int64_t entries = bench_entries(bench.trail, 1);
	assert_code(fw_job_amend(job, 1, "x", false, "y", &error), FW_ERR_NOT_FOUND);
	assert_code(fw_job_amend(job, 99, "x", false, "y", &error), FW_ERR_NOT_FOUND);
	assert_code(fw_job_amend(job, 6, "x", false, "y", &error), FW_ERR_NOT_FOUND); /* a finding */
	assert_code(fw_job_amend(job, 2, "a box", false, "y", &error), FW_ERR_INPUT);
	assert_code(fw_job_amend(job, 2, "a crate", false, " ", &error), FW_ERR_ARGUMENT);
	assert_code(fw_job_amend(job, 3, "up", false, "y", &error), FW_ERR_INPUT);
	assert_contains(error.text, "plain");
	assert_code(fw_job_amend(job, 4, "3 Nm", false, "y", &error), FW_ERR_DIMENSION);
	assert_code(fw_job_amend(job, 4, "16", false, "y", &error), FW_ERR_IMPLAUSIBLE);
	assert_contains(error.text, "thou");
	assert_code(fw_job_amend_look(job, 4, "16", false, &look, &error), FW_ERR_IMPLAUSIBLE);
	assert_null(look);
	/* The procedure fails on it. */
	assert_code(fw_job_amend_look(job, 3, "wrong", false, &look, &error), FW_ERR_SCRIPT);
	assert_contains(error.text, "with that answer the procedure fails: procedure.lua:9");
	assert_code(fw_job_amend(job, 3, "wrong", false, "y", &error), FW_ERR_SCRIPT);
	assert_int_equal(bench_entries(bench.trail, 1), entries);
	assert_asks(job, "release");
	assert_ok(fw_job_amend(job, 4, "16", true, "y", &error));
	ask(&bench, "SELECT json_extract(value, '$.confirmed') FROM entry WHERE kind = 'amend'", "1");
	assert_code(fw_job_amend(job, 4, "0.4", false, "y", &error), FW_ERR_NOT_FOUND);
	assert_contains(error.text, "struck out");
	assert_sound(&bench);
	fw_job_close(job);
	bench_close(&bench);
}

/* A procedure that fails on an answer: it can't be resumed, but looked at, and the answer amended.
 */
static void procedure_fails(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0}, stuck = {0};
	struct fw_job *job = NULL;

	bench_open(&bench);
	job = begin_text(&bench, procedure);
	give(job, "a box|wrong|0.40");
	assert_code(fw_job_answer(job, "0.42", false, &error), FW_ERR_SCRIPT);
	fw_job_close(job);
	assert_code(fw_job_resume(&job, bench.trail, 1, NULL, bench_clock, &bench.clock, &error),
	            FW_ERR_SCRIPT);
	assert_ok(fw_job_look(&job, bench.trail, 1, NULL, bench_clock, &bench.clock, &stuck, &error));
	assert_contains(stuck.text, "procedure.lua:9");
	assert_null(fw_job_pending(job));
	assert_stand(job,
	             "first a box; way wrong; found/reading 1 of 2 0.40; found/reading 2 of 2 0.42; ");
	assert_code(fw_job_amend(job, 4, "0.50", false, "y", &error),
	            FW_ERR_SCRIPT); /* it still fails */
	amend(job, "way", "plain");
	assert_asks(job, "shim");
	fw_job_close(job);
	assert_sound(&bench);
	/* Looking at one that is sound. */
	int64_t entries = bench_entries(bench.trail, 1);
	assert_ok(fw_job_look(&job, bench.trail, 1, NULL, bench_clock, &bench.clock, &stuck, &error));
	assert_string_equal(stuck.text, "");
	assert_null(fw_job_pending(job));
	assert_code(fw_job_answer(job, "", false, &error), FW_ERR_STATE);
	assert_int_equal(bench_entries(bench.trail, 1), entries);
	fw_job_close(job);
	bench_close(&bench);
}

/* Somebody else went on: nothing is recorded. */
static void gone_on(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	struct fw_trail *other_trail;
	struct fw_job *job, *other;

	bench_open(&bench);
	job = begin_text(&bench, procedure);
	give(job, "a box|plain");
	fw_job_close(job);
	assert_ok(fw_job_look(&job, bench.trail, 1, NULL, bench_clock, &bench.clock, NULL, &error));
	assert_ok(fw_trail_open(&other_trail, bench.file, FW_TRAIL_WRITE, &error));
	assert_ok(fw_job_resume(&other, other_trail, 1, NULL, bench_clock, &bench.clock, &error));
	assert_code(fw_job_amend(job, 2, "a crate", false, "y", &error),
	            FW_ERR_BUSY); /* the other has the lease */
	give(other, "0.40");
	fw_job_close(other);
	int64_t entries = bench_entries(bench.trail, 1);
	assert_code(fw_job_amend(job, 2, "a crate", false, "y", &error), FW_ERR_BUSY);
	assert_contains(error.text, "gone on");
	assert_int_equal(bench_entries(bench.trail, 1), entries);
	fw_job_close(job);
	fw_trail_close(other_trail);
	bench_close(&bench);
}

/* ---- reopening ---- */

static int reopen(struct bench *bench, const char *reason, struct fw_error *err)
{
	return fw_job_reopen(bench->trail, 1, NULL, "R. Example", reason, NULL, bench_clock,
	                     &bench->clock, err);
}

static void reopened(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	struct fw_job *job = begin_text(&bench, procedure);
	give(job, "a box|plain|0.40|0.42||rust|0.10");
	assert_code(reopen(&bench, "too early", &error), FW_ERR_STATE);
	give(job, "R. Example");
	assert_code(fw_job_amend(job, 2, "a crate", false, "y", &error), FW_ERR_STATE);
	assert_contains(error.text, "reopen");
	fw_job_close(job);
	assert_code(reopen(&bench, " ", &error), FW_ERR_ARGUMENT);
	assert_ok(reopen(&bench, "the customer's figure was wrong", &error));
	ask(&bench,
	    "SELECT json_extract(value, '$.entries') || typed || json_extract(value, '$.reason') FROM "
	    "entry WHERE "
	    "kind = 'reopen'",
	    "[11]R. Examplethe customer's figure was wrong");
	assert_sound(&bench);
	assert_code(reopen(&bench, "again", &error), FW_ERR_STATE);
	job = bench_resume(&bench, 1);
	assert_asks(job, "release"); /* the final signature is asked again */
	amend(job, "first", "a crate");
	assert_asks(job, "release");
	give(job, "R. Example");
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_true(audit.sum.released);
	assert_contains(audit.text, "opened again by R. Example: the customer's figure was wrong");
	assert_contains(audit.text, "amended from \"a box\" to \"a crate\": read wrongly");
	ask(&bench, "SELECT count(*) FROM entry WHERE kind = 'release'", "2");
	/* And once more. */
	assert_ok(reopen(&bench, "still wrong", &error));
	job = bench_resume(&bench, 1);
	assert_ok(fw_job_withdraw(job, "that was it", &error)); /* the amendment */
	assert_asks(job, "release");
	assert_stand(
	    job,
	    "first a box; way plain; found/reading 1 of 2 0.40; found/reading 2 of 2 0.42; shim ; seen "
	    "rust; left 0.10; ");
	fw_job_close(job);
	assert_sound(&bench);
	bench_close(&bench);
}

/* Nobody signs: the last answer is asked again, with what was found after it. */
static void reopened_unsigned(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};

	bench_open(&bench);
	struct fw_job *job = begin_text(
	    &bench, "return procedure { title = 'N', phases = { 'P' }, run = function()\n"
	            "  phase 'P'\n"
	            "  note { id = 'one', say = 'One?' }\n"
	            "  measure { id = 'two', say = 'Two.', unit = mm, gauge = 'micrometer' }\n"
	            "end }");
	give(job, "a|0.5");
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	assert_ok(reopen(&bench, "why", &error));
	ask(&bench, "SELECT json_extract(value, '$.entries') FROM entry WHERE kind = 'reopen'",
	    "[3,4]");
	job = bench_resume(&bench, 1);
	assert_asks(job, "two");
	amend(job, "one", "b");
	assert_asks(job, "two");
	give(job, "0.6");
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	assert_sound(&bench);
	bench_close(&bench);
}

/* ---- a record that was tampered with ---- */

static void assert_found(struct bench *bench, const char *sql, const char *finds)
{
	char copy[PATH_MAX];
	struct bench_audit audit;

	make_name(copy, bench->folder, "copy.db");
	bench_copy(bench->file, copy);
	bench_tamper(copy, sql, BENCH_SEALED);
	bench_audit(&audit, copy, 1);
	if (audit.sum.broken == 0 || !strstr(audit.text, finds))
		fail_msg("%s: the audit found\n%s\nnot \"%s\"", sql, audit.text, finds);
}

static void tampered(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};

	bench_open(&bench);
	struct fw_job *job = begin_text(&bench, procedure);
	give(job, "a box|plain|0.40|0.42||rust|0.10"); /* to entry 10 */
	amend(job, "found", "0.52");                   /* 11, lapse 12, finding 13 */
	give(job, "|dust|0.12");                       /* 14 to 17 */
	amend(job, "first", "a crate");                /* 18 to 20 */
	give(job, "R. Example");                       /* 21, 22 */
	fw_job_close(job);
	assert_ok(reopen(&bench, "why", &error)); /* 23 */
	bench_shut(&bench);
	/* An amendment of something else, or to another question. */
	assert_found(
	    &bench,
	    "UPDATE entry SET value = json_set(value, '$.amends', 4) WHERE job = 1 AND seq = 11",
	    "11 it doesn't amend an answer that stood then");
	assert_found(
	    &bench,
	    "UPDATE entry SET value = json_set(value, '$.amends', 6) WHERE job = 1 AND seq = 11",
	    "11 it doesn't amend");
	assert_found(&bench, "UPDATE entry SET step = 'way' WHERE job = 1 AND seq = 11",
	             "11 it doesn't amend");
	assert_found(
	    &bench,
	    "UPDATE entry SET value = json_set(value, '$.reason', '') WHERE job = 1 AND seq = 11",
	    "11 it doesn't amend");
	assert_found(&bench, "UPDATE entry SET typed = '0.62' WHERE job = 1 AND seq = 11",
	             "11 \"0.62\" was typed at 'found', and doesn't read as what was recorded");
	/* A lapse that lists too few, too many, the wrong ones, or anything else. */
	assert_found(&bench,
	             "UPDATE entry SET value = '{\"entries\":[7,8,9,10]}' WHERE job = 1 AND seq = 12",
	             "12 it doesn't list, in order, answers that stood then");
	assert_found(&bench,
	             "UPDATE entry SET value = '{\"entries\":[7,8,4]}' WHERE job = 1 AND seq = 12",
	             "12 it doesn't list");
	assert_found(&bench,
	             "UPDATE entry SET value = '{\"entries\":[3,7,8,9]}' WHERE job = 1 AND seq = 12",
	             "entry ");
	assert_found(&bench,
	             "UPDATE entry SET value = '{\"entries\":[7,9]}' WHERE job = 1 AND seq = 12",
	             "entry 20");
	assert_found(
	    &bench,
	    "UPDATE entry SET value = '{\"entries\":[7,8,9],\"x\":1}' WHERE job = 1 AND seq = 12",
	    "12 it doesn't list");
	/* A reopening that strikes something else, or by another name. */
	assert_found(
	    &bench,
	    "UPDATE entry SET value = json_set(value, '$.entries', json('[16,20,21]')) WHERE job = "
	    "1 AND seq = 23",
	    "23 it strikes other entries than the signatures at the end");
	assert_found(&bench, "UPDATE entry SET typed = 'A. Sample' WHERE job = 1 AND seq = 23",
	             "23 it doesn't open a released job again");
	/* A release without end. */
	assert_found(&bench,
	             "UPDATE entry SET kind = 'lapse', value = '{\"entries\":[16]}', typed = NULL "
	             "WHERE job = 1 AND seq = 23",
	             "23 it was recorded after the release");
	/* What was amended away is held against what it followed from, still. */
	assert_found(
	    &bench, "UPDATE entry SET value = replace(value, '0.41', '0.43') WHERE job = 1 AND seq = 6",
	    "6 the measurement");
	assert_found(&bench, "UPDATE entry SET typed = '0.11' WHERE job = 1 AND seq = 9",
	             "9 \"0.11\" was typed");
	bench_close(&bench);
}

/* A reading of the old stack must not pass for one of the new one: the lapse is taken out of the
 * record. */
static void lapse_left_out(void **state)
{
	(void)state;
	struct bench bench;

	bench_open(&bench);
	struct fw_job *job = begin_text(&bench, procedure);
	give(job, "a box|plain|0.40|0.42||rust|0.10");
	amend(job, "found", "0.52"); /* 11, lapse 12 of 7, 8 and 9 */
	give(job, "");               /* the task */
	fw_job_close(job);
	bench_shut(&bench);
	/* The entries of 'seen' and 'left' would fit their questions to the letter. */
	assert_found(&bench,
	             "DELETE FROM entry WHERE job = 1 AND seq = 12; UPDATE entry SET seq = seq - 1 "
	             "WHERE job = 1 AND seq > 12",
	             "entry 8 (answer seen): it belongs before work that was done since");
	assert_found(&bench, "UPDATE entry SET value = '{\"entries\":[7]}' WHERE job = 1 AND seq = 12",
	             "entry 8 ");
	bench_close(&bench);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(words_stay),        cmocka_unit_test(new_words),
	    cmocka_unit_test(other_work),        cmocka_unit_test(lapses_later),
	    cmocka_unit_test(another_order),     cmocka_unit_test(signatures_lapse),
	    cmocka_unit_test(refused),           cmocka_unit_test(procedure_fails),
	    cmocka_unit_test(gone_on),           cmocka_unit_test(reopened),
	    cmocka_unit_test(reopened_unsigned), cmocka_unit_test(tampered),
	    cmocka_unit_test(lapse_left_out),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
