/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job with amendments, steps back and a reopening, killed after each of its durable writes in
 * turn: whoever goes on finds all that was recorded, an amendment whole or not at all, and ends
 * with the same job. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "bench.h"
#include "trail_make.h"

#define WRITES_MOST 128

static const char procedure[] =
    "return procedure { title = 'Pump', phases = { 'One' }, run = function()\n"
    "  phase 'One'\n"
    "  local way = choose { id = 'way', say = 'Which way?', options = { 'plain', 'words' } }\n"
    "  local more = way == 'words' and choose { id = 'more', say = 'More?', options = { 'no', "
    "'work' } }\n"
    "  local found = measure { id = 'found', say = 'Read.', unit = mm, gauge = 'dial indicator' }\n"
    "  if more == 'work' then task { id = 'strip', say = 'Strip it again.' } end\n"
    "  task { id = 'shim', say = 'Fit what makes up for ' .. tostring(found) .. '.' }\n"
    "  note { id = 'seen', say = 'What did you see?' }\n"
    "  measure { id = 'left', say = 'Read again.', unit = mm, gauge = 'dial indicator' }\n"
    "  sign { id = 'release', role = 'technician' }\n"
    "end }\n";

/* What is done, one after the other: 'a' answers, 'm' amends the answer of a step, 'b' takes back,
 * 'r' opens the released job again. */
static const struct op {
	char what;
	const char *step, *typed;
} ops[] = {
    {'a', NULL, "plain"},
    {'a', NULL, "0.40"},
    {'a', NULL, ""},
    {'a', NULL, "rust"},
    {'a', NULL, "0.10"},
    {'m', "way", "words"},
    {'a', NULL, "work"},
    {'b', NULL, NULL},
    {'a', NULL, "no"},
    {'b', NULL, NULL},
    {'a', NULL, "work"},
    {'a', NULL, ""},
    {'b', NULL, NULL},
    {'b', NULL, NULL},
    {'b', NULL, NULL},
    {'m', "found", "0.50"},
    {'b', NULL, NULL},
    {'m', "left", "0.12"},
    {'m', "found", "0.60"},
    {'a', NULL, ""},
    {'a', NULL, "dust"},
    {'a', NULL, "0.08"},
    {'a', NULL, "B. Hand"},
    {'r', NULL, NULL},
    {'m', "way", "words"},
    {'a', NULL, "no"},
    {'a', NULL, "B. Hand"},
    {'r', NULL, NULL},
    {'m', "seen", "dust, dry"},
    {'a', NULL, "B. Hand"},
};
#define OPS (sizeof ops / sizeof *ops)

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

static int amend(struct fw_job *job, const struct op *op, struct fw_error *err)
{
	struct seek seek = {op->step, 0};
	int code = fw_job_given(job, seek_one, &seek, err);

	return code ? code : fw_job_amend(job, seek.seq, op->typed, false, "read wrongly", err);
}

static int reopen(struct bench *bench, struct fw_trail *trail, struct fw_job **job,
                  struct fw_error *err)
{
	fw_job_close(*job);
	*job = NULL;
	int code =
	    fw_job_reopen(trail, 1, NULL, "B. Hand", "by hand", NULL, bench_clock, &bench->clock, err);

	return code ? code : fw_job_resume(job, trail, 1, NULL, bench_clock, &bench->clock, err);
}

static int carry_out(struct bench *bench, struct fw_trail *trail, struct fw_job **job,
                     const struct op *op, struct fw_error *err)
{
	switch (op->what) {
	case 'a':
		return fw_job_answer(*job, op->typed, false, err);
	case 'm':
		return amend(*job, op, err);
	case 'b':
		return fw_job_withdraw(*job, "by hand", err);
	default:
		return reopen(bench, trail, job, err);
	}
}

static int begin(struct bench *bench, struct fw_trail *trail, struct fw_job **job,
                 struct fw_error *err)
{
	char path[PATH_MAX];
	const struct fw_job_begin facts = {path, NULL, "pump", "B. Hand"};

	make_name(path, bench->folder, "procedure.lua");
	return fw_job_begin(job, trail, &facts, bench_clock, &bench->clock, err);
}

/* ---- the job without a fault ---- */

struct reference {
	struct bench bench;
	size_t now;             /* the operation that goes on; 0: the beginning */
	size_t op[WRITES_MOST]; /* the operation that made the n-th write, from 1 */
	char *after[OPS + 1];   /* the record after each operation */
};

