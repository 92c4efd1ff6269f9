/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_trail_file.c  The file itself: its guards, its place, files that are none, its views.
 */
#include "trail_place.h"

#include <signal.h>
#include <sys/resource.h>

/* ---- append-only ---- */

static void plain_sql_is_refused(void **state)
{
	static const char *const attempts[] = {
	    "UPDATE entry SET typed = 'x'",
	    "UPDATE OR IGNORE entry SET typed = 'x' WHERE seq = 2",
	    "UPDATE OR REPLACE entry SET seq = 3 WHERE seq = 2",
	    "DELETE FROM entry",
	    "DELETE FROM entry WHERE job = 1 AND seq = 16",
	    "INSERT OR REPLACE INTO entry SELECT job, seq, kind, step, at, who, ask, 'x', value, prev, "
	    "hash"
	    " FROM entry WHERE seq = 2",
	    "REPLACE INTO entry SELECT job, seq, kind, step, at, who, ask, 'x', value, prev, hash FROM "
	    "entry",
	    "PRAGMA recursive_triggers = OFF; REPLACE INTO entry SELECT job, seq, kind, step, at, 'x', "
	    "ask,"
	    " typed, value, prev, hash FROM entry WHERE seq = 16",
	    "INSERT INTO entry SELECT * FROM entry WHERE true ON CONFLICT DO UPDATE SET typed = 'x'",
	    "UPDATE source SET bytes = x'00'",
	    "DELETE FROM source",
	    "REPLACE INTO source SELECT hash, x'00' FROM source",
	    "INSERT INTO entry SELECT 1, 'x', kind, NULL, at, who, ask, typed, value, prev, hash"
	    " FROM entry WHERE seq = 2",
	    "INSERT INTO entry SELECT 1, 17, kind, NULL, at, who, ask, typed, value, prev, x'00'"
	    " FROM entry WHERE seq = 2",
	};
	static const char digest[] =
	    "SELECT group_concat(job || seq || kind || at || who || coalesce(typed, '-') || hex(hash)) "
	    "||"
	    " (SELECT group_concat(hex(hash) || hex(bytes)) FROM source) FROM entry";
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char before[32768], after[32768];

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	make_ask(place->file, digest, before, sizeof before);
	for (size_t i = 0; i < sizeof attempts / sizeof *attempts; i++) {
		int code = make_sql(place->file, attempts[i]);
		if (code != SQLITE_CONSTRAINT)
			fail_msg("%s: gave %d", attempts[i], code);
		make_ask(place->file, digest, after, sizeof after);
		assert_string_equal(after, before);
	}
	trail = open_trail(place, FW_TRAIL_READ);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
}

static void a_schema_changed_meanwhile_is_noticed(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct fw_entry e = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");

	make_job(trail, "gearbox 4-118");
	assert_int_equal(make_sql(place->file, "CREATE TRIGGER extra AFTER INSERT ON entry "
	                                       "BEGIN SELECT 1; END"),
	                 SQLITE_OK);
	assert_code(fw_trail_append(trail, 1, 1, &e, 1, NULL, &error), FW_ERR_TRAIL);
	assert_contains(error.text, "'extra' does not belong");
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 1);
	assert_int_equal(make_sql(place->file, "DROP TRIGGER extra"), SQLITE_OK);
	assert_ok(fw_trail_append(trail, 1, 1, &e, 1, NULL, &error));
	fw_trail_close(trail);
}

/* ---- files that are none, and files from strangers ---- */

static void assert_refused(const struct place *place, int code, const char *says)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	for (int mode = FW_TRAIL_READ; mode <= FW_TRAIL_WRITE; mode++) {
		assert_code(fw_trail_open(&trail, place->file, (enum fw_trail_mode)mode, &error), code);
		assert_contains(error.text, says);
		assert_null(trail);
	}
}

static void put_file(const struct place *place, const void *bytes, size_t size)
{
	FILE *f = fopen(place->file, "wb");

	assert_non_null(f);
	assert_int_equal(fwrite(bytes, 1, size, f), size);
	fclose(f);
}

