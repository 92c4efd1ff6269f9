/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file trail_internal.h  What the files of the trail share. The only room that knows SQL. */
#ifndef FITWRIGHT_TRAIL_INTERNAL_H
#define FITWRIGHT_TRAIL_INTERNAL_H

#include <sqlite3.h>

#include "fitwright/trail.h"

/** "FWtr": the application_id in the header of a trail. */
#define FW_TRAIL_APPLICATION 0x46577472
/** "FWxj": that of an excerpt, one job with the log of the shop. */
#define FW_TRAIL_EXCERPT 0x4657786A
/** The newest format this program reads and the one it writes: user_version in the header. */
#define FW_TRAIL_FORMAT 2
/** How long a writer waits for its turn. */
#define FW_TRAIL_BUSY_MS 4000
/** Largest text of an entry, and largest source. */
#define FW_TRAIL_TEXT_MOST 16777216
/** Length of "2026-03-05T14:03:11.250Z". */
#define FW_TIME_LENGTH 24
/** Hex digits of the identity of a shop. */
#define FW_SHOP_DIGITS 32

/** Columns of an entry in the order in which they are hashed, bound and read. */
#define FW_ENTRY_COLUMNS "job, seq, kind, step, at, who, ask, typed, value, prev, hash"

/** Statements that are prepared once per handle. */
enum fw_sql {
	FW_SQL_BEGIN,
	FW_SQL_BEGIN_WRITE,
	FW_SQL_COMMIT,
	FW_SQL_ROLLBACK,
	FW_SQL_COOKIE,
	FW_SQL_JSON_VALID,
	FW_SQL_ENTRY_INSERT,
	FW_SQL_ENTRY_READ,
	FW_SQL_JOB_ENTRIES,
	FW_SQL_JOB_END,
	FW_SQL_TRAIL_END,
	FW_SQL_FIND_HASH,
	FW_SQL_SOURCE_INSERT,
	FW_SQL_SOURCE_READ,
	FW_SQL_EVIDENCE_INSERT,
	FW_SQL_EVIDENCE_READ,
	FW_SQL_EVIDENCE_NAMED,
	FW_SQL_VALUE_SHOP,
	FW_SQL_VALUE_COVERS,
	FW_SQL_VALUE_OF_SHOP,
	FW_SQL_VALUE_SOURCES,
	FW_SQL_VALUE_EVIDENCE,
	FW_SQL_COUNT
};

struct fw_trail {
	sqlite3 *db;
	sqlite3_stmt *statements[FW_SQL_COUNT];
	char *path;
	enum fw_trail_mode mode;
	int format;       /* of the file, when the schema was compared last */
	bool excerpt;     /* by its application_id */
	int64_t only;     /* the job of an excerpt */
	char shop[FW_SHOP_DIGITS + 1]; /* "" when there is none */
	int64_t cookie;   /* schema_version when the schema was compared last */
	bool unchanged;   /* it was still that at the beginning of this read */
	unsigned walking; /* visits under way */
	bool writing;     /* inside BEGIN IMMEDIATE */
	bool failed;      /* a write to the disk failed: nothing more is written through this handle */
};

/* statement.c */
const char *fw_sql_text(enum fw_sql which);
int fw_sql_get(struct fw_trail *trail, enum fw_sql which, sqlite3_stmt **out, struct fw_error *err);
/** Prepares a statement of the caller's own, for walks that may nest. */
int fw_sql_prepare(struct fw_trail *trail, const char *text, sqlite3_stmt **out,
                   struct fw_error *err);
/** Runs a statement without rows. */
int fw_sql_run(struct fw_trail *trail, enum fw_sql which, const char *doing, struct fw_error *err);
/** Turns an SQLite code into one of ours and a message; notes that the disk failed. */
int fw_sql_fail(struct fw_trail *trail, int code, const char *doing, struct fw_error *err);
int fw_bind_text(sqlite3_stmt *statement, int column, const char *text);
int fw_bind_blob(sqlite3_stmt *statement, int column, const void *bytes, size_t size);

/* hash.c */
/** Hash of an entry over its own columns and `prev`; docs/trail.md, "The chain". */
void fw_entry_hash(uint8_t out[FW_HASH], const struct fw_entry *entry);

/* row.c */
/** Reads FW_ENTRY_COLUMNS; strings are borrowed until the next step. NULL when the row can be an
 *  entry, else what is wrong with it. `job` and `seq` are filled in either case. */
const char *fw_row_read(sqlite3_stmt *statement, struct fw_entry *entry);
/** A row that can't be read: the message. */
int fw_row_fail(const struct fw_trail *trail, const struct fw_entry *entry, const char *fault,
                struct fw_error *err);
/** FW_OK if a caller's entry may be recorded; FW_ERR_ARGUMENT naming the field. */
int fw_entry_check(const struct fw_entry *entry, struct fw_error *err);
/** Whether text is a time as recorded. */
bool fw_time_check(const char *text);
/** Seconds from `a` to `b`, both times as recorded. */
int64_t fw_time_between(const char *a, const char *b);

/* path.c */
/** Makes the folders above `path` (0700) and an empty file (0600), if they aren't there. */
int fw_path_make(const char *path, struct fw_error *err);

