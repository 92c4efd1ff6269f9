/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_trail_format.c  A trail of format 1, as the program of that time wrote it: read as it
 * is, brought up to date whole or not at all. See data/README.md. */
#include "no_sync.h"
#include "trail_place.h"

#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>

#include "trail/schema_text.h"
#include "trail/trail_internal.h"

#define OLD FW_TEST_SOURCE "/tests/data/format-1.db"

enum { JOBS = 3 };
static const int64_t entries[JOBS] = {16, 78,
                                      5}; /* sqlite3: select count(*) from entry group by job */

/* Every column of every entry of a job, and every source, as sqlite3 quotes them. */
static const char all_rows[] = "SELECT (SELECT group_concat(row, char(10)) FROM (SELECT quote(job) "
                               "|| quote(seq) || quote(kind) ||"
                               " quote(step) || quote(at) || quote(who) || quote(ask) || "
                               "quote(typed) || quote(value) || quote(prev) ||"
                               " quote(hash) AS row FROM entry WHERE job > 0 ORDER BY job, seq)) ||"
                               " (SELECT group_concat(row) FROM (SELECT quote(hash) || "
                               "quote(bytes) AS row FROM source ORDER BY hash))";
static const char schema[] =
    "SELECT group_concat(row, char(10)) FROM (SELECT type || '|' || name || '|' || "
    "tbl_name || '|' || sql AS row FROM sqlite_schema ORDER BY rowid)";

/* A file's bytes, whole; the caller frees them. */
static char *read_bytes(const char *file, size_t *size)
{
	struct stat status;
	FILE *f = fopen(file, "rb");

	assert_non_null(f);
	assert_int_equal(fstat(fileno(f), &status), 0);
	*size = (size_t)status.st_size;
	char *bytes = malloc(*size + 1);
	assert_non_null(bytes);
	assert_int_equal(fread(bytes, 1, *size, f), *size);
	fclose(f);
	return bytes;
}

static void copy_file(const char *to, const char *from)
{
	size_t size;
	char *bytes = read_bytes(from, &size);
	FILE *f = fopen(to, "wb");

	assert_non_null(f);
	assert_int_equal(fwrite(bytes, 1, size, f), size);
	assert_int_equal(fclose(f), 0);
	free(bytes);
}

static void assert_same_bytes(const char *a, const char *b)
{
	size_t a_size, b_size;
	char *left = read_bytes(a, &a_size), *right = read_bytes(b, &b_size);

	assert_int_equal(a_size, b_size);
	assert_memory_equal(left, right, a_size);
	free(left);
	free(right);
}

/* What a query gives in one row of one column, of any length; the caller frees it. */
static char *ask_all(const char *file, const char *sql)
{
	enum { MOST = 4 << 20 };
	char *out = malloc(MOST);

	assert_non_null(out);
	make_ask(file, sql, out, MOST);
	assert_true(strlen(out) < MOST - 1);
	return out;
}

static void assert_same_answer(const char *a, const char *b, const char *sql)
{
	char *left = ask_all(a, sql), *right = ask_all(b, sql);

	assert_true(strlen(left) > 100);
	assert_string_equal(left, right);
	free(left);
	free(right);
}

static int count_entry(void *context, const struct fw_entry *e)
{
	assert_int_equal(e->seq, ++*(int64_t *)context);
	return 0;
}

static int count_job(void *context, const struct fw_job_line *line)
{
	assert_int_equal(line->job, ++*(int64_t *)context);
	assert_int_equal(line->entries, entries[line->job - 1]);
	return 0;
}

static void assert_old_jobs(struct fw_trail *trail)
{
	struct fw_error error = {0};
	int64_t jobs = 0;

	assert_ok(fw_trail_jobs(trail, count_job, &jobs, &error));
	assert_int_equal(jobs, JOBS);
	for (int64_t job = 1; job <= JOBS; job++) {
		int64_t seen = 0;
		assert_ok(fw_trail_walk(trail, job, count_entry, &seen, &error));
		assert_int_equal(seen, entries[job - 1]);
		assert_int_equal(count_flaws(trail, job), 0);
	}
	assert_int_equal(count_flaws(trail, FW_VERIFY_FILE), 0);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
}

