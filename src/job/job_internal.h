/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file job_internal.h  What the files of the engine share. */
#ifndef FITWRIGHT_JOB_INTERNAL_H
#define FITWRIGHT_JOB_INTERNAL_H

#include <jansson.h>

#include "fitwright/job.h"
#include "job/gauge.h"
#include "script/json.h"
#include "script/script.h"

/* One recorded entry, read into memory. */
struct fw_record {
	int64_t seq;
	char *kind, *step, *at, *who, *typed; /* they go with the records */
	char *ask_text, *value_text; /* as recorded; NULL where the column is NULL */
	json_t *ask, *value;         /* the same, parsed; see fw_record_parse() */
	uint8_t hash[FW_HASH];
	int64_t root;   /* of an answer: its seq; of an amendment: that of the answer it began with */
	bool withdrawn; /* taken back, so that it strikes nothing */
	bool struck;    /* stands no more: withdrawn, amended, lapsed, or reopened */
	bool due;       /* stands, and lapses: the entry that says so isn't recorded yet */
	bool met;       /* by the run that goes on */
	bool checked;   /* by an audit: it was met, and held against what was worked out */
	bool again;     /* by an audit: `value` is what was typed, read again, and the same to the letter */
};

/* All entries of a job. */
struct fw_records {
	struct fw_record *list;
	size_t count, room;
	struct fw_record_texts *texts; /* all texts of the entries */
	int64_t job;
	bool raw;               /* what the fold doesn't need is left as text */
	struct fw_error *error; /* while being read */
};

/* Reads the entries of `job`, all parsed, and folds them. FW_ERR_TRAIL names the entry whose JSON can't be
 * read. */
int fw_records_read(struct fw_records *out, struct fw_trail *trail, int64_t job,
                    struct fw_error *err);
/* The same; `ask` and `value` are parsed only where the fold needs them. */
int fw_records_read_raw(struct fw_records *out, struct fw_trail *trail, int64_t job,
                        struct fw_error *err);
/* The same in a walk of the caller's, who hands each entry to fw_records_visit(); its messages go to `err`.
 * fw_records_end() folds, or frees them when the walk ended with another code than FW_OK; it returns the code. */
void fw_records_begin(struct fw_records *out, int64_t job, bool raw, struct fw_error *err);
int fw_records_visit(void *records, const struct fw_entry *entry);
int fw_records_end(struct fw_records *records, int code);
/* Adds one entry behind them, in memory only; fold again then. */
int fw_records_add(struct fw_records *records, const struct fw_entry *entry, struct fw_error *err);
void fw_records_free(struct fw_records *records);
/* The fold: marks which of the first `count` entries stand. */
void fw_records_strike(struct fw_records *records);
/* The entry of that number, or NULL. */
struct fw_record *fw_records_find(const struct fw_records *records, int64_t seq);
/* The last answer (signature, amendment) that stands, or NULL. */
const struct fw_record *fw_records_last_answer(const struct fw_records *records);
/* Whether the job has come to its end. */
bool fw_records_released(const struct fw_records *records);

bool fw_record_is(const struct fw_record *record, const char *kind);
/* An answer, a signature, or an amendment. */
bool fw_record_answers(const struct fw_record *record);
/* Parses `ask` and `value` unless that was done. FW_ERR_TRAIL when one isn't JSON. */
int fw_record_parse(struct fw_record *record, int64_t job, struct fw_error *err);
int fw_record_parse_value(struct fw_record *record, int64_t job, struct fw_error *err); /* and not `ask` */

/* standing.c: answers that stand and weren't met yet, found by their questions. */
struct fw_standing {
	struct fw_records *records; /* borrowed; NULL: none */
	size_t *slot;               /* 1 + index of a record, by the hash of its question's text; 0: free */
	size_t slots;               /* a power of two */
	size_t next;                /* no answer before this one is unmet */
};
int fw_standing_make(struct fw_standing *out, struct fw_records *records, struct fw_error *err);
void fw_standing_free(struct fw_standing *standing);
/* The answer to that question: the one whose question reads the same, else the one whose step, item and round
 * are the same; NULL: none. `*same`: its question is known to read the same. */
int fw_standing_find(struct fw_record **out, bool *same, struct fw_standing *standing,
                     const json_t *question, struct fw_error *err);

/* Where the run of a procedure through its records stands. docs/replay.md has the rules. */
struct fw_run {
	struct fw_standing standing;
	struct fw_records *records; /* borrowed; NULL: nothing is left to be met */
	size_t *order;              /* indices of the answers met, as the procedure asked */
	size_t met, unmet;          /* answers that stand; `met` counts those given since, too */
	size_t recorded;            /* length of `order` */
	size_t live;                /* unmet ones that were recorded after the last amendment */
	size_t next_live, next_finding; /* where the next such one is looked for */
	int64_t amended;            /* the last amendment that counts; 0: none */
	int64_t latest;             /* highest number of an answer met */
	int64_t bench;              /* highest root of an answer from the bench met */
	bool due;                   /* some record is */
};

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
	/* What was typed for an answer, read again, if it comes to the recorded value to the letter; else NULL. */
	json_t *(*again)(const struct fw_question *question, const struct fw_record *record);
};

