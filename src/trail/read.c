/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file read.c  Reads entries and jobs. A walk has its own statement, so that walks nest.
 */
#include "trail/trail_internal.h"

/* Steps through the rows; `row` returns other than 0 to end the walk. */
static int walk(struct fw_trail *trail, sqlite3_stmt *statement,
                int (*row)(struct fw_trail *trail, sqlite3_stmt *statement, void *context,
                           struct fw_error *err),
                void *context, struct fw_error *err)
{
	int code = FW_OK, rc = SQLITE_ROW;

	trail->walking++;
	while (!code && (rc = sqlite3_step(statement)) == SQLITE_ROW)
		code = row(trail, statement, context, err);
	trail->walking--;
	if (!code && rc != SQLITE_DONE)
		code = fw_sql_fail(trail, rc, "reading", err);
	return code;
}

struct entry_visit {
	int (*visit)(void *context, const struct fw_entry *entry);
	void *context;
	size_t seen;
};

static int entry_row(struct fw_trail *trail, sqlite3_stmt *statement, void *context,
                     struct fw_error *err)
{
	struct entry_visit *visit = context;
	struct fw_entry entry;
	const char *fault = fw_row_read(statement, &entry);

	if (fault)
		return fw_row_fail(trail, &entry, fault, err);
	visit->seen++;
	return visit->visit(visit->context, &entry);
}

int fw_trail_walk(struct fw_trail *trail, int64_t job,
                  int (*visit)(void *context, const struct fw_entry *entry), void *context,
                  struct fw_error *err)
{
	struct entry_visit entries = {visit, context, 0};
	sqlite3_stmt *statement = NULL;
	/* A walk inside another needs a statement of its own. */
	const bool kept = trail->walking == 0;
	int code = kept ? fw_sql_get(trail, FW_SQL_JOB_ENTRIES, &statement, err)
	                : fw_sql_prepare(trail, fw_sql_text(FW_SQL_JOB_ENTRIES), &statement, err);

	if (!code && sqlite3_bind_int64(statement, 1, job) != SQLITE_OK)
		code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
	if (!code)
		code = walk(trail, statement, entry_row, &entries, err);
	if (kept)
		sqlite3_reset(statement);
	else
		sqlite3_finalize(statement);
	if (!code && entries.seen == 0)
		code =
		    fw_fail(err, FW_ERR_NOT_FOUND, "trail %s has no job %lld", trail->path, (long long)job);
	return code;
}

/* Whether a later withdrawal takes entry `e` back; JSON is looked into only where it is JSON, so
 * that one damaged entry doesn't hide the list. */
#define WITHDRAWN(e, and)                                                                          \
	"EXISTS (SELECT 1 FROM entry AS w"                                                             \
	" WHERE w.job = " e ".job AND w.seq > " e ".seq AND w.kind = 'withdraw'" and                   \
	    " AND CASE WHEN json_valid(w.value) THEN json_extract(w.value, '$.entry') END <= " e       \
	    ".seq)"
/* Whether a later lapse or reopening lists answer `e`, or an amendment of it: that has the same
 * question, and no other answer to it stands meanwhile. CROSS JOIN,
 * and what is said of `a` and `w`, which is so anyway, have SQLite look at the lapses first, and
 * for withdrawals last: there may be very many of both. */
#define LAPSED                                                                                     \
	"EXISTS (SELECT 1 FROM entry AS s CROSS JOIN"                                                  \
	" json_each(CASE WHEN json_valid(s.value) THEN s.value END, '$.entries') AS n"                 \
	" CROSS JOIN entry AS a"                                                                       \
	" WHERE s.job = e.job AND s.seq > e.seq AND s.kind IN ('lapse', 'reopen')"                     \
	" AND a.job = e.job AND a.seq = n.value AND a.seq < s.seq"                                     \
	" AND (a.seq = e.seq OR a.kind = 'amend' AND a.seq > e.seq AND a.ask = e.ask)"                 \
	" AND NOT " WITHDRAWN("s", " AND w.seq > a.seq") ")"
/* The phase of the last answer that stands: where the job is, not where it had been. One that was
 * amended stands where it was given. */
#define LAST_PHASE                                                                                 \
	"SELECT CASE WHEN json_valid(e.ask) THEN json_extract(e.ask, '$.phase') END"                   \
	" FROM entry AS e WHERE e.job = j.job AND e.kind IN ('answer', 'sign')"                        \
	" AND NOT " WITHDRAWN("e", "") " AND NOT " LAPSED " ORDER BY e.seq DESC LIMIT 1"

static const char jobs[] =
    "SELECT j.job, j.entries, b.at, l.at, b.value, l.kind, (" LAST_PHASE "), l.who, j.conceding,"
    " j.reopened "
    "FROM (SELECT job, count(*) AS entries, min(seq) AS first, max(seq) AS last,"
    " sum(CASE kind WHEN 'sign' THEN ifnull(instr(ask, 'concession'), 0) > 0 ELSE 0 END)"
    " AS conceding, sum(kind = 'reopen') AS reopened"
    " FROM entry WHERE job > 0 GROUP BY job) AS j "
    "JOIN entry AS b ON b.job = j.job AND b.seq = j.first "
    "JOIN entry AS l ON l.job = j.job AND l.seq = j.last ORDER BY j.job";

struct job_visit {
	int (*visit)(void *context, const struct fw_job_line *line);
	void *context;
};

static int job_row(struct fw_trail *trail, sqlite3_stmt *statement, void *context,
                   struct fw_error *err)
{
	const struct job_visit *visit = context;
	const struct fw_job_line line = {
	    .job = sqlite3_column_int64(statement, 0),
	    .entries = sqlite3_column_int64(statement, 1),
	    .began = (const char *)sqlite3_column_text(statement, 2),
	    .latest = (const char *)sqlite3_column_text(statement, 3),
	    .begin_value = (const char *)sqlite3_column_text(statement, 4),
	    .last_kind = (const char *)sqlite3_column_text(statement, 5),
	    .last_phase = (const char *)sqlite3_column_text(statement, 6),
	    .who = (const char *)sqlite3_column_text(statement, 7),
	    .conceding = sqlite3_column_int64(statement, 8),
	    .reopened = sqlite3_column_int64(statement, 9),
	};

	if (!line.began || !line.latest || !line.last_kind || !line.who)
		return fw_fail(err, FW_ERR_TRAIL, "trail %s: job %lld is damaged; audit the trail",
		               trail->path, (long long)line.job);
	return visit->visit(visit->context, &line);
}

int fw_trail_jobs(struct fw_trail *trail,
                  int (*visit)(void *context, const struct fw_job_line *line), void *context,
                  struct fw_error *err)
{
	struct job_visit visits = {visit, context};
	sqlite3_stmt *statement = NULL;
	int code = fw_sql_prepare(trail, jobs, &statement, err);

	if (!code)
		code = walk(trail, statement, job_row, &visits, err);
	sqlite3_finalize(statement);
	return code;
}
