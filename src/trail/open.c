/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file open.c  Opens and closes a trail, and says what a file is that isn't one. */
#include "trail/trail_internal.h"

#include <errno.h>
#include <sodium.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* What can be said about a path before SQLite touches it. */
static int check_path(const char *path, enum fw_trail_mode mode, struct fw_error *err)
{
	struct stat status;

	if (!path || !*path)
		return fw_fail(err, FW_ERR_ARGUMENT, "no file named for the trail");
	if (stat(path, &status) != 0) {
		if (errno == ENOENT && mode == FW_TRAIL_CREATE)
			return FW_OK;
		if (errno == ENOENT)
			return fw_fail(err, FW_ERR_NOT_FOUND,
			               "there is no trail at %s; begin a job to make one, or name another file",
			               path);
		return fw_fail(err, FW_ERR_TRAIL, "can't reach the trail %s: %s", path, strerror(errno));
	}
	if (S_ISDIR(status.st_mode))
		return fw_fail(err, FW_ERR_TRAIL, "%s is a folder; name the trail's file in it", path);
	if (!S_ISREG(status.st_mode))
		return fw_fail(err, FW_ERR_TRAIL, "%s is not an ordinary file; name another", path);
	if (access(path, R_OK) != 0)
		return fw_fail(err, FW_ERR_TRAIL, "can't read the trail %s: %s; look at its permissions",
		               path, strerror(errno));
	if (mode != FW_TRAIL_READ && access(path, W_OK) != 0)
		return fw_fail(err, FW_ERR_TRAIL,
		               "can't write to the trail %s: %s; look at its permissions", path,
		               strerror(errno));
	return FW_OK;
}

/* SQLite gives "" and ":memory:" and, if told so, "file:" a meaning of their own. */
static char *plain_path(const char *path)
{
	const char *prefix = path[0] == '/' ? "" : "./";
	size_t size = strlen(prefix) + strlen(path) + 1;
	char *copy = malloc(size);

	if (copy)
		snprintf(copy, size, "%s%s", prefix, path);
	return copy;
}

static int check_header(struct fw_trail *trail, const struct fw_header *header,
                        struct fw_error *err)
{
	const char *path = trail->path;

	if (header->size == 0)
		return fw_fail(err, FW_ERR_TRAIL,
		               "%s is an empty file; bring a good copy back, or name another file", path);
	if (!header->sqlite)
		return fw_fail(err, FW_ERR_TRAIL,
		               "%s is not a trail; name another file, or bring a good copy back", path);
	if (header->application != FW_TRAIL_APPLICATION && header->application != FW_TRAIL_EXCERPT)
		return fw_fail(err, FW_ERR_TRAIL,
		               "%s is a database of another program, not a trail; name another file", path);
	if (header->format > FW_TRAIL_FORMAT)
		return fw_fail(
		    err, FW_ERR_TRAIL,
		    "trail %s has format %u; this program knows formats up to %d: use a newer one", path,
		    header->format, FW_TRAIL_FORMAT);
	if (header->format < 1)
		return fw_fail(err, FW_ERR_TRAIL,
		               "trail %s has no format number; the file is damaged: bring a good copy back",
		               path);
	if (header->application == FW_TRAIL_EXCERPT && trail->mode != FW_TRAIL_READ)
		return fw_fail(err, FW_ERR_TRAIL,
		               "%s is an excerpt of one job, which can be read and audited but not gone on "
		               "with; go on in the trail it was taken from",
		               path);
	return FW_OK;
}

/* A copy that was broken off. SQLite itself takes half a page at the end for a whole one. */
static int check_length(const struct fw_trail *trail, const struct fw_header *header,
                        struct fw_error *err)
{
	if (header->promised <= (uint64_t)header->size)
		return FW_OK;
	return fw_fail(
	    err, FW_ERR_TRAIL,
	    "trail %s is cut short: %lld bytes of %llu; copy it again, or bring a good copy back",
	    trail->path, (long long)header->size, (unsigned long long)header->promised);
}