static void format_1_is_read_as_it_is(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	const uint8_t hash[FW_HASH] = {0};
	size_t size = 1, flaws;
	char *bytes;

	copy_file(place->file, OLD);
	struct fw_trail *trail = open_trail(place, FW_TRAIL_READ);
	assert_int_equal(fw_trail_format(trail), 1);
	assert_string_equal(fw_trail_shop(trail), "");
	assert_int_equal(fw_trail_excerpt(trail), 0);
	assert_old_jobs(trail);
	assert_code(fw_trail_head(trail, FW_SHOP, NULL, NULL, &error), FW_ERR_NOT_FOUND);
	assert_code(fw_trail_verify(trail, FW_SHOP, NULL, NULL, &flaws, &error), FW_ERR_NOT_FOUND);
	assert_code(fw_trail_evidence(trail, hash, &bytes, &size, &error), FW_ERR_NOT_FOUND);
	assert_null(bytes);
	fw_trail_close(trail);
	assert_same_bytes(place->file, OLD);
}

static int look_at_shop(void *context, const struct fw_entry *e)
{
	static const uint8_t zeros[FW_HASH];
	char wanted[256];
	const char *const *said = context; /* id, head of the last job */

	assert_string_equal(e->kind, "shop");
	assert_string_equal(e->who, "(trail)");
	assert_memory_equal(e->prev, zeros, FW_HASH);
	snprintf(wanted, sizeof wanted, "{\"id\":\"%s\",\"from\":1,\"jobs\":3,\"head\":\"%s\"}",
	         said[0], said[1]);
	assert_string_equal(e->value, wanted);
	/* wall clock: of these minutes, as the C library says them */
	char now[32], before[32];
	time_t at = time(NULL) + 1;
	strftime(now, sizeof now, "%Y-%m-%dT%H:%M:%S", gmtime(&at));
	at -= 60;
	strftime(before, sizeof before, "%Y-%m-%dT%H:%M:%S", gmtime(&at));
	assert_true(strcmp(e->at, before) > 0 && strcmp(e->at, now) < 0);
	return 0;
}

static void assert_migrated(const char *file, const char *fresh)
{
	char number[32];

	assert_same_answer(file, OLD, all_rows);
	assert_same_answer(file, fresh, schema);
	make_ask(file, "PRAGMA user_version", number, sizeof number);
	assert_string_equal(number, "2");
	make_ask(file, "SELECT count(*) FROM entry WHERE job = 0", number, sizeof number);
	assert_string_equal(number, "1");
	make_ask(file, "PRAGMA integrity_check", number, sizeof number);
	assert_string_equal(number, "ok");
}

static void make_fresh(const struct place *place, char fresh[PATH_MAX])
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	make_name(fresh, place->folder, "fresh.db");
	assert_ok(fw_trail_open(&trail, fresh, FW_TRAIL_CREATE, &error));
	assert_int_equal(fw_trail_format(trail), 2);
	fw_trail_close(trail);
}

static void format_1_is_brought_up_to_date(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	char fresh[PATH_MAX], head[FW_HASH_TEXT], shop[FW_SHOP_DIGITS + 1];
	uint8_t end[FW_HASH];
	int64_t seq;

	make_fresh(place, fresh);
	copy_file(place->file, OLD);
	struct fw_trail *trail = open_trail(place, FW_TRAIL_WRITE);
	assert_int_equal(fw_trail_format(trail), 2);
	snprintf(shop, sizeof shop, "%s", fw_trail_shop(trail));
	assert_int_equal(strspn(shop, "0123456789abcdef"), 32);
	assert_old_jobs(trail);
	assert_int_equal(count_flaws(trail, FW_SHOP), 0);
	assert_ok(fw_trail_head(trail, 3, &seq, end, &error));
	const char *said[] = {shop, fw_hash_text(head, end)};
	assert_ok(fw_trail_walk(trail, FW_SHOP, look_at_shop, said, &error));
	assert_migrated(place->file, fresh);
	/* and it goes on */
	struct fw_entry e = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");
	e.at = "2036-01-01T00:00:00.000Z";
	assert_ok(fw_trail_append(trail, 3, seq, &e, 1, end, &error));
	const struct fw_entry begin = {
	    .kind = "begin", .at = "2036-01-01T00:00:00.000Z", .who = "R. Example", .value = "{}"};
	assert_ok(fw_trail_begin(trail, NULL, 0, &begin, &seq, &error));
	assert_int_equal(seq, 4);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
	trail = open_trail(place, FW_TRAIL_READ);
	assert_string_equal(fw_trail_shop(trail), shop);
	fw_trail_close(trail);
	make_gone(fresh);
}

