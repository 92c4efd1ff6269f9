/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file signed_shop.h  A bench in a shop whose people have keys, and a job with holds and a check
 * to concede. */
#ifndef FITWRIGHT_TESTS_SIGNED_SHOP_H
#define FITWRIGHT_TESTS_SIGNED_SHOP_H

#include "bench.h"

#define WORKER "R. Example"
#define OTHER  "A. Sample"

/* A bench with people, and what their keys do when they are asked for. */
struct shop {
	struct bench bench;
	char procedure[PATH_MAX];
	struct fw_job *job;
	unsigned asked;      /* times a key was unlocked */
	int refuse;          /* not 0: what unlocking fails with */
	const char *instead; /* whose key is given instead; NULL: the person's own */
	char purpose[16];    /* of the last question that came with it */
	struct fw_audit_given given;
	struct bench_audit audit;
};

/* The key of a name: the same at each call. No passphrase, so no time spent on one. */
struct fw_secret *shop_secret(const char *name);
/* For struct fw_unlock; the context is the shop. */
int shop_unlock(void *context, const struct fw_person *person, const struct fw_question *question,
                struct fw_secret **out, struct fw_error *err);
/* A person with one role, or two (`more` not NULL). */
void shop_add_person(struct shop *shop, const char *name, const char *role, const char *more);
/* The job that is open signs with keys. */
void shop_let_unlock(struct shop *shop);
/* Begins the job of this shop, and goes on with it. */
void shop_begin(struct shop *shop, const char *who);
void shop_resume(struct shop *shop, const char *who);
/* Gives an answer that must be taken. */
void shop_give(struct shop *shop, const char *typed);
/* Refused with that code and those words; nothing is recorded, and the same is asked. */
void shop_refused(struct shop *shop, const char *typed, int wanted, const char *words);
/* What fw_job_signers() says now. */
const char *shop_signers(const struct shop *shop);
/* Audits job 1 of a file; "B 3 what: means" a line. */
void shop_audit_file(struct shop *shop, const char *file);
/* The same of the shop's own, which must be sound. Returns the text. */
const char *shop_audit(struct shop *shop);
void assert_lacks(const char *text, const char *part);
/* For cmocka: state is a struct shop. */
int shop_open(void **state);
int shop_close(void **state);
/* R. Example, technician; A. Sample, inspector and concession. */
void shop_two_people(struct shop *shop);
/* The whole job, well done: R. Example works, A. Sample holds and concedes. */
void shop_play_well(struct shop *shop);

#endif
