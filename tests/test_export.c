/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_export.c  One job as a file of its own, read back by SQLite and by our own check. */
#include "trail_place.h"

#include <dirent.h>
#include <signal.h>
#include <sys/resource.h>

#include "trail/trail_internal.h"

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

#define EXPORT_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, clear)

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

static void attach(struct fw_trail *trail, int64_t job, const char *bytes, size_t size)
{
	struct fw_error error = {0};
	uint8_t hash[FW_HASH];
	char hex[FW_HASH_TEXT], value[256];
	int64_t seq;

	fw_trail_hash(hash, bytes, size);
	snprintf(value, sizeof value,
	         "{\"name\":\"a.jpg\",\"kind\":\"image/jpeg\",\"size\":%zu,\"hash\":\"%s\"}", size,
	         fw_hash_text(hex, hash));
	struct fw_entry entry = make_entry("evidence", NULL, "as it came out", value);
	assert_ok(fw_trail_head(trail, job, &seq, NULL, &error));
	assert_ok(fw_trail_attach(trail, job, seq, &entry, bytes, size, NULL, &error));
}

/* A job with a procedure of its own, so that sources differ between jobs. */
static int64_t make_other_job(struct fw_trail *trail)
{
	static const char procedure[] = "return procedure { title = \"Another\" }\n";
	const struct fw_source_text own[] = {{procedure, sizeof procedure - 1},
	                                     {make_sheet, sizeof make_sheet - 1}};
	struct fw_error error = {0};
	char value[1024];
	int64_t job = 0;

	make_begin_value(value, sizeof value, "axle 2", own);
	struct fw_entry begin = make_entry("begin", NULL, NULL, value);
	assert_ok(fw_trail_begin(trail, own, 2, &begin, &job, &error));
	return job;
}

/* Three jobs: 1 and 3 alike, 2 with another procedure; evidence of 1, of 2, and one that both have.
 */
static struct fw_trail *make_shop(const struct place *place)
{
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

	make_whole_job(trail, "gearbox 4-118");
	assert_int_equal(make_other_job(trail), 2);
	attach(trail, 2, "\xFF\xD8\xFF of job 2", 12);
	attach(trail, 2, "\xFF\xD8\xFF of both", 11);
	make_job(trail, "gearbox 4-119");
	attach(trail, 3, "\xFF\xD8\xFF of both", 11);
	attach(trail, 3, "\xFF\xD8\xFF of job 3", 12);
	return trail;
}

static void assert_asked(const char *file, const char *sql, const char *wanted)
{
	char *text = malloc(1 << 18);

	assert_non_null(text);
	make_ask(file, sql, text, 1 << 18);
	if (strcmp(text, wanted) != 0)
		fail_msg("%s: %s, not %s", sql, text, wanted);
	free(text);
}

/* What `sql` gives in both files. */
static void assert_alike(const char *one, const char *other, const char *sql)
{
	char *text = malloc(1 << 18);

	assert_non_null(text);
	make_ask(one, sql, text, 1 << 18);
	assert_true(strlen(text) > 20 && strlen(text) < (1 << 18) - 1);
	assert_asked(other, sql, text);
	free(text);
}

