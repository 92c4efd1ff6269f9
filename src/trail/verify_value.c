/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify_value.c  Checks what an entry says of the entries before it, of the shop's log, of
 * sources and of evidence. Whether it says enough is for the audit of the job; here only that it is
 * true. */
#include "trail/verify_internal.h"

#include <string.h>

static const char procedure_lost[] =
    "the job can't be run again with what it began with, so that it can't be audited whole";
static const char not_signed[] = "what was signed is not what stands there now";
static const char of_another[] =
    "the log of the shop was changed or cut, or this comes from another shop";

static bool is_one_of(const char *kind, const char *const *kinds)
{
	while (*kinds && strcmp(*kinds, kind) != 0)
		kinds++;
	return *kinds != NULL;
}

/* Binds the JSON of an entry to a statement of one row; `*rc` is what its first step gives. */
static int ask(struct fw_check *check, enum fw_sql which, const struct fw_entry *e,
               sqlite3_stmt **row, int *rc, struct fw_error *err)
{
	char head[FW_HASH_TEXT];
	int code = fw_sql_get(check->trail, which, row, err);

	if (code)
		return code;
	*rc = fw_bind_text(*row, 1, e->value);
	if (*rc == SQLITE_OK && sqlite3_bind_parameter_count(*row) > 1)
		*rc = sqlite3_bind_int64(*row, 2, e->seq - 1);
	if (*rc == SQLITE_OK && sqlite3_bind_parameter_count(*row) > 2)
		*rc = sqlite3_bind_text(*row, 3, fw_hash_text(head, e->prev), -1, SQLITE_TRANSIENT);
	if (*rc == SQLITE_OK)
		*rc = sqlite3_step(*row);
	return FW_OK;
}

/* Ends what ask() began. */
static int asked(struct fw_check *check, sqlite3_stmt *row, int rc, struct fw_error *err)
{
	sqlite3_reset(row);
	sqlite3_clear_bindings(row);
	return rc == SQLITE_ROW || rc == SQLITE_DONE
	           ? FW_OK
	           : fw_check_failed(check, rc, "reading what an entry says", err);
}

static int check_covers(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	sqlite3_stmt *row;
	int rc, code = ask(check, FW_SQL_VALUE_COVERS, e, &row, &rc, err);

	if (code)
		return code;
	if (rc == SQLITE_ROW && !(sqlite3_column_int(row, 0) && sqlite3_column_int(row, 1)))
		fw_check_flaw(check, e->job, e->seq, not_signed,
		              "the count or head that entry %lld covers is not that of the entry before",
		              (long long)e->seq);
	return asked(check, row, rc, err);
}

/* Whether entry `count` of the shop's log has this head. */
static int is_of_log(struct fw_check *check, int64_t count, const char *head, bool *is,
                     struct fw_error *err)
{
	uint8_t hash[FW_HASH];
	sqlite3_stmt *read;

	*is = false;
	if (!head || !fw_hash_parse(hash, head))
		return FW_OK;
	int code = fw_sql_get(check->trail, FW_SQL_ENTRY_READ, &read, err);
	if (code)
		return code;
	int rc = sqlite3_bind_int64(read, 1, FW_SHOP);
	if (rc == SQLITE_OK)
		rc = sqlite3_bind_int64(read, 2, count);
	if (rc == SQLITE_OK)
		rc = sqlite3_step(read);
	*is = rc == SQLITE_ROW && sqlite3_column_bytes(read, 10) == FW_HASH &&
	      memcmp(sqlite3_column_blob(read, 10), hash, FW_HASH) == 0;
	if (rc != SQLITE_ROW && rc != SQLITE_DONE)
		code = fw_check_failed(check, rc, "reading the shop's log", err);
	sqlite3_reset(read);
	return code;
}

/* `shop` in a begin or a signature: the log as it was then. */
static int check_shop(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	sqlite3_stmt *row;
	bool is = true;
	int rc, code = ask(check, FW_SQL_VALUE_OF_SHOP, e, &row, &rc, err);

	if (code)
		return code;
	if (rc == SQLITE_ROW) {
		const char *id = (const char *)sqlite3_column_text(row, 2);
		code = is_of_log(check, sqlite3_column_int64(row, 0),
		                 (const char *)sqlite3_column_text(row, 1), &is, err);
		if (!code && !is)
			fw_check_flaw(
			    check, e->job, e->seq, of_another,
			    "the count and head of the shop's log that entry %lld names are not those "
			    "of an entry there",
			    (long long)e->seq);
		else if (!code && id && strcmp(id, check->trail->shop) != 0)
			fw_check_flaw(check, e->job, e->seq, of_another,
			              "entry %lld was made in the shop %.40s, and this trail is of the shop %s",
			              (long long)e->seq, id, check->trail->shop);
	}
	int failed = asked(check, row, rc, err);
	return code ? code : failed;
}

