/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file attach.c  Evidence: a file's bytes, and the entry that names them. */
#include "trail/trail_internal.h"

#include <string.h>

int fw_trail_evidence(struct fw_trail *trail, const uint8_t hash[FW_HASH], char **bytes,
                      size_t *size, struct fw_error *err)
{
	char text[FW_HASH_TEXT];

	*bytes = NULL;
	*size = 0;
	if (trail->format < 2)
		return fw_fail(err, FW_ERR_NOT_FOUND, "trail %s has no evidence %s", trail->path,
		               fw_hash_text(text, hash));
	return fw_store_read(trail, &fw_store_evidence, hash, bytes, size, err);
}

/* Bytes that no entry names would be a flaw of the file. */
static int check_named(struct fw_trail *trail, const struct fw_entry *entry, const void *bytes,
                       size_t size, struct fw_error *err)
{
	sqlite3_stmt *named;
	uint8_t hash[FW_HASH];
	char text[FW_HASH_TEXT];
	int code = fw_sql_get(trail, FW_SQL_EVIDENCE_NAMED, &named, err);

	if (code)
		return code;
	fw_trail_hash(hash, bytes, size);
	int rc = fw_bind_text(named, 1, entry->value);
	if (rc == SQLITE_OK)
		rc = fw_bind_text(named, 2, fw_hash_text(text, hash));
	if (rc == SQLITE_OK)
		rc = sqlite3_bind_int64(named, 3, (int64_t)size);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(named);
	if (rc != SQLITE_ROW)
		code = fw_sql_fail(trail, rc, "looking at an entry", err);
	else if (!sqlite3_column_int(named, 0))
		code = fw_fail(err, FW_ERR_ARGUMENT,
		               "'value' of an entry of evidence must name the hash %s and the size %zu",
		               text, size);
	sqlite3_reset(named);
	sqlite3_clear_bindings(named);
	return code;
}

static int check(struct fw_trail *trail, const struct fw_entry *entry, const void *bytes,
                 size_t size, struct fw_error *err)
{
	int code = fw_entry_check(entry, err);

	if (code)
		return code;
	if (strcmp(entry->kind, "evidence") != 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "what is attached is 'evidence', not '%.40s'",
		               entry->kind);
	if (!bytes || size == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "there is nothing in the file to attach");
	if (size > FW_EVIDENCE_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "the file to attach has %zu bytes, more than the %d that are kept; "
		               "make it smaller",
		               size, FW_EVIDENCE_MOST);
	return check_named(trail, entry, bytes, size, err);
}

int fw_trail_attach(struct fw_trail *trail, int64_t job, int64_t after,
                    const struct fw_entry *entry, const void *bytes, size_t size,
                    uint8_t head[FW_HASH], struct fw_error *err)
{
	uint8_t end[FW_HASH];
	int code = check(trail, entry, bytes, size, err);

	if (!code)
		code = fw_write_begin(trail, err);
	if (code)
		return code;
	code = fw_entry_follow(trail, job, after, entry, 1, end, err);
	if (!code)
		code = fw_store_write(trail, &fw_store_evidence, bytes, size, err);
	code = fw_write_end(trail, code, err);
	if (!code && head)
		memcpy(head, end, FW_HASH);
	return code;
}
