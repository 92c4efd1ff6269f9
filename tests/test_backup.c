/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_backup.c  The whole trail copied: while others write, to a full disk, stopped,
 * killed. */
#include "trail_place.h"

#include <dirent.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>

#include "trail/trail_internal.h"

/* All that is in a trail, in its order, as SQLite itself reads it. */
static const char content[] =
    "SELECT (SELECT group_concat(quote(job) || quote(seq) || quote(kind) || quote(step) || "
    "quote(at)"
    " || quote(who) || quote(ask) || hex(substr(typed, 1, 200)) || length(typed) || quote(value) ||"
    " hex(prev) || hex(hash)) FROM (SELECT * FROM entry ORDER BY job, seq)) ||"
    " (SELECT group_concat(hex(hash) || hex(bytes)) FROM (SELECT * FROM source ORDER BY hash))";
#define CONTENT (1 << 20)

static void assert_same_content(const char *one, const char *other)
{
	char *a = malloc(CONTENT), *b = malloc(CONTENT);

	assert_true(a && b);
	make_ask(one, content, a, CONTENT);
	make_ask(other, content, b, CONTENT);
	assert_true(strlen(a) > 1000 && strlen(a) < CONTENT - 1);
	assert_string_equal(a, b);
	free(a);
	free(b);
}

static size_t files_in(const struct place *place)
{
	DIR *folder = opendir(place->folder);
	struct dirent *item;
	size_t count = 0;

	assert_non_null(folder);
	while ((item = readdir(folder)))
		count += item->d_name[0] != '.';
	closedir(folder);
	return count;
}

static int clear(void **state)
{
	const struct place *place = *state;
	DIR *folder = opendir(place->folder);
	struct dirent *item;
	char path[PATH_MAX];

	assert_non_null(folder);
	while ((item = readdir(folder))) {
		make_name(path, place->folder, item->d_name);
		unlink(path);
	}
	closedir(folder);
	return tear_down(state);
}

#define BACKUP_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, clear)

/* A job with `count` entries of 100,000 bytes each. */
static void make_big(struct fw_trail *trail, int count)
{
	struct fw_error error = {0};
	char *text = malloc(100001);
	int64_t job = make_job(trail, "gearbox 4-200");

	assert_non_null(text);
	memset(text, 'x', 100000);
	text[100000] = '\0';
	struct fw_entry entry = make_entry("answer", make_reading_ask, text, make_reading_value);
	struct fw_entry entries[10];
	for (int i = 0; i < 10; i++)
		entries[i] = entry;
	for (int i = 0; i < count; i += 10)
		assert_ok(fw_trail_append(trail, job, 1 + i, entries, 10, NULL, &error));
	free(text);
}

static void assert_sound(const char *file)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	assert_ok(fw_trail_open(&trail, file, FW_TRAIL_READ, &error));
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
}

/* ---- copies ---- */

struct seen {
	int64_t done, all;
	int calls, stop_at;
};

static int watch(void *context, int64_t done, int64_t all)
{
	struct seen *seen = context;

	assert_true(done >= 0 && done <= all);
	seen->done = done;
	seen->all = all;
	return ++seen->calls == seen->stop_at;
}

