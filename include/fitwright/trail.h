/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file trail.h
 * The trail: everything that was recorded, in one SQLite file, append-only, each entry chained to the
 * one before by a hash over its own columns.
 *
 * An entry handed to fw_trail_append() is on the disk when the call returns. Nothing recorded is ever
 * changed or removed; a correction is another entry. docs/trail.md describes the file for people who
 * read it without this library.
 *
 * A struct fw_trail is for one thread at a time. Several processes may use one file; writers take
 * turns, and a writer that built on a job's old end is refused with FW_ERR_BUSY.
 */
#ifndef FITWRIGHT_TRAIL_H
#define FITWRIGHT_TRAIL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Bytes of a BLAKE2b-256 hash (RFC 7693), and of its text in lower-case hex with the zero. */
#define FW_HASH 32
#define FW_HASH_TEXT (2 * FW_HASH + 1)

struct fw_trail; /* opaque */

enum fw_trail_mode {
	FW_TRAIL_READ,  /**< must exist; never written; safe for a stranger's file */
	FW_TRAIL_WRITE, /**< must exist */
	FW_TRAIL_CREATE /**< made, with its folders, when it isn't there */
};

/** The job number of the shop's own log: its people and gauges. */
#define FW_SHOP 0

/** One record. Strings are UTF-8; those that a kind doesn't use are NULL. */
struct fw_entry {
	int64_t job;       /**< from 1; FW_SHOP: the shop's own log */
	int64_t seq;       /**< 1, 2, 3 … within the job */
	const char *kind;  /**< "begin", "answer", "finding", "sign", "withdraw", "amend", "lapse", "evidence",
	                        "release", "reopen"; in the shop's log "shop", "alone", "person", "retire",
	                        "gauge", "gauge-bad", "gauge-retired" */
	const char *step;  /**< id of the step, or NULL */
	const char *at;    /**< "2026-03-05T14:03:11.250Z" */
	const char *who;   /**< person at the bench */
	const char *ask;   /**< JSON: the question, or what a finding was worked out from */
	const char *typed; /**< as typed */
	const char *value; /**< JSON: the answer as understood, or the finding */
	uint8_t prev[FW_HASH]; /**< hash of the entry before; of the first entry: the head that the job
	                            before had when this one began, zeros for the first job of all */
	uint8_t hash[FW_HASH];
};

/** A stored text (procedure, module, sheet), found by the hash of its bytes. */
struct fw_source_text {
	const void *bytes;
	size_t size;
};

/** `$XDG_DATA_HOME/fitwright/trail.db`, or `~/.local/share/fitwright/trail.db`. Returns `buffer`, or
 *  NULL with `err` filled when neither variable is set or it doesn't fit. */
const char *fw_trail_default_path(char *buffer, size_t size, struct fw_error *err);

/** Opens a trail. One of an earlier format is brought up to date unless it is opened for reading: whole or not
 *  at all, and only if it is sound. FW_ERR_NOT_FOUND, FW_ERR_TRAIL (not a trail, newer than this program,
 *  damaged; for writing: an excerpt, not sound). */
int fw_trail_open(struct fw_trail **out, const char *path, enum fw_trail_mode mode,
                  struct fw_error *err);
/** NULL is allowed. */
void fw_trail_close(struct fw_trail *trail);
/** Caps what SQLite may take of the memory of this whole process, 0: no cap: for a program that opens strangers'
 *  files. What would go beyond it fails with FW_ERR_MEMORY. */
void fw_trail_limit_memory(int64_t bytes);

/** Hash of bytes as used for sources. */
void fw_trail_hash(uint8_t out[FW_HASH], const void *bytes, size_t size);
/** Hex of `size` bytes into `out` (2 * size + 1), and back; false unless it is exactly that long. */
const char *fw_hex_text(char *out, const uint8_t *bytes, size_t size);
bool fw_hex_read(uint8_t *out, size_t size, const char *text);
/** Lower-case hex. Returns `out`. */
const char *fw_hash_text(char out[FW_HASH_TEXT], const uint8_t hash[FW_HASH]);
/** Reads hex of either case; false unless it is exactly 64 digits. */
bool fw_hash_parse(uint8_t out[FW_HASH], const char *text);

