/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_lease.c  The right to write to one job: two processes, two handles, a holder killed.
 */
#include "trail_place.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <time.h>

#include "trail/trail_internal.h"

static void beside(char path[PATH_MAX + 16], const struct place *place)
{
	snprintf(path, PATH_MAX + 16, "%s-benches", place->file);
}

static int clear(void **state)
{
	struct place *place = *state;
	char path[PATH_MAX + 16];

	beside(path, place);
	if (unlink(path) != 0)
		rmdir(path);
	return tear_down(state);
}

#define LEASE_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, clear)

/* ---- another process ---- */

struct other {
	pid_t pid;
	int from; /* what it says */
};

/* A process that holds the lease of `job` until it is killed, and says so through a pipe. */
static struct other hold_elsewhere(const struct place *place, int64_t job, const char *who)
{
	int pipes[2];
	char said = '-';

	assert_int_equal(pipe(pipes), 0);
	struct other other = {fork(), pipes[0]};
	if (other.pid == 0) {
		struct fw_trail *trail = NULL;
		struct fw_lease *lease = NULL;
		bool got = fw_trail_open(&trail, place->file, FW_TRAIL_WRITE, NULL) == FW_OK &&
		           fw_lease_take(&lease, trail, job, who, NULL) == FW_OK;
		if (write(pipes[1], got ? "y" : "n", 1) == 1)
			for (;;)
				pause();
		_exit(1);
	}
	close(pipes[1]);
	assert_int_equal(read(pipes[0], &said, 1), 1);
	assert_int_equal(said, 'y');
	return other;
}

static void end_at_once(const struct other *other)
{
	assert_int_equal(kill(other->pid, SIGKILL), 0);
	assert_int_equal(waitpid(other->pid, NULL, 0), other->pid);
	close(other->from);
}

static void two_processes_exclude_each_other(void **state)
{
	struct fw_error error = {0};
	struct fw_lease *lease = NULL;
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	char host[128] = "", wanted[256];

	gethostname(host, sizeof host - 1);
	make_job(trail, "gearbox 4-118");
	make_job(trail, "gearbox 4-119");
	struct other other = hold_elsewhere(*state, 2, "R. Example");
	assert_code(fw_lease_take(&lease, trail, 2, "A. Sample", &error), FW_ERR_BUSY);
	assert_null(lease);
	snprintf(wanted, sizeof wanted,
	         "job 2 is being worked on by R. Example on host %s (process %d) since ", host,
	         (int)other.pid);
	assert_contains(error.text, wanted);
	/* The other job is free. */
	assert_ok(fw_lease_take(&lease, trail, 1, "A. Sample", &error));
	fw_lease_free(lease);
	end_at_once(&other);
	fw_trail_close(trail);
}

/* However it ends: the system itself gives the lock back, there is no time to wait out. */
static void a_killed_holder_frees_at_once(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);

	for (int i = 0; i < 25; i++) {
		struct fw_lease *lease = NULL;
		struct other other = hold_elsewhere(*state, 1, "R. Example");
		assert_code(fw_lease_take(&lease, trail, 1, "A. Sample", &error), FW_ERR_BUSY);
		end_at_once(&other);
		assert_ok(fw_lease_take(&lease, trail, 1, "A. Sample", &error));
		fw_lease_free(lease);
	}
	fw_trail_close(trail);
}

/* What a killed holder wrote down is not taken for that of the one who has it now. */
static void a_name_left_by_a_crash_is_not_shown(void **state)
{
	struct fw_error error = {0};
	struct fw_lease *mine = NULL, *second = NULL, *third = NULL;
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct other other = hold_elsewhere(*state, 5, "R. Example");

	/* Keeps the second slot, so that the next holder of job 5 gets another one than the killed. */
	assert_ok(fw_lease_take(&mine, trail, 6, "A. Sample", &error));
	end_at_once(&other);
	assert_ok(fw_lease_take(&second, trail, 7, "A. Sample", &error));
	struct other next = hold_elsewhere(*state, 5, "B. Specimen");
	assert_code(fw_lease_take(&third, trail, 5, "A. Sample", &error), FW_ERR_BUSY);
	assert_contains(error.text, "B. Specimen");
	end_at_once(&next);
	fw_lease_free(mine);
	fw_lease_free(second);
	fw_trail_close(trail);
}

