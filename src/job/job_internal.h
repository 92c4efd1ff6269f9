/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file job_internal.h  What the files of the engine share. */
#ifndef FITWRIGHT_JOB_INTERNAL_H
#define FITWRIGHT_JOB_INTERNAL_H

#include <jansson.h>

#include "fitwright/job.h"
#include "script/json.h"
#include "script/script.h"

/* One recorded entry, read into memory. */
struct fw_record {
	int64_t seq;
	char *kind, *step, *at, *who, *typed;
	json_t *ask, *value; /* NULL where the column is NULL */
	uint8_t hash[FW_HASH];
	bool struck; /* taken back by a later entry */
};

/* All entries of a job. */
struct fw_records {
	struct fw_record *list;
	size_t count, room;
	int64_t job;
	struct fw_error *error; /* while being read */
};

/* Reads the entries of `job` and marks those that a "withdraw" struck out. FW_ERR_TRAIL names the
 * entry whose JSON can't be read. */
int fw_records_read(struct fw_records *out, struct fw_trail *trail, int64_t job,
                    struct fw_error *err);
void fw_records_free(struct fw_records *records);
/* Marks anew what the withdrawals among the first `count` strike out. */
void fw_records_strike(struct fw_records *records);
/* The last answer (or signature) that stands, or NULL. */
const struct fw_record *fw_records_last_answer(const struct fw_records *records);
/* Whether the job has come to its end. */
bool fw_records_released(const struct fw_records *records);

bool fw_record_is(const struct fw_record *record, const char *kind);

/* Sources by name: those of a job that begins are read from files, those of a recorded one from the
 * trail. */
struct fw_named_source {
	char *name;
	char *bytes;
	size_t size;
	uint8_t hash[FW_HASH];
};

struct fw_sources {
	struct fw_named_source procedure, sheet; /* name NULL: none */
	struct fw_named_source *module;
	size_t modules;
	char *folder; /* where modules are looked for on beginning; NULL on resuming */
};

/* Reads a file of at most 1 MiB. */
int fw_source_read_file(struct fw_named_source *out, const char *path, struct fw_error *err);
/* Those a begin entry names, out of the trail. */
int fw_sources_recorded(struct fw_sources *out, struct fw_trail *trail, const json_t *begin,
                        struct fw_error *err);
/* The module callback of struct fw_script_host, with `sources` as its context part. */
int fw_sources_module(struct fw_sources *sources, const char *name, char **bytes, size_t *size,
                      struct fw_error *err);
void fw_sources_free(struct fw_sources *sources);

/* A finding kept for the face, with the JSON behind it. */
struct fw_kept_finding {
	struct fw_finding finding;
	char *step;
	json_t *ask, *value;
	bool recorded;
};

/* What an audit wants to hear while the job is replayed. All NULL outside audits. */
struct fw_replay_watch {
	void *context;
	/* A recorded finding was worked out again; `alike`: with the same outcome. */
	void (*finding)(void *context, const struct fw_record *record, bool alike, const json_t *ask,
	                const json_t *value);
	/* A recorded answer, with its question, about to be handed over. */
	void (*answer)(void *context, const struct fw_record *record,
	               const struct fw_question *question);
};

struct fw_job {
	struct fw_trail *trail; /* borrowed */
	int64_t number;
	struct fw_attached attached; /* last; seq 0: nothing */
	struct fw_lease *lease; /* held while the job is open for work */
	char *who, *title, *unit;
	unsigned rules; /* what the words of its procedure mean: struct fw_script_host */
	fw_clock clock;
	void *clock_context;
	struct fw_sources sources;
	struct fw_script *script;
	struct fw_records records; /* while replaying */
	size_t cursor;             /* next record to be met */
	const struct fw_replay_watch *watch;
	struct fw_kept_finding *finding; /* since the last answer */
	size_t findings, finding_room;
	struct fw_finding *shown; /* the same, as faces see them */
	struct fw_question_view pending;
	int64_t last_seq;
	uint8_t head[FW_HASH];
	char last_at[32];
	size_t answered;
	bool released;
};

/* replay.c: makes the script of `job` and runs it through its records. Leaves in `finding` what
 * came since the last answer, recorded or not, and in `pending` the next question. */
int fw_job_replay(struct fw_job *job, struct fw_error *err);

/* findings.c */
int fw_job_keep_finding(struct fw_job *job, const char *step, const json_t *ask,
                        const json_t *value, bool recorded, struct fw_error *err);
void fw_job_drop_findings(struct fw_job *job);
int fw_job_show_findings(struct fw_job *job, struct fw_error *err);

/* record.c: writes to the trail. */
/* Time of a new entry, never before the job's last one. FW_ERR_STATE when the clock is behind it by
 * more than a little. */
int fw_job_now(struct fw_job *job, char at[32], struct fw_error *err);
/* Appends one entry to the job; `ask` and `value` may be NULL. */
int fw_job_record(struct fw_job *job, const char *kind, const char *step, const json_t *ask,
                  const char *typed, const json_t *value, struct fw_error *err);
/* Appends the findings not yet recorded and, when the script has ended, the release. */
int fw_job_record_findings(struct fw_job *job, struct fw_error *err);

/* lease.c */
/* The right to write to the job, until it is closed or released. FW_ERR_BUSY says who has it. */
int fw_job_take_lease(struct fw_job *job, struct fw_error *err);
void fw_job_drop_lease(struct fw_job *job);
/* Loads the job, takes its lease, and loads it again if it went on meanwhile. A released job is only
 * looked at: no lease is taken then. */
int fw_job_open_for_work(struct fw_job *job, const char *who, struct fw_error *err);

/* name.c */
int fw_job_no_text(const char *what, struct fw_error *err);
bool fw_job_is_blank(const char *text);
/* One line of words of a sensible length, fit to be shown; `what` names it in the message. */
int fw_job_check_name(const char *what, const char *name, struct fw_error *err);

/* job.c */
/* Title, unit, person, end of the chain and sources, from the records read. `who` NULL: the last one. */
int fw_job_take_beginning(struct fw_job *job, const char *who, struct fw_error *err);
struct fw_job *fw_job_new(struct fw_trail *trail, fw_clock clock, void *clock_context);
/* Reads job `number` and replays it; writes nothing. */
int fw_job_load(struct fw_job *job, int64_t number, const char *who, struct fw_error *err);

#endif
