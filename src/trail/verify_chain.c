/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify_chain.c  Walks through the entries in order and checks each against the one before.
 */
#include "trail/verify_internal.h"

#include <string.h>

static const char changed[] = "the entry was changed after it was recorded";
static const char unlinked[] =
    "entries were changed, removed or put in here after they were recorded";
static const char lost[] = "entries were removed, or the file is damaged";

/* The entry before, as far as it is known. */
struct before {
	bool any;
	int64_t job, seq;
	uint8_t hash[FW_HASH];
	char at[FW_TIME_LENGTH + 1];
};

/* A damaged file may hold any number, the greatest too. */
static bool is_next(int64_t number, int64_t before)
{
	return before < INT64_MAX && number == before + 1;
}

/* Whether job `job` has an entry with this hash: -1 on failure. */
static int has_hash(struct fw_check *check, int64_t job, const uint8_t hash[FW_HASH],
                    struct fw_error *err, int *code)
{
	sqlite3_stmt *find;

	*code = fw_sql_get(check->trail, FW_SQL_FIND_HASH, &find, err);
	if (*code)
		return -1;
	int rc = sqlite3_bind_int64(find, 1, job);
	if (rc == SQLITE_OK)
		rc = fw_bind_blob(find, 2, hash, FW_HASH);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(find);
	sqlite3_reset(find);
	if (rc == SQLITE_ROW || rc == SQLITE_DONE)
		return rc == SQLITE_ROW;
	*code = fw_check_failed(check, rc, "looking for the job before", err);
	return -1;
}

/* The first entry of a job bears the head that the job before had at that moment. */
static int check_first_link(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	static const uint8_t zeros[FW_HASH];
	int code = FW_OK;

	if (e->job < 1) {
		fw_check_flaw(check, e->job, e->seq, changed, "a job has number %lld; jobs count from 1",
		              (long long)e->job);
		return FW_OK;
	}
	if (e->job == 1) {
		if (memcmp(e->prev, zeros, FW_HASH) != 0)
			fw_check_flaw(check, 1, e->seq, lost,
			              "the first job of the trail links back to something before it");
		return FW_OK;
	}
	if (has_hash(check, e->job - 1, e->prev, err, &code) == 0)
		fw_check_flaw(check, e->job, e->seq,
		              "entries of the job before were changed or removed, or this job was put in",
		              "job %lld does not link to any entry of job %lld", (long long)e->job,
		              (long long)(e->job - 1));
	return code;
}

static int check_first(struct fw_check *check, const struct before *before,
                       const struct fw_entry *e, struct fw_error *err)
{
	int64_t last = before->any ? before->job : 0;

	if (check->job == 0 && !is_next(e->job, last))
		fw_check_flaw(check, 0, 0, "whole jobs were removed, or the file is damaged",
		              "the jobs go from %lld to %lld", (long long)last, (long long)e->job);
	if (e->seq != 1) {
		fw_check_flaw(check, e->job, e->seq, lost, "job %lld starts with entry %lld",
		              (long long)e->job, (long long)e->seq);
		return FW_OK;
	}
	if (e->kind && strcmp(e->kind, "begin") != 0)
		fw_check_flaw(check, e->job, e->seq, "the record of what the job began with is not there",
		              "the first entry is '%.40s', not 'begin'", e->kind);
	return check_first_link(check, e, err);
}

static void check_follows(struct fw_check *check, const struct before *before,
                          const struct fw_entry *e)
{
	if (!is_next(e->seq, before->seq))
		fw_check_flaw(check, e->job, e->seq, lost, "entry %lld follows on entry %lld",
		              (long long)e->seq, (long long)before->seq);
	if (memcmp(e->prev, before->hash, FW_HASH) != 0)
		fw_check_flaw(check, e->job, e->seq, unlinked,
		              "entry %lld does not link to the entry before it", (long long)e->seq);
	if (e->kind && strcmp(e->kind, "begin") == 0)
		fw_check_flaw(check, e->job, e->seq, "an entry was put in that doesn't belong here",
		              "entry %lld begins the job again", (long long)e->seq);
	/* The shape of a time is fixed, so that text order is time order. */
	if (e->at && strcmp(e->at, before->at) < 0)
		fw_check_flaw(
		    check, e->job, e->seq,
		    "the clock was set back, or the entry was dated back; its time can't be relied on",
		    "entry %lld is of %.24s, the one before it of %s", (long long)e->seq, e->at,
		    before->at);
}

static void check_itself(struct fw_check *check, const char *fault, const struct fw_entry *e)
{
	uint8_t hash[FW_HASH];

	if (fault) {
		fw_check_flaw(check, e->job, e->seq, changed, "entry %lld: %s", (long long)e->seq, fault);
		return;
	}
	fw_entry_hash(hash, e);
	if (memcmp(hash, e->hash, FW_HASH) != 0)
		fw_check_flaw(check, e->job, e->seq, changed, "entry %lld does not have the hash it bears",
		              (long long)e->seq);
	if (!fw_time_check(e->at))
		fw_check_flaw(check, e->job, e->seq, "its time can't be relied on",
		              "entry %lld has no readable time", (long long)e->seq);
}

static void remember(struct before *before, const char *fault, const struct fw_entry *e)
{
	before->any = true;
	before->job = e->job;
	before->seq = e->seq;
	memcpy(before->hash, e->hash, FW_HASH);
	before->at[0] = '\0';
	if (!fault && fw_time_check(e->at))
		memcpy(before->at, e->at, FW_TIME_LENGTH + 1);
}

static int check_row(struct fw_check *check, sqlite3_stmt *statement, struct before *before,
                     struct fw_error *err)
{
	struct fw_entry e;
	const char *fault = fw_row_read(statement, &e);
	int code = FW_OK;

	check_itself(check, fault, &e);
	if (before->any && before->job == e.job)
		check_follows(check, before, &e);
	else
		code = check_first(check, before, &e, err);
	remember(before, fault, &e);
	return code;
}

int fw_check_chain(struct fw_check *check, struct fw_error *err)
{
	static const char all[] = "SELECT " FW_ENTRY_COLUMNS " FROM entry ORDER BY job, seq";
	static const char one[] = "SELECT " FW_ENTRY_COLUMNS " FROM entry WHERE job = ? ORDER BY seq";
	struct before before = {0};
	sqlite3_stmt *statement = NULL;
	int code = FW_OK;
	int rc = sqlite3_prepare_v2(check->trail->db, check->job ? one : all, -1, &statement, NULL);

	if (rc == SQLITE_OK && check->job)
		rc = sqlite3_bind_int64(statement, 1, check->job);
	if (rc == SQLITE_OK) {
		while (!code && (rc = sqlite3_step(statement)) == SQLITE_ROW)
			code = check_row(check, statement, &before, err);
	}
	if (!code && rc != SQLITE_DONE)
		code = fw_check_failed(check, rc, "reading the entries", err);
	else if (!code && check->job && !before.any)
		code = fw_fail(err, FW_ERR_NOT_FOUND, "trail %s has no job %lld", check->trail->path,
		               (long long)check->job);
	sqlite3_finalize(statement);
	return code;
}
