/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file schema.c  Makes the schema of a trail, and compares a file's schema with it to the letter.
 */
#include "trail/trail_internal.h"

#include <stdio.h>
#include <string.h>

#define LIST "SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY type, name"

static int apply(sqlite3 *db, int from, int to)
{
	int code = SQLITE_OK;

	for (const struct fw_migration *m = fw_migrations; m->version && code == SQLITE_OK; m++) {
		if (m->version <= from || m->version > to)
			continue;
		for (const char *const *sql = m->statements; *sql && code == SQLITE_OK; sql++)
			code = sqlite3_exec(db, *sql, NULL, NULL, NULL);
	}
	return code;
}

int fw_schema_create(struct fw_trail *trail, struct fw_error *err)
{
	char numbers[96];
	int code = apply(trail->db, 0, FW_TRAIL_FORMAT);

	snprintf(numbers, sizeof numbers, "PRAGMA application_id = %d; PRAGMA user_version = %d",
	         FW_TRAIL_APPLICATION, FW_TRAIL_FORMAT);
	if (code == SQLITE_OK)
		code = sqlite3_exec(trail->db, numbers, NULL, NULL, NULL);
	return code == SQLITE_OK ? FW_OK : fw_sql_fail(trail, code, "making its tables", err);
}

static const char *column(sqlite3_stmt *list, int i)
{
	const char *text = (const char *)sqlite3_column_text(list, i);
	return text ? text : "";
}

static int differs(struct fw_trail *trail, sqlite3_stmt *at, const char *how, struct fw_error *err)
{
	return fw_fail(
	    err, FW_ERR_TRAIL,
	    "trail %s: its %s '%.80s' %s; another program has worked on the file: keep it as "
	    "it is, and go on with a good copy",
	    trail->path, column(at, 0), column(at, 1), how);
}

static bool row_equal(sqlite3_stmt *a, sqlite3_stmt *b)
{
	for (int i = 0; i < 4; i++) {
		int size = sqlite3_column_bytes(a, i);
		if (strcmp(column(a, i), column(b, i)) != 0 || size != sqlite3_column_bytes(b, i))
			return false;
	}
	return true;
}

/* -1, 0, 1 as the object in `a` comes before, is, or comes after that in `b`. */
static int order(sqlite3_stmt *a, bool more_a, sqlite3_stmt *b, bool more_b)
{
	if (!more_a || !more_b)
		return more_b - more_a;
	int by_type = strcmp(column(a, 0), column(b, 0));
	int by_name = by_type ? by_type : strcmp(column(a, 1), column(b, 1));
	return (by_name > 0) - (by_name < 0);
}

static int compare(struct fw_trail *trail, sqlite3_stmt *ours, sqlite3_stmt *theirs,
                   struct fw_error *err)
{
	for (;;) {
		int a = sqlite3_step(ours), b = sqlite3_step(theirs);
		if (a != SQLITE_ROW && a != SQLITE_DONE)
			return fw_fail(err, FW_ERR_MEMORY, "out of memory");
		if (b != SQLITE_ROW && b != SQLITE_DONE)
			return fw_sql_fail(trail, b, "reading its schema", err);
		if (a == SQLITE_DONE && b == SQLITE_DONE)
			return FW_OK;
		int which = order(ours, a == SQLITE_ROW, theirs, b == SQLITE_ROW);
		if (which < 0)
			return differs(trail, ours, "is missing", err);
		if (which > 0)
			return differs(trail, theirs, "does not belong in a trail", err);
		if (!row_equal(ours, theirs))
			return differs(trail, ours, "was changed", err);
	}
}

/* The schema of `version`, made in memory: the text that SQLite itself keeps of it is what counts.
 */
static int make_reference(sqlite3 **db, int version, sqlite3_stmt **list, struct fw_error *err)
{
	int code = sqlite3_open_v2(
	    ":memory:", db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, NULL);
	if (code == SQLITE_OK)
		code = apply(*db, 0, version);
	if (code == SQLITE_OK)
		code = sqlite3_prepare_v2(*db, LIST, -1, list, NULL);
	if (code == SQLITE_OK)
		return FW_OK;
	return fw_fail(err, code == SQLITE_NOMEM ? FW_ERR_MEMORY : FW_ERR_TRAIL,
	               "can't make the schema to compare with: %s", sqlite3_errstr(code));
}

int fw_schema_compare(struct fw_trail *trail, int version, struct fw_error *err)
{
	sqlite3 *reference = NULL;
	sqlite3_stmt *ours = NULL, *theirs = NULL;
	int code = make_reference(&reference, version, &ours, err);

	if (!code)
		code = fw_sql_prepare(trail, LIST, &theirs, err);
	if (!code)
		code = compare(trail, ours, theirs, err);
	sqlite3_finalize(theirs);
	sqlite3_finalize(ours);
	sqlite3_close(reference);
	return code;
}
