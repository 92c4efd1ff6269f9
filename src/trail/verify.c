/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify.c  Checks a trail: the file, its chains, and what is stored beside them. */
#include "trail/verify_internal.h"

#include <stdarg.h>
#include <stdio.h>

#include "base/text.h"
#include "trail/verify.h"

/* quick_check goes on to the next fault; a hundred of them say enough. */
#define QUICK_CHECK "PRAGMA quick_check(100)"

static const char damaged[] =
    "the file is damaged or was edited; entries may be lost: keep it, and compare with a good copy";

void fw_check_flaw(struct fw_check *check, int64_t job, int64_t seq, const char *means,
                   const char *format, ...)
{
	char what[FW_ERROR_TEXT];
	const struct fw_flaw flaw = {job, seq, what, means};
	va_list args;

	va_start(args, format);
	vsnprintf(what, sizeof what, format, args);
	va_end(args);
	fw_text_one_line(what); /* what is quoted comes from the file */
	check->flaws++;
	if (check->report)
		check->report(check->context, &flaw);
}

int fw_check_failed(struct fw_check *check, int rc, const char *doing, struct fw_error *err)
{
	int primary = rc & 0xff;

	if (primary != SQLITE_CORRUPT && primary != SQLITE_NOTADB && primary != SQLITE_ERROR &&
	    rc != SQLITE_IOERR_SHORT_READ)
		return fw_sql_fail(check->trail, rc, doing, err);
	fw_check_flaw(check, 0, 0, damaged, "%s: %s", doing, sqlite3_errmsg(check->trail->db));
	return FW_OK;
}

static int check_schema(struct fw_check *check, struct fw_error *err)
{
	struct fw_trail *trail = check->trail;
	struct fw_error difference = {0};

	/* Of many jobs in a row: SQLite counts each change of the schema. */
	if (check->scope == FW_SCOPE_JOB && trail->unchanged)
		return FW_OK;
	int code = fw_schema_compare(trail, trail->format, &difference);

	if (code && code != FW_ERR_TRAIL)
		return fw_fail(err, code, "%s", difference.text);
	if (code)
		fw_check_flaw(check, 0, 0,
		              "another program has worked on the file; what guards the records may be gone",
		              "%s", difference.text);
	return FW_OK;
}

static int check_file(struct fw_check *check, struct fw_error *err)
{
	sqlite3_stmt *statement = NULL;
	int rc = sqlite3_prepare_v2(check->trail->db, QUICK_CHECK, -1, &statement, NULL);

	while (rc == SQLITE_OK || rc == SQLITE_ROW) {
		rc = sqlite3_step(statement);
		if (rc != SQLITE_ROW)
			break;
		const char *said = (const char *)sqlite3_column_text(statement, 0);
		if (!said || sqlite3_stricmp(said, "ok") != 0)
			fw_check_flaw(check, 0, 0, damaged, "the file fails SQLite's own check: %s",
			              said ? said : "out of memory");
	}
	int code = rc == SQLITE_DONE ? FW_OK : fw_check_failed(check, rc, "checking the file", err);
	sqlite3_finalize(statement);
	return code;
}

/* How many jobs format 1 held: it knew no log of the shop, and bound the time of a job to nothing.
 */
static int count_older(struct fw_check *check, struct fw_error *err)
{
	sqlite3_stmt *row;

	check->older_jobs = check->trail->format < 2 ? INT64_MAX : 0;
	if (check->trail->format < 2)
		return FW_OK;
	int code = fw_sql_get(check->trail, FW_SQL_VALUE_SHOP, &row, err);
	if (code)
		return code;
	int rc = sqlite3_step(row);
	if (rc == SQLITE_ROW && sqlite3_column_int64(row, 0) == 1)
		check->older_jobs = sqlite3_column_int64(row, 1);
	else if (rc != SQLITE_ROW && rc != SQLITE_DONE)
		code = fw_check_failed(check, rc, "reading the shop's log", err);
	sqlite3_reset(row);
	return code;
}

int fw_check_run(struct fw_check *check, struct fw_error *err)
{
	const bool whole = check->scope != FW_SCOPE_JOB;
	int code = check_schema(check, err);

	if (!code && whole)
		code = check_file(check, err);
	if (!code)
		code = count_older(check, err);
	if (!code)
		code =
		    check->scope == FW_SCOPE_FILE ? fw_check_jobs(check, err) : fw_check_chain(check, err);
	if (!code && whole)
		code = fw_check_stores(check, err);
	return code;
}

static enum fw_scope scope_of(int64_t job)
{
	switch (job) {
	case FW_VERIFY_ALL:
		return FW_SCOPE_ALL;
	case FW_VERIFY_FILE:
		return FW_SCOPE_FILE;
	default:
		return FW_SCOPE_JOB;
	}
}

/* In one read of its own, so that nothing changes meanwhile. */
static int run_check(struct fw_check *check, size_t *flaws, struct fw_error *err)
{
	struct fw_trail *trail = check->trail;

	if (flaws)
		*flaws = 0;
	if (trail->walking)
		return fw_fail(err, FW_ERR_STATE, "trail %s: no check while it is being walked through",
		               trail->path);
	int code = fw_read_begin(trail, err);
	if (code)
		return code;
	trail->walking++; /* nothing may be written by whoever hears the report */
	code = fw_look_again(trail, err);
	if (!code)
		code = fw_check_run(check, err);
	trail->walking--;
	if (flaws)
		*flaws = check->flaws;
	return fw_read_end(trail, code);
}

int fw_trail_verify(struct fw_trail *trail, int64_t job,
                    void (*report)(void *context, const struct fw_flaw *flaw), void *context,
                    size_t *flaws, struct fw_error *err)
{
	struct fw_check check = {
	    .trail = trail, .scope = scope_of(job), .job = job, .report = report, .context = context};

	return run_check(&check, flaws, err);
}

int fw_trail_verify_walk(struct fw_trail *trail, int64_t job, const struct fw_verify_walk *walk,
                         int *walked, struct fw_error *walk_error, struct fw_error *err)
{
	struct fw_check check = {.trail = trail,
	                         .scope = FW_SCOPE_JOB,
	                         .job = job,
	                         .report = walk->report,
	                         .context = walk->reporter,
	                         .visit = walk->visit,
	                         .visitor = walk->visitor,
	                         .walk_error = walk_error};
	int code = run_check(&check, NULL, err);

	*walked = check.walked;
	return code;
}