static int check_sources(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	sqlite3_stmt *row;
	int rc, code = ask(check, FW_SQL_VALUE_SOURCES, e, &row, &rc, err);

	if (code)
		return code;
	while (!code && rc == SQLITE_ROW) {
		const char *text = (const char *)sqlite3_column_text(row, 0);
		code =
		    fw_check_named(check, e, &fw_store_source, text ? text : "", -1, procedure_lost, err);
		rc = sqlite3_step(row);
	}
	int failed = asked(check, row, rc, err);
	return code ? code : failed;
}

static int check_evidence(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	static const char gone[] = "what was attached there can't be relied on";
	sqlite3_stmt *row;
	int rc, code = ask(check, FW_SQL_VALUE_EVIDENCE, e, &row, &rc, err);

	if (code)
		return code;
	if (rc == SQLITE_ROW) {
		const char *text = (const char *)sqlite3_column_text(row, 0);
		/* A size that isn't a whole number is none that the bytes could have. */
		const int64_t size = sqlite3_column_type(row, 1) == SQLITE_INTEGER
		                         ? sqlite3_column_int64(row, 1)
		                         : INT64_MAX;
		code = fw_check_named(check, e, &fw_store_evidence, text ? text : "",
		                      size < 0 ? INT64_MAX : size, gone, err);
	}
	int failed = asked(check, row, rc, err);
	return code ? code : failed;
}

/* What the first entry of the shop's log says of the jobs before it. */
static int check_earlier(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	char at[FW_TIME_LENGTH + 1];
	uint8_t hash[FW_HASH];
	sqlite3_stmt *row;
	bool has = true;
	int code = fw_sql_get(check->trail, FW_SQL_VALUE_SHOP, &row, err);

	if (code)
		return code;
	int rc = sqlite3_step(row);
	const int64_t jobs = rc == SQLITE_ROW ? sqlite3_column_int64(row, 1) : 0;
	const char *head = rc == SQLITE_ROW ? (const char *)sqlite3_column_text(row, 2) : NULL;
	/* In an excerpt only one job is there to be looked at. */
	if (jobs > 0 && (!check->trail->excerpt || check->trail->only == jobs)) {
		has = head && fw_hash_parse(hash, head);
		if (has)
			code = fw_check_has(check, jobs, hash, &has, at, err);
	}
	if (!code && !has)
		fw_check_flaw(check, e->job, e->seq,
		              "jobs of before this trail was brought up to date were changed or removed",
		              "the head that job %lld had then is not that of an entry of it",
		              (long long)jobs);
	int failed = asked(check, row, rc, err);
	return code ? code : failed;
}

static int is_json(struct fw_check *check, const struct fw_entry *e, bool *is, struct fw_error *err)
{
	sqlite3_stmt *row;
	int rc, code = ask(check, FW_SQL_JSON_VALID, e, &row, &rc, err);

	if (code)
		return code;
	*is = rc == SQLITE_ROW && sqlite3_column_int(row, 0);
	return asked(check, row, rc, err);
}

int fw_check_value(struct fw_check *check, const struct fw_entry *e, struct fw_error *err)
{
	static const char *const covering[] = {"sign", "release", "reopen", "person", NULL};
	static const char *const of_shop[] = {"begin", "sign", "reopen", NULL};
	const bool covers = is_one_of(e->kind, covering), begins = strcmp(e->kind, "begin") == 0,
	           shows = strcmp(e->kind, "evidence") == 0, shop = strcmp(e->kind, "shop") == 0;
	bool json = false;

	if (!e->value || !(covers || begins || shows || shop))
		return FW_OK;
	int code = is_json(check, e, &json, err);
	if (code || !json)
		return code;
	if (covers)
		code = check_covers(check, e, err);
	if (!code && begins)
		code = check_sources(check, e, err);
	if (!code && check->trail->format >= 2 && is_one_of(e->kind, of_shop))
		code = check_shop(check, e, err);
	if (!code && check->trail->format >= 2 && shows)
		code = check_evidence(check, e, err);
	if (!code && shop && e->job == FW_SHOP && e->seq == 1)
		code = check_earlier(check, e, err);
	return code;
}