static void no_trail_is_said_to_be_none(void **state)
{
	static const char words[] =
	    "These are the notes of a person, not a trail at all. They are longer "
	    "than the hundred bytes that a header has.";
	const struct place *place = *state;
	struct place other = *place;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	assert_refused(place, FW_ERR_NOT_FOUND, "there is no trail");
	put_file(place, "", 0);
	assert_refused(place, FW_ERR_TRAIL, "empty file");
	put_file(place, words, sizeof words);
	assert_refused(place, FW_ERR_TRAIL, "not a trail");
	assert_code(fw_trail_open(&trail, place->file, FW_TRAIL_CREATE, &error), FW_ERR_TRAIL);
	put_file(place, "short", 5);
	assert_refused(place, FW_ERR_TRAIL, "not a trail");
	make_gone(place->file);
	assert_int_equal(make_sql(place->file, "CREATE TABLE t (a)"), SQLITE_OK);
	assert_refused(place, FW_ERR_TRAIL, "another program");
	memcpy(other.file, place->folder, sizeof other.file);
	assert_refused(&other, FW_ERR_TRAIL, "is a folder");
	assert_code(fw_trail_open(&trail, "", FW_TRAIL_CREATE, &error), FW_ERR_ARGUMENT);
	assert_code(fw_trail_open(&trail, "/dev/null", FW_TRAIL_READ, &error), FW_ERR_TRAIL);
	if (geteuid() != 0) { /* root may read everything */
		assert_int_equal(chmod(place->file, 0), 0);
		assert_refused(place, FW_ERR_TRAIL, "permissions");
	}
}

static void an_empty_file_can_be_made_a_trail(void **state)
{
	put_file(*state, "", 0); /* what a creation interrupted early leaves */
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);

	assert_int_equal(make_job(trail, "gearbox 4-118"), 1);
	fw_trail_close(trail);
}

static void changed_trails_are_refused(void **state)
{
	static const struct {
		const char *change, *says, *back;
	} cases[] = {
	    {"PRAGMA user_version = 3", "use a newer one", "PRAGMA user_version = 2"},
	    {"PRAGMA user_version = 0", "no format number", "PRAGMA user_version = 2"},
	    {"PRAGMA application_id = 7", "another program", "PRAGMA application_id = 1180136562"},
	    {"PRAGMA journal_mode = WAL", "write-ahead", "PRAGMA journal_mode = DELETE"},
	    {"CREATE VIEW v AS SELECT 1", "view 'v' does not belong", "DROP VIEW v"},
	    /* a name that would forge a line and steer the terminal */
	    {"CREATE VIEW \"v\n\x1b[2J\" AS SELECT 1", "view 'v ?[2J' does not",
	     "DROP VIEW \"v\n\x1b[2J\""},
	    {"CREATE TABLE zz (a)", "table 'zz' does not belong", "DROP TABLE zz"},
	    {"CREATE INDEX aa ON entry (at)", "index 'aa' does not belong", "DROP INDEX aa"},
	    {"DROP VIEW job", "'job' is missing", NULL},
	    {"DROP TRIGGER entry_not_deleted", "'entry_not_deleted' is missing", NULL},
	    {"CREATE TRIGGER entry_not_deleted BEFORE DELETE ON entry BEGIN SELECT 1; END",
	     "'entry_not_deleted' was changed", NULL},
	};
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

	make_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		if (strcmp(cases[i].change, "DROP TRIGGER entry_not_deleted") == 0) {
			make_gone(place->file);
			fw_trail_close(open_trail(place, FW_TRAIL_CREATE));
		}
		assert_int_equal(make_sql(place->file, cases[i].change), SQLITE_OK);
		assert_refused(place, FW_ERR_TRAIL, cases[i].says);
		if (cases[i].back) {
			assert_int_equal(make_sql(place->file, cases[i].back), SQLITE_OK);
			fw_trail_close(open_trail(place, FW_TRAIL_WRITE));
		}
	}
}

static void a_trail_cut_short_is_said_to_be(void **state)
{
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct stat status;

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	assert_int_equal(stat(place->file, &status), 0);
	assert_int_equal(truncate(place->file, status.st_size - 1), 0);
	assert_refused(place, FW_ERR_TRAIL, "cut short");
	assert_int_equal(truncate(place->file, 4096), 0);
	assert_refused(place, FW_ERR_TRAIL, "cut short");
	assert_int_equal(truncate(place->file, 200), 0);
	assert_refused(place, FW_ERR_TRAIL, "trail");
}

static int count_entry(void *context, const struct fw_entry *e)
{
	assert_int_equal(e->seq, ++*(int64_t *)context);
	return 0;
}

static void reading_leaves_the_file_alone(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	int64_t seen = 0;
	struct stat before, after;
	char beside[PATH_MAX + 16];

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	assert_int_equal(stat(place->file, &before), 0);
	assert_int_equal(before.st_mode & 0777, 0600);
	assert_int_equal(chmod(place->file, 0400), 0);
	assert_int_equal(chmod(place->folder, 0500), 0);
	trail = open_trail(place, FW_TRAIL_READ);
	assert_ok(fw_trail_walk(trail, 1, count_entry, &seen, &error));
	assert_int_equal(seen, 16);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
	assert_int_equal(chmod(place->folder, 0700), 0);
	assert_int_equal(stat(place->file, &after), 0);
	assert_int_equal(after.st_size, before.st_size);
	assert_int_equal(after.st_mtim.tv_sec, before.st_mtim.tv_sec);
	assert_int_equal(after.st_mtim.tv_nsec, before.st_mtim.tv_nsec);
	for (int i = 0; i < 3; i++) {
		static const char *const ends[] = {"-journal", "-wal", "-shm"};
		snprintf(beside, sizeof beside, "%s%s", place->file, ends[i]);
		assert_int_not_equal(access(beside, F_OK), 0);
	}
}

