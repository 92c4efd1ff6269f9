/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench.h"

#include <dirent.h>

#include "trail_make.h"

void bench_clock(void *context, char out[32])
{
	struct bench_clock *clock = context;

	if (clock->on_call)
		clock->on_call(clock);
	clock->calls++;
	long s = clock->seconds++;
	snprintf(out, 32, "2026-03-05T%02ld:%02ld:%02ld.000Z", s / 3600 % 24, s / 60 % 60, s % 60);
}

/* In memory where there is a folder for that: none of these tests takes the power away. */
static void make_bench_folder(char folder[PATH_MAX])
{
	if (getenv("TMPDIR") || access("/dev/shm", W_OK) != 0) {
		make_folder(folder);
		return;
	}
	snprintf(folder, PATH_MAX, "/dev/shm/fitwright-XXXXXX");
	assert_non_null(mkdtemp(folder));
}

void bench_open(struct bench *bench)
{
	struct fw_error error = {0};

	memset(bench, 0, sizeof *bench);
	bench->clock.seconds = 8L * 3600;
	make_bench_folder(bench->folder);
	make_name(bench->file, bench->folder, "trail.db");
	assert_ok(fw_trail_open(&bench->trail, bench->file, FW_TRAIL_CREATE, &error));
}

void bench_shut(struct bench *bench)
{
	fw_trail_close(bench->trail);
	bench->trail = NULL;
}

void bench_reopen(struct bench *bench)
{
	struct fw_error error = {0};

	bench_shut(bench);
	assert_ok(fw_trail_open(&bench->trail, bench->file, FW_TRAIL_WRITE, &error));
}

void bench_close(struct bench *bench)
{
	struct dirent *item;

	bench_shut(bench);
	DIR *folder = opendir(bench->folder);
	assert_non_null(folder);
	while ((item = readdir(folder))) {
		char path[PATH_MAX];
		make_name(path, bench->folder, item->d_name);
		unlink(path); /* fails for . and .. */
	}
	closedir(folder);
	assert_int_equal(rmdir(bench->folder), 0);
}

/* Files. */

static void write_bytes(const char *path, const void *bytes, size_t size)
{
	FILE *file = fopen(path, "wb");

	assert_non_null(file);
	assert_int_equal(fwrite(bytes, 1, size, file), size);
	assert_int_equal(fclose(file), 0);
}

/* The whole file with a zero behind it. */
char *bench_read(const char *path, size_t *size)
{
	FILE *file = fopen(path, "rb");

	if (!file)
		fail_msg("%s can't be opened", path);
	assert_int_equal(fseek(file, 0, SEEK_END), 0);
	*size = (size_t)ftell(file);
	rewind(file);
	char *bytes = malloc(*size + 1);
	assert_non_null(bytes);
	assert_int_equal(fread(bytes, 1, *size, file), *size);
	bytes[*size] = '\0';
	fclose(file);
	return bytes;
}

void bench_write(const struct bench *bench, const char *name, const char *text, char path[PATH_MAX])
{
	make_name(path, bench->folder, name);
	write_bytes(path, text, strlen(text));
}

void bench_copy(const char *from, const char *to)
{
	size_t size;
	char *bytes = bench_read(from, &size);

	write_bytes(to, bytes, size);
	free(bytes);
}

void bench_hash_file(uint8_t out[FW_HASH], const char *path)
{
	size_t size;
	char *bytes = bench_read(path, &size);

	fw_trail_hash(out, bytes, size);
	free(bytes);
}

/* Answers. */

static void add_line(struct bench_answers *answers, char *line)
{
	char *colon = strchr(line, ':');

	if (*line == '#' || *line == '\0')
		return;
	assert_non_null(colon);
	*colon = '\0';
	bool confirmed = colon > line && colon[-1] == '!';
	if (confirmed)
		colon[-1] = '\0';
	answers->list = realloc(answers->list, (answers->count + 1) * sizeof *answers->list);
	assert_non_null(answers->list);
	answers->list[answers->count++] =
	    (struct bench_answer){line, colon + 1 + strspn(colon + 1, " "), confirmed};
}

static void split_lines(struct bench_answers *answers)
{
	char *line = answers->text;

	while (line) {
		char *end = strchr(line, '\n');
		if (end)
			*end = '\0';
		add_line(answers, line);
		line = end ? end + 1 : NULL;
	}
}

void bench_answers_parse(struct bench_answers *out, const char *text)
{
	memset(out, 0, sizeof *out);
	out->text = strdup(text);
	assert_non_null(out->text);
	split_lines(out);
}

void bench_answers_read(struct bench_answers *out, const char *path)
{
	size_t size;

	memset(out, 0, sizeof *out);
	out->text = bench_read(path, &size);
	split_lines(out);
}

void bench_answers_free(struct bench_answers *answers)
{
	free(answers->list);
	free(answers->text);
}

/* Jobs. */

int bench_give(struct fw_job *job, const struct bench_answer *answer, struct fw_error *err)
{
	const struct fw_question *q = fw_job_pending(job);

	if (!q || strcmp(q->step, answer->step) != 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "the job asks '%s', the answer is for '%s'",
		               q ? q->step : "nothing", answer->step);
	return fw_job_answer(job, answer->typed, answer->confirmed, err);
}

