/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify_internal.h  What the parts of the check share. */
#ifndef FITWRIGHT_TRAIL_VERIFY_INTERNAL_H
#define FITWRIGHT_TRAIL_VERIFY_INTERNAL_H

#include "trail/trail_internal.h"

enum fw_scope {
	FW_SCOPE_ALL,  /* the file, and every chain in it */
	FW_SCOPE_FILE, /* the file, and how the jobs in it hang together */
	FW_SCOPE_JOB   /* one chain */
};

struct fw_check {
	struct fw_trail *trail;
	enum fw_scope scope;
	int64_t job;        /* of FW_SCOPE_JOB */
	bool any_time;      /* a clock that was set back is let pass */
	int64_t older_jobs; /* so many came from format 1, which knew less */
	void (*report)(void *context, const struct fw_flaw *flaw);
	void *context;
	size_t flaws;
	/* Hears each entry that can be read, for as long as it returns 0; or NULL. */
	int (*visit)(void *context, const struct fw_entry *entry);
	void *visitor;
	int walked; /* as fw_trail_walk() returns it */
	struct fw_error *walk_error;
};

/** Carries the check out, inside a transaction. */
int fw_check_run(struct fw_check *check, struct fw_error *err);
/** Reports one flaw; `means` is said as it is. */
void fw_check_flaw(struct fw_check *check, int64_t job, int64_t seq, const char *means,
                   const char *format, ...) FW_PRINTF(5, 6);
/** A failed read: damage is a flaw of the file and gives FW_OK; all else is an error. */
int fw_check_failed(struct fw_check *check, int rc, const char *doing, struct fw_error *err);

/* verify_chain.c */
int fw_check_chain(struct fw_check *check, struct fw_error *err);
/* verify_jobs.c */
/** The order of all entries, the numbers of the jobs and their links, without the chains. */
int fw_check_jobs(struct fw_check *check, struct fw_error *err);
/** Job `job` comes behind job `before`, which is -1 for none. */
void fw_check_number(struct fw_check *check, int64_t before, int64_t job);
/** There is no job behind job `last`, which is -1 for none. */
void fw_check_last(struct fw_check *check, int64_t last);
/** The first entry of a job bears the head that the job before had at that moment. */
int fw_check_link(struct fw_check *check, const struct fw_entry *first, struct fw_error *err);
/** Whether an entry of `job` has this hash; `at` gets its time, "" when it has none that can be read. */
int fw_check_has(struct fw_check *check, int64_t job, const uint8_t hash[FW_HASH], bool *has,
                 char at[FW_TIME_LENGTH + 1], struct fw_error *err);
/* verify_value.c */
/** What an entry says of others, of sources and of evidence is true. */
int fw_check_value(struct fw_check *check, const struct fw_entry *entry, struct fw_error *err);
/* verify_store.c */
/** The bytes of the hash that `entry` names are there and have that hash; `size` is -1 when it isn't said. */
int fw_check_named(struct fw_check *check, const struct fw_entry *entry, const struct fw_store *store,
                   const char *hash, int64_t size, const char *means, struct fw_error *err);
/** All bytes are stored under their hash, and an entry names them. */
int fw_check_stores(struct fw_check *check, struct fw_error *err);

#endif
