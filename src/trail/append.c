/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file append.c  Records entries and sources. Each is read back and hashed again before COMMIT.
 */
#include "trail/trail_internal.h"

#include <string.h>

int fw_entry_differs(struct fw_trail *trail, struct fw_error *err)
{
	trail->failed = true;
	return fw_fail(
	    err, FW_ERR_TRAIL,
	    "trail %s: what was written does not read back the same; nothing was recorded: have "
	    "this machine looked at",
	    trail->path);
}

static int read_back(struct fw_trail *trail, const struct fw_entry *written, struct fw_error *err)
{
	sqlite3_stmt *read;
	struct fw_entry found;
	uint8_t again[FW_HASH];
	int code = fw_sql_get(trail, FW_SQL_ENTRY_READ, &read, err);

	if (code)
		return code;
	int rc = sqlite3_bind_int64(read, 1, written->job);
	if (rc == SQLITE_OK)
		rc = sqlite3_bind_int64(read, 2, written->seq);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(read);
	if (rc != SQLITE_ROW && rc != SQLITE_DONE) {
		code = fw_sql_fail(trail, rc, "reading an entry back", err);
	} else if (rc == SQLITE_DONE || fw_row_read(read, &found)) {
		code = fw_entry_differs(trail, err);
	} else {
		fw_entry_hash(again, &found);
		if (memcmp(again, written->hash, FW_HASH) != 0 ||
		    memcmp(found.hash, written->hash, FW_HASH) != 0)
			code = fw_entry_differs(trail, err);
	}
	sqlite3_reset(read);
	return code;
}

static int bind_entry(sqlite3_stmt *insert, const struct fw_entry *e)
{
	const char *const texts[] = {e->kind, e->step, e->at, e->who, e->ask, e->typed, e->value};
	int rc = sqlite3_bind_int64(insert, 1, e->job);

	if (rc == SQLITE_OK)
		rc = sqlite3_bind_int64(insert, 2, e->seq);
	for (size_t i = 0; i < sizeof texts / sizeof *texts && rc == SQLITE_OK; i++)
		rc = fw_bind_text(insert, (int)i + 3, texts[i]);
	if (rc == SQLITE_OK)
		rc = fw_bind_blob(insert, 10, e->prev, FW_HASH);
	if (rc == SQLITE_OK)
		rc = fw_bind_blob(insert, 11, e->hash, FW_HASH);
	return rc;
}

/* Readers take `ask` and `value` for JSON; SQLite's own reader is the one the views use. */
static int check_json(struct fw_trail *trail, const struct fw_entry *entry, struct fw_error *err)
{
	sqlite3_stmt *valid;
	int code = fw_sql_get(trail, FW_SQL_JSON_VALID, &valid, err);

	if (code)
		return code;
	int rc = fw_bind_text(valid, 1, entry->ask);
	if (rc == SQLITE_OK)
		rc = fw_bind_text(valid, 2, entry->value);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(valid);
	if (rc != SQLITE_ROW)
		code = fw_sql_fail(trail, rc, "looking at an entry", err);
	else if (!sqlite3_column_int(valid, 0) || !sqlite3_column_int(valid, 1))
		code = fw_fail(err, FW_ERR_ARGUMENT, "'%s' of an entry is not JSON",
		               sqlite3_column_int(valid, 0) ? "value" : "ask");
	sqlite3_reset(valid);
	sqlite3_clear_bindings(valid);
	return code;
}

int fw_entry_write(struct fw_trail *trail, const struct fw_entry *entry, int64_t job, int64_t seq,
                   uint8_t head[FW_HASH], struct fw_error *err)
{
	sqlite3_stmt *insert;
	struct fw_entry e = *entry;
	int code = check_json(trail, entry, err);

	if (!code)
		code = fw_sql_get(trail, FW_SQL_ENTRY_INSERT, &insert, err);
	if (code)
		return code;
	e.job = job;
	e.seq = seq;
	memcpy(e.prev, head, FW_HASH);
	fw_entry_hash(e.hash, &e);
	int rc = bind_entry(insert, &e);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(insert);
	if (rc != SQLITE_DONE)
		code = fw_sql_fail(trail, rc, "recording an entry", err);
	sqlite3_reset(insert);
	sqlite3_clear_bindings(insert);
	if (!code)
		code = read_back(trail, &e, err);
	if (!code)
		memcpy(head, e.hash, FW_HASH);
	return code;
}

/* Number and head (or seq and head) in the one row of `which`; 0 and zeros when there is none. */
static int read_end(struct fw_trail *trail, enum fw_sql which, const int64_t *job, int64_t *number,
                    uint8_t head[FW_HASH], struct fw_error *err)
{
	sqlite3_stmt *read;
	int code = fw_sql_get(trail, which, &read, err);

	*number = 0;
	memset(head, 0, FW_HASH);
	if (code)
		return code;
	int rc = job ? sqlite3_bind_int64(read, 1, *job) : SQLITE_OK;
	if (rc == SQLITE_OK)
		rc = sqlite3_step(read);
	if (rc == SQLITE_ROW) {
		*number = sqlite3_column_int64(read, 0);
		const void *bytes = sqlite3_column_blob(read, 1);
		if (bytes && sqlite3_column_bytes(read, 1) == FW_HASH && *number >= (job ? 1 : FW_SHOP))
			memcpy(head, bytes, FW_HASH);
		else
			code = fw_fail(err, FW_ERR_TRAIL,
			               "trail %s: its last entry is damaged; audit the trail, and go on with a "
			               "good copy",
			               trail->path);
	} else if (rc != SQLITE_DONE) {
		code = fw_sql_fail(trail, rc, "looking for its end", err);
	}
	sqlite3_reset(read);
	return code;
}

