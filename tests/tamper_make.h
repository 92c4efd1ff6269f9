/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file tamper_make.h  A good trail, copies of it to change, and what comes of a change. */
#ifndef FITWRIGHT_TESTS_TAMPER_MAKE_H
#define FITWRIGHT_TESTS_TAMPER_MAKE_H

#include "trail_make.h"

#define JOBS 3

/* The shop's log, two whole jobs, the second with a photo, and one just begun; the first goes on
 * after the third began. The small shop, for what is tried byte by byte, has one whole job and one
 * just begun. */
struct shop {
	int jobs;
	char folder[PATH_MAX], good[PATH_MAX], bad[PATH_MAX];
	char guards[4096]; /* SQL that makes the triggers again, to the letter */
	uint8_t facts[FW_HASH];
	uint8_t heads[JOBS + 1][FW_HASH]; /* by job; that of the shop's log first */
};

/* ---- the facts a reader gets ---- */

struct facts {
	unsigned char *bytes;
	size_t size, room;
};

static inline void add_fact(struct facts *facts, const void *bytes, size_t size)
{
	if (facts->size + size > facts->room) {
		facts->room = 2 * (facts->size + size);
		facts->bytes = realloc(facts->bytes, facts->room);
		assert_non_null(facts->bytes);
	}
	memcpy(facts->bytes + facts->size, bytes, size);
	facts->size += size;
}

static inline int add_entry(void *context, const struct fw_entry *e)
{
	unsigned char bytes[16384];

	add_fact(context, bytes, make_bytes(bytes, e));
	add_fact(context, e->hash, FW_HASH);
	return 0;
}

static inline int add_source(struct facts *facts, struct fw_trail *trail, const char *text)
{
	uint8_t hash[FW_HASH];
	char *bytes;
	size_t size;

	fw_trail_hash(hash, text, strlen(text));
	int code = fw_trail_source(trail, hash, &bytes, &size, NULL);
	if (!code)
		add_fact(facts, bytes, size);
	free(bytes);
	return code;
}

static inline int add_evidence(struct facts *facts, struct fw_trail *trail)
{
	uint8_t hash[FW_HASH];
	char *bytes;
	size_t size;

	fw_trail_hash(hash, make_photo, sizeof make_photo);
	int code = fw_trail_evidence(trail, hash, &bytes, &size, NULL);
	if (!code)
		add_fact(facts, bytes, size);
	free(bytes);
	return code;
}

static inline int add_job(void *context, const struct fw_job_line *line)
{
	add_fact(context, &line->job, sizeof line->job);
	add_fact(context, &line->entries, sizeof line->entries);
	return 0;
}

/* Hash over all that the library reads from a trail; an error of reading is returned. */
static inline int read_facts(struct fw_trail *trail, int jobs, uint8_t out[FW_HASH])
{
	struct facts facts = {0};
	int code = fw_trail_jobs(trail, add_job, &facts, NULL);

	for (int64_t job = FW_SHOP; job <= jobs && !code; job++)
		code = fw_trail_walk(trail, job, add_entry, &facts, NULL);
	if (!code)
		code = add_source(&facts, trail, make_procedure);
	if (!code)
		code = add_source(&facts, trail, make_sheet);
	if (!code)
		code = add_evidence(&facts, trail);
	if (!code)
		fw_trail_hash(out, facts.bytes, facts.size);
	free(facts.bytes);
	return code;
}

/* ---- what comes of a change ---- */

enum outcome { REFUSED, FLAWED, HARMLESS, UNNOTICED, OUTCOMES };

struct tally {
	const char *what;
	unsigned count[OUTCOMES];
};

static inline void print_tally(const struct tally *t)
{
	print_message("  %s: %u refused on opening, %u reported, %u without effect, %u unnoticed\n",
	              t->what, t->count[REFUSED], t->count[FLAWED], t->count[HARMLESS],
	              t->count[UNNOTICED]);
}

static inline enum outcome look_at(const struct shop *shop)
{
	struct fw_trail *trail = NULL;
	uint8_t facts[FW_HASH];
	size_t flaws = 0;

	if (fw_trail_open(&trail, shop->bad, FW_TRAIL_READ, NULL))
		return REFUSED;
	int code = fw_trail_verify(trail, FW_VERIFY_ALL, NULL, NULL, &flaws, NULL);
	int read = flaws || code ? 0 : read_facts(trail, shop->jobs, facts);
	fw_trail_close(trail);
	if (code || flaws || read)
		return FLAWED;
	return memcmp(facts, shop->facts, FW_HASH) == 0 ? HARMLESS : UNNOTICED;
}

static inline enum outcome tally(struct tally *t, const struct shop *shop)
{
	enum outcome outcome = look_at(shop);

	t->count[outcome]++;
	return outcome;
}

