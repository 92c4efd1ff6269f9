/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file statement.c  Statements prepared once per handle, and what SQLite's codes mean to us. */
#include "trail/trail_internal.h"

#include <string.h>

static const char *const texts[FW_SQL_COUNT] = {
    [FW_SQL_BEGIN] = "BEGIN",
    [FW_SQL_BEGIN_WRITE] = "BEGIN IMMEDIATE",
    [FW_SQL_COMMIT] = "COMMIT",
    [FW_SQL_ROLLBACK] = "ROLLBACK",
    [FW_SQL_COOKIE] = "PRAGMA schema_version",
    [FW_SQL_JSON_VALID] = "SELECT ?1 IS NULL OR json_valid(?1), ?2 IS NULL OR json_valid(?2)",
    [FW_SQL_ENTRY_INSERT] =
        ("INSERT INTO entry (" FW_ENTRY_COLUMNS ") VALUES (?,?,?,?,?,?,?,?,?,?,?)"),
    [FW_SQL_ENTRY_READ] = ("SELECT " FW_ENTRY_COLUMNS " FROM entry WHERE job = ? AND seq = ?"),
    [FW_SQL_JOB_ENTRIES] = ("SELECT " FW_ENTRY_COLUMNS " FROM entry WHERE job = ? ORDER BY seq"),
    [FW_SQL_JOB_END] = "SELECT seq, hash FROM entry WHERE job = ? ORDER BY seq DESC LIMIT 1",
    [FW_SQL_TRAIL_END] = "SELECT job, hash FROM entry ORDER BY job DESC, seq DESC LIMIT 1",
    [FW_SQL_FIND_HASH] = "SELECT at FROM entry WHERE job = ? AND hash = ?",
    [FW_SQL_SOURCE_INSERT] = "INSERT INTO source (hash, bytes) VALUES (?, ?)",
    [FW_SQL_SOURCE_READ] = "SELECT bytes FROM source WHERE hash = ?",
    [FW_SQL_EVIDENCE_INSERT] = "INSERT INTO evidence (hash, bytes) VALUES (?, ?)",
    [FW_SQL_EVIDENCE_READ] = "SELECT bytes FROM evidence WHERE hash = ?",
    [FW_SQL_EVIDENCE_NAMED] = ("SELECT CASE WHEN json_valid(?1) THEN"
                               " lower(json_extract(?1, '$.hash')) IS ?2"
                               " AND json_extract(?1, '$.size') IS ?3 ELSE 0 END"),
    [FW_SQL_VALUE_SHOP] = ("SELECT json_extract(value, '$.from'), json_extract(value, '$.jobs'),"
                           " json_extract(value, '$.head') FROM entry"
                           " WHERE job = 0 AND seq = 1 AND kind = 'shop' AND json_valid(value)"),
    [FW_SQL_VALUE_COVERS] =
        ("SELECT json_type(?1, '$.count') IS NULL OR json_extract(?1, '$.count') IS ?2,"
         " json_type(?1, '$.head') IS NULL OR lower(json_extract(?1, '$.head')) IS ?3"),
    [FW_SQL_VALUE_OF_SHOP] =
        ("SELECT json_extract(?1, '$.shop.count'), lower(json_extract(?1, '$.shop.head')),"
         " json_extract(?1, '$.shop.id') WHERE json_type(?1, '$.shop') = 'object'"),
    [FW_SQL_VALUE_SOURCES] = ("SELECT t.value FROM json_tree(?1) AS t"
                              " WHERE t.key = 'hash' AND t.type = 'text'"),
    [FW_SQL_VALUE_EVIDENCE] = "SELECT json_extract(?1, '$.hash'), json_extract(?1, '$.size')",
};

const char *fw_sql_text(enum fw_sql which)
{
	return texts[which];
}

int fw_sql_get(struct fw_trail *trail, enum fw_sql which, sqlite3_stmt **out, struct fw_error *err)
{
	sqlite3_stmt **slot = &trail->statements[which];

	*out = NULL;
	if (!*slot) {
		int code =
		    sqlite3_prepare_v3(trail->db, texts[which], -1, SQLITE_PREPARE_PERSISTENT, slot, NULL);
		if (code != SQLITE_OK)
			return fw_sql_fail(trail, code, "preparing a statement", err);
	}
	sqlite3_reset(*slot);
	*out = *slot;
	return FW_OK;
}

