/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "patient.h"

#include "trail_make.h"

#define ENTRIES_MOST 512

/* Hashes as they were and as they are now. */
struct renamed {
	char old[FW_HASH_TEXT], now[FW_HASH_TEXT];
};

struct patient {
	sqlite3 *db;
	struct renamed list[ENTRIES_MOST];
	size_t count;
	int64_t job;
	uint8_t head[FW_HASH];
};

static void run(sqlite3 *db, const char *sql)
{
	char *why = NULL;

	if (sqlite3_exec(db, sql, NULL, NULL, &why) != SQLITE_OK)
		fail_msg("%s: %s", sql, why ? why : "?");
}

static const char *text_at(sqlite3_stmt *row, int column)
{
	return (const char *)sqlite3_column_text(row, column);
}

/* The value with the new hash wherever it names an old one; malloc'ed. */
static char *renamed_value(const struct patient *p, const char *value)
{
	char *out = strdup(value);

	assert_non_null(out);
	for (size_t i = 0; i < p->count; i++)
		for (char *at = out; (at = strstr(at, p->list[i].old)) != NULL; at += FW_HASH_TEXT - 1)
			memcpy(at, p->list[i].now, FW_HASH_TEXT - 1);
	return out;
}

static void remember(struct patient *p, const void *old, const uint8_t now[FW_HASH])
{
	uint8_t before[FW_HASH];

	assert_true(p->count < ENTRIES_MOST);
	memcpy(before, old, FW_HASH);
	fw_hash_text(p->list[p->count].old, before);
	fw_hash_text(p->list[p->count].now, now);
	p->count++;
}

/* The first entry of a job links to what the entry it linked to is now. */
static void link_first(struct patient *p, sqlite3_stmt *row)
{
	char old[FW_HASH_TEXT];

	p->job = sqlite3_column_int64(row, 0);
	memcpy(p->head, sqlite3_column_blob(row, 9), FW_HASH);
	fw_hash_text(old, p->head);
	for (size_t i = 0; i < p->count; i++)
		if (strcmp(p->list[i].old, old) == 0)
			assert_true(fw_hash_parse(p->head, p->list[i].now));
}

static void rehash_row(struct patient *p, sqlite3_stmt *row, sqlite3_stmt *update)
{
	static unsigned char bytes[1 << 20];

	if (p->count == 0 || p->job != sqlite3_column_int64(row, 0))
		link_first(p, row);
	char *value = text_at(row, 8) ? renamed_value(p, text_at(row, 8)) : NULL;
	struct fw_entry e = {.job = sqlite3_column_int64(row, 0),
	                     .seq = sqlite3_column_int64(row, 1),
	                     .kind = text_at(row, 2),
	                     .step = text_at(row, 3),
	                     .at = text_at(row, 4),
	                     .who = text_at(row, 5),
	                     .ask = text_at(row, 6),
	                     .typed = text_at(row, 7),
	                     .value = value};
	memcpy(e.prev, p->head, FW_HASH);
	fw_trail_hash(e.hash, bytes, make_bytes(bytes, &e));
	remember(p, sqlite3_column_blob(row, 10), e.hash);
	sqlite3_bind_text(update, 1, value, -1, SQLITE_TRANSIENT);
	sqlite3_bind_blob(update, 2, e.prev, FW_HASH, SQLITE_TRANSIENT);
	sqlite3_bind_blob(update, 3, e.hash, FW_HASH, SQLITE_TRANSIENT);
	sqlite3_bind_int64(update, 4, e.job);
	sqlite3_bind_int64(update, 5, e.seq);
	assert_int_equal(sqlite3_step(update), SQLITE_DONE);
	sqlite3_reset(update);
	memcpy(p->head, e.hash, FW_HASH);
	free(value);
}

static void rehash(sqlite3 *db)
{
	static struct patient p;
	sqlite3_stmt *row, *update;

	memset(&p, 0, sizeof p);
	p.db = db;
	assert_int_equal(
	    sqlite3_prepare_v2(db,
	                       "SELECT job, seq, kind, step, at, who, ask, typed, value, prev, hash"
	                       " FROM aside ORDER BY job, seq",
	                       -1, &row, NULL),
	    SQLITE_OK);
	assert_int_equal(sqlite3_prepare_v2(db,
	                                    "UPDATE entry SET value = ?1, prev = ?2, hash = ?3"
	                                    " WHERE job = ?4 AND seq = ?5",
	                                    -1, &update, NULL),
	                 SQLITE_OK);
	while (sqlite3_step(row) == SQLITE_ROW)
		rehash_row(&p, row, update);
	sqlite3_finalize(row);
	sqlite3_finalize(update);
}

void patient_change(const char *file, const char *sql, bool patient)
{
	sqlite3 *db;

	assert_int_equal(sqlite3_open_v2(file, &db, SQLITE_OPEN_READWRITE, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL), SQLITE_OK);
	run(db, "PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY; PRAGMA "
	        "ignore_check_constraints = ON; BEGIN");
	run(db, sql);
	if (patient) {
		run(db, "CREATE TEMP TABLE aside AS SELECT * FROM entry"); /* read while it is written */
		rehash(db);
	}
	run(db, "COMMIT");
	sqlite3_close(db);
}