static void views_answer_on_what_was_migrated(void **state)
{
	/* as the sqlite3 shell counts them in format-1.db with the views of format 1 */
	static const char *const same[] = {
	    "SELECT count(*) || '/' || sum(seq) FROM standing WHERE job > 0",
	    ("SELECT count(*) || '/' || sum(seq) || '/' || sum(value_si) || '/' || group_concat(typed) "
	     "FROM reading"),
	    "SELECT count(*) || '/' || sum(seq) || '/' || group_concat(value) FROM measurement",
	    "SELECT count(*) || '/' || sum(seq) || '/' || group_concat(verdict) FROM verdict",
	    "SELECT count(*) || '/' || sum(seq) || '/' || group_concat(datum) FROM trial",
	    "SELECT count(*) || '/' || sum(seq) || '/' || group_concat(torque) FROM torque",
	    "SELECT count(*) || '/' || sum(seq) || '/' || group_concat(decision) FROM part",
	    "SELECT count(*) || '/' || group_concat(name || role || meaning || head) FROM signature",
	    "SELECT group_concat(job || unit || entries || ifnull(released, '-') || head) FROM job",
	};
	const struct place *place = *state;

	copy_file(place->file, OLD);
	fw_trail_close(open_trail(place, FW_TRAIL_WRITE));
	for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
		char *old = ask_all(OLD, same[i]), *now = ask_all(place->file, same[i]);
		assert_string_not_equal(old, "(null)");
		assert_string_equal(now, old);
		free(old);
		free(now);
	}
}

/* ---- what isn't sound ---- */

/* Runs SQL past the triggers, which are put back to the letter. */
static void edit(const char *file, const char *sql)
{
	char guards[4096], drops[1024];

	make_ask(file, "SELECT group_concat(sql, ';') FROM sqlite_schema WHERE type = 'trigger'",
	         guards, sizeof guards);
	make_ask(file,
	         "SELECT group_concat('DROP TRIGGER ' || name, ';') FROM sqlite_schema WHERE type = "
	         "'trigger'",
	         drops, sizeof drops);
	assert_int_equal(make_sql(file, drops), SQLITE_OK);
	assert_int_equal(make_sql(file, sql), SQLITE_OK);
	assert_int_equal(make_sql(file, guards), SQLITE_OK);
}

static void what_is_not_sound_is_left_alone(void **state)
{
	static const struct {
		const char *change, *says;
	} cases[] = {
	    {"UPDATE entry SET typed = '0.29' WHERE job = 1 AND seq = 3", "job 1, entry 3"},
	    {"DELETE FROM entry WHERE job = 2 AND seq = 40", "job 2, entry 41"},
	    {"DELETE FROM entry WHERE job = 2", "from 1 to 3"},
	    {"UPDATE source SET bytes = CAST(bytes || ' ' AS BLOB)", "was changed"},
	};
	const struct place *place = *state;
	struct fw_error error = {0};
	char before[PATH_MAX];

	make_name(before, place->folder, "before.db");
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct fw_trail *trail = NULL;
		copy_file(place->file, OLD);
		edit(place->file, cases[i].change);
		copy_file(before, place->file);
		for (int mode = FW_TRAIL_WRITE; mode <= FW_TRAIL_CREATE; mode++) {
			assert_code(fw_trail_open(&trail, place->file, (enum fw_trail_mode)mode, &error),
			            FW_ERR_TRAIL);
			assert_null(trail);
			assert_contains(error.text, cases[i].says);
			assert_contains(error.text, "nothing was changed");
			assert_contains(error.text, "audit");
		}
		assert_same_bytes(place->file, before);
		trail = open_trail(place, FW_TRAIL_READ); /* to be audited */
		assert_int_equal(fw_trail_format(trail), 1);
		size_t flaws = 0;
		assert_ok(fw_trail_verify(trail, FW_VERIFY_ALL, NULL, NULL, &flaws, &error));
		assert_true(flaws > 0);
		fw_trail_close(trail);
	}
	make_gone(before);
}

