/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file trail_make.h  What the tests of the trail share: folders, plain SQL, an invented shop. */
#ifndef FITWRIGHT_TESTS_TRAIL_MAKE_H
#define FITWRIGHT_TESTS_TRAIL_MAKE_H

#include <limits.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "check.h"
#include "fitwright/trail.h"

#define MAKE_TIME "2026-03-05T14:03:11.250Z"

/* A new folder of the test's own; `file` gets <folder>/<name>. */
static inline void make_folder(char folder[PATH_MAX])
{
	const char *top = getenv("TMPDIR");

	snprintf(folder, PATH_MAX, "%s/fitwright-XXXXXX", top ? top : "/tmp");
	assert_non_null(mkdtemp(folder));
}

static inline void make_name(char file[PATH_MAX], const char *folder, const char *name)
{
	assert_true(snprintf(file, PATH_MAX, "%s/%s", folder, name) < PATH_MAX);
}

/* Removes a file with what SQLite may have left beside it. */
static inline void make_gone(const char *file)
{
	char beside[PATH_MAX + 16];

	unlink(file);
	snprintf(beside, sizeof beside, "%s-journal", file);
	unlink(beside);
}

/* Runs SQL as any other program could, without the library; returns SQLite's code. */
static inline int make_sql(const char *file, const char *sql)
{
	sqlite3 *db;

	assert_int_equal(sqlite3_open_v2(file, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL),
	                 SQLITE_OK);
	int code = sqlite3_exec(db, sql, NULL, NULL, NULL);
	sqlite3_close(db);
	return code;
}

