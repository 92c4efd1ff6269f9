/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_benches.c  Several benches on one trail, each at its own job, while others read it
 * and a backup is made. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "bench.h"
#include "trail_make.h"

#define PROCEDURE FW_TEST_SOURCE "/procedures/shaft-end-float.lua"
#define SHEET     FW_TEST_SOURCE "/demo/gearbox.lua"
#define ANSWERS   FW_TEST_SOURCE "/demo/answers.txt"

enum { BENCHES = 4, JOBS = 2 };

/* A process that asserts nothing by cmocka says what went wrong, and ends. */
static void must(int code, const struct fw_error *error, int line)
{
	if (code == FW_OK)
		return;
	fprintf(stderr, "process %d, line %d: %d: %s\n", (int)getpid(), line, code, error->text);
	_exit(1);
}

#define MUST(call) must((call), &error, __LINE__)

/* One job from its beginning to its release, its photo attached half way; closed and resumed once.
 * By the system's clock: processes with a clock of their own each would drift apart, and a job that
 * seems to begin long before the one ahead of it is one whose clock was set back. */
static void work(struct fw_trail *trail, const struct bench_answers *answers, int number)
{
	const char *photo = getenv("FW_TEST_PHOTO");
	struct fw_error error = {0};
	struct fw_job *job;
	char unit[32], who[32];

	snprintf(unit, sizeof unit, "gearbox %d", number);
	snprintf(who, sizeof who, "Bench %d", number);
	const struct fw_job_begin begin = {PROCEDURE, SHEET, unit, who};
	MUST(fw_job_begin(&job, trail, &begin, NULL, NULL, &error));
	for (size_t i = 0; i < answers->count; i++) {
		if (i == answers->count / 2) {
			int64_t job_number = fw_job_number(job);
			MUST(fw_job_attach(job, photo, "half way", &error));
			fw_job_close(job);
			MUST(fw_job_resume(&job, trail, job_number, NULL, NULL, NULL, &error));
		}
		MUST(bench_give(job, &answers->list[i], &error));
	}
	if (fw_job_pending(job)) {
		fprintf(stderr, "bench %d: not at the end\n", number);
		_exit(1);
	}
	fw_job_close(job);
}

static pid_t start_bench(const struct bench *bench, const struct bench_answers *answers, int number)
{
	pid_t pid = fork();

	if (pid != 0)
		return pid;
	struct fw_error error = {0};
	struct fw_trail *trail;
	MUST(fw_trail_open(&trail, bench->file, FW_TRAIL_WRITE, &error));
	for (int i = 0; i < JOBS; i++)
		work(trail, answers, number);
	fw_trail_close(trail);
	_exit(0);
}

static int count_line(void *context, const struct fw_job_line *line)
{
	(void)line;
	++*(size_t *)context;
	return 0;
}

/* Reads and checks the trail over and over: never anything unsound, never fewer jobs than before.
 */
static pid_t start_reader(const struct bench *bench)
{
	pid_t pid = fork();
	size_t before = 0, flaws;

	if (pid != 0)
		return pid;
	for (;;) {
		struct fw_error error = {0};
		struct fw_trail *trail;
		size_t jobs = 0;
		MUST(fw_trail_open(&trail, bench->file, FW_TRAIL_READ, &error));
		MUST(fw_trail_jobs(trail, count_line, &jobs, &error));
		MUST(fw_trail_verify(trail, FW_VERIFY_ALL, NULL, NULL, &flaws, &error));
		fw_trail_close(trail);
		if (jobs < before || flaws > 0) {
			fprintf(stderr, "reader: %zu jobs after %zu, %zu flaws\n", jobs, before, flaws);
			_exit(1);
		}
		before = jobs;
	}
}

static void end_reader(pid_t pid)
{
	int status = 0;

	kill(pid, SIGTERM);
	assert_int_equal(waitpid(pid, &status, 0), pid);
	assert_true(WIFSIGNALED(status) && WTERMSIG(status) == SIGTERM);
}

/* Copies the trail while they work; each copy is sound by itself. */
static size_t back_up_until(struct bench *bench, int *working)
{
	struct fw_error error = {0};
	size_t copies = 0;
	int status;
	pid_t pid;

	while (*working > 0) {
		char name[32], to[PATH_MAX];
		snprintf(name, sizeof name, "copy-%zu.db", copies);
		make_name(to, bench->folder, name);
		assert_ok(fw_trail_backup(bench->trail, to, false, NULL, NULL, &error));
		copies++;
		while (*working > 0 && (pid = waitpid(-1, &status, WNOHANG)) > 0) {
			assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
			--*working;
		}
	}
	return copies;
}

static void each_at_its_own_job(void **state)
{
	struct bench bench;
	struct bench_answers answers;
	struct bench_audit audit;
	char photo[PATH_MAX], count[32], size[32];
	int working = BENCHES;

	(void)state;
	bench_open(&bench);
	bench_answers_read(&answers, ANSWERS);
	bench_write(&bench, "photo.jpg", "\xFF\xD8\xFF\xE0 a photo", photo);
	setenv("FW_TEST_PHOTO", photo, 1);
	pid_t reader = start_reader(&bench);
	for (int i = 0; i < BENCHES; i++)
		assert_true(start_bench(&bench, &answers, i + 1) > 0);
	size_t copies = back_up_until(&bench, &working);
	end_reader(reader);
	bench_reopen(&bench);

	make_ask(bench.file, "SELECT count(DISTINCT job) FROM entry WHERE job > 0", count,
	         sizeof count);
	assert_int_equal(atoi(count), BENCHES * JOBS);
	make_ask(bench.file,
	         "SELECT count(DISTINCT n) FROM (SELECT count(*) AS n FROM entry WHERE job > 0 "
	         "GROUP BY job)",
	         size, sizeof size);
	assert_int_equal(atoi(size), 1); /* no job has an entry of another, or lacks one */
	make_ask(bench.file,
	         "SELECT count(DISTINCT who) FROM entry WHERE job > 0 GROUP BY job ORDER BY 1 DESC",
	         size, sizeof size);
	assert_int_equal(atoi(size), 1);
	make_ask(bench.file, "SELECT count(*) FROM evidence", size, sizeof size);
	assert_int_equal(atoi(size), 1); /* one photo, named by all */
	assert_int_equal(bench_flaws(bench.file, FW_VERIFY_ALL), 0);
	for (int64_t job = 1; job <= BENCHES * JOBS; job++) {
		bench_audit_sound(&audit, bench.trail, job);
		assert_true(audit.sum.released);
	}
	print_message("%d benches, %d jobs each, beside a reader: %zu sound copies meanwhile\n",
	              BENCHES, JOBS, copies);
	assert_true(copies > 0);
	bench_answers_free(&answers);
	bench_close(&bench);
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(each_at_its_own_job)};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
