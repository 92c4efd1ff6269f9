/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify_store.c  Checks that sources and evidence have their hash, and that entries name
 * them.
 */
#include "trail/verify_internal.h"

#include <string.h>

/* The bytes of the one row, if they are those of the hash. */
static void check_bytes(struct fw_check *check, const struct fw_entry *e, const char *what,
                        sqlite3_stmt *row, const uint8_t hash[FW_HASH], int64_t size,
                        const char *means)
{
	const void *bytes = sqlite3_column_blob(row, 0);
	const int64_t count = sqlite3_column_bytes(row, 0);
	uint8_t again[FW_HASH];

	fw_trail_hash(again, bytes, (size_t)count);
	if (sqlite3_column_type(row, 0) != SQLITE_BLOB || memcmp(again, hash, FW_HASH) != 0)
		fw_check_flaw(check, e->job, e->seq, means, "%s was changed", what);
	else if (size >= 0 && size != count)
		fw_check_flaw(check, e->job, e->seq, means, "%s has %lld bytes, and %lld by its entry",
		              what, (long long)count, (long long)size);
}

int fw_check_named(struct fw_check *check, const struct fw_entry *e, const struct fw_store *store,
                   const char *text, int64_t size, const char *means, struct fw_error *err)
{
	uint8_t hash[FW_HASH];
	char what[160];
	sqlite3_stmt *read;

	if (!fw_hash_parse(hash, text)) {
		fw_check_flaw(check, e->job, e->seq, means, "job %lld names %s '%.70s', which is no hash",
		              (long long)e->job, store->name, text);
		return FW_OK;
	}
	sqlite3_snprintf(sizeof what, what, "%s %.64s of job %lld", store->name, text, e->job);
	int code = fw_sql_get(check->trail, store->read, &read, err);
	if (code)
		return code;
	int rc = fw_bind_blob(read, 1, hash, FW_HASH);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(read);
	if (rc == SQLITE_DONE)
		fw_check_flaw(check, e->job, e->seq, means, "%s is not there", what);
	else if (rc == SQLITE_ROW)
		check_bytes(check, e, what, read, hash, size, means);
	else
		code = fw_check_failed(check, rc, "reading what it stores", err);
	sqlite3_reset(read);
	return code;
}

/* What is stored, and whether an entry names it. */
struct listing {
	const char *sql, *changed, *means;
};

static const struct listing sources = {
    "SELECT s.hash, s.bytes, lower(hex(s.hash)) IN"
    " (SELECT lower(t.value) FROM entry AS e, json_tree(e.value) AS t"
    "  WHERE e.kind = 'begin' AND json_valid(e.value) AND t.key = 'hash' AND t.type = 'text')"
    " FROM source AS s",
    "a procedure or sheet was changed; the jobs that began with it can't be relied on",
    "it was put in later, or the job that began with it was changed or removed"};
static const struct listing evidence = {
    "SELECT s.hash, s.bytes, lower(hex(s.hash)) IN"
    " (SELECT lower(json_extract(value, '$.hash')) FROM entry"
    "  WHERE kind = 'evidence' AND json_valid(value))"
    " FROM evidence AS s",
    "evidence was changed; it can't be relied on",
    "it was put in later, or the entry that named it was changed or removed"};

static void check_stored(struct fw_check *check, const struct listing *list, sqlite3_stmt *row)
{
	uint8_t hash[FW_HASH];
	char text[FW_HASH_TEXT];
	const void *bytes = sqlite3_column_blob(row, 1);

	fw_trail_hash(hash, bytes, (size_t)sqlite3_column_bytes(row, 1));
	fw_hash_text(text, hash);
	const void *key = sqlite3_column_blob(row, 0);
	if (!key || sqlite3_column_bytes(row, 0) != FW_HASH || memcmp(key, hash, FW_HASH) != 0)
		fw_check_flaw(check, 0, 0, list->changed,
		              "the bytes of hash %s are stored under another one", text);
	else if (!sqlite3_column_int(row, 2) && list == &sources)
		fw_check_flaw(check, 0, 0, list->means, "no job began with source %s", text);
	else if (!sqlite3_column_int(row, 2))
		fw_check_flaw(check, 0, 0, list->means, "no entry names evidence %s", text);
}

static int check_store(struct fw_check *check, const struct listing *list, struct fw_error *err)
{
	sqlite3_stmt *row = NULL;
	int rc = sqlite3_prepare_v2(check->trail->db, list->sql, -1, &row, NULL);

	while (rc == SQLITE_OK || rc == SQLITE_ROW) {
		rc = sqlite3_step(row);
		if (rc == SQLITE_ROW)
			check_stored(check, list, row);
	}
	int code =
	    rc == SQLITE_DONE ? FW_OK : fw_check_failed(check, rc, "reading what it stores", err);
	sqlite3_finalize(row);
	return code;
}

int fw_check_stores(struct fw_check *check, struct fw_error *err)
{
	int code = check_store(check, &sources, err);

	return !code && check->trail->format >= 2 ? check_store(check, &evidence, err) : code;
}