static void an_excerpt_is_the_job_and_what_it_names(void **state)
{
	static const char rows[] =
	    "SELECT group_concat(quote(job) || quote(seq) || quote(kind) || quote(step) || quote(at) ||"
	    " quote(who) || quote(ask) || quote(typed) || quote(value) || hex(prev) || hex(hash))"
	    " FROM (SELECT * FROM entry WHERE job IN (0, 2) ORDER BY job, seq)";
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = make_shop(place), *excerpt = NULL;
	char to[PATH_MAX], count[32], *bytes;
	uint8_t hash[FW_HASH];
	size_t size;

	make_name(to, place->folder, "job-2.db");
	assert_ok(fw_trail_export(trail, 2, to, &error));
	assert_int_equal(files_in(place), 2);
	assert_alike(place->file, to, rows);
	assert_alike(place->file, to,
	             "SELECT group_concat(type || name || sql) FROM (SELECT * FROM sqlite_schema WHERE "
	             "sql IS NOT NULL ORDER BY name)");
	assert_asked(to, "SELECT count(*) FROM entry WHERE job NOT IN (0, 2)", "0");
	assert_asked(to, "SELECT count(*) FROM source", "2");
	assert_asked(to, "SELECT count(*) FROM evidence", "2");
	assert_asked(to, "PRAGMA application_id", "1180137578"); /* 0x4657786A */
	assert_asked(to, "PRAGMA user_version", "2");
	assert_asked(to, "PRAGMA integrity_check", "ok");
	assert_asked(to, "PRAGMA journal_mode", "delete");
	make_ask(place->file, "SELECT count(*) FROM source", count, sizeof count);
	assert_string_equal(count, "3");

	assert_ok(fw_trail_open(&excerpt, to, FW_TRAIL_READ, &error));
	assert_int_equal(fw_trail_excerpt(excerpt), 2);
	assert_int_equal(fw_trail_excerpt(trail), 0);
	assert_string_equal(fw_trail_shop(excerpt), fw_trail_shop(trail));
	assert_int_equal(count_flaws(excerpt, FW_VERIFY_ALL), 0);
	assert_int_equal(count_flaws(excerpt, 2), 0);
	fw_trail_hash(hash, "\xFF\xD8\xFF of both", 11);
	assert_ok(fw_trail_evidence(excerpt, hash, &bytes, &size, &error));
	assert_int_equal(size, 11);
	assert_memory_equal(bytes, "\xFF\xD8\xFF of both", 11);
	free(bytes);
	fw_trail_close(excerpt);
	assert_code(fw_trail_open(&excerpt, to, FW_TRAIL_WRITE, &error), FW_ERR_TRAIL);
	assert_contains(error.text, "excerpt");
	assert_code(fw_trail_open(&excerpt, to, FW_TRAIL_CREATE, &error), FW_ERR_TRAIL);
	fw_trail_close(trail);
}

static void each_job_of_a_shop_and_an_excerpt_again(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = make_shop(place), *excerpt = NULL;
	char name[32], to[PATH_MAX], again[PATH_MAX];

	for (int64_t job = 1; job <= 3; job++) {
		snprintf(name, sizeof name, "job-%d.db", (int)job);
		make_name(to, place->folder, name);
		snprintf(name, sizeof name, "job-%d-again.db", (int)job);
		make_name(again, place->folder, name);
		assert_ok(fw_trail_export(trail, job, to, &error));
		assert_ok(fw_trail_open(&excerpt, to, FW_TRAIL_READ, &error));
		assert_int_equal(count_flaws(excerpt, FW_VERIFY_ALL), 0);
		/* An excerpt of an excerpt is the same again; so is a backup of it. */
		assert_ok(fw_trail_export(excerpt, job, again, &error));
		unlink(again);
		assert_code(fw_trail_export(excerpt, job == 1 ? 2 : 1, again, &error), FW_ERR_NOT_FOUND);
		assert_ok(fw_trail_export(excerpt, job, again, &error));
		fw_trail_close(excerpt);
		assert_ok(fw_trail_open(&excerpt, again, FW_TRAIL_READ, &error));
		assert_int_equal(count_flaws(excerpt, FW_VERIFY_ALL), 0);
		unlink(to);
		assert_ok(fw_trail_backup(excerpt, to, true, NULL, NULL, &error));
		fw_trail_close(excerpt);
	}
	fw_trail_close(trail);
}

