/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file audit_internal.h  Between the files of the audit. */
#ifndef FITWRIGHT_JOB_AUDIT_INTERNAL_H
#define FITWRIGHT_JOB_AUDIT_INTERNAL_H

#include "job_internal.h"

struct fw_audit {
	int64_t number;
	void (*report)(void *context, const struct fw_audit_line *line);
	void *context;
	struct fw_audit_sum *sum;
};

/* Reports and counts one line. */
void fw_audit_say(struct fw_audit *audit, enum fw_audit_weight weight, int64_t seq,
                  const char *what, const char *means);

/* The form of each entry: the columns that its kind uses, and that a withdrawal names the last
 * answer that stood. */
void fw_audit_form(struct fw_audit *audit, const struct fw_records *records);
/* Counts and heads that signatures and the release name; whether there is a sign-off. */
void fw_audit_signatures(struct fw_audit *audit, const struct fw_records *records);
/* What stands at the end: checks that aren't within, surprises, figures without a published source.
 */
void fw_audit_outcome(struct fw_audit *audit, const struct fw_records *records);
/* Where a job that isn't released stands. */
void fw_audit_unfinished(struct fw_audit *audit, const struct fw_job *job);

#endif