/* The first column of the first row, as text. */
static inline void make_ask(const char *file, const char *sql, char *out, size_t size)
{
	sqlite3 *db;
	sqlite3_stmt *statement;

	assert_int_equal(sqlite3_open_v2(file, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
	if (sqlite3_prepare_v2(db, sql, -1, &statement, NULL) != SQLITE_OK)
		fail_msg("%s: %s", sql, sqlite3_errmsg(db));
	if (sqlite3_step(statement) != SQLITE_ROW)
		fail_msg("%s: no row (%s)", sql, sqlite3_errmsg(db));
	const char *text = (const char *)sqlite3_column_text(statement, 0);
	snprintf(out, size, "%s", text ? text : "(null)");
	sqlite3_finalize(statement);
	sqlite3_close(db);
}

static inline struct fw_entry make_entry(const char *kind, const char *ask, const char *typed,
                                         const char *value)
{
	struct fw_entry entry = {.kind = kind,
	                         .step = "float-on-trial",
	                         .at = MAKE_TIME,
	                         .who = "A. Fitter",
	                         .ask = ask,
	                         .typed = typed,
	                         .value = value};
	return entry;
}

/* JSON of a begin entry that names two sources by their hashes. */
static inline void make_begin_value(char *out, size_t size, const char *unit,
                                    const struct fw_source_text sources[2])
{
	uint8_t hash[FW_HASH];
	char procedure[FW_HASH_TEXT], sheet[FW_HASH_TEXT];

	fw_trail_hash(hash, sources[0].bytes, sources[0].size);
	fw_hash_text(procedure, hash);
	fw_trail_hash(hash, sources[1].bytes, sources[1].size);
	fw_hash_text(sheet, hash);
	snprintf(out, size,
	         "{\"title\":\"Countershaft end float\",\"unit\":\"%s\","
	         "\"procedure\":{\"name\":\"float.lua\",\"hash\":\"%s\"},"
	         "\"sheet\":{\"name\":\"gearbox.lua\",\"hash\":\"%s\"},\"modules\":[],"
	         "\"phases\":[\"As found\",\"Fit-up\"]}",
	         unit, procedure, sheet);
}

static const char make_reading_ask[] =
    "{\"ask\":\"quantity\",\"word\":\"measure\",\"step\":\"float-on-trial\",\"item\":\"reading 1 "
    "of 3\","
    "\"phase\":\"Fit-up\",\"round\":0,\"say\":\"Shaft out, zero, shaft in, read.\",\"unit\":\"mm\","
    "\"gauge\":\"dial indicator\"}";
static const char make_reading_value[] = "{\"quantity\":{\"si\":0.00040639999999999996,\"unit\":"
                                         "\"mm\",\"text\":\"0.406 mm\",\"u\":1.2e-05}}";

static const char make_procedure[] = "return procedure { title = \"Countershaft end float\" }\n";
static const char make_sheet[] = "return sheet { float = limits { mm(0.15), mm(0.30) } }\n";

/* Begins a job with two sources. */
static inline int64_t make_job(struct fw_trail *trail, const char *unit)
{
	const struct fw_source_text sources[] = {{make_procedure, sizeof make_procedure - 1},
	                                         {make_sheet, sizeof make_sheet - 1}};
	char value[1024];
	struct fw_error error = {0};
	int64_t job = 0;

	make_begin_value(value, sizeof value, unit, sources);
	struct fw_entry begin = make_entry("begin", NULL, NULL, value);
	begin.step = NULL;
	assert_ok(fw_trail_begin(trail, sources, 2, &begin, &job, &error));
	return job;
}

/* Appends one entry at the end, wherever that is. */
static inline void make_append(struct fw_trail *trail, int64_t job, const struct fw_entry *entry)
{
	struct fw_error error = {0};
	int64_t seq;

	assert_ok(fw_trail_head(trail, job, &seq, NULL, &error));
	assert_ok(fw_trail_append(trail, job, seq, entry, 1, NULL, &error));
}

/* A sign-off or release over what stands before it. */
static inline void make_signed(struct fw_trail *trail, int64_t job, const char *kind)
{
	struct fw_error error = {0};
	char value[512], text[FW_HASH_TEXT];
	uint8_t head[FW_HASH];
	int64_t seq;

	assert_ok(fw_trail_head(trail, job, &seq, head, &error));
	snprintf(
	    value, sizeof value,
	    "{\"name\":\"A. Fitter\",\"role\":\"technician\",\"meaning\":\"work done as recorded\","
	    "\"count\":%lld,\"head\":\"%s\"}",
	    (long long)seq, fw_hash_text(text, head));
	struct fw_entry entry =
	    make_entry(kind, "{\"ask\":\"sign\",\"phase\":\"Prove\"}", "A. Fitter", value);
	make_append(trail, job, &entry);
}

static inline void make_finding(struct fw_trail *trail, int64_t job, const char *ask,
                                const char *value)
{
	struct fw_entry entry = make_entry("finding", ask, NULL, value);
	make_append(trail, job, &entry);
}

/* A job with every kind of entry: 16 of them. Invented figures. */
static inline int64_t make_whole_job(struct fw_trail *trail, const char *unit)
{
	int64_t job = make_job(trail, unit);
	struct fw_entry reading = make_entry("answer", make_reading_ask, "16 thou", make_reading_value);
	struct fw_entry withdraw = make_entry("withdraw", NULL, "gauge slipped", "{\"entry\":2}");
	struct fw_entry done =
	    make_entry("answer", "{\"ask\":\"done\",\"phase\":\"Fit-up\"}", "", "{\"done\":true}");

	make_append(trail, job, &reading);
	make_finding(trail, job, "{\"find\":\"remark\"}", "{\"text\":\"shown and then struck out\"}");
	make_append(trail, job, &withdraw);
	make_append(trail, job, &reading);
	make_finding(trail, job,
	             "{\"find\":\"measurement\",\"readings\":[{\"si\":0.000406,\"unit\":\"mm\","
	             "\"text\":\"0.406 mm\"},"
	             "{\"si\":0.00041,\"unit\":\"mm\",\"text\":\"0.410 "
	             "mm\"}],\"gauge\":{\"name\":\"dial indicator\"}}",
	             "{\"quantity\":{\"si\":0.000408,\"unit\":\"mm\",\"text\":\"0.408 mm\",\"u\":6e-06,"
	             "\"freedom\":4},\"text\":\"0.408 mm\"}");
	make_finding(
	    trail, job,
	    "{\"find\":\"verdict\",\"name\":\"end float\",\"value\":{\"si\":0.000408,\"unit\":\"mm\","
	    "\"text\":\"0.408 mm\",\"u\":6e-06},\"limits\":{\"max\":{\"si\":0.0003,\"unit\":\"mm\","
	    "\"text\":\"0.30 mm\"},\"source\":{\"grade\":\"practice\",\"text\":\"invented\"}}}",
	    "{\"verdict\":\"outside\",\"probability\":0,\"margin\":{\"si\":-0.000108,\"unit\":\"mm\","
	    "\"text\":\"-0.108 mm\"},\"text\":\"outside\"}");
	make_finding(trail, job,
	             "{\"find\":\"trial\",\"place\":\"rear\",\"stack\":{\"si\":0.0014,\"unit\":\"mm\","
	             "\"text\":\"1.40 mm\"},"
	             "\"play\":{\"si\":0.000408,\"unit\":\"mm\",\"text\":\"0.408 mm\"},\"trial\":1}",
	             "{\"datum\":{\"si\":0.001808,\"unit\":\"mm\",\"text\":\"1.808 "
	             "mm\",\"u\":7e-06},\"text\":\"first\"}");
	make_finding(trail, job,
	             "{\"find\":\"trial\",\"place\":\"rear\",\"stack\":{\"si\":0.0016,\"unit\":\"mm\","
	             "\"text\":\"1.60 mm\"},"
	             "\"play\":{\"si\":0.0003,\"unit\":\"mm\",\"text\":\"0.300 mm\"},\"trial\":2}",
	             "{\"datum\":{\"si\":0.0019,\"unit\":\"mm\",\"text\":\"1.900 mm\",\"u\":7e-06},"
	             "\"predicted\":{\"si\":0.000208,\"unit\":\"mm\",\"text\":\"0.208 "
	             "mm\"},\"difference\":{\"si\":9.2e-05,"
	             "\"unit\":\"mm\",\"text\":\"0.092 "
	             "mm\"},\"sigmas\":9.1,\"surprise\":true,\"text\":\"surprise\"}");
	make_finding(trail, job,
	             "{\"find\":\"tightened\",\"name\":\"cover\",\"thread\":\"M8\",\"class\":\"8.8\","
	             "\"friction\":\"oiled\","
	             "\"torque\":{\"si\":20,\"unit\":\"Nm\",\"text\":\"20 Nm\"},"
	             "\"settings\":[{\"si\":10,\"unit\":\"Nm\",\"text\":\"10 Nm\"},"
	             "{\"si\":21,\"unit\":\"Nm\",\"text\":\"21 Nm\"}],\"bolts\":8,"
	             "\"source\":{\"grade\":\"practice\",\"text\":\"invented\"}}",
	             "{\"low\":{\"si\":11000,\"unit\":\"kN\",\"text\":\"11.0 "
	             "kN\"},\"usual\":{\"si\":15000,\"unit\":\"kN\","
	             "\"text\":\"15.0 kN\"},\"high\":{\"si\":19000,\"unit\":\"kN\",\"text\":\"19.0 "
	             "kN\"},\"share\":0.86,"
	             "\"usual_share\":0.68,\"text\":\"20 Nm\"}");
	make_finding(trail, job,
	             "{\"find\":\"part\",\"part\":\"rear "
	             "bearing\",\"decision\":\"renew\",\"reason\":\"pitted\"}",
	             "{\"text\":\"renew: rear bearing\"}");
	make_append(trail, job, &done);
	make_append(trail, job, &done);
	make_append(trail, job, &done);
	make_signed(trail, job, "sign");
	make_signed(trail, job, "release");
	return job;
}

/* A second entry in the log of the shop. */
static inline void make_log(struct fw_trail *trail)
{
	struct fw_entry alone = make_entry("alone", NULL, NULL, "{\"alone\":true}");

	alone.step = NULL;
	alone.at = "2099-01-01T00:00:00.000Z"; /* not before the first, which is dated by the clock */
	make_append(trail, FW_SHOP, &alone);
}

static const char make_photo[] = "\xff\xd8\xff\xe0 bytes of a photo\0that is none";

/* Attaches the photo to a job. */
static inline void make_attached(struct fw_trail *trail, int64_t job)
{
	struct fw_error error = {0};
	uint8_t hash[FW_HASH];
	char text[FW_HASH_TEXT], value[256];
	int64_t seq;

	fw_trail_hash(hash, make_photo, sizeof make_photo);
	snprintf(value, sizeof value,
	         "{\"name\":\"race.jpg\",\"kind\":\"image/jpeg\",\"size\":%zu,\"hash\":\"%s\"}",
	         sizeof make_photo, fw_hash_text(text, hash));
	struct fw_entry entry = make_entry("evidence", NULL, "the worn race", value);
	assert_ok(fw_trail_head(trail, job, &seq, NULL, &error));
	assert_ok(
	    fw_trail_attach(trail, job, seq, &entry, make_photo, sizeof make_photo, NULL, &error));
}

/* Bytes of an entry put together by docs/trail.md, "The chain", and nothing else. */
static inline size_t make_number(unsigned char *at, uint64_t number)
{
	for (int i = 0; i < 8; i++)
		at[i] = (unsigned char)(number >> (56 - 8 * i));
	return 8;
}

static inline size_t make_text(unsigned char *at, const char *text)
{
	if (!text) {
		at[0] = 'n';
		return 1;
	}
	at[0] = 't';
	make_number(at + 1, strlen(text));
	memcpy(at + 9, text, strlen(text));
	return 9 + strlen(text);
}

static inline size_t make_bytes(unsigned char *at, const struct fw_entry *e)
{
	const char *const texts[] = {e->kind, e->step, e->at, e->who, e->ask, e->typed, e->value};
	unsigned char *start = at;

	memcpy(at, "fitwright-entry-1\0", 18);
	at += 18;
	memcpy(at, e->prev, 32);
	at += 32;
	*at++ = 'i';
	at += make_number(at, (uint64_t)e->job);
	*at++ = 'i';
	at += make_number(at, (uint64_t)e->seq);
	for (size_t i = 0; i < 7; i++)
		at += make_text(at, texts[i]);
	return (size_t)(at - start);
}

#endif