/* ---- where it lies ---- */

static ino_t synced[16];
static size_t synced_count;

/* Stands in for the C library's in this program: folders put onto the disk are noted. */
int fsync(int file)
{
	struct stat status;

	if (fstat(file, &status) == 0 && S_ISDIR(status.st_mode) && synced_count < 16)
		synced[synced_count++] = status.st_ino;
	return fdatasync(file);
}

static bool was_synced(const char *folder)
{
	struct stat status;

	assert_int_equal(stat(folder, &status), 0);
	for (size_t i = 0; i < synced_count; i++)
		if (synced[i] == status.st_ino)
			return true;
	return false;
}

static void folders_are_made_for_the_owner(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	char path[PATH_MAX], folder[PATH_MAX];
	struct stat status;
	mode_t mask = umask(022);

	synced_count = 0;
	assert_int_equal(setenv("XDG_DATA_HOME", place->folder, 1), 0);
	assert_ptr_equal(fw_trail_default_path(path, sizeof path, &error), path);
	assert_int_equal(strncmp(path, place->folder, strlen(place->folder)), 0);
	assert_string_equal(path + strlen(place->folder), "/fitwright/trail.db");
	assert_ok(fw_trail_open(&trail, path, FW_TRAIL_CREATE, &error));
	fw_trail_close(trail);
	assert_int_equal(stat(path, &status), 0);
	assert_int_equal(status.st_mode & 0777, 0600);
	make_name(folder, place->folder, "fitwright");
	assert_true(was_synced(place->folder)); /* or a power cut could take the new folder away */
	assert_int_equal(stat(folder, &status), 0);
	assert_int_equal(status.st_mode & 0777, 0700);
	make_gone(path);
	rmdir(folder);
	umask(mask);
}

static void default_path_follows_the_environment(void **state)
{
	struct fw_error error = {0};
	char path[PATH_MAX], home[PATH_MAX];
	const char *was = getenv("HOME");

	(void)state;
	snprintf(home, sizeof home, "%s", was ? was : "");
	/* XDG Base Directory Specification 0.8: empty counts as unset, relative is ignored. */
	assert_int_equal(setenv("HOME", "/home/bench", 1), 0);
	assert_int_equal(setenv("XDG_DATA_HOME", "", 1), 0);
	assert_non_null(fw_trail_default_path(path, sizeof path, &error));
	assert_string_equal(path, "/home/bench/.local/share/fitwright/trail.db");
	assert_int_equal(setenv("XDG_DATA_HOME", "relative", 1), 0);
	assert_non_null(fw_trail_default_path(path, sizeof path, &error));
	assert_string_equal(path, "/home/bench/.local/share/fitwright/trail.db");
	assert_null(fw_trail_default_path(path, 20, &error));
	assert_int_equal(error.code, FW_ERR_ARGUMENT);
	assert_int_equal(unsetenv("HOME"), 0);
	assert_int_equal(unsetenv("XDG_DATA_HOME"), 0);
	assert_null(fw_trail_default_path(path, sizeof path, &error));
	assert_int_equal(error.code, FW_ERR_NOT_FOUND);
	assert_contains(error.text, "HOME");
	if (was)
		setenv("HOME", home, 1);
}

static void a_name_is_only_a_name(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	char was[PATH_MAX];
	struct stat status;

	assert_non_null(getcwd(was, sizeof was));
	assert_int_equal(chdir(place->folder), 0);
	assert_ok(fw_trail_open(&trail, ":memory:", FW_TRAIL_CREATE, &error));
	fw_trail_close(trail);
	assert_int_equal(stat(":memory:", &status), 0);
	assert_true(status.st_size > 0);
	make_gone(":memory:");
	assert_int_equal(chdir(was), 0);
}

/* ---- a disk that fails ---- */