/* Where SQLite says only "damaged", what can be told from the header is told. */
static int explain_damage(struct fw_trail *trail, int code, struct fw_error *err)
{
	const int sqlite = sqlite3_errcode(trail->db) & 0xff;
	struct fw_header header;

	/* A write under way elsewhere, or cut off, makes a file look short that isn't. */
	if (sqlite != SQLITE_CORRUPT && sqlite != SQLITE_NOTADB)
		return code;
	if (fw_header_read(trail, &header, NULL))
		return code;
	if (header.size > 0 && !header.sqlite)
		return check_header(trail, &header, err);
	if (header.size > 0 &&
	    (header.application == FW_TRAIL_APPLICATION || header.application == FW_TRAIL_EXCERPT))
		check_length(trail, &header, err);
	return code;
}

static int cookie(struct fw_trail *trail, int64_t *out, struct fw_error *err)
{
	sqlite3_stmt *statement;
	int code = fw_sql_get(trail, FW_SQL_COOKIE, &statement, err);

	if (code)
		return code;
	int step = sqlite3_step(statement);
	if (step == SQLITE_ROW)
		*out = sqlite3_column_int64(statement, 0);
	else
		code = fw_sql_fail(trail, step, "opening", err);
	sqlite3_reset(statement);
	return code;
}

/* Inside a transaction: the first statement takes the lock, and rolls an interrupted write back. */
static int look(struct fw_trail *trail, bool *empty, struct fw_error *err)
{
	struct fw_header header;
	int code = cookie(trail, &trail->cookie, err);

	if (!code)
		code = fw_header_read(trail, &header, err);
	if (code)
		return explain_damage(trail, code, err);
	*empty = header.size == 0;
	if (*empty && trail->mode == FW_TRAIL_CREATE)
		return FW_OK;
	code = check_header(trail, &header, err);
	if (!code)
		code = check_length(trail, &header, err);
	if (!code)
		code = fw_schema_compare(trail, (int)header.format, err);
	if (code)
		return explain_damage(trail, code, err);
	trail->format = (int)header.format;
	trail->excerpt = header.application == FW_TRAIL_EXCERPT;
	return FW_OK;
}

static int fill(struct fw_trail *trail, struct fw_error *err)
{
	int rc = fw_schema_fill(trail->db, FW_TRAIL_APPLICATION);

	if (rc != SQLITE_OK)
		return fw_sql_fail(trail, rc, "making its tables", err);
	trail->format = FW_TRAIL_FORMAT;
	return fw_identity_write(trail, 0, err);
}

/* Makes the tables of an empty file, or brings those of an earlier format up to date. */
static int bring_up_to_date(struct fw_trail *trail, struct fw_error *err)
{
	bool empty = false;
	int code = fw_sql_run(trail, FW_SQL_BEGIN_WRITE, "waiting for its turn to write", err);

	if (code)
		return code;
	trail->writing = true;
	code = look(trail, &empty, err); /* another program may have been faster */
	if (!code && empty)
		code = fill(trail, err);
	else if (!code && trail->format < FW_TRAIL_FORMAT)
		code = fw_migrate(trail, err);
	code = fw_write_end(trail, code, err);
	return code ? code : cookie(trail, &trail->cookie, err);
}

static int expect_pragma(struct fw_trail *trail, const char *pragma, const char *wanted,
                         struct fw_error *err)
{
	sqlite3_stmt *statement = NULL;
	int code = fw_sql_prepare(trail, pragma, &statement, err);

	if (code)
		return code;
	int step = sqlite3_step(statement);
	const char *got = step == SQLITE_ROW ? (const char *)sqlite3_column_text(statement, 0) : NULL;
	if (step != SQLITE_ROW)
		code = fw_sql_fail(trail, step, "setting how it is written", err);
	else if (!got || sqlite3_stricmp(got, wanted) != 0)
		code = fw_fail(err, FW_ERR_TRAIL, "trail %s: this SQLite can't do '%s' as needed (%s)",
		               trail->path, pragma, got ? got : "nothing");
	sqlite3_finalize(statement);
	return code;
}

