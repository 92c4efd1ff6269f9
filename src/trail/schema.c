/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file schema.c  Makes the schema of a trail, compares a file's with it to the letter, brings an
 * earlier one up to date. */
#include "trail/schema_text.h"
#include "trail/trail_internal.h"

#include <stdio.h>
#include <string.h>

/* Most objects a version has; a bit each. */
#define OBJECTS_MOST 64
#define NAME_MOST    64

static const struct {
	int format;
	const char *const *schema;
} formats[] = {{1, fw_schema_1}, {2, fw_schema_2}};

static const char *const *schema_of(int format)
{
	for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
		if (formats[i].format == format)
			return formats[i].schema;
	}
	return NULL;
}

int fw_schema_fill(sqlite3 *db, int application)
{
	char numbers[96];
	int code = SQLITE_OK;

	for (const char *const *sql = fw_schema_2; *sql && code == SQLITE_OK; sql++)
		code = sqlite3_exec(db, *sql, NULL, NULL, NULL);
	snprintf(numbers, sizeof numbers, "PRAGMA application_id = %d; PRAGMA user_version = %d",
	         application, FW_TRAIL_FORMAT);
	return code == SQLITE_OK ? sqlite3_exec(db, numbers, NULL, NULL, NULL) : code;
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

static bool is_listed(const char *const *list, const char *sql)
{
	while (*list && strcmp(*list, sql) != 0)
		list++;
	return *list != NULL;
}

static bool is_table(const char *sql)
{
	return strncmp(sql, "CREATE TABLE ", 13) == 0;
}

static int drop_all_but_tables(sqlite3 *db, const char *const *schema)
{
	char sql[2 * NAME_MOST + 8];
	struct object object;
	int rc = SQLITE_OK;

	for (; *schema && rc == SQLITE_OK; schema++) {
		if (is_table(*schema))
			continue;
		read_object(&object, *schema);
		snprintf(sql, sizeof sql, "DROP %s %s", object.type, object.name);
		rc = sqlite3_exec(db, sql, NULL, NULL, NULL);
	}
	return rc;
}

static int make_missing(sqlite3 *db, const char *const *wanted, const char *const *there,
                        bool tables)
{
	int rc = SQLITE_OK;

	for (; *wanted && rc == SQLITE_OK; wanted++) {
		if (is_table(*wanted) == tables && !(tables && is_listed(there, *wanted)))
			rc = sqlite3_exec(db, *wanted, NULL, NULL, NULL);
	}
	return rc;
}

/* The text of a table can't be changed in place, so that the entries move into one made anew. */
int fw_schema_upgrade(struct fw_trail *trail, struct fw_error *err)
{
	static const char move[] = "INSERT INTO entry (" FW_ENTRY_COLUMNS ") SELECT " FW_ENTRY_COLUMNS
	                           " FROM entry_before ORDER BY job, seq;"
	                           "DROP TABLE entry_before";
	const char *const *from = schema_of(trail->format), *const *to = schema_of(FW_TRAIL_FORMAT);
	sqlite3 *db = trail->db;
	int rc = drop_all_but_tables(db, from);

	if (rc == SQLITE_OK)
		rc = sqlite3_exec(db, "ALTER TABLE entry RENAME TO entry_before", NULL, NULL, NULL);
	if (rc == SQLITE_OK)
		rc = make_missing(db, to, from, true);
	if (rc == SQLITE_OK)
		rc = sqlite3_exec(db, move, NULL, NULL, NULL);
	if (rc == SQLITE_OK)
		rc = make_missing(db, to, from, false);
	return rc == SQLITE_OK ? FW_OK : fw_sql_fail(trail, rc, "bringing it up to date", err);
}