/* One bit of a page in the middle: SQLite's own check, or a hash, doesn't agree. */
static void a_damaged_file_is_left_alone(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	char before[PATH_MAX];
	FILE *f;

	make_name(before, place->folder, "before.db");
	copy_file(place->file, OLD);
	f = fopen(place->file, "r+b");
	assert_non_null(f);
	assert_int_equal(fseek(f, 61000, SEEK_SET), 0);
	int byte = fgetc(f);
	assert_int_equal(fseek(f, 61000, SEEK_SET), 0);
	assert_int_not_equal(fputc(byte ^ 4, f), EOF);
	assert_int_equal(fclose(f), 0);
	copy_file(before, place->file);
	assert_code(fw_trail_open(&trail, place->file, FW_TRAIL_WRITE, &error), FW_ERR_TRAIL);
	assert_same_bytes(place->file, before);
	make_gone(before);
}

/* Puts an entry with a fitting hash into a file of format 1, by plain SQL. */
static void put_entry(sqlite3 *db, const struct fw_entry *entry, int64_t job, int64_t seq,
                      uint8_t head[FW_HASH])
{
	static const char insert[] = "INSERT INTO entry VALUES (?,?,?,NULL,?,?,NULL,NULL,?,?,?)";
	unsigned char bytes[4096];
	struct fw_entry e = *entry;
	sqlite3_stmt *s;

	e.job = job;
	e.seq = seq;
	memcpy(e.prev, head, FW_HASH);
	fw_trail_hash(head, bytes, make_bytes(bytes, &e));
	assert_int_equal(sqlite3_prepare_v2(db, insert, -1, &s, NULL), SQLITE_OK);
	sqlite3_bind_int64(s, 1, job);
	sqlite3_bind_int64(s, 2, seq);
	sqlite3_bind_text(s, 3, e.kind, -1, SQLITE_STATIC);
	sqlite3_bind_text(s, 4, e.at, -1, SQLITE_STATIC);
	sqlite3_bind_text(s, 5, e.who, -1, SQLITE_STATIC);
	sqlite3_bind_text(s, 6, e.value, -1, SQLITE_STATIC);
	sqlite3_bind_blob(s, 7, e.prev, FW_HASH, SQLITE_STATIC);
	sqlite3_bind_blob(s, 8, head, FW_HASH, SQLITE_STATIC);
	assert_int_equal(sqlite3_step(s), SQLITE_DONE);
	sqlite3_finalize(s);
}

static sqlite3 *make_format_1(const char *file)
{
	sqlite3 *db;

	assert_int_equal(sqlite3_open(file, &db), SQLITE_OK);
	for (const char *const *sql = fw_schema_1; *sql; sql++)
		assert_int_equal(sqlite3_exec(db, *sql, NULL, NULL, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_exec(db, "PRAGMA user_version = 1; PRAGMA application_id = 1180136562",
	                              NULL, NULL, NULL),
	                 SQLITE_OK);
	return db;
}

/* In format 1 a clock that went back between jobs was no flaw, and within a job it was one; neither
 * keeps a shop from going on. */
static void a_clock_set_back_is_no_hindrance(void **state)
{
	const struct place *place = *state;
	struct fw_entry begin = {
	    .kind = "begin", .at = "2026-03-05T14:00:00.000Z", .who = "me", .value = "{}"};
	struct fw_entry later = {
	    .kind = "answer", .at = "2026-03-05T13:00:00.000Z", .who = "me", .value = "{}"};
	uint8_t head[FW_HASH] = {0}, first[FW_HASH];
	sqlite3 *db = make_format_1(place->file);

	put_entry(db, &begin, 1, 1, head);
	memcpy(first, head, FW_HASH);
	begin.at = "2026-03-01T00:00:00.000Z";
	put_entry(db, &begin, 2, 1, first);
	put_entry(db, &later, 1, 2, head);
	sqlite3_close(db);
	struct fw_trail *trail = open_trail(place, FW_TRAIL_READ);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 1);
	assert_int_equal(count_flaws(trail, 1), 1);
	assert_int_equal(count_flaws(trail, 2), 0);
	fw_trail_close(trail);
	trail = open_trail(place, FW_TRAIL_WRITE);
	assert_int_equal(fw_trail_format(trail), 2);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 1);
	assert_int_equal(count_flaws(trail, 2), 0);
	/* a job that begins from now on is bound by it */
	int64_t job;
	struct fw_error error = {0};
	begin.at = "2026-02-01T00:00:00.000Z";
	assert_ok(fw_trail_begin(trail, NULL, 0, &begin, &job, &error));
	assert_int_equal(count_flaws(trail, job), 1);
	fw_trail_close(trail);
}

