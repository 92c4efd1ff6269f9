/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The demonstration's job, killed after each of its durable writes in turn: the one who goes on
 * finds all that was recorded, is asked nothing twice, and ends with the same job. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "bench.h"
#include "trail_make.h"

#define PROCEDURE   FW_TEST_SOURCE "/procedures/shaft-end-float.lua"
#define SHEET       FW_TEST_SOURCE "/demo/gearbox.lua"
#define ANSWERS     FW_TEST_SOURCE "/demo/answers.txt"
#define WRITES_MOST 512

/* The job without a fault: what it comes to, and how many entries stand after each write. */
struct reference {
	struct bench bench;
	struct bench_answers answers;
	int64_t entries[WRITES_MOST]; /* when the clock was asked for the n-th time */
	char *listing;
};

static void note_entries(struct bench_clock *clock)
{
	struct reference *r = clock->context;

	assert_true(clock->calls < WRITES_MOST);
	r->entries[clock->calls] = bench_entries(r->bench.trail, 1);
}

static void make_reference(struct reference *r)
{
	bench_open(&r->bench);
	bench_answers_read(&r->answers, ANSWERS);
	r->bench.clock.on_call = note_entries;
	r->bench.clock.context = r;
	struct fw_job *job = bench_begin(&r->bench, PROCEDURE, SHEET);
	bench_play(job, &r->answers);
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	r->entries[r->bench.clock.calls] = bench_entries(r->bench.trail, 1);
	r->listing = bench_listing(r->bench.trail, 1);
}

static void free_reference(struct reference *r)
{
	free(r->listing);
	bench_answers_free(&r->answers);
	bench_close(&r->bench);
}

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

/* In the child. No check of the test may run here: it would go on in the parent's name. */
static void play_until_death(struct bench *bench, const struct bench_answers *answers)
{
	struct fw_error error = {0};
	struct fw_job *job;
	struct fw_trail *trail;
	const struct fw_job_begin begin = {PROCEDURE, SHEET, "gearbox on the stand", "B. Hand"};

	if (fw_trail_open(&trail, bench->file, FW_TRAIL_CREATE, &error) != FW_OK ||
	    fw_job_begin(&job, trail, &begin, bench_clock, &bench->clock, &error) != FW_OK)
		_exit(2);
	for (size_t i = 0; i < answers->count; i++)
		if (bench_give(job, &answers->list[i], &error) != FW_OK)
			_exit(3);
	_exit(0); /* k beyond the last write: it ends as a program that is closed */
}

static void run_child(struct bench *bench, const struct bench_answers *answers, unsigned k)
{
	int status;

	bench->clock.on_call = die;
	bench->clock.context = &k;
	fflush(NULL);
	pid_t child = fork();
	assert_true(child >= 0);
	if (child == 0)
		play_until_death(bench, answers);
	assert_int_equal(waitpid(child, &status, 0), child);
	if (!(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL) &&
	    !(WIFEXITED(status) && WEXITSTATUS(status) == 0))
		fail_msg("write %u: the child ended with status %d", k, status);
	bench->clock.on_call = NULL;
	bench->clock.seconds += 1000; /* someone comes back a little later */
}

static void goes_on(const struct reference *r, unsigned k)
{
	struct bench bench;
	struct bench_audit audit;
	char answered[32];

	bench_open(&bench);
	bench_shut(&bench); /* the child opens it itself */
	run_child(&bench, &r->answers, k);
	bench_reopen(&bench);

	/* Nothing that was on the disk is lost, */
	assert_int_equal(bench_entries(bench.trail, 1), r->entries[k]);
	make_ask(bench.file, "SELECT count(*) FROM entry WHERE kind IN ('answer', 'sign')", answered,
	         sizeof answered);
	struct fw_job *job = k == 0 ? bench_begin(&bench, PROCEDURE, SHEET) : bench_resume(&bench, 1);
	assert_int_equal(fw_job_answered(job), atoi(answered));
	/* nothing is asked twice: each answer left is for the question asked, */
	bench_play(job, &r->answers);
	assert_null(fw_job_pending(job));
	fw_job_close(job);
	/* and the job comes to the same. */
	char *listing = bench_listing(bench.trail, 1);
	assert_string_equal(listing, r->listing);
	free(listing);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_true(audit.sum.released);
	assert_int_equal(audit.sum.entries, r->entries[r->bench.clock.calls]);
	bench_close(&bench);
}

static void killed_after_each_write(void **state)
{
	(void)state;
	struct reference r = {0};

	make_reference(&r);
	unsigned writes = r.bench.clock.calls;
	assert_true(writes > 60);
	for (unsigned k = 0; k <= writes; k++)
		goes_on(&r, k);
	printf(
	    "killed after each of %u writes (%zu answers, %lld entries): all went on to the same job\n",
	    writes, r.answers.count, (long long)r.entries[writes]);
	free_reference(&r);
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(killed_after_each_write)};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
