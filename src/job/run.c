/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is left to be met in a run of the procedure, and what of it lapses. */
#include "run.h"

#include <stdlib.h>

bool fw_record_waits(const struct fw_record *record)
{
	return !record->struck && !record->due && !record->met && fw_record_answers(record);
}

const struct fw_record *fw_run_next_live(struct fw_run *run)
{
	if (run->live == 0)
		return NULL;
	for (; run->next_live < run->records->count; run->next_live++) {
		const struct fw_record *record = &run->records->list[run->next_live];
		if (record->seq > run->amended && fw_record_waits(record))
			return record;
	}
	return NULL;
}

struct fw_record *fw_run_next_finding(struct fw_run *run)
{
	if (!run->records)
		return NULL;
	for (; run->next_finding < run->records->count; run->next_finding++) {
		struct fw_record *record = &run->records->list[run->next_finding];
		if (!record->struck && fw_record_is(record, "finding"))
			return record;
	}
	return NULL;
}

const struct fw_record *fw_run_release(const struct fw_run *run)
{
	for (size_t i = run->records ? run->records->count : 0; i > 0; i--)
		if (!run->records->list[i - 1].struck &&
		    fw_record_is(&run->records->list[i - 1], "release"))
			return &run->records->list[i - 1];
	return NULL;
}

bool fw_job_met_all(const struct fw_job *job)
{
	struct fw_run run = job->run; /* looking moves nothing on */

	return run.live == 0 && !fw_run_next_finding(&run) && !fw_run_release(&run);
}

/* The answer won't do any more. */
void fw_run_lapse(struct fw_run *run, struct fw_record *record)
{
	record->due = true;
	run->due = true;
	run->unmet--;
	run->live -= record->seq > run->amended;
}

void fw_run_lapse_rest(struct fw_run *run)
{
	for (size_t i = 0; run->unmet > 0 && i < run->records->count; i++)
		if (fw_record_waits(&run->records->list[i]))
			fw_run_lapse(run, &run->records->list[i]);
}

void fw_job_clear_run(struct fw_job *job)
{
	fw_standing_free(&job->run.standing);
	free(job->run.order);
	job->run = (struct fw_run){0};
}

void fw_job_forget_records(struct fw_job *job)
{
	struct fw_run *run = &job->run;

	if (run->unmet > 0)
		return;
	const struct fw_run rest = {
	    .met = run->met, .amended = run->amended, .latest = run->latest, .bench = run->bench};
	fw_job_clear_run(job);
	fw_records_free(&job->records);
	*run = rest;
}

int fw_run_start(struct fw_job *job, struct fw_error *err)
{
	struct fw_run *run = &job->run;
	struct fw_records *records = &job->records;

	fw_job_clear_run(job);
	for (size_t i = 0; i < records->count; i++) {
		struct fw_record *record = &records->list[i];
		record->met = false;
		run->due = run->due || record->due;
		if (!record->withdrawn && fw_record_is(record, "amend"))
			run->amended = record->seq;
	}
	for (size_t i = 0; i < records->count; i++) {
		bool waiting = fw_record_waits(&records->list[i]);
		run->unmet += waiting;
		run->live += waiting && records->list[i].seq > run->amended;
	}
	run->records = records;
	run->order = calloc(records->count + 1, sizeof *run->order);
	if (!run->order)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	return fw_standing_make(&run->standing, records, err);
}