static void a_copy_is_the_same(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE), *copy = NULL;
	struct stat status;
	char to[PATH_MAX], packed[PATH_MAX], text[32];

	make_whole_job(trail, "gearbox 4-118");
	make_whole_job(trail, "gearbox 4-119");
	make_name(to, place->folder, "copy.db");
	make_name(packed, place->folder, "packed.db");
	struct seen seen = {0};
	assert_ok(fw_trail_backup(trail, to, false, watch, &seen, &error));
	assert_true(seen.calls > 0 && seen.done == seen.all && seen.all > 1);
	assert_ok(fw_trail_backup(trail, packed, true, NULL, NULL, &error));
	assert_int_equal(files_in(place), 3);
	assert_same_content(place->file, to);
	assert_same_content(place->file, packed);
	assert_sound(to);
	assert_sound(packed);
	assert_int_equal(stat(to, &status), 0);
	assert_int_equal(status.st_mode & 0777, 0600);
	make_ask(packed, "PRAGMA integrity_check", text, sizeof text);
	assert_string_equal(text, "ok");
	make_ask(packed, "PRAGMA journal_mode", text, sizeof text);
	assert_string_equal(text, "delete");
	/* And work can go on in it. */
	assert_ok(fw_trail_open(&copy, packed, FW_TRAIL_WRITE, &error));
	make_whole_job(copy, "gearbox 4-120");
	assert_int_equal(count_flaws(copy, FW_VERIFY_ALL), 0);
	assert_string_equal(fw_trail_shop(copy), fw_trail_shop(trail));
	fw_trail_close(copy);
	fw_trail_close(trail);
}

static void from_a_reader_too(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char to[PATH_MAX];

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	trail = open_trail(place, FW_TRAIL_READ);
	make_name(to, place->folder, "copy.db");
	assert_ok(fw_trail_backup(trail, to, false, NULL, NULL, &error));
	fw_trail_close(trail);
	assert_same_content(place->file, to);
}

/* Free room, as a program that keeps to no rule could leave it, is left out of a compact copy only.
 */
static void compact_leaves_free_room_out(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct stat loose, tight;
	char to[PATH_MAX], packed[PATH_MAX];

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	assert_int_equal(make_sql(place->file, "CREATE TABLE t AS SELECT randomblob(2000000) AS b;"
	                                       "DROP TABLE t"),
	                 SQLITE_OK);
	trail = open_trail(place, FW_TRAIL_READ);
	make_name(to, place->folder, "copy.db");
	make_name(packed, place->folder, "packed.db");
	assert_ok(fw_trail_backup(trail, to, false, NULL, NULL, &error));
	assert_ok(fw_trail_backup(trail, packed, true, NULL, NULL, &error));
	fw_trail_close(trail);
	assert_int_equal(stat(to, &loose), 0);
	assert_int_equal(stat(packed, &tight), 0);
	assert_true(loose.st_size > 2000000 && tight.st_size < 500000);
	assert_same_content(to, packed);
	assert_sound(packed);
}

/* ---- while others write ---- */

/* Appends for ever, in a process of its own, and says through the pipe how far it got. */
static pid_t write_for_ever(const struct place *place, int said)
{
	pid_t pid = fork();

	if (pid != 0)
		return pid;
	struct fw_trail *trail = NULL;
	struct fw_entry entry = make_entry("answer", make_reading_ask, "again", make_reading_value);
	if (fw_trail_open(&trail, place->file, FW_TRAIL_WRITE, NULL))
		_exit(1);
	for (int64_t seq = 1;; seq++) {
		if (fw_trail_append(trail, 1, seq, &entry, 1, NULL, NULL) ||
		    write(said, &seq, sizeof seq) != (ssize_t)sizeof seq)
			_exit(2);
	}
}

static void a_writer_goes_on_all_the_time(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char name[32], to[PATH_MAX], text[32];
	int pipes[2], status;
	int64_t written = 0, held = 0;

	make_job(trail, "gearbox 4-118");
	make_big(trail, 200); /* 20 MB: more than one step, so that it is begun anew */
	assert_int_equal(pipe(pipes), 0);
	pid_t pid = write_for_ever(place, pipes[1]);
	assert_int_equal(read(pipes[0], &written, sizeof written), sizeof written);
	for (int i = 0; i < 4; i++) {
		snprintf(name, sizeof name, "copy-%d.db", i);
		make_name(to, place->folder, name);
		assert_ok(fw_trail_backup(trail, to, i == 3, NULL, NULL, &error));
		make_ask(to, "SELECT max(seq) FROM entry WHERE job = 1", text, sizeof text);
		assert_true(atoll(text) >= held); /* a later copy holds no less */
		held = atoll(text);
	}
	assert_int_equal(waitpid(pid, &status, WNOHANG), 0); /* none of its writes failed */
	kill(pid, SIGKILL);
	waitpid(pid, NULL, 0);
	close(pipes[1]);
	while (read(pipes[0], &written, sizeof written) == (ssize_t)sizeof written)
		;
	close(pipes[0]);
	print_message("the writer got to entry %lld while four copies were made\n", (long long)written);
	assert_true(written > 4 && held >= 2 && held <= written + 2);
	assert_sound(to);
	fw_trail_close(trail);
}