/* One portable file, and on the disk when COMMIT returns: rollback journal, folder synced too. */
static int set_durable(struct fw_trail *trail, struct fw_error *err)
{
	if (trail->mode == FW_TRAIL_READ)
		return FW_OK;
	int code = sqlite3_exec(trail->db, "PRAGMA synchronous = EXTRA", NULL, NULL, NULL);
	if (code != SQLITE_OK)
		return fw_sql_fail(trail, code, "setting how it is written", err);
	code = expect_pragma(trail, "PRAGMA journal_mode = DELETE", "delete", err);
	return code ? code : expect_pragma(trail, "PRAGMA synchronous", "3", err);
}

/* A file in WAL mode would be written to, beside itself, by reading it. */
static int refuse_wal(struct fw_trail *trail, struct fw_error *err)
{
	struct fw_header header;
	int code = fw_header_read(trail, &header, err);

	if (!code && header.sqlite && header.wal)
		code = fw_fail(
		    err, FW_ERR_TRAIL,
		    "%s is in write-ahead mode, as a trail never is; if it is yours, set it right by "
		    "sqlite3 '%s' 'pragma journal_mode=delete'",
		    trail->path, trail->path);
	return code;
}

static int look_and_create(struct fw_trail *trail, struct fw_error *err)
{
	bool empty = false;
	int code = fw_read_begin(trail, err);

	if (!code)
		code = fw_read_end(trail, look(trail, &empty, err));
	if (!code)
		code = set_durable(trail, err);
	if (!code && trail->mode != FW_TRAIL_READ && (empty || trail->format < FW_TRAIL_FORMAT))
		code = bring_up_to_date(trail, err);
	return code;
}

int fw_look_again(struct fw_trail *trail, struct fw_error *err)
{
	struct fw_header header;
	int64_t now = 0;
	int code = cookie(trail, &now, err);

	trail->unchanged = !code && now == trail->cookie;
	if (code || trail->unchanged)
		return code;
	code = fw_header_read(trail, &header, err);
	if (!code && header.format >= 1 && header.format <= FW_TRAIL_FORMAT)
		trail->format = (int)header.format;
	return code ? code : fw_identity_read(trail, err);
}

static int open_file(struct fw_trail *trail, struct fw_error *err)
{
	int flags = SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE |
	            (trail->mode == FW_TRAIL_READ ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE);
	int code = sqlite3_open_v2(trail->path, &trail->db, flags, NULL);

	if (code != SQLITE_OK)
		return fw_sql_fail(trail, code, "opening", err);
	/* A file that may not be written is opened for reading without a word. */
	if (trail->mode != FW_TRAIL_READ && sqlite3_db_readonly(trail->db, "main"))
		return fw_fail(err, FW_ERR_TRAIL, "can't write to the trail %s; look at its permissions",
		               trail->path);
	return FW_OK;
}

int fw_trail_open(struct fw_trail **out, const char *path, enum fw_trail_mode mode,
                  struct fw_error *err)
{
	*out = NULL;
	int code = check_path(path, mode, err);
	if (code)
		return code;
	if (sodium_init() < 0)
		return fw_fail(err, FW_ERR_TRAIL, "libsodium can't be used on this machine");
	if (mode == FW_TRAIL_CREATE)
		code = fw_path_make(path, err);
	if (code)
		return code;

	struct fw_trail *trail = calloc(1, sizeof *trail);
	if (trail)
		trail->path = plain_path(path);
	if (!trail || !trail->path) {
		free(trail);
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	}
	trail->mode = mode;
	code = open_file(trail, err);
	if (!code)
		code = fw_guard_connection(trail, err);
	if (!code)
		code = refuse_wal(trail, err);
	if (!code)
		code = look_and_create(trail, err);
	if (!code)
		code = fw_guard_statements(trail, err);
	if (!code)
		code = fw_identity_read(trail, err);
	if (code)
		fw_trail_close(trail);
	else
		*out = trail;
	return code;
}

void fw_trail_close(struct fw_trail *trail)
{
	if (!trail)
		return;
	for (size_t i = 0; i < FW_SQL_COUNT; i++)
		sqlite3_finalize(trail->statements[i]);
	sqlite3_close(trail->db);
	free(trail->path);
	free(trail);
}