void bench_play(struct fw_job *job, const struct bench_answers *answers)
{
	struct fw_error error = {0};

	for (size_t i = fw_job_answered(job); i < answers->count; i++)
		assert_ok(bench_give(job, &answers->list[i], &error));
}

struct fw_job *bench_begin(struct bench *bench, const char *procedure, const char *sheet)
{
	struct fw_error error = {0};
	struct fw_job *job;
	const struct fw_job_begin begin = {procedure, sheet, "gearbox on the stand", "B. Hand"};

	assert_ok(fw_job_begin(&job, bench->trail, &begin, bench_clock, &bench->clock, &error));
	return job;
}

struct fw_job *bench_resume(struct bench *bench, int64_t number)
{
	struct fw_error error = {0};
	struct fw_job *job;

	assert_ok(fw_job_resume(&job, bench->trail, number, NULL, bench_clock, &bench->clock, &error));
	return job;
}

/* Audits. */

static void keep_line(void *context, const struct fw_audit_line *line)
{
	struct bench_audit *audit = context;
	size_t used = strlen(audit->text);
	static const char marks[] = "BON";

	snprintf(audit->text + used, sizeof audit->text - used, "%c %lld %s\n", marks[line->weight],
	         (long long)line->seq, line->what);
}

int bench_try_audit(struct bench_audit *out, struct fw_trail *trail, int64_t job,
                    struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	return fw_job_audit(trail, job, NULL, keep_line, out, &out->sum, err);
}

static void run_audit(struct bench_audit *out, struct fw_trail *trail, int64_t job)
{
	struct fw_error error = {0};

	assert_ok(bench_try_audit(out, trail, job, &error));
}

void bench_audit(struct bench_audit *out, const char *file, int64_t job)
{
	struct fw_error error = {0};
	struct fw_trail *trail;

	assert_ok(fw_trail_open(&trail, file, FW_TRAIL_READ, &error));
	run_audit(out, trail, job);
	fw_trail_close(trail);
}

void bench_audit_sound(struct bench_audit *out, struct fw_trail *trail, int64_t job)
{
	run_audit(out, trail, job);
	if (out->sum.broken > 0)
		fail_msg("the audit of a sound job found:\n%s", out->text);
}

static void count_flaw(void *context, const struct fw_flaw *flaw)
{
	(void)flaw;
	++*(size_t *)context;
}

size_t bench_flaws(const char *file, int64_t job)
{
	struct fw_error error = {0};
	struct fw_trail *trail;
	size_t flaws, counted = 0;

	assert_ok(fw_trail_open(&trail, file, FW_TRAIL_READ, &error));
	assert_ok(fw_trail_verify(trail, job, count_flaw, &counted, &flaws, &error));
	assert_int_equal(flaws, counted);
	fw_trail_close(trail);
	return flaws;
}

/* Tampering. */

/* As a program that keeps to no rule: triggers stay in the file, and don't fire here. */
static sqlite3 *open_raw(const char *file)
{
	sqlite3 *db;

	assert_int_equal(sqlite3_open_v2(file, &db, SQLITE_OPEN_READWRITE, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL), SQLITE_OK);
	sqlite3_exec(db, "PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY", NULL, NULL, NULL);
	return db;
}

static void run_raw(sqlite3 *db, const char *sql)
{
	char *why = NULL;

	if (sqlite3_exec(db, sql, NULL, NULL, &why) != SQLITE_OK)
		fail_msg("%s: %s", sql, why ? why : "?");
}

static const char *text_at(sqlite3_stmt *row, int column)
{
	return (const char *)sqlite3_column_text(row, column);
}

/* The value with the hex of `head` in the place of the one that stands there. */
static char *reseal(const char *value, const uint8_t head[FW_HASH])
{
	char *out = strdup(value);
	char *at = strstr(out, "\"head\":\"");
	char hex[FW_HASH_TEXT];

	if (at && strspn(at + 8, "0123456789abcdef") == FW_HASH_TEXT - 1)
		memcpy(at + 8, fw_hash_text(hex, head), FW_HASH_TEXT - 1);
	return out;
}

/* The entry of a row, its hashes worked out anew behind `head`. Texts are the row's. */
static struct fw_entry hashed(sqlite3_stmt *row, const char *value, const uint8_t head[FW_HASH])
{
	static unsigned char bytes[1 << 20];
	struct fw_entry e = {.job = sqlite3_column_int64(row, 0),
	                     .seq = sqlite3_column_int64(row, 1),
	                     .kind = text_at(row, 2),
	                     .step = text_at(row, 3),
	                     .at = text_at(row, 4),
	                     .who = text_at(row, 5),
	                     .ask = text_at(row, 6),
	                     .typed = text_at(row, 7),
	                     .value = value};

	memcpy(e.prev, head, FW_HASH);
	size_t size = make_bytes(bytes, &e);
	assert_true(size < sizeof bytes);
	fw_trail_hash(e.hash, bytes, size);
	return e;
}

