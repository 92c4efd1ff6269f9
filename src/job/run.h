/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file run.h  What is left to be met in a run of the procedure, and what of it lapses. */
#ifndef FITWRIGHT_JOB_RUN_H
#define FITWRIGHT_JOB_RUN_H

#include "job_internal.h"

/* Makes ready to meet the records of the job. */
int fw_run_start(struct fw_job *job, struct fw_error *err);

/* Whether the record is an answer that stands and wasn't met yet. */
bool fw_record_waits(const struct fw_record *record);

/* The next answer that was recorded after the last amendment, the next finding, the release; NULL: none. */
const struct fw_record *fw_run_next_live(struct fw_run *run);
struct fw_record *fw_run_next_finding(struct fw_run *run);
const struct fw_record *fw_run_release(const struct fw_run *run);

/* The answer, or all that wait, won't do any more. */
void fw_run_lapse(struct fw_run *run, struct fw_record *record);
void fw_run_lapse_rest(struct fw_run *run);

#endif
