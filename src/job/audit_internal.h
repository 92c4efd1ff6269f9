/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file audit_internal.h  Between the files of the audit. */
#ifndef FITWRIGHT_JOB_AUDIT_INTERNAL_H
#define FITWRIGHT_JOB_AUDIT_INTERNAL_H

#include "job_internal.h"

struct fw_audit {
	int64_t number;
	const struct fw_audit_given *given; /* or NULL */
	void (*report)(void *context, const struct fw_audit_line *line);
	void *context;
	struct fw_audit_sum *sum;
	struct fw_trail *trail; /* borrowed */
	unsigned rules;         /* of the job: what its words mean */
	size_t looked;          /* see fw_audit_may_look() */
};

/* As fw_job_audit(), without a look at the chain of the shop's log: of many jobs that is done once. */
int fw_audit_apart(struct fw_trail *trail, int64_t number, const struct fw_audit_given *given,
                   void (*report)(void *context, const struct fw_audit_line *line), void *context,
                   struct fw_audit_sum *sum, struct fw_error *err);

/* Reports and counts one line. */
void fw_audit_say(struct fw_audit *audit, enum fw_audit_weight weight, int64_t seq,
                  const char *what, const char *means);

/* Whether `entries` more may be gone through for the sake of one of them. A very long record would else take as long
 * as the square of its length. Says so the first time that not. */
bool fw_audit_may_look(struct fw_audit *audit, size_t entries);

/* The form of each entry: the columns that its kind uses, and what it names. */
void fw_audit_form(struct fw_audit *audit, const struct fw_records *records);
/* The second half of it: withdrawals, amendments, lapses and reopenings name what stood then. */
void fw_audit_names(struct fw_audit *audit, const struct fw_records *records);
/* Answers that were amended or lapsed, reopenings. */
void fw_audit_amended(struct fw_audit *audit, const struct fw_records *records);
/* Counts and heads that signatures and the release name; by whose key they are, and whether by another person
 * where one was asked for; whether there is a sign-off. */
void fw_audit_signatures(struct fw_audit *audit, struct fw_records *records);
/* What stands at the end: checks that aren't within, surprises, figures without a published source.
 */
void fw_audit_outcome(struct fw_audit *audit, const struct fw_records *records);
/* Gauges that readings were taken with: overdue, found bad, otherwise than the shop's log says, too coarse. */
void fw_audit_gauges(struct fw_audit *audit, const struct fw_records *records);
/* Where a job that isn't released stands. */
void fw_audit_unfinished(struct fw_audit *audit, const struct fw_job *job);

/* audit_replay.c: members of a struct fw_replay_watch, `context` the audit. */
void fw_audit_on_finding(void *context, const struct fw_record *record, bool alike,
                         const json_t *ask, const json_t *value);
void fw_audit_on_answer(void *context, const struct fw_record *record,
                        const struct fw_question *question);
json_t *fw_audit_again(const struct fw_question *question, const struct fw_record *record);
/* Whether the procedure failed only once it had met all that stands. */
bool fw_audit_fails_at_end(const struct fw_job *job, int code);
/* Works out again what was taken back, amended or lapsed, each branch up to where it was left. */
void fw_audit_branches(struct fw_audit *audit, struct fw_job *job);

#endif