/**
 * Begins a job: stores `sources` (those already there are kept once) and appends `entry` as its first,
 * in one transaction. `entry->job`, `seq`, `prev` and `hash` are ignored; `*job` gets the number.
 * FW_ERR_ARGUMENT names the field that can't be recorded; FW_ERR_STATE: opened for reading, or called
 * from within a walk; FW_ERR_BUSY: another process writes, nothing was recorded, try again;
 * FW_ERR_TRAIL: the message says whether to open the trail again and look.
 */
int fw_trail_begin(struct fw_trail *trail, const struct fw_source_text *sources, size_t count,
                   const struct fw_entry *entry, int64_t *job, struct fw_error *err);

/**
 * Appends `count` entries to `job` in one transaction, durable on return. `after` is the seq the
 * caller believes to be the job's last; if it isn't, nothing is written and FW_ERR_BUSY returned.
 * `job`, `seq`, `prev`, `hash` of the entries are ignored on entry; `head` (may be NULL) gets the hash
 * of the last one. Each row is read back and re-hashed before the commit. After a failure of the disk
 * the handle refuses further writes: reopen and look. FW_ERR_NOT_FOUND when there is no such job, else
 * as fw_trail_begin().
 */
int fw_trail_append(struct fw_trail *trail, int64_t job, int64_t after,
                    const struct fw_entry *entries, size_t count, uint8_t head[FW_HASH],
                    struct fw_error *err);

/** Last seq and head of a job. FW_ERR_NOT_FOUND. */
int fw_trail_head(struct fw_trail *trail, int64_t job, int64_t *seq, uint8_t head[FW_HASH],
                  struct fw_error *err);

/** Copies a stored source; `*bytes` is malloc'ed with a zero behind it, the caller frees it.
 *  FW_ERR_NOT_FOUND; FW_ERR_TRAIL when its bytes no longer have that hash. */
int fw_trail_source(struct fw_trail *trail, const uint8_t hash[FW_HASH], char **bytes, size_t *size,
                    struct fw_error *err);

/** Largest file kept as evidence: 64 MiB. */
#define FW_EVIDENCE_MOST 67108864

/** Appends one entry and stores the bytes that it names (those already there are kept once), in one
 *  transaction. As fw_trail_append(); FW_ERR_ARGUMENT also when there are none or too many bytes. */
int fw_trail_attach(struct fw_trail *trail, int64_t job, int64_t after, const struct fw_entry *entry,
                    const void *bytes, size_t size, uint8_t head[FW_HASH], struct fw_error *err);
/** Copies stored evidence, as fw_trail_source() does. */
int fw_trail_evidence(struct fw_trail *trail, const uint8_t hash[FW_HASH], char **bytes, size_t *size,
                      struct fw_error *err);

/** Identity of the shop: 32 hex digits, made at random with the file; "" in a trail of format 1, or with a
 *  damaged log, that was opened for reading. Borrowed until fw_trail_close(). */
const char *fw_trail_shop(const struct fw_trail *trail);
/** Format of the file. One of an earlier format is brought up to date when it is opened for writing. */
int fw_trail_format(const struct fw_trail *trail);
/** The job of which the file is an excerpt (fw_trail_export()); 0 for a whole trail. */
int64_t fw_trail_excerpt(const struct fw_trail *trail);

/** Writes one job, its sources and evidence and the shop's log into a new file of its own, an excerpt,
 *  which can be opened for reading only. Complete and on the disk on return, or not there.
 *  FW_ERR_ARGUMENT when `path` is there already. */
int fw_trail_export(struct fw_trail *trail, int64_t job, const char *path, struct fw_error *err);
/** Copies the whole trail while others write to it; `compact` leaves out free room. The copy is checked
 *  (schema, integrity, chain) before it gets its name, and is on the disk on return. `progress` may be
 *  NULL; a return other than 0 stops it, and nothing is left. FW_ERR_ARGUMENT when `path` is there. */
