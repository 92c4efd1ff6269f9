/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file backup.c  Copies the whole trail while others write to it. */
#include "trail/trail_internal.h"

#include <stdlib.h>
#include <time.h>

/* Pages copied while others may not write; more after each write that made all be copied anew, so
 * that it comes to an end however often they write. */
#define STEP_FIRST  1024
#define STEP_FACTOR 8
/* Milliseconds that the trail may be held by others without a pause. */
#define PATIENCE 20000

struct copying {
	struct fw_trail *trail;
	const struct fw_fresh *fresh;
	int (*progress)(void *context, int64_t done, int64_t all);
	void *context;
	int64_t all; /* pages */
	int patience;
};

static int tell(const struct copying *copying, int64_t done, struct fw_error *err)
{
	if (!copying->progress || copying->progress(copying->context, done, copying->all) == 0)
		return FW_OK;
	return fw_fail(err, FW_ERR_STATE, "stopped; nothing was kept of %s", copying->fresh->path);
}

static int open_plain(sqlite3 **out, const struct fw_fresh *fresh, struct fw_error *err)
{
	int code =
	    sqlite3_open_v2(fresh->temporary, out,
	                    SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE | SQLITE_OPEN_READWRITE, NULL);

	/* No journal: what goes wrong leaves nothing to go back to. It is synced once, at the end. */
	if (code == SQLITE_OK)
		code = sqlite3_exec(*out, "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF", NULL, NULL,
		                    NULL);
	return code == SQLITE_OK ? FW_OK : fw_fresh_fail(fresh, *out, code, err);
}

/* One step; `*done` pages are copied behind it. Returns SQLite's code. */
static int step(struct copying *copying, sqlite3_backup *backup, int pages, int64_t *done)
{
	int rc = sqlite3_backup_step(backup, pages);

	copying->all = sqlite3_backup_pagecount(backup);
	*done = copying->all - sqlite3_backup_remaining(backup);
	return rc;
}

static bool is_busy(int rc)
{
	return (rc & 0xff) == SQLITE_BUSY || (rc & 0xff) == SQLITE_LOCKED;
}

/* What fails only where something is written: the trail itself is only read here. */
static bool is_of_copy(int rc)
{
	return rc == SQLITE_FULL || rc == SQLITE_IOERR_WRITE || rc == SQLITE_IOERR_TRUNCATE ||
	       rc == SQLITE_IOERR_FSYNC || rc == SQLITE_READONLY;
}

static int64_t milliseconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* One step, tried again while others hold the trail. Not by SQLite's own waiting: it counts what it
 * waited over all steps together, and looks ever more seldom, while a busy writer leaves but short
 * moments between two of its writes. */
static int step_in_turn(struct copying *copying, sqlite3_backup *backup, int pages, int64_t *done)
{
	const struct timespec moment = {0, 1000000};
	const int64_t until = milliseconds() + copying->patience;
	int rc = step(copying, backup, pages, done);

	while (is_busy(rc) && milliseconds() < until) {
		nanosleep(&moment, NULL);
		rc = step(copying, backup, pages, done);
	}
	return rc;
}

static int copy_pages(struct copying *copying, sqlite3 *db, sqlite3_backup *backup,
                      struct fw_error *err)
{
	int pages = STEP_FIRST, rc = SQLITE_OK, code = FW_OK;
	int64_t before = 0, done = 0;

	while (!code && rc != SQLITE_DONE) {
		rc = step_in_turn(copying, backup, pages, &done);
		if (is_busy(rc))
			return fw_fail(err, FW_ERR_BUSY,
			               "trail %s: another program holds it without a pause; try again when it "
			               "is quieter",
			               copying->trail->path);
		if (rc != SQLITE_OK && rc != SQLITE_DONE)
			return is_of_copy(rc) ? fw_fresh_fail(copying->fresh, db, rc, err)
			                      : fw_sql_fail(copying->trail, rc, "copying", err);
		/* Somebody wrote between two steps: it began from the first page again. */
		if (rc == SQLITE_OK && done <= before && pages < INT32_MAX / STEP_FACTOR)
			pages *= STEP_FACTOR;
		before = done;
		code = tell(copying, done, err);
	}
	return code;
}