static void a_failed_disk_stops_the_handle(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct fw_entry e = make_entry("answer", "{\"ask\":\"text\"}", NULL, NULL);
	struct rlimit was, small;
	struct stat status;
	int64_t seq = 0;
	char *words = malloc(200001);

	assert_non_null(words);
	memset(words, 'x', 200000);
	words[200000] = '\0';
	make_whole_job(trail, "gearbox 4-118");
	assert_int_equal(stat(place->file, &status), 0);
	assert_int_equal(getrlimit(RLIMIT_FSIZE, &was), 0);
	small = was;
	small.rlim_cur = (rlim_t)status.st_size;
	void (*old)(int) = signal(SIGXFSZ, SIG_IGN);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0); /* the disk is full from here on */
	e.typed = words;
	assert_code(fw_trail_append(trail, 1, 16, &e, 1, NULL, &error), FW_ERR_TRAIL);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &was), 0);
	signal(SIGXFSZ, old);
	e.typed = "small";
	assert_code(fw_trail_append(trail, 1, 16, &e, 1, NULL, &error), FW_ERR_TRAIL);
	assert_contains(error.text, "open it again");
	fw_trail_close(trail);
	trail = open_trail(place, FW_TRAIL_WRITE);
	assert_ok(fw_trail_head(trail, 1, &seq, NULL, &error));
	assert_int_equal(seq, 16);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	assert_ok(fw_trail_append(trail, 1, 16, &e, 1, NULL, &error));
	fw_trail_close(trail);
	free(words);
}

/* ---- the views, through sqlite3 alone ---- */

static void views_answer_plain_questions(void **state)
{
	static const struct {
		const char *ask, *answer;
	} cases[] = {
	    {"SELECT count(*) FROM standing WHERE job = 1", "13"},
	    {"SELECT group_concat(seq) FROM entry WHERE job = 1 AND seq NOT IN"
	     " (SELECT seq FROM standing WHERE job = 1)",
	     "2,3,4"},
	    {"SELECT group_concat(unit || '/' || entries || '/' || ifnull(released, '-'), ' ') FROM "
	     "job",
	     "gearbox 4-118/16/" MAKE_TIME " gearbox 4-119/1/-"},
	    {"SELECT title || '|' || procedure || '|' || sheet || '|' || length(head) FROM job",
	     "Countershaft end float|float.lua|gearbox.lua|64"},
	    {"SELECT count(*) FROM reading", "1"}, /* the other one was taken back */
	    {"SELECT typed || '|' || value || '|' || unit || '|' || gauge || '|' || item || '|' || "
	     "phase"
	     " FROM reading",
	     "16 thou|0.406 mm|mm|dial indicator|reading 1 of 3|Fit-up"},
	    {"SELECT abs(value_si - 0.0004064) < 1e-12 AND u_si = 1.2e-05 FROM reading", "1"},
	    {"SELECT value || '|' || readings || '|' || freedom || '|' || gauge FROM measurement",
	     "0.408 mm|2|4|dial indicator"},
	    {"SELECT name || '|' || value || '|' || verdict || '|' || max || '|' || ifnull(min, "
	     "'open') ||"
	     " '|' || margin || '|' || grade || '|' || source FROM verdict",
	     "end float|0.408 mm|outside|0.30 mm|open|-0.108 mm|practice|invented"},
	    {"SELECT group_concat(trial || '/' || stack || '/' || play || '/' || surprise, ' ') FROM "
	     "trial",
	     "1/1.40 mm/0.408 mm/0 2/1.60 mm/0.300 mm/1"},
	    {"SELECT predicted || '|' || difference || '|' || datum FROM trial WHERE trial = 2",
	     "0.208 mm|0.092 mm|1.900 mm"},
	    {"SELECT name || '|' || thread || '|' || class || '|' || asked || '|' || torque || '|' || bolts || '|' ||"
	     " preload_usual || '|' || preload_high_si || '|' || source FROM torque",
	     "cover|M8|8.8|20 Nm|21 Nm|8|15.0 kN|19000|invented"},
	    {"SELECT part || '|' || decision || '|' || reason FROM part", "rear bearing|renew|pitted"},
	    {"SELECT name || '|' || role || '|' || meaning || '|' || count FROM signature",
	     "A. Fitter|technician|work done as recorded|14"},
	    {"SELECT s.head = lower(hex(e.prev)) FROM signature s JOIN entry e USING (job, seq)", "1"},
	};
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char answer[1024];

	make_whole_job(trail, "gearbox 4-118");
	make_job(trail, "gearbox 4-119");
	fw_trail_close(trail);
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		make_ask(place->file, cases[i].ask, answer, sizeof answer);
		if (strcmp(answer, cases[i].answer) != 0)
			fail_msg("%s\n gives %s,\n not   %s", cases[i].ask, answer, cases[i].answer);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(plain_sql_is_refused),
	    TEST(a_schema_changed_meanwhile_is_noticed),
	    TEST(no_trail_is_said_to_be_none),
	    TEST(an_empty_file_can_be_made_a_trail),
	    TEST(changed_trails_are_refused),
	    TEST(a_trail_cut_short_is_said_to_be),
	    TEST(reading_leaves_the_file_alone),
	    TEST(folders_are_made_for_the_owner),
	    TEST(default_path_follows_the_environment),
	    TEST(a_name_is_only_a_name),
	    TEST(a_failed_disk_stops_the_handle),
	    TEST(views_answer_plain_questions),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
