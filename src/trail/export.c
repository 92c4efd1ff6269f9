/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file export.c  One job as a file of its own, with the shop's log and all that the job names. */
#include "trail/trail_internal.h"

#include <string.h>

struct excerpt {
	struct fw_trail *trail;
	const struct fw_fresh *fresh;
	sqlite3 *db; /* of the new file */
	int64_t job;
};

static int open_new(struct excerpt *excerpt, struct fw_error *err)
{
	static const char plain[] = "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; BEGIN";
	int code =
	    sqlite3_open_v2(excerpt->fresh->temporary, &excerpt->db,
	                    SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE | SQLITE_OPEN_READWRITE, NULL);

	if (code == SQLITE_OK)
		code = sqlite3_exec(excerpt->db, plain, NULL, NULL, NULL);
	if (code == SQLITE_OK)
		code = fw_schema_fill(excerpt->db, FW_TRAIL_EXCERPT);
	return code == SQLITE_OK ? FW_OK : fw_fresh_fail(excerpt->fresh, excerpt->db, code, err);
}

/* The row as it is, column by column, with the types it has. */
static int copy_row(const struct excerpt *excerpt, sqlite3_stmt *from, sqlite3_stmt *to,
                    struct fw_error *err)
{
	int rc = SQLITE_OK;

	for (int i = 0; i < sqlite3_column_count(from) && rc == SQLITE_OK; i++)
		rc = sqlite3_bind_value(to, i + 1, sqlite3_column_value(from, i));
	if (rc == SQLITE_OK) {
		rc = sqlite3_step(to);
		rc = rc == SQLITE_DONE ? SQLITE_OK : rc;
	}
	sqlite3_reset(to);
	sqlite3_clear_bindings(to);
	return rc == SQLITE_OK ? FW_OK : fw_fresh_fail(excerpt->fresh, excerpt->db, rc, err);
}

static int copy_rows(const struct excerpt *excerpt, const char *select, const char *insert,
                     int64_t *copied, struct fw_error *err)
{
	sqlite3_stmt *from = NULL, *to = NULL;
	int code = fw_sql_prepare(excerpt->trail, select, &from, err);
	int rc = code ? SQLITE_OK : sqlite3_bind_int64(from, 1, excerpt->job);

	*copied = 0;
	if (!code && rc == SQLITE_OK && sqlite3_prepare_v2(excerpt->db, insert, -1, &to, NULL))
		code = fw_fresh_fail(excerpt->fresh, excerpt->db, sqlite3_errcode(excerpt->db), err);
	while (!code && rc == SQLITE_OK && (rc = sqlite3_step(from)) == SQLITE_ROW) {
		code = copy_row(excerpt, from, to, err);
		++*copied;
		rc = SQLITE_OK;
	}
	if (!code && rc != SQLITE_DONE)
		code = fw_sql_fail(excerpt->trail, rc, "reading what to copy", err);
	sqlite3_finalize(from);
	sqlite3_finalize(to);
	return code;
}

/* The log of the shop, whole; and of the job what there is now. */
static const char shop_entries[] =
    "SELECT " FW_ENTRY_COLUMNS " FROM entry WHERE job = 0 AND ?1 > 0 ORDER BY seq";
static const char job_entries[] =
    "SELECT " FW_ENTRY_COLUMNS " FROM entry WHERE job = ?1 ORDER BY seq";
static const char insert_entry[] =
    "INSERT INTO entry (" FW_ENTRY_COLUMNS ") VALUES (?,?,?,?,?,?,?,?,?,?,?)";
/* Exactly those that are named: each hash in what the job began with, and of each evidence. */
static const char sources[] =
    "SELECT s.hash, s.bytes FROM source AS s WHERE lower(hex(s.hash)) IN"
    " (SELECT lower(t.value) FROM entry AS e, json_tree(e.value) AS t"
    "  WHERE e.job = ?1 AND e.kind = 'begin' AND json_valid(e.value) AND t.key = 'hash'"
    "  AND t.type = 'text')";
static const char evidence[] =
    "SELECT v.hash, v.bytes FROM evidence AS v WHERE lower(hex(v.hash)) IN"
    " (SELECT lower(json_extract(e.value, '$.hash')) FROM entry AS e"
    "  WHERE e.job = ?1 AND e.kind = 'evidence' AND json_valid(e.value))";
static const char insert_source[] = "INSERT INTO source (hash, bytes) VALUES (?, ?)";
static const char insert_evidence[] = "INSERT INTO evidence (hash, bytes) VALUES (?, ?)";

static int copy_all(const struct excerpt *excerpt, struct fw_error *err)
{
	int64_t copied;
	int code = copy_rows(excerpt, shop_entries, insert_entry, &copied, err);

	if (!code)
		code = copy_rows(excerpt, job_entries, insert_entry, &copied, err);
	if (!code && copied == 0)
		code = fw_fail(err, FW_ERR_NOT_FOUND, "trail %s has no job %lld", excerpt->trail->path,
		               (long long)excerpt->job);
	if (!code)
		code = copy_rows(excerpt, sources, insert_source, &copied, err);
	if (!code)
		code = copy_rows(excerpt, evidence, insert_evidence, &copied, err);
	return code;
}

/* All of it as it is at one moment, whoever writes meanwhile. */
static int copy_at_once(const struct excerpt *excerpt, struct fw_error *err)
{
	const bool alone = sqlite3_get_autocommit(excerpt->trail->db) != 0; /* not within a walk */
	int code = alone ? fw_read_begin(excerpt->trail, err) : FW_OK;

	if (code)
		return code;
	code = copy_all(excerpt, err);
	if (alone)
		fw_read_end(excerpt->trail, FW_OK);
	if (!code && sqlite3_exec(excerpt->db, "COMMIT", NULL, NULL, NULL) != SQLITE_OK)
		code = fw_fresh_fail(excerpt->fresh, excerpt->db, sqlite3_errcode(excerpt->db), err);
	return code;
}

int fw_trail_export(struct fw_trail *trail, int64_t job, const char *path, struct fw_error *err)
{
	struct fw_fresh fresh;
	struct excerpt excerpt = {trail, &fresh, NULL, job};

	if (job < 1)
		return fw_fail(err, FW_ERR_ARGUMENT, "an excerpt is of one job, from 1");
	if (trail->format < FW_TRAIL_FORMAT)
		return fw_fail(err, FW_ERR_STATE,
		               "trail %s has format %d; bring it up to date first, by opening it once for "
		               "writing",
		               trail->path, trail->format);
	int code = fw_fresh_open(&fresh, trail, path, err);
	if (code)
		return code;
	code = open_new(&excerpt, err);
	if (!code)
		code = copy_at_once(&excerpt, err);
	if (sqlite3_close(excerpt.db) != SQLITE_OK && !code)
		code = fw_fail(err, FW_ERR_TRAIL, "%s: can't be closed", fresh.path);
	if (!code)
		code = fw_fresh_check(&fresh, err);
	if (!code)
		code = fw_fresh_settle(&fresh, err);
	fw_fresh_abandon(&fresh);
	return code;
}