static inline unsigned char *read_file(const char *file, size_t *size)
{
	struct stat status;
	FILE *f = fopen(file, "rb");

	assert_non_null(f);
	assert_int_equal(fstat(fileno(f), &status), 0);
	*size = (size_t)status.st_size;
	unsigned char *bytes = malloc(*size + 1);
	assert_non_null(bytes);
	assert_int_equal(fread(bytes, 1, *size, f), *size);
	fclose(f);
	return bytes;
}

static inline void write_file(const char *file, const unsigned char *bytes, size_t size)
{
	FILE *f = fopen(file, "wb");

	assert_non_null(f);
	assert_int_equal(fwrite(bytes, 1, size, f), size);
	assert_int_equal(fclose(f), 0);
}

static inline void copy_good(const struct shop *shop)
{
	size_t size;
	unsigned char *bytes = read_file(shop->good, &size);

	write_file(shop->bad, bytes, size);
	free(bytes);
}

static inline void drop_triggers(sqlite3 *db)
{
	static const char *const names[] = {
	    "entry_not_changed",    "entry_not_deleted",    "entry_not_replaced",
	    "source_not_changed",   "source_not_deleted",   "source_not_replaced",
	    "evidence_not_changed", "evidence_not_deleted", "evidence_not_replaced"};
	char sql[128];

	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		snprintf(sql, sizeof sql, "DROP TRIGGER %s", names[i]);
		assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
	}
}

/* A fresh copy with the guards taken away. */
static inline sqlite3 *take_guards(const struct shop *shop)
{
	sqlite3 *db;

	copy_good(shop);
	assert_int_equal(sqlite3_open_v2(shop->bad, &db, SQLITE_OPEN_READWRITE, NULL), SQLITE_OK);
	assert_int_equal(
	    sqlite3_exec(db, "PRAGMA synchronous = OFF; PRAGMA ignore_check_constraints = ON; BEGIN",
	                 NULL, NULL, NULL),
	    SQLITE_OK);
	drop_triggers(db);
	return db;
}

/* The guards are put back to the letter, so that only the data is changed. */
static inline void put_guards(const struct shop *shop, sqlite3 *db)
{
	assert_int_equal(sqlite3_exec(db, shop->guards, NULL, NULL, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_exec(db, "COMMIT", NULL, NULL, NULL), SQLITE_OK);
	sqlite3_close(db);
}

static inline void run(sqlite3 *db, const char *sql)
{
	if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK)
		fail_msg("%s: %s", sql, sqlite3_errmsg(db));
}

static inline enum outcome tamper(struct tally *t, const struct shop *shop, const char *sql)
{
	sqlite3 *db = take_guards(shop);

	run(db, sql);
	put_guards(shop, db);
	return tally(t, shop);
}

/* ---- the shop ---- */

static inline void fill_shop(struct shop *shop, struct fw_trail *trail)
{
	struct fw_entry late = make_entry("answer", make_reading_ask, "0.41", make_reading_value);

	make_log(trail);
	make_whole_job(trail, "gearbox 4-118");
	if (shop->jobs == JOBS)
		make_whole_job(trail, "gearbox 4-119");
	make_attached(trail, shop->jobs - 1);
	make_job(trail, "gearbox 4-120");
	make_append(trail, 1, &late);
}

static inline struct shop *make_shop(int jobs)
{
	static const char guards[] =
	    "SELECT group_concat(sql, ';') FROM sqlite_schema WHERE type = 'trigger'";
	struct shop *shop = calloc(1, sizeof *shop);
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	assert_non_null(shop);
	shop->jobs = jobs;
	make_folder(shop->folder);
	make_name(shop->good, shop->folder, "good.db");
	make_name(shop->bad, shop->folder, "bad.db");
	assert_ok(fw_trail_open(&trail, shop->good, FW_TRAIL_CREATE, &error));
	fill_shop(shop, trail);
	assert_int_equal(read_facts(trail, jobs, shop->facts), FW_OK);
	for (int job = FW_SHOP; job <= jobs; job++)
		assert_ok(fw_trail_head(trail, job, NULL, shop->heads[job], &error));
	fw_trail_close(trail);
	make_ask(shop->good, guards, shop->guards, sizeof shop->guards);
	return shop;
}

/* Once for all tests: each changes a copy. */
static inline int set_up(void **state)
{
	*state = make_shop(JOBS);
	return 0;
}

static inline int set_up_small(void **state)
{
	*state = make_shop(2);
	return 0;
}

static inline int tear_down(void **state)
{
	struct shop *shop = *state;

	make_gone(shop->good);
	make_gone(shop->bad);
	rmdir(shop->folder);
	free(shop);
	return 0;
}

#endif
