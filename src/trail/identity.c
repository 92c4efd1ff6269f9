/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file identity.c  Which shop a trail is of: the first entry of its own log. */
#include "base/moment.h"
#include "trail/trail_internal.h"

#include <sodium.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

/* Number and head of the last job that an earlier format held. */
static int read_last(struct fw_trail *trail, int64_t *job, char head[FW_HASH_TEXT],
                     struct fw_error *err)
{
	sqlite3_stmt *end;
	int code = fw_sql_get(trail, FW_SQL_TRAIL_END, &end, err);

	*job = 0;
	head[0] = '\0';
	if (code)
		return code;
	int rc = sqlite3_step(end);
	if (rc == SQLITE_ROW && sqlite3_column_bytes(end, 1) == FW_HASH) {
		*job = sqlite3_column_int64(end, 0);
		fw_hash_text(head, sqlite3_column_blob(end, 1));
	} else if (rc != SQLITE_DONE) {
		code = fw_sql_fail(trail, rc, "looking for its end", err);
	}
	sqlite3_reset(end);
	return code;
}

static int say_from(struct fw_trail *trail, int from, char *out, size_t size, struct fw_error *err)
{
	char head[FW_HASH_TEXT];
	int64_t last;
	int code = read_last(trail, &last, head, err);

	out[0] = '\0';
	if (!code && last == 0)
		snprintf(out, size, ",\"from\":%d,\"jobs\":0", from);
	else if (!code)
		snprintf(out, size, ",\"from\":%d,\"jobs\":%lld,\"head\":\"%s\"", from, (long long)last,
		         head);
	return code;
}

int fw_identity_write(struct fw_trail *trail, int from, struct fw_error *err)
{
	unsigned char id[FW_SHOP_DIGITS / 2];
	char digits[FW_SHOP_DIGITS + 1], at[32], earlier[160] = "", value[256];
	uint8_t head[FW_HASH] = {0};
	int code = from ? say_from(trail, from, earlier, sizeof earlier, err) : FW_OK;

	if (code)
		return code;
	randombytes_buf(id, sizeof id);
	sodium_bin2hex(digits, sizeof digits, id, sizeof id);
	snprintf(value, sizeof value, "{\"id\":\"%s\"%s}", digits, earlier);
	fw_moment_now(at);
	const struct fw_entry entry = {.kind = "shop", .at = at, .who = "(trail)", .value = value};
	return fw_entry_write(trail, &entry, FW_SHOP, 1, head, err);
}

static int read_shop(struct fw_trail *trail, struct fw_error *err)
{
	static const char id[] = "SELECT CASE WHEN json_valid(value) THEN json_extract(value, '$.id') "
	                         "END FROM entry WHERE job = 0 AND seq = 1 AND kind = 'shop'";
	sqlite3_stmt *row = NULL;
	int code = fw_sql_prepare(trail, id, &row, err);

	if (code)
		return code;
	int rc = sqlite3_step(row);
	const char *text = rc == SQLITE_ROW ? (const char *)sqlite3_column_text(row, 0) : NULL;
	if (text && strlen(text) == FW_SHOP_DIGITS &&
	    strspn(text, "0123456789abcdef") == FW_SHOP_DIGITS)
		memcpy(trail->shop, text, FW_SHOP_DIGITS + 1);
	else if (rc != SQLITE_ROW && rc != SQLITE_DONE)
		code = fw_sql_fail(trail, rc, "reading which shop it is of", err);
	else if (trail->mode != FW_TRAIL_READ)
		code = fw_fail(err, FW_ERR_TRAIL,
		               "trail %s does not say which shop it is of, so its records were changed; "
		               "audit it, and go on with a good copy",
		               trail->path);
	sqlite3_finalize(row);
	return code;
}

static int read_only_job(struct fw_trail *trail, struct fw_error *err)
{
	static const char ends[] = "SELECT (SELECT min(job) FROM entry WHERE job > 0),"
	                           " (SELECT max(job) FROM entry)";
	sqlite3_stmt *row = NULL;
	int code = fw_sql_prepare(trail, ends, &row, err);

	if (code)
		return code;
	int rc = sqlite3_step(row);
	if (rc != SQLITE_ROW)
		code = fw_sql_fail(trail, rc, "reading which job it is of", err);
	else
		trail->only = sqlite3_column_int64(row, 0);
	if (!code && (trail->only < 1 || trail->only != sqlite3_column_int64(row, 1)))
		code = fw_fail(err, FW_ERR_TRAIL,
		               "%s is an excerpt, and does not hold one job as such a file does; ask for "
		               "another copy of it",
		               trail->path);
	sqlite3_finalize(row);
	return code;
}

int fw_identity_read(struct fw_trail *trail, struct fw_error *err)
{
	int code = FW_OK;

	trail->shop[0] = '\0';
	trail->only = 0;
	if (trail->format >= 2)
		code = read_shop(trail, err);
	if (!code && trail->excerpt)
		code = read_only_job(trail, err);
	return code;
}

const char *fw_trail_shop(const struct fw_trail *trail)
{
	return trail->shop;
}

int fw_trail_format(const struct fw_trail *trail)
{
	return trail->format;
}

int64_t fw_trail_excerpt(const struct fw_trail *trail)
{
	return trail->only;
}