/* Of processes that all want it at the same moment exactly one gets it, each time. */
static void of_many_one_gets_it(void **state)
{
	enum { MANY = 8, ROUNDS = 20 };
	const struct place *place = *state;

	fw_trail_close(open_trail(place, FW_TRAIL_CREATE));
	for (int round = 0; round < ROUNDS; round++) {
		int start[2], said[2], got = 0;
		pid_t pids[MANY];
		assert_int_equal(pipe(start), 0);
		assert_int_equal(pipe(said), 0);
		for (int i = 0; i < MANY; i++) {
			pids[i] = fork();
			if (pids[i] == 0) {
				struct fw_trail *trail = NULL;
				struct fw_lease *lease = NULL;
				char go;
				close(start[1]);
				if (fw_trail_open(&trail, place->file, FW_TRAIL_WRITE, NULL) ||
				    read(start[0], &go, 1) != 0)
					_exit(2);
				int code = fw_lease_take(&lease, trail, 1, "one of many", NULL);
				if (write(said[1], code == FW_OK ? "y" : code == FW_ERR_BUSY ? "n" : "?", 1) != 1)
					_exit(3);
				for (;;)
					pause();
			}
		}
		close(start[0]);
		close(start[1]); /* all go */
		for (int i = 0; i < MANY; i++) {
			char answer = '-';
			assert_int_equal(read(said[0], &answer, 1), 1);
			assert_int_not_equal(answer, '?');
			got += answer == 'y';
		}
		assert_int_equal(got, 1);
		for (int i = 0; i < MANY; i++) {
			kill(pids[i], SIGKILL);
			waitpid(pids[i], NULL, 0);
		}
		close(said[0]);
		close(said[1]);
	}
}

/* ---- one process ---- */

static void two_handles_exclude_each_other(void **state)
{
	struct fw_error error = {0};
	struct fw_lease *one = NULL, *two = NULL;
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_trail *again = open_trail(*state, FW_TRAIL_WRITE);

	assert_ok(fw_lease_take(&one, trail, 3, "R. Example", &error));
	assert_code(fw_lease_take(&two, again, 3, "A. Sample", &error), FW_ERR_BUSY);
	assert_contains(error.text, "R. Example");
	/* Nor does one handle get it twice: it may be in the hands of two threads by turns. */
	assert_code(fw_lease_take(&two, trail, 3, "A. Sample", &error), FW_ERR_BUSY);
	/* Closing what was refused must not give back what is held, as with fcntl's older locks. */
	assert_code(fw_lease_take(&two, again, 3, "A. Sample", &error), FW_ERR_BUSY);
	fw_lease_free(one);
	assert_ok(fw_lease_take(&two, again, 3, "A. Sample", &error));
	fw_lease_free(two);
	fw_lease_free(NULL);
	fw_trail_close(again);
	fw_trail_close(trail);
}

static void many_jobs_at_once(void **state)
{
	enum { MANY = 300 }; /* more than there is room for names */
	struct fw_error error = {0};
	struct fw_lease *leases[MANY], *other = NULL;
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct stat status;
	char path[PATH_MAX + 16], who[32];
	size_t named = 0;

	for (int i = 0; i < MANY; i++) {
		snprintf(who, sizeof who, "bench %d of many", i);
		assert_ok(fw_lease_take(&leases[i], trail, 1 + i, who, &error));
	}
	for (int i = 0; i < MANY; i += 37) {
		assert_code(fw_lease_take(&other, trail, 1 + i, "A. Sample", &error), FW_ERR_BUSY);
		snprintf(who, sizeof who, "bench %d of many", i);
		named += strstr(error.text, who) != NULL;
		assert_true(strstr(error.text, who) || strstr(error.text, "in another program"));
	}
	assert_true(named >= 4);
	/* Numbers of jobs don't make the file grow. */
	assert_ok(fw_lease_take(&other, trail, INT64_C(4000000000000), "A. Sample", &error));
	beside(path, *state);
	assert_int_equal(stat(path, &status), 0);
	assert_true(status.st_size <= 128 * 512);
	fw_lease_free(other);
	for (int i = 0; i < MANY; i++)
		fw_lease_free(leases[i]);
	fw_trail_close(trail);
}