static void note_op(struct bench_clock *clock)
{
	struct reference *r = clock->context;

	assert_true(clock->calls + 1 < WRITES_MOST);
	r->op[clock->calls + 1] = r->now;
}

/* The identity of the shop is made at random. */
static char *listing(const struct bench *bench)
{
	char *text = bench_listing(bench->trail, 1);
	char *line = strchr(text, '\n');

	memmove(text, line + 1, strlen(line));
	return text;
}

static void make_reference(struct reference *r)
{
	struct fw_error error = {0};
	struct fw_job *job;
	char path[PATH_MAX];

	bench_open(&r->bench);
	bench_write(&r->bench, "procedure.lua", procedure, path);
	r->bench.clock.on_call = note_op;
	r->bench.clock.context = r;
	assert_ok(begin(&r->bench, r->bench.trail, &job, &error));
	r->after[0] = listing(&r->bench);
	for (r->now = 1; r->now <= OPS; r->now++) {
		assert_ok(carry_out(&r->bench, r->bench.trail, &job, &ops[r->now - 1], &error));
		r->after[r->now] = listing(&r->bench);
	}
	assert_null(fw_job_pending(job));
	fw_job_close(job);
}

/* ---- killed ---- */

/* The clock is asked just before each write: at call `k`, `k` writes are on the disk. */
static void die(struct bench_clock *clock)
{
	const unsigned *k = clock->context;

	if (clock->calls != *k)
		return;
	if (*k % 2)
		raise(SIGKILL);
	_exit(0);
}

/* In the child: no check of the test may run here. */
static void play_until_death(struct bench *bench)
{
	struct fw_error error = {0};
	struct fw_trail *trail;
	struct fw_job *job;

	if (fw_trail_open(&trail, bench->file, FW_TRAIL_WRITE, &error) != FW_OK ||
	    begin(bench, trail, &job, &error) != FW_OK)
		_exit(2);
	for (size_t i = 0; i < OPS; i++)
		if (carry_out(bench, trail, &job, &ops[i], &error) != FW_OK)
			_exit(3);
	_exit(0);
}

static void run_child(struct bench *bench, unsigned k)
{
	int status;

	bench->clock.on_call = die;
	bench->clock.context = &k;
	fflush(NULL);
	pid_t child = fork();
	assert_true(child >= 0);
	if (child == 0)
		play_until_death(bench);
	assert_int_equal(waitpid(child, &status, 0), child);
	if (!(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL) &&
	    !(WIFEXITED(status) && WEXITSTATUS(status) == 0))
		fail_msg("write %u: the child ended with status %d", k, status);
	bench->clock.on_call = NULL;
	bench->clock.seconds += 1000;
}

static void goes_on(const struct reference *r, unsigned k)
{
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};
	char path[PATH_MAX];

	bench_open(&bench);
	bench_write(&bench, "procedure.lua", procedure, path);
	bench_shut(&bench); /* the child opens it itself */
	run_child(&bench, k);
	bench_reopen(&bench);
	/* As it lies there it is sound, */
	bench_audit_sound(&audit, bench.trail, 1);
	/* whoever resumes it finds the operation whose first write was made, whole, */
	struct fw_job *job = bench_resume(&bench, 1);
	char *text = listing(&bench);
	if (strcmp(text, r->after[r->op[k]]) != 0)
		fail_msg("write %u, operation %zu: resumed to\n%snot\n%s", k, r->op[k], text,
		         r->after[r->op[k]]);
	free(text);
	/* and the rest comes to the same. */
	for (size_t i = r->op[k]; i < OPS; i++)
		assert_ok(carry_out(&bench, bench.trail, &job, &ops[i], &error));
	fw_job_close(job);
	text = listing(&bench);
	assert_string_equal(text, r->after[OPS]);
	free(text);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_true(audit.sum.released);
	bench_close(&bench);
}

static void killed_after_each_write(void **state)
{
	(void)state;
	struct reference r = {0};

	make_reference(&r);
	unsigned writes = r.bench.clock.calls;
	assert_true(writes > OPS);
	for (unsigned k = 1; k <= writes; k++)
		goes_on(&r, k);
	printf("killed after each of %u writes of %zu operations (%lld entries): all went on to the "
	       "same job\n",
	       writes, OPS, (long long)bench_entries(r.bench.trail, 1));
	for (size_t i = 0; i <= OPS; i++)
		free(r.after[i]);
	bench_close(&r.bench);
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(killed_after_each_write)};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
