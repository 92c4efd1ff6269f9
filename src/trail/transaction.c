/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file transaction.c  Reading and writing in one piece; a handle whose disk failed writes no
 * more. */
#include "trail/trail_internal.h"

int fw_read_begin(struct fw_trail *trail, struct fw_error *err)
{
	return fw_sql_run(trail, FW_SQL_BEGIN, "beginning to read", err);
}

int fw_read_end(struct fw_trail *trail, int code)
{
	fw_sql_run(trail, FW_SQL_ROLLBACK, "ending to read", NULL);
	return code;
}

static int may_write(const struct fw_trail *trail, struct fw_error *err)
{
	if (trail->mode == FW_TRAIL_READ)
		return fw_fail(err, FW_ERR_STATE, "trail %s was opened for reading only", trail->path);
	if (trail->walking)
		return fw_fail(err, FW_ERR_STATE, "trail %s: no writing while it is being walked through",
		               trail->path);
	if (trail->failed)
		return fw_fail(err, FW_ERR_TRAIL,
		               "trail %s: an earlier write failed; open it again and look at what it holds",
		               trail->path);
	return FW_OK;
}

/* Another program may have changed the schema since it was compared; a trigger of its own would run
 * in our name. */
static int compare_again(struct fw_trail *trail, struct fw_error *err)
{
	sqlite3_stmt *statement;
	int code = fw_sql_get(trail, FW_SQL_COOKIE, &statement, err);

	if (code)
		return code;
	int step = sqlite3_step(statement);
	int64_t cookie = step == SQLITE_ROW ? sqlite3_column_int64(statement, 0) : 0;
	sqlite3_reset(statement);
	if (step != SQLITE_ROW)
		return fw_sql_fail(trail, step, "reading its version", err);
	if (cookie == trail->cookie)
		return FW_OK;
	code = fw_schema_compare(trail, trail->format, err);
	if (!code)
		trail->cookie = cookie;
	return code;
}

int fw_write_begin(struct fw_trail *trail, struct fw_error *err)
{
	int code = may_write(trail, err);

	if (code)
		return code;
	code = fw_sql_run(trail, FW_SQL_BEGIN_WRITE, "waiting for its turn to write", err);
	if (code)
		return code;
	trail->writing = true;
	code = compare_again(trail, err);
	return code ? fw_write_end(trail, code, err) : FW_OK;
}

int fw_write_end(struct fw_trail *trail, int code, struct fw_error *err)
{
	if (!code)
		code = fw_sql_run(trail, FW_SQL_COMMIT, "writing", err);
	/* After some failures SQLite has rolled back already. */
	if (code && !sqlite3_get_autocommit(trail->db) &&
	    fw_sql_run(trail, FW_SQL_ROLLBACK, "taking a write back", NULL))
		trail->failed = true;
	trail->writing = false;
	return code;
}
