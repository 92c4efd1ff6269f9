/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify_source.c  Checks that stored sources have their hash, and that each job has its
 * own. */
#include "trail/verify_internal.h"

#include <string.h>

/* Where a job's begin entry names a hash, wherever in its JSON it stands. */
#define NAMED                                                                                      \
	"FROM entry AS e, json_tree(e.value) AS t "                                                    \
	"WHERE e.kind = 'begin' AND json_valid(e.value) AND t.key = 'hash' AND t.type = 'text'"

static const char procedure_lost[] =
    "the job can't be run again with what it began with, so that it can't be audited whole";

/* The bytes stored under a hash the job names, found or not, are those of the hash. */
static int check_named(struct fw_check *check, int64_t job, const char *text, struct fw_error *err)
{
	uint8_t hash[FW_HASH], again[FW_HASH];
	sqlite3_stmt *read;

	if (!fw_hash_parse(hash, text)) {
		fw_check_flaw(check, job, 1, procedure_lost, "job %lld names '%.70s', which is not a hash",
		              (long long)job, text);
		return FW_OK;
	}
	int code = fw_sql_get(check->trail, FW_SQL_SOURCE_READ, &read, err);
	if (code)
		return code;
	int rc = fw_bind_blob(read, 1, hash, FW_HASH);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(read);
	if (rc == SQLITE_DONE) {
		fw_check_flaw(check, job, 1, procedure_lost, "source %.64s of job %lld is not there", text,
		              (long long)job);
	} else if (rc != SQLITE_ROW) {
		code = fw_check_failed(check, rc, "reading a source", err);
	} else {
		fw_trail_hash(again, sqlite3_column_blob(read, 0), (size_t)sqlite3_column_bytes(read, 0));
		if (sqlite3_column_type(read, 0) != SQLITE_BLOB || memcmp(again, hash, FW_HASH) != 0)
			fw_check_flaw(check, job, 1, procedure_lost, "source %.64s of job %lld was changed",
			              text, (long long)job);
	}
	sqlite3_reset(read);
	return code;
}

static int check_all_named(struct fw_check *check, struct fw_error *err)
{
	sqlite3_stmt *named = NULL;
	int code = FW_OK;
	int rc = sqlite3_prepare_v2(check->trail->db,
	                            "SELECT e.job, t.value " NAMED " AND (?1 = 0 OR e.job = ?1)", -1,
	                            &named, NULL);

	if (rc == SQLITE_OK)
		rc = sqlite3_bind_int64(named, 1, check->job);
	if (rc == SQLITE_OK) {
		while (!code && (rc = sqlite3_step(named)) == SQLITE_ROW) {
			const char *text = (const char *)sqlite3_column_text(named, 1);
			code = check_named(check, sqlite3_column_int64(named, 0), text ? text : "", err);
		}
	}
	if (!code && rc != SQLITE_DONE)
		code = fw_check_failed(check, rc, "reading what the jobs began with", err);
	sqlite3_finalize(named);
	return code;
}

static void check_stored(struct fw_check *check, sqlite3_stmt *row)
{
	uint8_t hash[FW_HASH];
	char text[FW_HASH_TEXT];
	const void *bytes = sqlite3_column_blob(row, 1);

	fw_trail_hash(hash, bytes, (size_t)sqlite3_column_bytes(row, 1));
	const void *key = sqlite3_column_blob(row, 0);
	if (!key || sqlite3_column_bytes(row, 0) != FW_HASH || memcmp(key, hash, FW_HASH) != 0)
		fw_check_flaw(
		    check, 0, 0,
		    "a procedure or sheet was changed; the jobs that began with it can't be relied on",
		    "the bytes of hash %s are stored under another one", fw_hash_text(text, hash));
	else if (!sqlite3_column_int(row, 2))
		fw_check_flaw(check, 0, 0,
		              "it was put in later, or the job that began with it was changed or removed",
		              "no job began with source %s", fw_hash_text(text, hash));
}

/* Whole file only: each stored source, named by a job or not. */
static int check_all_stored(struct fw_check *check, struct fw_error *err)
{
	static const char stored[] = "SELECT s.hash, s.bytes, lower(hex(s.hash)) IN"
	                             " (SELECT lower(t.value) " NAMED ") FROM source AS s";
	sqlite3_stmt *row = NULL;
	int rc = sqlite3_prepare_v2(check->trail->db, stored, -1, &row, NULL);

	while (rc == SQLITE_OK || rc == SQLITE_ROW) {
		rc = sqlite3_step(row);
		if (rc == SQLITE_ROW)
			check_stored(check, row);
	}
	int code = rc == SQLITE_DONE ? FW_OK : fw_check_failed(check, rc, "reading the sources", err);
	sqlite3_finalize(row);
	return code;
}

int fw_check_sources(struct fw_check *check, struct fw_error *err)
{
	int code = check_all_named(check, err);

	return !code && check->job == 0 ? check_all_stored(check, err) : code;
}
