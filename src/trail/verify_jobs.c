/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify_jobs.c  Checks how the jobs hang together: their numbers, and the link from each to
 * the one before. */
#include "trail/verify_internal.h"

#include <string.h>

/* A job may be dated so much before the entry to which it links: clocks are set right by a little.
 */
#define CLOCK_SECONDS 120

static const char lost[] = "entries were removed, or the file is damaged";

int fw_check_has(struct fw_check *check, int64_t job, const uint8_t hash[FW_HASH], bool *has,
                 char at[FW_TIME_LENGTH + 1], struct fw_error *err)
{
	sqlite3_stmt *find;

	*has = false;
	at[0] = '\0';
	int code = fw_sql_get(check->trail, FW_SQL_FIND_HASH, &find, err);
	if (code)
		return code;
	int rc = sqlite3_bind_int64(find, 1, job);
	if (rc == SQLITE_OK)
		rc = fw_bind_blob(find, 2, hash, FW_HASH);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(find);
	if (rc == SQLITE_ROW) {
		const char *text = (const char *)sqlite3_column_text(find, 0);
		*has = true;
		if (text && fw_time_check(text))
			memcpy(at, text, FW_TIME_LENGTH + 1);
	} else if (rc != SQLITE_DONE) {
		code = fw_check_failed(check, rc, "looking for an entry", err);
		*has = true; /* not known: nothing is said of it */
	}
	sqlite3_reset(find);
	return code;
}

void fw_check_number(struct fw_check *check, int64_t before, int64_t job)
{
	const struct fw_trail *trail = check->trail;
	int64_t next = before < INT64_MAX ? before + 1 : before;

	if (before < 0)
		next = trail->format >= 2 ? FW_SHOP : 1;
	else if (trail->excerpt && before == FW_SHOP)
		next = trail->only;
	if (job == next && before < INT64_MAX)
		return;
	if (before < 0 && trail->format >= 2)
		fw_check_flaw(check, 0, 0,
		              "the people and gauges of the shop are not there, nor which shop it is",
		              "the shop's own log is missing");
	else
		fw_check_flaw(check, 0, 0, "whole jobs were removed, or the file is damaged",
		              "the jobs go from %lld to %lld", (long long)(before < 0 ? 0 : before),
		              (long long)job);
}

void fw_check_last(struct fw_check *check, int64_t last)
{
	if (last < 0 && check->trail->format >= 2)
		fw_check_number(check, -1, 1);
}

static int check_link_back(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	char at[FW_TIME_LENGTH + 1];
	bool has;
	int code = fw_check_has(check, e->job - 1, e->prev, &has, at, err);

	if (code)
		return code;
	if (!has) {
		fw_check_flaw(check, e->job, e->seq,
		              "entries of the job before were changed or removed, or this job was put in",
		              "job %lld does not link to any entry of job %lld", (long long)e->job,
		              (long long)(e->job - 1));
		return FW_OK;
	}
	if (e->job - 1 != FW_SHOP && e->job > check->older_jobs && !check->any_time && at[0] && e->at &&
	    fw_time_check(e->at) && fw_time_between(at, e->at) < -CLOCK_SECONDS)
		fw_check_flaw(
		    check, e->job, e->seq,
		    "the clock was set back, or the job was dated back; its time can't be relied on",
		    "job %lld is of %.24s, and links to an entry of job %lld that is of %s",
		    (long long)e->job, e->at, (long long)(e->job - 1), at);
	return FW_OK;
}

int fw_check_link(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	static const uint8_t zeros[FW_HASH];
	const bool from_nothing = memcmp(e->prev, zeros, FW_HASH) == 0;

	if (e->job < FW_SHOP || (e->job == FW_SHOP && check->trail->format < 2)) {
		fw_check_flaw(check, e->job, e->seq, "it was put in, or its number was changed",
		              "a job has number %lld; jobs count from 1", (long long)e->job);
		return FW_OK;
	}
	if (e->job == FW_SHOP || (e->job == 1 && check->trail->format < 2)) {
		if (!from_nothing)
			fw_check_flaw(check, e->job, e->seq, lost, "%s links back to something before it",
			              e->job == FW_SHOP ? "the shop's own log" : "the first job of the trail");
		return FW_OK;
	}
	if (e->job == 1 && check->older_jobs >= 1 && from_nothing)
		return FW_OK;
	/* The job before isn't there in an excerpt. */
	if (check->trail->excerpt && e->job > 1)
		return FW_OK;
	return check_link_back(check, e, err);
}

/* Reads the first entry of a job alone, and checks what it links to. */
static int check_first(struct fw_check *check, int64_t job, int64_t seq, struct fw_error *err)
{
	sqlite3_stmt *read;
	struct fw_entry e;

	if (seq != 1)
		fw_check_flaw(check, job, seq, lost, "job %lld starts with entry %lld", (long long)job,
		              (long long)seq);
	int code = seq == 1 ? fw_sql_get(check->trail, FW_SQL_ENTRY_READ, &read, err) : FW_OK;
	if (code || seq != 1)
		return code;
	int rc = sqlite3_bind_int64(read, 1, job);
	if (rc == SQLITE_OK)
		rc = sqlite3_bind_int64(read, 2, seq);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(read);
	if (rc == SQLITE_ROW && !fw_row_read(read, &e))
		code = fw_check_link(check, &e, err);
	else if (rc != SQLITE_ROW && rc != SQLITE_DONE)
		code = fw_check_failed(check, rc, "reading the first entry of a job", err);
	sqlite3_reset(read);
	return code;
}

static int check_step(struct fw_check *check, sqlite3_stmt *row, int64_t last[2],
                      struct fw_error *err)
{
	const int64_t job = sqlite3_column_int64(row, 0), seq = sqlite3_column_int64(row, 1);
	int code = FW_OK;

	if (job != last[0]) {
		fw_check_number(check, last[0], job);
		code = check_first(check, job, seq, err);
	} else if (seq <= last[1]) {
		fw_check_flaw(check, job, seq, lost, "entry %lld stands behind entry %lld", (long long)seq,
		              (long long)last[1]);
	}
	last[0] = job;
	last[1] = seq;
	return code;
}

int fw_check_jobs(struct fw_check *check, struct fw_error *err)
{
	sqlite3_stmt *row = NULL;
	int64_t last[2] = {-1, 0};
	int code = FW_OK;
	int rc = sqlite3_prepare_v2(check->trail->db, "SELECT job, seq FROM entry ORDER BY job, seq",
	                            -1, &row, NULL);

	if (rc == SQLITE_OK) {
		while (!code && (rc = sqlite3_step(row)) == SQLITE_ROW)
			code = check_step(check, row, last, err);
	}
	if (!code && rc != SQLITE_DONE)
		code = fw_check_failed(check, rc, "reading the entries", err);
	else if (!code)
		fw_check_last(check, last[0]);
	sqlite3_finalize(row);
	return code;
}