static void an_empty_trail_is_migrated(void **state)
{
	const struct place *place = *state;
	char fresh[PATH_MAX];

	make_fresh(place, fresh);
	sqlite3_close(make_format_1(place->file));
	struct fw_trail *trail = open_trail(place, FW_TRAIL_READ);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
	trail = open_trail(place, FW_TRAIL_CREATE);
	assert_int_equal(make_job(trail, "box 1"), 1);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	assert_int_equal(count_flaws(trail, FW_VERIFY_FILE), 0);
	assert_int_equal(count_flaws(trail, 1), 0);
	fw_trail_close(trail);
	assert_same_answer(place->file, fresh, schema);
	make_gone(fresh);
}

/* ---- interrupted, and several at once ---- */

static void a_full_disk_changes_nothing(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	struct rlimit was, small;
	struct stat status;

	copy_file(place->file, OLD);
	assert_int_equal(stat(place->file, &status), 0);
	assert_int_equal(getrlimit(RLIMIT_FSIZE, &was), 0);
	small = was;
	small.rlim_cur = (rlim_t)status.st_size + 4096; /* the disk is full from here on */
	void (*old)(int) = signal(SIGXFSZ, SIG_IGN);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
	assert_code(fw_trail_open(&trail, place->file, FW_TRAIL_WRITE, &error), FW_ERR_TRAIL);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &was), 0);
	signal(SIGXFSZ, old);
	trail = open_trail(place, FW_TRAIL_READ);
	assert_int_equal(fw_trail_format(trail), 1);
	assert_old_jobs(trail);
	fw_trail_close(trail);
	assert_same_answer(place->file, OLD, all_rows);
	assert_same_answer(place->file, OLD, schema);
	trail = open_trail(place, FW_TRAIL_WRITE);
	assert_int_equal(fw_trail_format(trail), 2);
	assert_old_jobs(trail);
	fw_trail_close(trail);
}

static int open_for_writing(const char *file, int pipe)
{
	struct fw_trail *trail = NULL;

	if (write(pipe, "x", 1) != 1 || fw_trail_open(&trail, file, FW_TRAIL_WRITE, NULL))
		return 1;
	fw_trail_close(trail);
	return 0;
}

static pid_t open_elsewhere(const char *file)
{
	int ends[2];
	char byte;

	assert_int_equal(pipe(ends), 0);
	pid_t child = fork();
	assert_true(child >= 0);
	if (child == 0)
		_exit(open_for_writing(file, ends[1]));
	assert_int_equal(read(ends[0], &byte, 1), 1); /* it is about to begin */
	close(ends[0]);
	close(ends[1]);
	return child;
}

