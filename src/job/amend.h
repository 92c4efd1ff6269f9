/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file amend.h  An amendment tried out on a second job, before anything is recorded. */
#ifndef FITWRIGHT_JOB_AMEND_H
#define FITWRIGHT_JOB_AMEND_H

#include "job_internal.h"

struct fw_amend_try {
	struct fw_job *job; /* as the job would be: the amendment is the last of its records */
	int64_t seq;        /* the entry that is amended */
	size_t later;       /* answers that stood behind it, */
	size_t lapsed;      /* of these, that lapse */
};

/* Opens a second job on the records of `job`, replayed as far as its procedure goes. FW_ERR_BUSY
 * when it has gone on elsewhere. */
int fw_amend_second(struct fw_job **out, const struct fw_job *job, struct fw_error *err);

/* Reads the new answer and runs the procedure through with it. `*out` is to be freed only after
 * success. `reason` may be NULL where nothing will be recorded. */
int fw_amend_try(struct fw_amend_try *out, const struct fw_job *job, int64_t seq, const char *typed,
                 bool confirmed, const char *reason, struct fw_error *err);
void fw_amend_try_free(struct fw_amend_try *trial);

/* "float-on-trial (reading 1 of 3)" of a parsed record's question, malloc'ed; NULL when out of
 * memory. */
char *fw_amend_place(const char *step, const char *item);

#endif