/* Somebody who never lets go is not waited for without end. */
static void a_locked_trail_is_not_waited_for_without_end(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	sqlite3 *other;
	char to[PATH_MAX];

	make_job(trail, "gearbox 4-118");
	make_name(to, place->folder, "copy.db");
	assert_int_equal(sqlite3_open(place->file, &other), SQLITE_OK);
	assert_int_equal(sqlite3_exec(other, "BEGIN EXCLUSIVE", NULL, NULL, NULL), SQLITE_OK);
	/* A person waits longer than the test need. */
	assert_code(fw_backup_patiently(trail, to, false, NULL, NULL, 100, &error), FW_ERR_BUSY);
	sqlite3_close(other);
	assert_int_equal(access(to, F_OK), -1);
	assert_ok(fw_trail_backup(trail, to, false, NULL, NULL, &error));
	fw_trail_close(trail);
}

/* ---- what goes wrong leaves nothing ---- */

static void a_full_disk(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct rlimit limit, small;
	struct stat status;
	char to[PATH_MAX];

	make_big(trail, 50);
	make_name(to, place->folder, "copy.db");
	assert_int_equal(stat(place->file, &status), 0);
	signal(SIGXFSZ, SIG_IGN);
	assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
	for (int part = 1; part < 4; part++) {
		small = limit;
		small.rlim_cur = (rlim_t)(status.st_size / 4 * part);
		assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
		int code = fw_trail_backup(trail, to, part == 2, NULL, NULL, &error);
		assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
		assert_int_equal(code, FW_ERR_TRAIL);
		assert_contains(error.text, "copy.db: ");
		assert_contains(error.text, "nothing was kept");
		assert_int_equal(files_in(place), 1);
	}
	/* The trail itself is as good as before. */
	make_whole_job(trail, "gearbox 4-118");
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
}

static void stopped_by_who_asked(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct seen whole = {0};
	char to[PATH_MAX];

	make_big(trail, 130);
	make_name(to, place->folder, "copy.db");
	for (int compact = 0; compact < 2; compact++) {
		for (int at = 1; at < 30; at++) {
			struct seen seen = {.stop_at = at};
			int code = fw_trail_backup(trail, to, compact, watch, &seen, &error);
			if (code == FW_OK) {
				assert_true(at > 3);
				whole = seen;
				unlink(to);
				break;
			}
			assert_int_equal(code, FW_ERR_STATE);
			assert_contains(error.text, "stopped");
			assert_int_equal(files_in(place), 1);
		}
		assert_true(whole.calls > 3);
	}
	fw_trail_close(trail);
}

/* Killed, it leaves at most a file of another name; never one of the name that was asked for. */
static void killed_at_any_moment(void **state)
{
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char to[PATH_MAX];
	int made = 0, cut = 0;

	make_big(trail, 100);
	make_name(to, place->folder, "copy.db");
	for (int i = 0; i < 24; i++) {
		const struct timespec moment = {0, (long)i * i * 150000};
		pid_t pid = fork();
		if (pid == 0) {
			struct fw_trail *mine = NULL;
			if (fw_trail_open(&mine, place->file, FW_TRAIL_READ, NULL) == FW_OK)
				fw_trail_backup(mine, to, false, NULL, NULL, NULL);
			for (;;)
				pause();
		}
		nanosleep(&moment, NULL);
		kill(pid, SIGKILL);
		waitpid(pid, NULL, 0);
		if (access(to, F_OK) == 0) {
			assert_same_content(place->file, to);
			made++;
			unlink(to);
		} else {
			cut++;
		}
	}
	print_message("killed while copying %d times; copies made before the kill: %d\n", cut, made);
	assert_true(cut > 0);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
}