static int copy(struct copying *copying, struct fw_error *err)
{
	sqlite3 *db = NULL;
	int code = open_plain(&db, copying->fresh, err);
	sqlite3_backup *backup = NULL;

	if (!code) {
		backup = sqlite3_backup_init(db, "main", copying->trail->db, "main");
		if (!backup)
			code = fw_fresh_fail(copying->fresh, db, sqlite3_errcode(db), err);
	}
	sqlite3_busy_timeout(copying->trail->db, 0);
	if (!code)
		code = copy_pages(copying, db, backup, err);
	sqlite3_busy_timeout(copying->trail->db, FW_TRAIL_BUSY_MS);
	int rc = sqlite3_backup_finish(backup);
	if (!code && rc != SQLITE_OK)
		code = fw_fresh_fail(copying->fresh, db, rc, err);
	rc = sqlite3_close(db);
	if (!code && rc != SQLITE_OK)
		code = fw_fail(err, FW_ERR_TRAIL, "%s: can't be closed: %s", copying->fresh->path,
		               sqlite3_errstr(rc));
	return code;
}

/* Between many instructions of SQLite: whether to stop. */
static int ask_to_stop(void *context)
{
	const struct copying *copying = context;

	return copying->progress(copying->context, copying->all, copying->all);
}

/* The copy without free room, into a second new file: only from a file that was compared with the
 * schema already, since this is done without guards. */
static int pack(struct copying *copying, const struct fw_fresh *into, struct fw_error *err)
{
	sqlite3 *db = NULL;
	sqlite3_stmt *vacuum = NULL;
	int code = open_plain(&db, copying->fresh, err);
	int rc = SQLITE_OK;

	if (!code && copying->progress)
		sqlite3_progress_handler(db, 100000, ask_to_stop, copying);
	if (!code)
		rc = sqlite3_prepare_v2(db, "VACUUM INTO ?", -1, &vacuum, NULL);
	if (!code && rc == SQLITE_OK)
		rc = fw_bind_text(vacuum, 1, into->temporary);
	if (!code && rc == SQLITE_OK)
		rc = sqlite3_step(vacuum) == SQLITE_DONE ? SQLITE_OK : sqlite3_errcode(db);
	if (!code && (rc & 0xff) == SQLITE_INTERRUPT)
		code = fw_fail(err, FW_ERR_STATE, "stopped; nothing was kept of %s", into->path);
	else if (!code && rc != SQLITE_OK)
		code = fw_fresh_fail(into, db, rc, err);
	sqlite3_finalize(vacuum);
	sqlite3_close(db);
	return code;
}

/* Checks the copy; if wanted, packs it into another new file, which takes its place. */
static int finish(struct copying *copying, struct fw_fresh *fresh, bool compact,
                  struct fw_error *err)
{
	struct fw_fresh packed = {0};
	int code = fw_fresh_check(fresh, err);

	if (!code && compact) {
		code = fw_fresh_open(&packed, copying->trail, fresh->path, err);
		if (!code)
			code = pack(copying, &packed, err);
		if (!code)
			code = fw_fresh_check(&packed, err);
		fw_fresh_abandon(code ? &packed : fresh);
		if (!code)
			*fresh = packed;
	}
	if (!code)
		code = tell(copying, copying->all, err);
	return code ? code : fw_fresh_settle(fresh, err);
}

int fw_backup_patiently(struct fw_trail *trail, const char *path, bool compact,
                        int (*progress)(void *context, int64_t done, int64_t all), void *context,
                        int patience, struct fw_error *err)
{
	struct fw_fresh fresh;
	struct copying copying = {trail, &fresh, progress, context, 0, patience};
	int code = fw_fresh_open(&fresh, trail, path, err);

	if (code)
		return code;
	code = copy(&copying, err);
	if (!code)
		code = finish(&copying, &fresh, compact, err);
	fw_fresh_abandon(&fresh);
	return code;
}

int fw_trail_backup(struct fw_trail *trail, const char *path, bool compact,
                    int (*progress)(void *context, int64_t done, int64_t all), void *context,
                    struct fw_error *err)
{
	return fw_backup_patiently(trail, path, compact, progress, context, PATIENCE, err);
}