int fw_sql_prepare(struct fw_trail *trail, const char *text, sqlite3_stmt **out,
                   struct fw_error *err)
{
	int code = sqlite3_prepare_v2(trail->db, text, -1, out, NULL);

	return code == SQLITE_OK ? FW_OK : fw_sql_fail(trail, code, "preparing a statement", err);
}

int fw_sql_run(struct fw_trail *trail, enum fw_sql which, const char *doing, struct fw_error *err)
{
	sqlite3_stmt *statement;
	int code = fw_sql_get(trail, which, &statement, err);

	if (code)
		return code;
	int step = sqlite3_step(statement);
	if (step != SQLITE_DONE && step != SQLITE_ROW)
		code = fw_sql_fail(trail, step, doing, err);
	sqlite3_reset(statement);
	return code;
}

int fw_bind_text(sqlite3_stmt *statement, int column, const char *text)
{
	if (!text)
		return sqlite3_bind_null(statement, column);
	return sqlite3_bind_text64(statement, column, text, strlen(text), SQLITE_STATIC, SQLITE_UTF8);
}

int fw_bind_blob(sqlite3_stmt *statement, int column, const void *bytes, size_t size)
{
	return sqlite3_bind_blob64(statement, column, bytes ? bytes : "", size, SQLITE_STATIC);
}

/* What to say and do; the text of SQLite itself goes behind where it helps a person who looks. */
static const struct {
	int sqlite, code;
	bool disk, quote;
	const char *advice;
} meanings[] = {
    {SQLITE_READONLY_ROLLBACK, FW_ERR_TRAIL, false, false,
     "the last write to it was interrupted; open it once for writing, or read a good copy"},
    {SQLITE_READONLY_DBMOVED, FW_ERR_TRAIL, true, false,
     "the file was moved or removed while it was open; open it again where it is now"},
    {SQLITE_IOERR_NOMEM, FW_ERR_MEMORY, true, false, "out of memory"},
    {SQLITE_BUSY, FW_ERR_BUSY, false, false, "another program is using it; try again"},
    {SQLITE_LOCKED, FW_ERR_BUSY, false, false, "another program is using it; try again"},
    {SQLITE_NOMEM, FW_ERR_MEMORY, false, false, "out of memory"},
    {SQLITE_CONSTRAINT, FW_ERR_ARGUMENT, false, true, "refused"},
    {SQLITE_TOOBIG, FW_ERR_ARGUMENT, false, false, "too long to be kept"},
    {SQLITE_FULL, FW_ERR_TRAIL, true, false,
     "no room left on the disk; make room, then open the trail again"},
    {SQLITE_IOERR, FW_ERR_TRAIL, true, true,
     "the disk failed; open the trail again and look at what it holds"},
    {SQLITE_READONLY, FW_ERR_TRAIL, false, false,
     "it can't be written; look at the permissions of the file and its folder"},
    {SQLITE_CANTOPEN, FW_ERR_TRAIL, false, true,
     "it can't be opened; look at the permissions of the file and its folder"},
    {SQLITE_NOTADB, FW_ERR_TRAIL, true, false,
     "this is not a trail; name another file, or bring a good copy back"},
    {SQLITE_CORRUPT, FW_ERR_TRAIL, true, true,
     "the file is damaged; keep it as it is, and go on with a good copy"},
};

int fw_sql_fail(struct fw_trail *trail, int code, const char *doing, struct fw_error *err)
{
	const bool of_db = trail->db && sqlite3_extended_errcode(trail->db) == code;
	const char *said = of_db ? sqlite3_errmsg(trail->db) : sqlite3_errstr(code);

	for (size_t i = 0; i < sizeof meanings / sizeof *meanings; i++) {
		if (meanings[i].sqlite != code && meanings[i].sqlite != (code & 0xff))
			continue;
		if (meanings[i].disk && trail->writing)
			trail->failed = true;
		if (meanings[i].quote)
			return fw_fail(err, meanings[i].code, "trail %s: %s: %s (%s)", trail->path, doing,
			               meanings[i].advice, said);
		return fw_fail(err, meanings[i].code, "trail %s: %s: %s", trail->path, doing,
		               meanings[i].advice);
	}
	return fw_fail(err, FW_ERR_TRAIL, "trail %s: %s: %s", trail->path, doing, said);
}