static void names_that_are_no_new_file(void **state)
{
	static const struct {
		const char *name, *says;
		int code;
	} names[] = {
	    {"there", "is there already", FW_ERR_ARGUMENT},
	    {"trail.db", "is the trail itself", FW_ERR_ARGUMENT},
	    {"link.db", "is the trail itself", FW_ERR_ARGUMENT},
	    {"loose.db", "is there already", FW_ERR_ARGUMENT},
	    {"no-folder/copy.db", "No such file", FW_ERR_TRAIL},
	    {"trail.db-journal", "belongs to a trail", FW_ERR_ARGUMENT},
	    {"trail.db-benches", "belongs to a trail", FW_ERR_ARGUMENT},
	    {"stray.db", "stray.db-journal is left", FW_ERR_ARGUMENT},
	};
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char path[PATH_MAX];

	make_whole_job(trail, "gearbox 4-118");
	make_name(path, place->folder, "there");
	FILE *file = fopen(path, "w");
	fputs("of somebody else", file);
	fclose(file);
	make_name(path, place->folder, "stray.db-journal");
	fclose(fopen(path, "w"));
	make_name(path, place->folder, "link.db");
	assert_int_equal(symlink("trail.db", path), 0);
	make_name(path, place->folder, "loose.db");
	assert_int_equal(symlink("nowhere", path), 0);
	size_t files = files_in(place);
	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		make_name(path, place->folder, names[i].name);
		assert_code(fw_trail_backup(trail, path, false, NULL, NULL, &error), names[i].code);
		assert_contains(error.text, names[i].says);
		assert_int_equal(files_in(place), files);
	}
	assert_code(fw_trail_backup(trail, "", false, NULL, NULL, &error), FW_ERR_ARGUMENT);
	make_name(path, place->folder, "there");
	make_ask(place->file, "SELECT count(*) FROM entry WHERE job = 1", path, sizeof path);
	assert_string_equal(path, "16");
	fw_trail_close(trail);
}

static void a_copy_that_is_not_sound_is_not_kept(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	sqlite3 *db;
	char to[PATH_MAX];

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	assert_int_equal(sqlite3_open(place->file, &db), SQLITE_OK);
	assert_int_equal(sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_exec(db,
	                              "UPDATE entry SET typed = '17 thou' WHERE job = 1 AND seq = 5",
	                              NULL, NULL, NULL),
	                 SQLITE_OK);
	sqlite3_close(db);
	trail = open_trail(place, FW_TRAIL_READ);
	make_name(to, place->folder, "copy.db");
	for (int compact = 0; compact < 2; compact++) {
		assert_code(fw_trail_backup(trail, to, compact, NULL, NULL, &error), FW_ERR_TRAIL);
		assert_contains(error.text, "job 1, entry 5");
		assert_int_equal(files_in(place), 1);
	}
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    BACKUP_TEST(a_copy_is_the_same),
	    BACKUP_TEST(from_a_reader_too),
	    BACKUP_TEST(compact_leaves_free_room_out),
	    BACKUP_TEST(a_writer_goes_on_all_the_time),
	    BACKUP_TEST(a_locked_trail_is_not_waited_for_without_end),
	    BACKUP_TEST(a_full_disk),
	    BACKUP_TEST(stopped_by_who_asked),
	    BACKUP_TEST(killed_at_any_moment),
	    BACKUP_TEST(names_that_are_no_new_file),
	    BACKUP_TEST(a_copy_that_is_not_sound_is_not_kept),
	};

	/* In memory where there is a folder for that: none of these tests takes the power away. */
	if (access("/dev/shm", W_OK) == 0)
		setenv("TMPDIR", "/dev/shm", 0);
	return cmocka_run_group_tests(tests, NULL, NULL);
}
