/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_crash.c  A writer is killed at any moment: what it was told is recorded, is. */
#include "trail_place.h"

#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <time.h>

enum { ROUNDS = 120, CREATIONS = 60 };

/* Another moment for each round, the same in every run as far as the machine allows. */
static void wait_a_moment(unsigned *seed, long most_ns)
{
	*seed = *seed * 1103515245u + 12345u;
	struct timespec moment = {0, (long)((*seed >> 8) % (unsigned long)most_ns)};
	nanosleep(&moment, NULL);
}

static void kill_and_wait(pid_t child)
{
	int status = 0;

	kill(child, SIGKILL); /* it may have ended already */
	assert_int_equal(waitpid(child, &status, 0), child);
	assert_true(WIFSIGNALED(status) || (WIFEXITED(status) && WEXITSTATUS(status) == 0));
}

/* Appends entries typed 1, 2, 3 … behind `after` for ever, some calls two at a time; says each
 * through the pipe once the call has returned. */
static int write_for_ever(const char *file, int64_t after, int pipe)
{
	struct fw_trail *trail = NULL;
	char numbers[2][32] = {"", ""};
	struct fw_entry entries[2] = {
	    make_entry("answer", make_reading_ask, numbers[0], make_reading_value),
	    make_entry("finding", "{\"find\":\"remark\"}", numbers[1], "{\"text\":\"found\"}"),
	};

	if (fw_trail_open(&trail, file, FW_TRAIL_WRITE, NULL))
		return 1;
	for (;;) {
		size_t count = after % 3 == 0 ? 2 : 1;
		snprintf(numbers[0], sizeof numbers[0], "%lld", (long long)after + 1);
		snprintf(numbers[1], sizeof numbers[1], "%lld", (long long)after + 2);
		if (fw_trail_append(trail, 1, after, entries, count, NULL, NULL))
			return 2;
		after += (int64_t)count;
		if (write(pipe, &after, sizeof after) != (ssize_t)sizeof after)
			return 3;
	}
}

/* The last number that came through the pipe, once the writer is gone. */
static int64_t last_said(int pipe, int64_t before)
{
	int64_t said = before, number;

	while (read(pipe, &number, sizeof number) == (ssize_t)sizeof number)
		said = number;
	return said;
}

static int check_number(void *context, const struct fw_entry *e)
{
	int64_t *seen = context;
	char number[32];

	assert_int_equal(e->seq, ++*seen);
	snprintf(number, sizeof number, "%lld", (long long)e->seq);
	if (e->seq > 1)
		assert_string_equal(e->typed, number);
	return 0;
}

/* Reading never writes, so it can't take an interrupted write back: it works, or says what to do.
 */
static void look_only(const struct place *place)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	int code = fw_trail_open(&trail, place->file, FW_TRAIL_READ, &error);

	if (code) {
		assert_int_equal(code, FW_ERR_TRAIL);
		assert_contains(error.text, "open it once for writing");
	}
	fw_trail_close(trail);
}

/* Opens what the killed writer left; returns the last number recorded. */
static int64_t look(const struct place *place)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	int64_t seen = 0;
	size_t flaws = 99;

	assert_ok(fw_trail_open(&trail, place->file, FW_TRAIL_WRITE, &error));
	assert_ok(fw_trail_walk(trail, 1, check_number, &seen, &error));
	assert_ok(fw_trail_verify(trail, FW_VERIFY_ALL, NULL, NULL, &flaws, &error));
	assert_int_equal(flaws, 0);
	fw_trail_close(trail);
	return seen;
}

static void acknowledged_entries_survive(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	int64_t last = 1, acknowledged = 0;
	unsigned seed = 4118, unheard = 0, rolled_back = 0;
	char journal[PATH_MAX + 16];

	snprintf(journal, sizeof journal, "%s-journal", place->file);
	assert_ok(fw_trail_open(&trail, place->file, FW_TRAIL_CREATE, &error));
	make_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	for (int round = 0; round < ROUNDS; round++) {
		int ends[2];
		assert_int_equal(pipe(ends), 0);
		pid_t child = fork();
		assert_true(child >= 0);
		if (child == 0) {
			close(ends[0]);
			_exit(write_for_ever(place->file, last, ends[1]));
		}
		close(ends[1]);
		/* The clock of the round starts when the writer is at work, or there would be nothing to
		 * kill. */
		struct pollfd begun = {.fd = ends[0], .events = POLLIN};
		assert_int_equal(poll(&begun, 1, 20000), 1);
		wait_a_moment(&seed, 20000000);
		kill_and_wait(child);
		rolled_back += access(journal, F_OK) == 0;
		int64_t said = last_said(ends[0], last);
		close(ends[0]);
		look_only(place);
		int64_t found = look(place);
		assert_true(said > last);
		assert_true(found >= said); /* nothing acknowledged is lost */
		assert_true(found - said <=
		            2); /* and at most the call under way came on top of it, whole */
		assert_true(found == said || found - said == (said % 3 == 0 ? 2 : 1));
		unheard += found > said;
		acknowledged += said - last;
		last = found;
	}
	print_message(
	    "  %d kills, %lld entries acknowledged, none lost; %u times a journal was left, %u "
	    "times the last commit was there unheard\n",
	    ROUNDS, (long long)acknowledged, rolled_back, unheard);
}

static int create_and_begin(const char *file)
{
	struct fw_trail *trail = NULL;
	struct fw_entry begin = make_entry("begin", NULL, NULL, "{}");
	int64_t job;

	if (fw_trail_open(&trail, file, FW_TRAIL_CREATE, NULL))
		return 1;
	if (fw_trail_begin(trail, NULL, 0, &begin, &job, NULL))
		return 2;
	fw_trail_close(trail);
	return 0;
}

static void a_creation_cut_off_can_be_done_again(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	unsigned seed = 119, before = 0, half = 0, whole = 0;

	for (int round = 0; round < CREATIONS; round++) {
		struct fw_trail *trail = NULL;
		struct stat status;
		size_t flaws = 99;
		pid_t child = fork();
		assert_true(child >= 0);
		if (child == 0)
			_exit(create_and_begin(place->file));
		wait_a_moment(&seed, 6000000);
		kill_and_wait(child);
		int64_t seq = 0;
		bool there = stat(place->file, &status) == 0;
		assert_ok(fw_trail_open(&trail, place->file, FW_TRAIL_CREATE, &error));
		int code = fw_trail_head(trail, 1, &seq, NULL, NULL);
		assert_true((code == FW_OK && seq == 1) || code == FW_ERR_NOT_FOUND);
		before += !there;
		whole += code == FW_OK;
		half += there && code != FW_OK;
		assert_ok(fw_trail_verify(trail, FW_VERIFY_ALL, NULL, NULL, &flaws, &error));
		assert_int_equal(flaws, 0);
		assert_true(make_job(trail, "gearbox 4-118") >= 1);
		fw_trail_close(trail);
		make_gone(place->file);
	}
	print_message("  %d creations killed: %u before the file, %u half done, %u done\n", CREATIONS,
	              before, half, whole);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(acknowledged_entries_survive),
	    TEST(a_creation_cut_off_can_be_done_again),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