int fw_trail_backup(struct fw_trail *trail, const char *path, bool compact,
                    int (*progress)(void *context, int64_t done, int64_t all), void *context,
                    struct fw_error *err);

/** The right to write to one job, held by one handle at a time; that of FW_SHOP is nobody's need. However its
 *  holder ends, it is free then: there is no waiting for a time to pass. Its locks and the names of its holders
 *  are in a file beside the trail, "trail.db-benches". */
struct fw_lease; /* opaque */
/** Takes the lease of `job`. `who` is shown to others meanwhile. FW_ERR_BUSY: another handle, of this process
 *  or another, has it; the message says who, on which machine and since when. FW_ERR_TRAIL: no lease can be
 *  taken in that folder. Through a handle that is open for reading nothing can be written: the lease is granted,
 *  and keeps nobody out. */
int fw_lease_take(struct fw_lease **out, struct fw_trail *trail, int64_t job, const char *who,
                  struct fw_error *err);
/** Whether leases can be taken beside this trail at all; to know it before a job begins. */
int fw_lease_possible(struct fw_trail *trail, struct fw_error *err);
/** Gives it back. NULL is allowed. */
void fw_lease_free(struct fw_lease *lease);

/** Calls `visit` for each entry of `job` in order, strings borrowed for the call. A return other than
 *  0 ends the walk and is returned. FW_ERR_NOT_FOUND when there is no such job, FW_ERR_TRAIL at an
 *  entry that can't be read. Walks may nest; nothing can be written meanwhile. */
int fw_trail_walk(struct fw_trail *trail, int64_t job,
                  int (*visit)(void *context, const struct fw_entry *entry), void *context,
                  struct fw_error *err);

/** One line of the list of jobs. */
struct fw_job_line {
	int64_t job;
	int64_t entries;
	const char *began, *latest; /**< `at` of the first and last entry */
	const char *begin_value;    /**< JSON of the begin entry */
	const char *last_kind;
	const char *last_phase;     /**< phase of the last question answered, or NULL */
	const char *who;            /**< of the last entry */
	int64_t conceding; /**< signatures whose question speaks of a concession, struck out ones too; 0: none gives
	                        one. fw_report_points() tells what stands. */
	int64_t reopened;  /**< times that it was opened again, taken back or not */
};

/** Calls `visit` for each job, oldest first. As fw_trail_walk(). */
int fw_trail_jobs(struct fw_trail *trail,
                  int (*visit)(void *context, const struct fw_job_line *line), void *context,
                  struct fw_error *err);

/** One thing that is wrong with a trail. */
struct fw_flaw {
	int64_t job, seq;  /**< 0 when it is about the file */
	const char *what;  /**< one line: what was found */
	const char *means; /**< one line: what it means for the record */
};

#define FW_VERIFY_ALL (-1)
#define FW_VERIFY_FILE (-2)

/**
 * Checks a trail (docs/trail.md, "What a check of the trail shows"):
 * - FW_VERIFY_FILE: schema and integrity of the file, order and numbers of the jobs and the link from each to
 *   the one before, all that is stored; none of the chains;
 * - a job, or FW_SHOP for the shop's log: its schema, the whole chain with its first link, its own sources and
 *   evidence, what it says of its own entries and of the shop's log. It takes as long as its entries, not as the
 *   file, so that after FW_VERIFY_FILE jobs can be checked at the same time, each through a handle of its own;
 * - FW_VERIFY_ALL: both, for every job, each flaw once.
 * Calls `report` for each flaw; `*flaws` gets their number. Returns 0 when the check itself could be
 * carried out, however many flaws it found; FW_ERR_NOT_FOUND when there is no such job, FW_ERR_STATE
 * from within a walk. `what` and `means` are borrowed for the call, one line each, fit to be shown.
 */
int fw_trail_verify(struct fw_trail *trail, int64_t job,
                    void (*report)(void *context, const struct fw_flaw *flaw), void *context,
                    size_t *flaws, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