/* A change of any column of an excerpt shows, as in a whole trail. */
static void a_changed_excerpt_shows_it(void **state)
{
	static const char *const changes[] = {
	    "UPDATE entry SET typed = '17 thou' WHERE job = 1 AND seq = 5",
	    "UPDATE entry SET who = 'A. Sample' WHERE job = 1 AND seq = 1",
	    "DELETE FROM entry WHERE job = 1 AND seq = 3",
	    "UPDATE entry SET value = '{\"id\":\"00000000000000000000000000000000\"}' WHERE job = 0",
	    "UPDATE source SET bytes = x'00' WHERE hash = (SELECT min(hash) FROM source)",
	    "DELETE FROM source WHERE hash = (SELECT max(hash) FROM source)",
	    "INSERT INTO source VALUES (randomblob(32), x'00')",
	    "INSERT INTO evidence VALUES (randomblob(32), x'00')",
	};
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = make_shop(place), *excerpt = NULL;
	char to[PATH_MAX];
	sqlite3 *db;

	make_name(to, place->folder, "job-1.db");
	for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
		assert_ok(fw_trail_export(trail, 1, to, &error));
		assert_int_equal(sqlite3_open(to, &db), SQLITE_OK);
		assert_int_equal(sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL), SQLITE_OK);
		assert_int_equal(sqlite3_exec(db, changes[i], NULL, NULL, NULL), SQLITE_OK);
		assert_int_equal(sqlite3_changes(db), 1);
		sqlite3_close(db);
		assert_ok(fw_trail_open(&excerpt, to, FW_TRAIL_READ, &error));
		size_t flaws = 0;
		assert_ok(fw_trail_verify(excerpt, FW_VERIFY_ALL, NULL, NULL, &flaws, &error));
		if (flaws == 0)
			fail_msg("not seen: %s", changes[i]);
		fw_trail_close(excerpt);
		unlink(to);
	}
	fw_trail_close(trail);
}

static void what_goes_wrong_leaves_nothing(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = make_shop(place);
	struct rlimit limit, small;
	char to[PATH_MAX];

	make_name(to, place->folder, "job.db");
	assert_code(fw_trail_export(trail, 9, to, &error), FW_ERR_NOT_FOUND);
	assert_contains(error.text, "no job 9");
	assert_code(fw_trail_export(trail, 0, to, &error), FW_ERR_ARGUMENT);
	assert_code(fw_trail_export(trail, 1, place->file, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "the trail itself");
	signal(SIGXFSZ, SIG_IGN);
	assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
	small = limit;
	small.rlim_cur = 16384;
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
	int code = fw_trail_export(trail, 1, to, &error);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
	assert_int_equal(code, FW_ERR_TRAIL);
	assert_contains(error.text, "job.db: ");
	assert_int_equal(files_in(place), 1);
	assert_ok(fw_trail_export(trail, 1, to, &error));
	assert_code(fw_trail_export(trail, 2, to, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "there already");
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
}

/* What is not sound is not handed on as if it were. */
static void a_damaged_job_is_not_excerpted(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = make_shop(place);
	char to[PATH_MAX];
	sqlite3 *db;

	fw_trail_close(trail);
	assert_int_equal(sqlite3_open(place->file, &db), SQLITE_OK);
	assert_int_equal(sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_exec(db, "UPDATE entry SET typed = 'x' WHERE job = 1 AND seq = 5",
	                              NULL, NULL, NULL),
	                 SQLITE_OK);
	sqlite3_close(db);
	trail = open_trail(place, FW_TRAIL_READ);
	make_name(to, place->folder, "job.db");
	assert_code(fw_trail_export(trail, 1, to, &error), FW_ERR_TRAIL);
	assert_contains(error.text, "job 1, entry 5");
	assert_int_equal(files_in(place), 1);
	assert_ok(fw_trail_export(trail, 2, to, &error)); /* another one is sound */
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    EXPORT_TEST(an_excerpt_is_the_job_and_what_it_names),
	    EXPORT_TEST(each_job_of_a_shop_and_an_excerpt_again),
	    EXPORT_TEST(a_changed_excerpt_shows_it),
	    EXPORT_TEST(what_goes_wrong_leaves_nothing),
	    EXPORT_TEST(a_damaged_job_is_not_excerpted),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
