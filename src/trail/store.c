/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file store.c  Bytes kept under their hash: the sources of jobs, and evidence. */
#include "trail/trail_internal.h"

#include <stdlib.h>
#include <string.h>

const struct fw_store fw_store_source = {FW_SQL_SOURCE_READ, FW_SQL_SOURCE_INSERT, "source",
                                         "a stored procedure or sheet"};
const struct fw_store fw_store_evidence = {FW_SQL_EVIDENCE_READ, FW_SQL_EVIDENCE_INSERT, "evidence",
                                           "stored evidence"};

/* Steps to the row of `hash`, if it is there; its bytes are borrowed until `*read` is reset. */
static int find(struct fw_trail *trail, const struct fw_store *store, const uint8_t hash[FW_HASH],
                sqlite3_stmt **read, bool *there, struct fw_error *err)
{
	*there = false;
	int code = fw_sql_get(trail, store->read, read, err);
	if (code)
		return code;
	int rc = fw_bind_blob(*read, 1, hash, FW_HASH);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(*read);
	*there = rc == SQLITE_ROW;
	if (rc == SQLITE_ROW || rc == SQLITE_DONE)
		return FW_OK;
	code = fw_sql_fail(trail, rc, "reading what it stores", err);
	sqlite3_reset(*read);
	return code;
}

static bool has_hash(sqlite3_stmt *row, const uint8_t hash[FW_HASH])
{
	uint8_t again[FW_HASH];

	fw_trail_hash(again, sqlite3_column_blob(row, 0), (size_t)sqlite3_column_bytes(row, 0));
	return memcmp(again, hash, FW_HASH) == 0;
}

/* Whether these bytes are there; FW_ERR_TRAIL if they aren't those of the hash. */
static int is_there(struct fw_trail *trail, const struct fw_store *store,
                    const uint8_t hash[FW_HASH], bool *there, struct fw_error *err)
{
	sqlite3_stmt *read;
	int code = find(trail, store, hash, &read, there, err);

	if (!code && *there && !has_hash(read, hash))
		code = fw_fail(err, FW_ERR_TRAIL,
		               "trail %s: %s was changed; audit the trail, and go on with a good copy",
		               trail->path, store->trust);
	if (read)
		sqlite3_reset(read);
	return code;
}

int fw_store_write(struct fw_trail *trail, const struct fw_store *store, const void *bytes,
                   size_t size, struct fw_error *err)
{
	sqlite3_stmt *insert;
	uint8_t hash[FW_HASH];
	bool there;

	fw_trail_hash(hash, bytes, size);
	int code = is_there(trail, store, hash, &there, err);
	if (code || there)
		return code;
	code = fw_sql_get(trail, store->insert, &insert, err);
	if (code)
		return code;
	int rc = fw_bind_blob(insert, 1, hash, FW_HASH);
	if (rc == SQLITE_OK)
		rc = fw_bind_blob(insert, 2, bytes, size);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(insert);
	if (rc != SQLITE_DONE)
		code = fw_sql_fail(trail, rc, "storing bytes", err);
	sqlite3_reset(insert);
	sqlite3_clear_bindings(insert);
	if (!code)
		code = is_there(trail, store, hash, &there, err);
	return !code && !there ? fw_entry_differs(trail, err) : code;
}

static int copy_out(struct fw_trail *trail, const struct fw_store *store, sqlite3_stmt *row,
                    const uint8_t hash[FW_HASH], char **bytes, size_t *size, struct fw_error *err)
{
	char text[FW_HASH_TEXT];
	const void *stored = sqlite3_column_blob(row, 0);
	size_t count = (size_t)sqlite3_column_bytes(row, 0);

	if (!has_hash(row, hash))
		return fw_fail(err, FW_ERR_TRAIL,
		               "trail %s: %s %s was changed; audit the trail, and go on with a good copy",
		               trail->path, store->name, fw_hash_text(text, hash));
	char *copy = malloc(count + 1);
	if (!copy)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	if (count)
		memcpy(copy, stored, count);
	copy[count] = '\0';
	*bytes = copy;
	*size = count;
	return FW_OK;
}

static int not_there(const struct fw_trail *trail, const struct fw_store *store,
                     const uint8_t hash[FW_HASH], struct fw_error *err)
{
	char text[FW_HASH_TEXT];

	return fw_fail(err, FW_ERR_NOT_FOUND, "trail %s has no %s %s", trail->path, store->name,
	               fw_hash_text(text, hash));
}

int fw_store_read(struct fw_trail *trail, const struct fw_store *store, const uint8_t hash[FW_HASH],
                  char **bytes, size_t *size, struct fw_error *err)
{
	sqlite3_stmt *read;
	bool there;

	*bytes = NULL;
	*size = 0;
	int code = find(trail, store, hash, &read, &there, err);
	if (code)
		return code;
	if (there)
		code = copy_out(trail, store, read, hash, bytes, size, err);
	else
		code = not_there(trail, store, hash, err);
	sqlite3_reset(read);
	return code;
}

int fw_trail_source(struct fw_trail *trail, const uint8_t hash[FW_HASH], char **bytes, size_t *size,
                    struct fw_error *err)
{
	return fw_store_read(trail, &fw_store_source, hash, bytes, size, err);
}