/* open.c */
/** Inside a read: whether another program has brought the file up to date since it was opened. */
int fw_look_again(struct fw_trail *trail, struct fw_error *err);

/* append.c */
/** Writes `entry` as number `seq` of `job` behind `head`, which becomes its hash. Inside a write. */
int fw_entry_write(struct fw_trail *trail, const struct fw_entry *entry, int64_t job, int64_t seq,
                   uint8_t head[FW_HASH], struct fw_error *err);
/** The same behind what is there. `job` is there, and `after` is its last entry. */
int fw_entry_follow(struct fw_trail *trail, int64_t job, int64_t after,
                    const struct fw_entry *entries, size_t count, uint8_t head[FW_HASH],
                    struct fw_error *err);
/** What was written is not what reads back: memory, disk or SQLite is at fault. */
int fw_entry_differs(struct fw_trail *trail, struct fw_error *err);

/* store.c: bytes kept under their hash, sources and evidence. */
struct fw_store {
	enum fw_sql read, insert;
	const char *name;  /* "source" */
	const char *trust; /* what was changed when the bytes don't have their hash */
};
extern const struct fw_store fw_store_source, fw_store_evidence;
/** Stores bytes unless they are there. Inside a write. */
int fw_store_write(struct fw_trail *trail, const struct fw_store *store, const void *bytes,
                   size_t size, struct fw_error *err);
/** As fw_trail_source(). */
int fw_store_read(struct fw_trail *trail, const struct fw_store *store, const uint8_t hash[FW_HASH],
                  char **bytes, size_t *size, struct fw_error *err);

/* identity.c */
/** The first entry of the log of the shop, inside a write; `jobs` came from format `from`, if any. */
int fw_identity_write(struct fw_trail *trail, int from, struct fw_error *err);
/** Reads which shop the trail is of, and which job an excerpt is of. */
int fw_identity_read(struct fw_trail *trail, struct fw_error *err);

/* migrate.c */
/** Brings an earlier format up to date, whole or not at all. FW_ERR_TRAIL when its chain isn't sound. */
int fw_migrate(struct fw_trail *trail, struct fw_error *err);

/* schema.c */
/** Makes all objects of the newest format in an empty file. Returns SQLite's code. */
int fw_schema_fill(sqlite3 *db, int application);
/** Makes those that the format before doesn't have, after its views and triggers were dropped. */
int fw_schema_upgrade(struct fw_trail *trail, struct fw_error *err);
/** Compares the schema with that of `version`. FW_OK, FW_ERR_TRAIL naming the first difference. */
int fw_schema_compare(struct fw_trail *trail, int version, struct fw_error *err);

/* guard.c */
/** Sets what a connection may do, before anything is read. */
int fw_guard_connection(struct fw_trail *trail, struct fw_error *err);
/** Allows from here on only the statements this room needs. */
int fw_guard_statements(struct fw_trail *trail, struct fw_error *err);

/* header.c */
struct fw_header {
	sqlite3_int64 size; /* of the file */
	bool sqlite;        /* begins as an SQLite 3 file does */
	bool wal;
	uint32_t application, format;
	uint64_t promised; /* bytes the header says the file has; 0 when it doesn't say */
};
/** Reads the header through SQLite's own file handle: closing another one would drop its locks. */
int fw_header_read(struct fw_trail *trail, struct fw_header *out, struct fw_error *err);

/* fresh.c: a new file that is complete or not there. */
struct fw_fresh {
	char *path;      /* where it shall be; nothing is there yet */
	char *temporary; /* the same with six letters more, until it is settled */
};
/** Looks at the name, and makes an empty file beside it. FW_ERR_ARGUMENT when something is at `path`, or
 *  a database would take a file of that name for its own. */
int fw_fresh_open(struct fw_fresh *out, const struct fw_trail *trail, const char *path,
                  struct fw_error *err);
/** A failure of SQLite at the new file. */
int fw_fresh_fail(const struct fw_fresh *fresh, sqlite3 *db, int code, struct fw_error *err);
/** Opens it as a trail and checks all of it. FW_ERR_TRAIL with the first flaw. */
int fw_fresh_check(const struct fw_fresh *fresh, struct fw_error *err);
/** To the disk, and under its name, unless something else has got that name meanwhile. Nothing is left to
 *  abandon then. */
int fw_fresh_settle(struct fw_fresh *fresh, struct fw_error *err);
/** Removes what there is of it. */
void fw_fresh_abandon(struct fw_fresh *fresh);

/* backup.c */
/** As fw_trail_backup(), waiting at most `patience` milliseconds for others to pause. */
int fw_backup_patiently(struct fw_trail *trail, const char *path, bool compact,
                        int (*progress)(void *context, int64_t done, int64_t all), void *context,
                        int patience, struct fw_error *err);

/* lease.c */
/** What is put behind the trail's name for the file with the leases. */
#define FW_LEASE_ENDING "-benches"

/* transaction.c */
int fw_read_begin(struct fw_trail *trail, struct fw_error *err);
/** Ends what fw_read_begin() began and returns `code`. */
int fw_read_end(struct fw_trail *trail, int code);
int fw_write_begin(struct fw_trail *trail, struct fw_error *err);
/** Commits if `code` is FW_OK, else rolls back and returns it. */
int fw_write_end(struct fw_trail *trail, int code, struct fw_error *err);

#endif