static void rehash_row(sqlite3_stmt *row, sqlite3_stmt *update, uint8_t head[FW_HASH], bool seals)
{
	const char *kind = text_at(row, 2), *value = text_at(row, 8);
	bool seal =
	    seals && value &&
	    (strcmp(kind, "sign") == 0 || strcmp(kind, "release") == 0 || strcmp(kind, "reopen") == 0);
	char *fresh = seal ? reseal(value, head) : NULL;
	struct fw_entry e = hashed(row, seal ? fresh : value, head);
	const void *hash = sqlite3_column_blob(row, 9);

	if (sqlite3_column_bytes(row, 9) != FW_HASH || memcmp(hash, e.hash, FW_HASH) != 0) {
		sqlite3_bind_text(update, 1, e.value, -1, SQLITE_STATIC);
		sqlite3_bind_blob(update, 2, e.prev, FW_HASH, SQLITE_STATIC);
		sqlite3_bind_blob(update, 3, e.hash, FW_HASH, SQLITE_STATIC);
		sqlite3_bind_int64(update, 4, e.seq);
		assert_int_equal(sqlite3_step(update), SQLITE_DONE);
		sqlite3_reset(update);
	}
	memcpy(head, e.hash, FW_HASH);
	free(fresh);
}

/* The head of the shop's log, to which job 1 is linked. */
static void head_before(sqlite3 *db, uint8_t head[FW_HASH])
{
	sqlite3_stmt *row;

	memset(head, 0, FW_HASH);
	assert_int_equal(
	    sqlite3_prepare_v2(db, "SELECT hash FROM aside ORDER BY seq DESC", -1, &row, NULL),
	    SQLITE_OK);
	if (sqlite3_step(row) == SQLITE_ROW) {
		assert_int_equal(sqlite3_column_bytes(row, 0), FW_HASH);
		memcpy(head, sqlite3_column_blob(row, 0), FW_HASH);
	}
	sqlite3_finalize(row);
}

static void rehash(sqlite3 *db, bool seals)
{
	uint8_t head[FW_HASH];
	sqlite3_stmt *row, *update;

	head_before(db, head);

	assert_int_equal(sqlite3_prepare_v2(db,
	                                    "SELECT job, seq, kind, step, at, who, ask, typed, value, "
	                                    "hash FROM entry WHERE job = 1 ORDER BY seq",
	                                    -1, &row, NULL),
	                 SQLITE_OK);
	assert_int_equal(sqlite3_prepare_v2(db,
	                                    "UPDATE entry SET value = ?1, prev = ?2, hash = ?3 "
	                                    "WHERE job = 1 AND seq = ?4",
	                                    -1, &update, NULL),
	                 SQLITE_OK);
	while (sqlite3_step(row) == SQLITE_ROW)
		rehash_row(row, update, head, seals);
	sqlite3_finalize(row);
	sqlite3_finalize(update);
}

void bench_tamper(const char *file, const char *sql, enum bench_hand hand)
{
	sqlite3 *db = open_raw(file);

	run_raw(db, "BEGIN");
	run_raw(db, "CREATE TEMP TABLE aside AS SELECT * FROM entry WHERE job = 0;"
	            "DELETE FROM entry WHERE job = 0");
	run_raw(db, sql);
	if (hand != BENCH_PLAIN)
		rehash(db, hand == BENCH_SEALED);
	run_raw(db, "INSERT INTO entry SELECT * FROM aside");
	run_raw(db, "COMMIT");
	sqlite3_close(db);
}

/* Listing. */

/* Bytes of a value without the shop, which is another one in every trail and stands at the end. */
static int without_shop(const char *value)
{
	const char *shop = strstr(value, ",\"shop\":{\"id\"");

	return (int)(shop ? (size_t)(shop - value) : strlen(value));
}

static int list_entry(void *context, const struct fw_entry *e)
{
	FILE *out = context;
	bool sealed = strcmp(e->kind, "sign") == 0 || strcmp(e->kind, "release") == 0 ||
	              strcmp(e->kind, "reopen") == 0;
	const char *value = sealed || !e->value ? "-" : e->value;

	fprintf(out, "%lld\t%s\t%s\t%s\t%s\t%.*s\n", (long long)e->seq, e->kind,
	        e->step ? e->step : "-", e->ask ? e->ask : "-", e->typed ? e->typed : "-",
	        without_shop(value), value);
	return 0;
}

char *bench_listing(struct fw_trail *trail, int64_t job)
{
	struct fw_error error = {0};
	char *text = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&text, &size);

	assert_non_null(out);
	assert_ok(fw_trail_walk(trail, job, list_entry, out, &error));
	fclose(out);
	return text;
}

int64_t bench_entries(struct fw_trail *trail, int64_t job)
{
	struct fw_error error = {0};
	int64_t seq = 0;
	int code = fw_trail_head(trail, job, &seq, NULL, &error);

	if (code == FW_ERR_NOT_FOUND)
		return 0;
	assert_int_equal(code, FW_OK);
	return seq;
}
