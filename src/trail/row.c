/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file row.c  Rows of the table `entry` read, and entries checked before they become rows. */
#include "trail/trail_internal.h"

#include <string.h>

#include "base/text.h"

/* A damaged or forged file may hold any type in any column, and zero bytes inside a text. */
static const char *read_text(sqlite3_stmt *statement, int column, bool may_be_null,
                             const char **out)
{
	*out = NULL;
	int type = sqlite3_column_type(statement, column);
	if (type == SQLITE_NULL)
		return may_be_null ? NULL : "a column that is never empty is empty";
	if (type != SQLITE_TEXT)
		return "a column that holds text holds something else";
	*out = (const char *)sqlite3_column_text(statement, column);
	if (!*out)
		return "a text can't be read";
	if (strlen(*out) != (size_t)sqlite3_column_bytes(statement, column))
		return "a text has a zero byte in it";
	return NULL;
}

static const char *read_hash(sqlite3_stmt *statement, int column, uint8_t out[FW_HASH])
{
	memset(out, 0, FW_HASH);
	if (sqlite3_column_type(statement, column) != SQLITE_BLOB)
		return "a hash is not made of bytes";
	const void *bytes = sqlite3_column_blob(statement, column);
	if (!bytes || sqlite3_column_bytes(statement, column) != FW_HASH)
		return "a hash has the wrong length";
	memcpy(out, bytes, FW_HASH);
	return NULL;
}

const char *fw_row_read(sqlite3_stmt *statement, struct fw_entry *entry)
{
	const struct {
		const char **field;
		bool may_be_null;
	} texts[] = {
	    {&entry->kind, false}, {&entry->step, true},  {&entry->at, false},   {&entry->who, false},
	    {&entry->ask, true},   {&entry->typed, true}, {&entry->value, true},
	};
	const char *fault = NULL;

	memset(entry, 0, sizeof *entry);
	entry->job = sqlite3_column_int64(statement, 0);
	entry->seq = sqlite3_column_int64(statement, 1);
	if (sqlite3_column_type(statement, 0) != SQLITE_INTEGER ||
	    sqlite3_column_type(statement, 1) != SQLITE_INTEGER)
		fault = "its number is not a whole number";
	for (size_t i = 0; i < sizeof texts / sizeof *texts && !fault; i++)
		fault = read_text(statement, (int)i + 2, texts[i].may_be_null, texts[i].field);
	if (!fault)
		fault = read_hash(statement, 9, entry->prev);
	if (!fault)
		fault = read_hash(statement, 10, entry->hash);
	return fault;
}

int fw_row_fail(const struct fw_trail *trail, const struct fw_entry *entry, const char *fault,
                struct fw_error *err)
{
	return fw_fail(
	    err, FW_ERR_TRAIL,
	    "trail %s: job %lld, entry %lld: %s; audit the trail, and go on with a good copy",
	    trail->path, (long long)entry->job, (long long)entry->seq, fault);
}

bool fw_time_check(const char *text)
{
	static const char shape[] = "0000-00-00T00:00:00.000Z";

	_Static_assert(sizeof shape == FW_TIME_LENGTH + 1, "shape of a time");
	if (strlen(text) != FW_TIME_LENGTH)
		return false;
	for (size_t i = 0; i < FW_TIME_LENGTH; i++) {
		bool digit = text[i] >= '0' && text[i] <= '9';
		if (shape[i] == '0' ? !digit : text[i] != shape[i])
			return false;
	}
	return true;
}

/* Days since 1970 of a day of the Gregorian calendar; years from March, so that leap days come
 * last. */
static int64_t day_number(int64_t year, int64_t month, int64_t day)
{
	const int64_t y = year - (month <= 2), m = month + (month <= 2 ? 9 : -3);

	return 365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + day - 1 - 719468;
}

static int64_t digits(const char *text, int count)
{
	int64_t number = 0;

	while (count-- > 0)
		number = 10 * number + (*text++ - '0');
	return number;
}

static int64_t seconds(const char *t)
{
	return day_number(digits(t, 4), digits(t + 5, 2), digits(t + 8, 2)) * 86400 +
	       digits(t + 11, 2) * 3600 + digits(t + 14, 2) * 60 + digits(t + 17, 2);
}

int64_t fw_time_between(const char *a, const char *b)
{
	return seconds(b) - seconds(a);
}

static int check_text(const char *name, const char *text, bool needed, struct fw_error *err)
{
	if (!text || !*text) {
		if (needed)
			return fw_fail(err, FW_ERR_ARGUMENT, "an entry needs its '%s'", name);
		return FW_OK;
	}
	if (strlen(text) > FW_TRAIL_TEXT_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "'%s' of an entry is longer than %d bytes", name,
		               FW_TRAIL_TEXT_MOST);
	if (!fw_utf8_check(text))
		return fw_fail(err, FW_ERR_ARGUMENT, "'%s' of an entry is not UTF-8", name);
	return FW_OK;
}

int fw_entry_check(const struct fw_entry *entry, struct fw_error *err)
{
	const struct {
		const char *name, *text;
		bool needed;
	} texts[] = {
	    {"kind", entry->kind, true},    {"step", entry->step, false},
	    {"at", entry->at, true},        {"who", entry->who, true},
	    {"ask", entry->ask, false},     {"typed", entry->typed, false},
	    {"value", entry->value, false},
	};

	for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
		int code = check_text(texts[i].name, texts[i].text, texts[i].needed, err);
		if (code)
			return code;
	}
	if (!fw_time_check(entry->at))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "'at' of an entry reads \"%.40s\", not like 2026-03-05T14:03:11.250Z",
		               entry->at);
	return FW_OK;
}
