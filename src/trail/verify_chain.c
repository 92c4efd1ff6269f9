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

/* Each chain has its own first kind. */
static const char *first_kind(int64_t job)
{
	return job == FW_SHOP ? "shop" : "begin";
}

static int check_first(struct fw_check *check, const struct before *before,
                       const struct fw_entry *e, struct fw_error *err)
{
	const char *kind = first_kind(e->job);

	if (check->scope == FW_SCOPE_ALL)
		fw_check_number(check, before->any ? before->job : -1, e->job);
	if (e->seq != 1) {
		fw_check_flaw(check, e->job, e->seq, lost, "job %lld starts with entry %lld",
		              (long long)e->job, (long long)e->seq);
		return FW_OK;
	}
	if (e->kind && strcmp(e->kind, kind) != 0)
		fw_check_flaw(check, e->job, e->seq,
		              e->job == FW_SHOP ? "which shop this is of is not there"
		                                : "the record of what the job began with is not there",
		              "the first entry is '%.40s', not '%s'", e->kind, kind);
	return fw_check_link(check, e, err);
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
	if (e->kind && (strcmp(e->kind, "begin") == 0 || strcmp(e->kind, "shop") == 0))
		fw_check_flaw(check, e->job, e->seq, "an entry was put in that doesn't belong here",
		              "entry %lld begins the job again", (long long)e->seq);
	/* The shape of a time is fixed, so that text order is time order. */
	if (!check->any_time && e->at && strcmp(e->at, before->at) < 0)
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

/* What a walk does with the row. */
static void visit_row(struct fw_check *check, const char *fault, const struct fw_entry *e)
{
	if (!check->visit || check->walked)
		return;
	check->walked = fault ? fw_row_fail(check->trail, e, fault, check->walk_error)
	                      : check->visit(check->visitor, e);
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
	if (!code && !fault)
		code = fw_check_value(check, &e, err);
	remember(before, fault, &e);
	visit_row(check, fault, &e);
	return code;
}

/* The rows of one job come from a statement that is kept: there may be many jobs. */
static int prepare(struct fw_check *check, sqlite3_stmt **out, int *rc, struct fw_error *err)
{
	static const char all[] = "SELECT " FW_ENTRY_COLUMNS " FROM entry ORDER BY job, seq";

	if (check->scope != FW_SCOPE_JOB) {
		*rc = sqlite3_prepare_v2(check->trail->db, all, -1, out, NULL);
		return FW_OK;
	}
	int code = fw_sql_get(check->trail, FW_SQL_JOB_ENTRIES, out, err);
	if (!code)
		*rc = sqlite3_bind_int64(*out, 1, check->job);
	return code;
}

static void finish(const struct fw_check *check, sqlite3_stmt *statement)
{
	if (check->scope == FW_SCOPE_JOB)
		sqlite3_reset(statement);
	else
		sqlite3_finalize(statement);
}

int fw_check_chain(struct fw_check *check, struct fw_error *err)
{
	struct before before = {0};
	sqlite3_stmt *statement = NULL;
	const bool only = check->scope == FW_SCOPE_JOB;
	int rc, code = prepare(check, &statement, &rc, err);

	if (code)
		return code;
	if (rc == SQLITE_OK) {
		while (!code && (rc = sqlite3_step(statement)) == SQLITE_ROW)
			code = check_row(check, statement, &before, err);
	}
	if (!code && rc != SQLITE_DONE) {
		if (check->visit && !check->walked)
			check->walked = fw_sql_fail(check->trail, rc, "reading", check->walk_error);
		code = fw_check_failed(check, rc, "reading the entries", err);
	} else if (!code && only && !before.any)
		code = fw_fail(err, FW_ERR_NOT_FOUND, "trail %s has no job %lld", check->trail->path,
		               (long long)check->job);
	else if (!code && !only)
		fw_check_last(check, before.any ? before.job : -1);
	finish(check, statement);
	return code;
}