static int room_for(struct fw_trail *trail, int64_t number, size_t more, struct fw_error *err)
{
	if (more <= INT32_MAX && number <= INT64_MAX - (int64_t)more)
		return FW_OK;
	return fw_fail(err, FW_ERR_TRAIL, "trail %s: its numbers are used up or damaged; audit it",
	               trail->path);
}

static int begin_inside(struct fw_trail *trail, const struct fw_source_text *sources, size_t count,
                        const struct fw_entry *entry, int64_t *job, struct fw_error *err)
{
	uint8_t head[FW_HASH];
	int64_t last;
	int code = read_end(trail, FW_SQL_TRAIL_END, NULL, &last, head, err);

	if (!code)
		code = room_for(trail, last, 1, err);
	for (size_t i = 0; i < count && !code; i++)
		code = fw_store_write(trail, &fw_store_source, sources[i].bytes, sources[i].size, err);
	if (!code)
		code = fw_entry_write(trail, entry, last + 1, 1, head, err);
	if (!code)
		*job = last + 1;
	return code;
}

int fw_trail_begin(struct fw_trail *trail, const struct fw_source_text *sources, size_t count,
                   const struct fw_entry *entry, int64_t *job, struct fw_error *err)
{
	int64_t number = 0;
	int code = fw_entry_check(entry, err);

	if (code)
		return code;
	if (strcmp(entry->kind, "begin") != 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "the first entry of a job is 'begin', not '%.40s'",
		               entry->kind);
	for (size_t i = 0; i < count; i++) {
		if (sources[i].size > FW_TRAIL_TEXT_MOST || (sources[i].size && !sources[i].bytes))
			return fw_fail(err, FW_ERR_ARGUMENT, "source %zu is missing or longer than %d bytes",
			               i + 1, FW_TRAIL_TEXT_MOST);
	}
	code = fw_write_begin(trail, err);
	if (code)
		return code;
	code = begin_inside(trail, sources, count, entry, &number, err);
	code = fw_write_end(trail, code, err);
	if (!code)
		*job = number;
	return code;
}

int fw_entry_follow(struct fw_trail *trail, int64_t job, int64_t after,
                    const struct fw_entry *entries, size_t count, uint8_t head[FW_HASH],
                    struct fw_error *err)
{
	int64_t last;
	int code = read_end(trail, FW_SQL_JOB_END, &job, &last, head, err);

	if (code)
		return code;
	if (last == 0)
		return fw_fail(err, FW_ERR_NOT_FOUND, "trail %s has no job %lld", trail->path,
		               (long long)job);
	if (last != after)
		return fw_fail(
		    err, FW_ERR_BUSY,
		    "job %lld has gone on elsewhere: its last entry is %lld, not %lld; resume it",
		    (long long)job, (long long)last, (long long)after);
	code = room_for(trail, last, count, err);
	for (size_t i = 0; i < count && !code; i++)
		code = fw_entry_write(trail, &entries[i], job, last + 1 + (int64_t)i, head, err);
	return code;
}

int fw_trail_append(struct fw_trail *trail, int64_t job, int64_t after,
                    const struct fw_entry *entries, size_t count, uint8_t head[FW_HASH],
                    struct fw_error *err)
{
	uint8_t end[FW_HASH];
	int code = FW_OK;

	if (count == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "no entry to record");
	for (size_t i = 0; i < count && !code; i++) {
		code = fw_entry_check(&entries[i], err);
		if (!code && strcmp(entries[i].kind, "begin") == 0)
			code = fw_fail(err, FW_ERR_ARGUMENT, "a job begins once; use fw_trail_begin()");
		if (!code && strcmp(entries[i].kind, "shop") == 0)
			code = fw_fail(err, FW_ERR_ARGUMENT, "a trail is of one shop, from its first entry on");
	}
	if (!code)
		code = fw_write_begin(trail, err);
	if (code)
		return code;
	code = fw_entry_follow(trail, job, after, entries, count, end, err);
	code = fw_write_end(trail, code, err);
	if (!code && head)
		memcpy(head, end, FW_HASH);
	return code;
}

int fw_trail_head(struct fw_trail *trail, int64_t job, int64_t *seq, uint8_t head[FW_HASH],
                  struct fw_error *err)
{
	uint8_t end[FW_HASH];
	int64_t last;
	int code = read_end(trail, FW_SQL_JOB_END, &job, &last, end, err);

	if (!code && last == 0)
		code =
		    fw_fail(err, FW_ERR_NOT_FOUND, "trail %s has no job %lld", trail->path, (long long)job);
	if (code)
		return code;
	if (seq)
		*seq = last;
	if (head)
		memcpy(head, end, FW_HASH);
	return FW_OK;
}