static void through_a_link_it_is_the_same_job(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_lease *one = NULL, *two = NULL;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE), *linked = NULL;
	char name[PATH_MAX];

	make_name(name, place->folder, "link.db");
	assert_int_equal(symlink("trail.db", name), 0);
	assert_ok(fw_trail_open(&linked, name, FW_TRAIL_WRITE, &error));
	assert_ok(fw_lease_take(&one, trail, 1, "R. Example", &error));
	assert_code(fw_lease_take(&two, linked, 1, "A. Sample", &error), FW_ERR_BUSY);
	fw_lease_free(one);
	fw_trail_close(linked);
	fw_trail_close(trail);
	unlink(name);
}

/* ---- where none can be taken ---- */

static void work_is_refused_and_reading_is_not(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_lease *one = NULL, *two = NULL;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct fw_trail *reader = open_trail(place, FW_TRAIL_READ);
	char path[PATH_MAX + 16];

	beside(path, place);
	assert_int_equal(mkdir(path, 0700), 0); /* stands for a folder that can't be written to */
	assert_code(fw_lease_take(&one, trail, 1, "R. Example", &error), FW_ERR_TRAIL);
	assert_contains(error.text, "trail.db-benches who works on which job");
	assert_code(fw_lease_possible(trail, &error), FW_ERR_TRAIL);
	assert_ok(fw_lease_possible(reader, &error));
	assert_ok(fw_lease_take(&one, reader, 1, "R. Example", &error));
	assert_ok(fw_lease_take(&two, reader, 1, "A. Sample", &error));
	fw_lease_free(one);
	fw_lease_free(two);
	assert_int_equal(rmdir(path), 0);
	/* Readers make no file. */
	assert_int_not_equal(access(path, F_OK), 0);
	assert_ok(fw_lease_possible(trail, &error));
	fw_trail_close(reader);
	fw_trail_close(trail);
}

static void odd_files_beside_are_no_trap(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_lease *one = NULL, *two = NULL;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char path[PATH_MAX + 16];

	beside(path, place);
	assert_int_equal(mkfifo(path, 0600), 0);
	assert_code(fw_lease_take(&one, trail, 1, "R. Example", &error), FW_ERR_TRAIL);
	unlink(path);
	assert_int_equal(symlink("/dev/zero", path), 0);
	assert_code(fw_lease_take(&one, trail, 1, "R. Example", &error), FW_ERR_TRAIL);
	unlink(path);
	/* Names in it are shown harmless, whoever wrote them. */
	assert_ok(fw_lease_take(&one, trail, 1, "R. Example", &error));
	int file = open(path, O_RDWR);
	static const char forged[] = "1\n7\nho\033]0;st\n2026-03-05T14:03:11.250Z\n\033[2J\xff who\n";
	assert_int_equal(pwrite(file, forged, sizeof forged, 0), sizeof forged);
	assert_code(fw_lease_take(&two, trail, 1, "A. Sample", &error), FW_ERR_BUSY);
	assert_contains(error.text, "since 2026-03-05 14:03 UTC");
	assert_null(strchr(error.text, 033));
	for (int i = 0; i < 512; i++)
		assert_int_equal(pwrite(file, "\x80", 1, i), 1);
	assert_code(fw_lease_take(&two, trail, 1, "A. Sample", &error), FW_ERR_BUSY);
	assert_contains(error.text, "in another program");
	close(file);
	fw_lease_free(one);
	fw_trail_close(trail);
}

static void no_such_job(void **state)
{
	struct fw_error error = {0};
	struct fw_lease *lease = NULL;
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);

	assert_code(fw_lease_take(&lease, trail, -1, "R. Example", &error), FW_ERR_ARGUMENT);
	assert_code(fw_lease_take(&lease, trail, INT64_MAX, "R. Example", &error), FW_ERR_ARGUMENT);
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    LEASE_TEST(two_processes_exclude_each_other),
	    LEASE_TEST(a_killed_holder_frees_at_once),
	    LEASE_TEST(a_name_left_by_a_crash_is_not_shown),
	    LEASE_TEST(of_many_one_gets_it),
	    LEASE_TEST(two_handles_exclude_each_other),
	    LEASE_TEST(many_jobs_at_once),
	    LEASE_TEST(through_a_link_it_is_the_same_job),
	    LEASE_TEST(work_is_refused_and_reading_is_not),
	    LEASE_TEST(odd_files_beside_are_no_trap),
	    LEASE_TEST(no_such_job),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
