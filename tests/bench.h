/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file bench.h  A bench for tests of whole jobs: a folder with a trail, a clock that can be set,
 * a list of answers to play, and the tools of someone who tampers with the file. */
#ifndef FITWRIGHT_TESTS_BENCH_H
#define FITWRIGHT_TESTS_BENCH_H

#include <limits.h>

#include "check.h"
#include "fitwright/job.h"

/* Gives a time a second later at each call, from 08:00 of an invented day. */
struct bench_clock {
	long seconds;   /* since midnight of that day */
	unsigned calls; /* times it was asked: once before each durable write of a job */
	void (*on_call)(struct bench_clock *clock);
	void *context; /* for on_call */
};

struct bench {
	char folder[PATH_MAX], file[PATH_MAX];
	struct fw_trail *trail;
	struct bench_clock clock;
};

void bench_clock(void *context, char out[32]);

/* A folder of its own under $TMPDIR, with an empty trail in it, open. */
void bench_open(struct bench *bench);
/* Closes the trail and opens it again, as after a restart. */
void bench_reopen(struct bench *bench);
void bench_shut(struct bench *bench);  /* closes the trail only */
void bench_close(struct bench *bench); /* and removes the folder with all that is in it */

/* Writes a file into the folder; its path goes to `path`. */
void bench_write(const struct bench *bench, const char *name, const char *text,
                 char path[PATH_MAX]);
/* The whole file with a zero behind it, malloc'ed. */
char *bench_read(const char *path, size_t *size);
/* Copies a file to another. */
void bench_copy(const char *from, const char *to);
/* Hash of a file's bytes. */
void bench_hash_file(uint8_t out[FW_HASH], const char *path);

/* Answers in order, "step: typed" a line; # and empty lines are skipped; "step!: typed" confirms.
 */
struct bench_answer {
	const char *step, *typed;
	bool confirmed;
};
struct bench_answers {
	char *text;
	struct bench_answer *list;
	size_t count;
};
void bench_answers_read(struct bench_answers *out, const char *path);
void bench_answers_parse(struct bench_answers *out, const char *text);
void bench_answers_free(struct bench_answers *answers);

/* Gives answer `index`: 0, or the engine's code; FW_ERR_ARGUMENT when another step is asked. */
int bench_give(struct fw_job *job, const struct bench_answer *answer, struct fw_error *err);
/* Gives all answers from number fw_job_answered() on; fails the test unless each is taken. */
void bench_play(struct fw_job *job, const struct bench_answers *answers);

/* Begins a job of files beside the tests, FW_TEST_SOURCE/<name>; fails the test when it can't. */
struct fw_job *bench_begin(struct bench *bench, const char *procedure, const char *sheet);
struct fw_job *bench_resume(struct bench *bench, int64_t number);

/* An audit, its lines kept as "B seq what", "O seq what", "N seq what", one a line. */
struct bench_audit {
	struct fw_audit_sum sum;
	char text[16384];
};
void bench_audit(struct bench_audit *out, const char *file, int64_t job);
/* The same on an open trail, with the code of the engine. */
int bench_try_audit(struct bench_audit *out, struct fw_trail *trail, int64_t job,
                    struct fw_error *err);
/* The same; fails the test, with the lines, when something is broken. */
void bench_audit_sound(struct bench_audit *out, struct fw_trail *trail, int64_t job);

/* How many flaws the check of the trail finds, without working the job out again. */
size_t bench_flaws(const char *file, int64_t job);

enum bench_hand {
	BENCH_PLAIN,  /* changes the file */
	BENCH_CHAIN,  /* and works the chain of job 1 out again */
	BENCH_SEALED, /* and writes the new head into signature and release */
};
/* Runs SQL on the jobs of the file, by that hand, past the guards, which stay in it to the letter. The shop's
 * log is out of its reach. */
void bench_tamper(const char *file, const char *sql, enum bench_hand hand);

/* One line an entry, "seq kind step ask typed value", hashes of seals and the shop left out; malloc'ed. */
char *bench_listing(struct fw_trail *trail, int64_t job);
/* Entries of the job; 0 when there is none. */
int64_t bench_entries(struct fw_trail *trail, int64_t job);

#endif
