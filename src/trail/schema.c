/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file schema.c  Makes the schema of a trail, and compares a file's schema with it to the letter.
 */
#include "trail/trail_internal.h"

#include <stdio.h>
#include <string.h>

/* Most objects a version has; a bit each. */
#define OBJECTS_MOST 64
#define NAME_MOST    64

int fw_schema_create(struct fw_trail *trail, struct fw_error *err)
{
	char numbers[96];
	int code = SQLITE_OK;

	for (const struct fw_migration *m = fw_migrations; m->version && code == SQLITE_OK; m++) {
		for (const char *const *sql = m->statements; *sql && code == SQLITE_OK; sql++)
			code = sqlite3_exec(trail->db, *sql, NULL, NULL, NULL);
	}
	snprintf(numbers, sizeof numbers, "PRAGMA application_id = %d; PRAGMA user_version = %d",
	         FW_TRAIL_APPLICATION, FW_TRAIL_FORMAT);
	if (code == SQLITE_OK)
		code = sqlite3_exec(trail->db, numbers, NULL, NULL, NULL);
	return code == SQLITE_OK ? FW_OK : fw_sql_fail(trail, code, "making its tables", err);
}

/* What SQLite keeps of an object: its type, its name, the table it is on, and its text. */
struct object {
	char type[NAME_MOST], name[NAME_MOST], table[NAME_MOST];
};

/* Reads the first words of "CREATE TABLE name", "CREATE TRIGGER name BEFORE UPDATE ON table". */
static void read_object(struct object *out, const char *sql)
{
	memset(out, 0, sizeof *out);
	if (sscanf(sql, "CREATE %63s %63s BEFORE %*s ON %63s", out->type, out->name, out->table) < 3)
		memcpy(out->table, out->name, sizeof out->table);
	for (char *c = out->type; *c; c++) {
		if (*c >= 'A' && *c <= 'Z')
			*c = (char)(*c - 'A' + 'a');
	}
}

static const char *column(sqlite3_stmt *row, int i)
{
	const char *text = (const char *)sqlite3_column_text(row, i);
	return text ? text : "";
}

static int differs(const struct fw_trail *trail, const char *type, const char *name,
                   const char *how, struct fw_error *err)
{
	return fw_fail(
	    err, FW_ERR_TRAIL,
	    "trail %s: its %.20s '%.80s' %s; another program has worked on the file: keep it as "
	    "it is, and go on with a good copy",
	    trail->path, type, name, how);
}

static bool is_named(const char *const *ours, const char *type, const char *name)
{
	struct object object;

	for (size_t i = 0; i < OBJECTS_MOST && ours[i]; i++) {
		read_object(&object, ours[i]);
		if (strcmp(object.type, type) == 0 && strcmp(object.name, name) == 0)
			return true;
	}
	return false;
}

/* Finds the object of a row of sqlite_schema among ours, by its text, and marks it in `seen`. */
static int match(const struct fw_trail *trail, const char *const *ours, sqlite3_stmt *row,
                 uint64_t *seen, struct fw_error *err)
{
	const char *type = column(row, 0), *name = column(row, 1), *sql = column(row, 3);
	struct object object = {0};
	size_t i = 0;

	while (i < OBJECTS_MOST && ours[i] && strcmp(ours[i], sql) != 0)
		i++;
	if (i < OBJECTS_MOST && ours[i])
		read_object(&object, ours[i]);
	if (strcmp(object.type, type) != 0 || strcmp(object.name, name) != 0 ||
	    strcmp(object.table, column(row, 2)) != 0 ||
	    (size_t)sqlite3_column_bytes(row, 3) != strlen(sql))
		return differs(trail, type, name,
		               is_named(ours, type, name) ? "was changed" : "does not belong in a trail",
		               err);
	*seen |= UINT64_C(1) << i;
	return FW_OK;
}

static int find_missing(const struct fw_trail *trail, const char *const *ours, uint64_t seen,
                        struct fw_error *err)
{
	struct object object;

	for (size_t i = 0; i < OBJECTS_MOST && ours[i]; i++) {
		if (seen >> i & 1)
			continue;
		read_object(&object, ours[i]);
		return differs(trail, object.type, object.name, "is missing", err);
	}
	return FW_OK;
}

static const char *const *schema_of(int version)
{
	const struct fw_migration *m = fw_migrations;

	while (m->version && m->version != version)
		m++;
	return m->schema;
}

int fw_schema_compare(struct fw_trail *trail, int version, struct fw_error *err)
{
	const char *const *ours = schema_of(version);
	sqlite3_stmt *row = NULL;
	uint64_t seen = 0;
	int rc = SQLITE_ROW;

	if (!ours)
		return fw_fail(err, FW_ERR_TRAIL, "trail %s: format %d is not known", trail->path, version);
	int code =
	    fw_sql_prepare(trail, "SELECT type, name, tbl_name, sql FROM sqlite_schema", &row, err);
	while (!code && (rc = sqlite3_step(row)) == SQLITE_ROW)
		code = match(trail, ours, row, &seen, err);
	if (!code && rc != SQLITE_DONE)
		code = fw_sql_fail(trail, rc, "reading its schema", err);
	if (!code)
		code = find_missing(trail, ours, seen, err);
	sqlite3_finalize(row);
	return code;
}
