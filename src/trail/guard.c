/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file guard.c  What a connection may do. A file from a stranger must not make us run anything.
 */
#include "trail/trail_internal.h"

#include <string.h>

static int set_switches(struct fw_trail *trail)
{
	const bool writes = trail->mode != FW_TRAIL_READ;
	const struct {
		int what, on;
	} switches[] = {
	    {SQLITE_DBCONFIG_DEFENSIVE, 1},   {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
	    {SQLITE_DBCONFIG_DQS_DDL, 0},     {SQLITE_DBCONFIG_DQS_DML, 0},
	    {SQLITE_DBCONFIG_ENABLE_FKEY, 1}, {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
	    {SQLITE_DBCONFIG_ENABLE_VIEW, 0}, {SQLITE_DBCONFIG_ENABLE_TRIGGER, writes},
	};
	int code = SQLITE_OK;

	for (size_t i = 0; i < sizeof switches / sizeof *switches && code == SQLITE_OK; i++)
		code = sqlite3_db_config(trail->db, switches[i].what, switches[i].on, NULL);
	return code;
}

static void set_limits(sqlite3 *db)
{
	static const struct {
		int what, most;
	} limits[] = {
	    {SQLITE_LIMIT_LENGTH, FW_EVIDENCE_MOST + FW_TRAIL_TEXT_MOST},
	    {SQLITE_LIMIT_SQL_LENGTH, 100000},
	    {SQLITE_LIMIT_COLUMN, 100},
	    {SQLITE_LIMIT_EXPR_DEPTH, 100},
	    {SQLITE_LIMIT_COMPOUND_SELECT, 10},
	    {SQLITE_LIMIT_VDBE_OP, 25000},
	    {SQLITE_LIMIT_FUNCTION_ARG, 16},
	    {SQLITE_LIMIT_ATTACHED, 0},
	    {SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 100},
	    {SQLITE_LIMIT_VARIABLE_NUMBER, 32},
	    {SQLITE_LIMIT_TRIGGER_DEPTH, 8},
	    {SQLITE_LIMIT_WORKER_THREADS, 0},
	};

	for (size_t i = 0; i < sizeof limits / sizeof *limits; i++)
		sqlite3_limit(db, limits[i].what, limits[i].most);
}

int fw_guard_connection(struct fw_trail *trail, struct fw_error *err)
{
	/* Recursive triggers: without them INSERT OR REPLACE slips past a delete trigger. */
	static const char pragmas[] = "PRAGMA mmap_size = 0; PRAGMA cell_size_check = ON;"
	                              "PRAGMA recursive_triggers = ON";
	int code = set_switches(trail);

	set_limits(trail->db);
	if (code == SQLITE_OK)
		code = sqlite3_busy_timeout(trail->db, FW_TRAIL_BUSY_MS);
	if (code == SQLITE_OK)
		code = sqlite3_exec(trail->db, pragmas, NULL, NULL, NULL);
	return code == SQLITE_OK ? FW_OK : fw_sql_fail(trail, code, "setting its guards", err);
}

void fw_trail_limit_memory(int64_t bytes)
{
	sqlite3_hard_heap_limit64(bytes);
}

static bool is_ours(const char *table)
{
	return table && (strcmp(table, "entry") == 0 || strcmp(table, "source") == 0 ||
	                 strcmp(table, "evidence") == 0);
}

static bool pragma_allowed(const char *name)
{
	static const char *const allowed[] = {"schema_version", "quick_check"};

	for (size_t i = 0; i < sizeof allowed / sizeof *allowed; i++) {
		if (sqlite3_stricmp(name, allowed[i]) == 0)
			return true;
	}
	return false;
}

/* Called by SQLite for each thing a statement would do; `inner` is the view or trigger that asks.
 */
static int authorize(void *context, int action, const char *first, const char *second,
                     const char *database, const char *inner)
{
	const struct fw_trail *trail = context;
	const bool writes = trail->mode != FW_TRAIL_READ;

	(void)second;
	(void)database;
	if (inner && !writes)
		return SQLITE_DENY;
	switch (action) {
	case SQLITE_SELECT:
	case SQLITE_READ:
	case SQLITE_FUNCTION:
	case SQLITE_TRANSACTION:
		return SQLITE_OK;
	case SQLITE_PRAGMA:
		return pragma_allowed(first) ? SQLITE_OK : SQLITE_DENY;
	case SQLITE_INSERT:
		return writes && is_ours(first) ? SQLITE_OK : SQLITE_DENY;
	default:
		return SQLITE_DENY;
	}
}

int fw_guard_statements(struct fw_trail *trail, struct fw_error *err)
{
	/* SQLite sets these up at their first use by a CREATE TABLE, which would be denied from here
	 * on. */
	int code =
	    sqlite3_exec(trail->db, "SELECT 1 FROM json_tree('1'), json_each('1')", NULL, NULL, NULL);

	if (code == SQLITE_OK)
		code = sqlite3_set_authorizer(trail->db, authorize, trail);
	return code == SQLITE_OK ? FW_OK : fw_sql_fail(trail, code, "setting its guards", err);
}