struct fw_job {
	struct fw_trail *trail; /* borrowed */
	int64_t number;
	struct fw_attached attached; /* last; seq 0: nothing */
	struct fw_lease *lease; /* held while the job is open for work */
	struct fw_unlock unlock; /* how a signer's key is come by */
	char *who, *title, *unit;
	struct fw_job_gauges *gauges; /* never NULL */
	unsigned rules; /* what the words of its procedure mean: struct fw_script_host */
	fw_clock clock;
	void *clock_context;
	struct fw_sources sources;
	struct fw_script *script;
	struct fw_records records; /* while replaying, and after it while answers are left to be met */
	struct fw_run run;
	const struct fw_replay_watch *watch;
	struct fw_kept_finding *finding; /* since the last answer */
	size_t findings, finding_room;
	size_t finding_base; /* how many of them were there when the last answer was handed over */
	struct fw_finding *shown; /* the same, as faces see them */
	struct fw_question_view pending;
	int64_t last_seq;
	uint8_t head[FW_HASH];
	char last_at[32];
	size_t answered;
	bool released;
};

/* replay.c: makes the script of `job` and runs it through its records. Leaves in `finding` what
 * came since the last answer, recorded or not, in `pending` the next question, and marks in the records
 * what lapses. */
int fw_job_replay(struct fw_job *job, struct fw_error *err);
/* Hands over an answer that was just recorded, runs on through the answers that are left, records what
 * follows, and shows what is asked next. */
int fw_job_run_on(struct fw_job *job, const struct fw_answer *answer, struct fw_error *err);
/* Whether the run has met all that was recorded since the last amendment. */
bool fw_job_met_all(const struct fw_job *job);
/* Frees the records unless answers are left to be met. */
void fw_job_forget_records(struct fw_job *job);
void fw_job_clear_run(struct fw_job *job);

/* findings.c */
int fw_job_keep_finding(struct fw_job *job, const char *step, const json_t *ask,
                        const json_t *value, bool recorded, struct fw_error *err);
void fw_job_drop_findings(struct fw_job *job);
/* Whether some aren't recorded yet. */
bool fw_job_has_new_findings(const struct fw_job *job);
int fw_job_show_findings(struct fw_job *job, struct fw_error *err);

/* record.c: writes to the trail. */
/* Time of a new entry, never before the job's last one. FW_ERR_STATE when the clock is behind it by
 * more than a little. */
int fw_job_now(const struct fw_job *job, char at[32], struct fw_error *err);
/* Appends one entry to the job; `ask` and `value` may be NULL. */
int fw_job_record(struct fw_job *job, const char *kind, const char *step, const json_t *ask,
                  const char *typed, const json_t *value, struct fw_error *err);
/* The same at a time of fw_job_now(), which a signature covers; NULL: now. */
int fw_job_record_at(struct fw_job *job, const char *at, const char *kind, const char *step,
                     const json_t *ask, const char *typed, const json_t *value,
                     struct fw_error *err);
/* Appends what lapses, the findings not yet recorded and, when the script has ended, the release. */
int fw_job_record_findings(struct fw_job *job, struct fw_error *err);
/* The same behind `first`, in one go; without the release. */
int fw_job_record_behind(struct fw_job *job, const struct fw_entry *first, struct fw_error *err);

/* lease.c */
/* The right to write to the job, until it is closed or released. FW_ERR_BUSY says who has it. */
int fw_job_take_lease(struct fw_job *job, struct fw_error *err);
void fw_job_drop_lease(struct fw_job *job);
/* Loads the job, takes its lease, and loads it again if it went on meanwhile. A released job is only
 * looked at: no lease is taken then. */
int fw_job_open_for_work(struct fw_job *job, const char *who, struct fw_error *err);

/* sign.c */
/* What is to be signed, and by whom. Strings are borrowed. */
struct fw_to_sign {
	enum fw_purpose purpose;
	const struct fw_question *question; /* handed to the one who unlocks; NULL: a reopening */
	const char *step;                   /* of the entry; or NULL */
	const char *name;                   /* as typed */
	const char *role, *meaning;
	const char *reason; /* of a concession or reopening; else NULL */
};
/* Makes the value of a signature over what the job holds now, and `at`, the time that its entry must
 * bear: record it with fw_job_record_at(). `*value` is the caller's. FW_ERR_INPUT: not by this person,
 * or a wrong passphrase, ask again; FW_ERR_STATE: there are keys, and nothing that unlocks one. */
int fw_job_signature_value(struct fw_job *job, const struct fw_to_sign *what, json_t **value,
                           char at[32], struct fw_error *err);

/* independent.c; the records are parsed throughout */
/* Index of the first record behind the hold before, as it stood when there were `count` records. */
size_t fw_records_stretch(struct fw_records *records, size_t count);
/* The name, borrowed from the records, under which `name` answered or signed for work among the first
 * `count` records since the hold before; NULL: it is another person. */
const char *fw_records_worker(struct fw_records *records, size_t count, const char *name);

/* reopen.c: numbers of the entries, of a released job that was replayed, that a reopening strikes beside the
 * release; NULL when out of memory. */
json_t *fw_reopen_list(const struct fw_job *job);
/* The role in which it is signed by who hasn't the role "release": that of the last signature; "release" when there
 * is none. */
const char *fw_reopen_role(const struct fw_job *job, struct fw_error *err);

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
/* The same for a new job whose number and records, raw, are there already. */
int fw_job_load_records(struct fw_job *job, const char *who, struct fw_error *err);
/* The same for a job that is open here, and records what follows from what stands. */
int fw_job_reload(struct fw_job *job, struct fw_error *err);

#endif