static void a_migration_cut_off_can_be_done_again(void **state)
{
	enum { ROUNDS = 30 };
	const struct place *place = *state;
	struct fw_error error = {0};
	char fresh[PATH_MAX], journal[PATH_MAX + 16];
	unsigned before = 0, half = 0, whole = 0, seed = 7;

	make_fresh(place, fresh);
	snprintf(journal, sizeof journal, "%s-journal", place->file);
	for (int round = 0; round < ROUNDS; round++) {
		struct fw_trail *trail = NULL;
		copy_file(place->file, OLD);
		pid_t child = open_elsewhere(place->file);
		seed = seed * 1103515245u + 12345u;
		const struct timespec moment = {0, (long)((seed >> 8) % 30000000)};
		nanosleep(&moment, NULL);
		kill(child, SIGKILL);
		int status = 0;
		assert_int_equal(waitpid(child, &status, 0), child);
		half += access(journal, F_OK) == 0;
		int code = fw_trail_open(&trail, place->file, FW_TRAIL_READ, &error);
		if (code) {
			assert_contains(error.text, "open it once for writing");
		} else {
			before += fw_trail_format(trail) == 1;
			whole += fw_trail_format(trail) == 2;
			assert_old_jobs(trail);
			fw_trail_close(trail);
		}
		trail = open_trail(place, FW_TRAIL_WRITE);
		assert_int_equal(fw_trail_format(trail), 2);
		assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
		fw_trail_close(trail);
		assert_migrated(place->file, fresh);
		make_gone(place->file);
	}
	print_message(
	    "  %d migrations killed: %u before anything was written, %u with a journal left, %u done\n",
	    ROUNDS, before, half, whole);
	make_gone(fresh);
}

static void many_at_once_migrate_once(void **state)
{
	enum { CHILDREN = 4, ROUNDS = 3 };
	const struct place *place = *state;
	char fresh[PATH_MAX];

	make_fresh(place, fresh);
	for (int round = 0; round < ROUNDS; round++) {
		pid_t children[CHILDREN];
		copy_file(place->file, OLD);
		for (int i = 0; i < CHILDREN; i++)
			children[i] = open_elsewhere(place->file);
		for (int i = 0; i < CHILDREN; i++) {
			int status = -1;
			assert_int_equal(waitpid(children[i], &status, 0), children[i]);
			assert_true(WIFEXITED(status));
			assert_int_equal(WEXITSTATUS(status), 0);
		}
		assert_migrated(place->file, fresh);
		make_gone(place->file);
	}
	make_gone(fresh);
}

/* Who reads while another program brings the file up to date goes on reading. */
static void a_reader_is_not_disturbed(void **state)
{
	const struct place *place = *state;

	copy_file(place->file, OLD);
	struct fw_trail *reader = open_trail(place, FW_TRAIL_READ);
	assert_old_jobs(reader);
	struct fw_trail *writer = open_trail(place, FW_TRAIL_WRITE);
	assert_old_jobs(reader);
	assert_int_equal(fw_trail_format(reader), 2); /* it has looked again */
	assert_string_equal(fw_trail_shop(reader), fw_trail_shop(writer));
	fw_trail_close(writer);
	fw_trail_close(reader);
}

static void a_newer_format_is_refused(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	char before[PATH_MAX];

	make_name(before, place->folder, "before.db");
	fw_trail_close(open_trail(place, FW_TRAIL_CREATE));
	assert_int_equal(make_sql(place->file, "PRAGMA user_version = 3"), SQLITE_OK);
	copy_file(before, place->file);
	for (int mode = FW_TRAIL_READ; mode <= FW_TRAIL_CREATE; mode++) {
		struct fw_trail *trail = NULL;
		assert_code(fw_trail_open(&trail, place->file, (enum fw_trail_mode)mode, &error),
		            FW_ERR_TRAIL);
		assert_contains(error.text, "format 3");
		assert_contains(error.text, "newer");
	}
	assert_same_bytes(place->file, before);
	make_gone(before);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(format_1_is_read_as_it_is),
	    TEST(format_1_is_brought_up_to_date),
	    TEST(views_answer_on_what_was_migrated),
	    TEST(what_is_not_sound_is_left_alone),
	    TEST(a_damaged_file_is_left_alone),
	    TEST(a_clock_set_back_is_no_hindrance),
	    TEST(an_empty_trail_is_migrated),
	    TEST(a_full_disk_changes_nothing),
	    TEST(a_migration_cut_off_can_be_done_again),
	    TEST(many_at_once_migrate_once),
	    TEST(a_reader_is_not_disturbed),
	    TEST(a_newer_format_is_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
