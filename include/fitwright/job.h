/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file job.h
 * The engine: one rebuild of one unit, led by a procedure, remembered by the trail.
 *
 * The engine is pulled: fw_job_pending() tells what is asked, fw_job_answer() takes the answer,
 * records it durably, and runs the procedure on to its next question. Nothing else holds state:
 * fw_job_resume() runs the stored procedure again and feeds it the recorded answers. A terminal, a
 * file of answers and a test all use these same calls.
 */
#ifndef FITWRIGHT_JOB_H
#define FITWRIGHT_JOB_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/error.h"
#include "fitwright/gauges.h"
#include "fitwright/people.h"
#include "fitwright/question.h"
#include "fitwright/trail.h"

#ifdef __cplusplus
extern "C" {
#endif

struct fw_job; /* opaque */

/** What a job begins with. Strings are copied. */
struct fw_job_begin {
	const char *procedure; /**< path of the procedure's file */
	const char *sheet;     /**< path of the unit sheet's file; NULL if the procedure needs none */
	const char *unit;      /**< which unit is on the bench: "gearbox 4-118", free words, not empty */
	const char *who;       /**< who works on it, not empty */
};

/** Where the wall clock comes from; NULL means the system's. Writes "2026-03-05T14:03:11.250Z". */
typedef void (*fw_clock)(void *context, char out[32]);

/** Loads and checks procedure, modules and sheet, stores them, records the beginning, and runs to the
 *  first question. FW_ERR_SCRIPT carries file:line; nothing is recorded then. `trail` is borrowed
 *  and must outlive the job. */
int fw_job_begin(struct fw_job **out, struct fw_trail *trail, const struct fw_job_begin *begin,
                 fw_clock clock, void *clock_context, struct fw_error *err);

/** Goes on with a job where it stood. `who` NULL: the person of the last entry. FW_ERR_REPLAY names
 *  the entry at which the stored procedure asks something else than was recorded; nothing is changed
 *  then. A released job can be resumed to be looked at; nothing is pending in it. */
int fw_job_resume(struct fw_job **out, struct fw_trail *trail, int64_t job, const char *who,
                  fw_clock clock, void *clock_context, struct fw_error *err);

/** NULL is allowed. Nothing is lost: all is in the trail already. */
void fw_job_close(struct fw_job *job);

/** Its number in the trail. */
int64_t fw_job_number(const struct fw_job *job);

/** Title of the procedure, and the unit on the bench. Borrowed until fw_job_close(). */
const char *fw_job_title(const struct fw_job *job);
const char *fw_job_unit(const struct fw_job *job);
/** Whose name the answers bear. */
const char *fw_job_who(const struct fw_job *job);

/** The question that waits for an answer; NULL when the job is released. Borrowed until the next
 *  fw_job_answer(), fw_job_withdraw() or fw_job_close(). */
const struct fw_question *fw_job_pending(const struct fw_job *job);

/**
 * Answers the pending question with what was typed. On success it is on the disk, and the procedure
 * has run on. FW_ERR_INPUT and FW_ERR_DIMENSION: not understood, nothing recorded, ask again;
 * FW_ERR_IMPLAUSIBLE: say the message, then call again with `confirmed`. FW_ERR_SCRIPT, FW_ERR_LIMIT:
 * the procedure failed after the answer was recorded; the job can be resumed. FW_ERR_BUSY: someone
 * else went on with the job; resume it.
 */
int fw_job_answer(struct fw_job *job, const char *typed, bool confirmed, struct fw_error *err);

/** How a signer's key is come by. `unlock` gives the secret key of `person` for what `question` asks to be
 *  signed (role, meaning, purpose and reason; of a reopening no more than these), or fails: FW_ERR_INPUT, FW_ERR_NOT_FOUND (asked again, nothing recorded). */
struct fw_unlock {
	void *context;
	int (*unlock)(void *context, const struct fw_person *person, const struct fw_question *question,
	              struct fw_secret **out, struct fw_error *err);
};
/**
 * From now on signatures are made with keys that `unlock` gives; copied. The answer to a question of kind
 * FW_ASK_SIGN is then the name of a person of the shop who has the role asked for. At a hold it is another
 * person than those who answered since the hold before (or the beginning), unless the shop says that it is
 * one person, and then the signature says that it isn't independent. A shop in which nobody has a key signs
 * by name alone, and every audit says so.
 */
void fw_job_set_unlock(struct fw_job *job, const struct fw_unlock *unlock);
/** What there is to say at the prompt of the pending signature, one line: who may sign, that a signature won't
 *  be independent, or that it is by name alone. "" when no signature is asked for. */
int fw_job_signers(const struct fw_job *job, char *out, size_t size, struct fw_error *err);

/** The gauge with which the pending reading will be recorded: one of the shop's, of the kind asked for.
 *  NULL: none is registered or chosen, or no reading is asked for. `*note` (may be NULL) gets what there is to say
 *  at the prompt ("overdue since 2026-09-01"; several to choose from; too coarse for the limits) or NULL. Both borrowed
 *  until the next call about the job. */
const struct fw_shop_gauge *fw_job_gauge(const struct fw_job *job, const char **note);
/** The gauges that could take the pending reading, retired ones left out; NULL behind the last. Borrowed as above. */
const struct fw_shop_gauge *fw_job_gauge_at(const struct fw_job *job, size_t index);
/** Chooses the gauge for this kind from here on, by id; "none": the typical one. FW_ERR_INPUT names those there
 *  are. */
int fw_job_use_gauge(struct fw_job *job, const char *id, struct fw_error *err);

/** Attaches a file (photo, scan, sound) to where the job stands: stored once by its content, at most
 *  FW_EVIDENCE_MOST bytes, of a kind told by its first bytes. `note` may be NULL. FW_ERR_INPUT: not
 *  such a file; FW_ERR_STATE: the job is released. */
int fw_job_attach(struct fw_job *job, const char *path, const char *note, struct fw_error *err);

/** What was attached. */
struct fw_attached {
	int64_t seq;         /**< its entry */
	int64_t size;        /**< bytes */
	const char *kind;    /**< media type, "image/jpeg" */
	const char *words;   /**< the same in words: "a JPEG photo" */
	char name[201];      /**< of the file, as recorded: without folder, fit to be shown */
	char hash[FW_HASH_TEXT];
	bool name_fits;      /**< false: the ending of the name belongs to another kind of file */
};
/** What fw_job_attach() attached last; NULL: nothing yet. Borrowed until the next, or fw_job_close(). */
const struct fw_attached *fw_job_attached(const struct fw_job *job);

/** Takes the last answer back, with a reason (not empty): it stays in the trail, struck out, and its
 *  question is asked again. FW_ERR_STATE when there is none, or the job is released. */
int fw_job_withdraw(struct fw_job *job, const char *reason, struct fw_error *err);

/**
 * The same for a job that isn't open here, and without running its procedure: the way on when a procedure
 * fails on an answer, so that the job can't be resumed. `who` NULL: the person of the last entry.
 */
int fw_job_take_back(struct fw_trail *trail, int64_t job, const char *who, const char *reason,
                     fw_clock clock, void *clock_context, struct fw_error *err);

/**
 * Opens a job to list, amend and take back its answers, not to answer: nothing is pending in it, and nothing is
 * recorded until then. Unlike fw_job_resume() it opens a job, too, whose procedure fails on a recorded answer:
 * `*stuck` (may be NULL) then says how, else it is empty. FW_ERR_REPLAY as there.
 */
int fw_job_look(struct fw_job **out, struct fw_trail *trail, int64_t job, const char *who, fw_clock clock,
                void *clock_context, struct fw_error *stuck, struct fw_error *err);

/** An answer that stands, and what was typed for it. Strings are borrowed for the call. */
struct fw_given {
	int64_t seq;      /**< the entry that holds it: the answer's, or its amendment's */
	const char *word, *step, *item, *typed;
	const char *option; /**< the choice that was taken; NULL: it was no choice */
	bool signature;   /**< can't be amended */
	bool amendment;   /**< it amends an answer; taken back, that one stands again */
};
/** Calls `visit` for each answer that stands and that the procedure has come to, in the order in which it asks.
 *  A return other than 0 ends the walk and is returned. */
int fw_job_given(struct fw_job *job, int (*visit)(void *context, const struct fw_given *given), void *context,
                 struct fw_error *err);

/** What an amendment would do, as far as can be seen: where something is asked next that wasn't asked before, later
 *  answers may still lapse when that is answered. */
struct fw_amendment {
	int64_t seq;           /**< the entry it amends */
	char *step, *item;     /**< of that answer; item or NULL */
	char *was, *will_be;   /**< as typed */
	size_t kept;           /**< later answers that stay, */
	size_t waiting;        /**< of these, those behind what is asked next: they may lapse when that is answered */
	size_t lapsed;         /**< answers that won't, signatures among them */
	char **lapsed_text;    /**< one line each: "float-on-trial (reading 1 of 3): 0.41" */
	char *next;            /**< what is asked next then, in a line; NULL: nothing, the procedure ends */
};
/**
 * Looks what amending the answer of entry `seq` would do, by running the procedure through; records nothing.
 * `typed` is read as an answer to the question of old. FW_ERR_NOT_FOUND: no answer stands in that entry;
 * FW_ERR_STATE: the job is released, or it is a signature; FW_ERR_INPUT, FW_ERR_DIMENSION, FW_ERR_IMPLAUSIBLE as
 * fw_job_answer(), and FW_ERR_INPUT when it is what stands there; FW_ERR_SCRIPT, FW_ERR_LIMIT: the procedure fails
 * with it, and so it can't be recorded.
 */
int fw_job_amend_look(struct fw_job *job, int64_t seq, const char *typed, bool confirmed,
                      struct fw_amendment **out, struct fw_error *err);
void fw_amendment_free(struct fw_amendment *amendment); /**< NULL is allowed */
/**
 * Amends it, with a reason (not empty). The old answer is kept, struck out. Later answers stay while the
 * work goes the same way: until the first task or reading comes up that has no answer, or in other words
 * than before; from there on all are asked again. Signatures given after the amended answer lapse.
 */
int fw_job_amend(struct fw_job *job, int64_t seq, const char *typed, bool confirmed, const char *reason,
                 struct fw_error *err);

/** Opens a released job again, with a reason and a signature; the signatures at its end lapse. `signer` is the
 *  name of the person who signs, with role "release" or that of the last signature. */
int fw_job_reopen(struct fw_trail *trail, int64_t job, const char *who, const char *signer, const char *reason,
                  const struct fw_unlock *unlock, fw_clock clock, void *clock_context, struct fw_error *err);

/** What the procedure found since the last answer (or, after begin and resume, since the last recorded
 *  one), for a face to show. */
struct fw_finding {
	const char *find; /**< "measurement", "verdict", "trial", "surprise", "stack", "gasket", "joint", "part" */
	const char *step;
	const char *text; /**< one or more lines to show as they are */
	/** A number with limits to draw, SI; `has_scale` says whether these are meant. */
	bool has_scale;
	double value, u, min, max; /**< min and max as in struct fw_limits */
	double aim;                /**< NAN when the sheet names none */
	const struct fw_unit *unit;
	const char *verdict; /**< "within", "outside", "doubtful", or NULL */
	double probability;
};

/** Findings since the last answer, oldest first. Borrowed as the pending question is. */
const struct fw_finding *fw_job_findings(const struct fw_job *job, size_t *count);

/** How far: answers recorded and standing. */
size_t fw_job_answered(const struct fw_job *job);

/** How much a line of an audit weighs. */
enum fw_audit_weight {
	FW_AUDIT_BROKEN, /**< the record can't be trusted as it stands */
	FW_AUDIT_OPEN,   /**< the record is sound, but something in it wants a person's eye */
	FW_AUDIT_NOTE    /**< for information */
};

struct fw_audit_line {
	enum fw_audit_weight weight;
	int64_t job, seq;  /**< seq 0: about the whole job */
	const char *what;
	const char *means;
};

struct fw_audit_sum {
	size_t entries, answers, findings_recomputed;
	size_t broken, open, notes;
	size_t signatures, keyed;   /**< that stand; of these, made with a key and found good */
	size_t holds, concessions;  /**< that stand */
	char head[FW_HASH_TEXT];
	bool released;
};

/** What an audit is given from outside. Zeroed: nothing. */
struct fw_audit_given {
	const struct fw_card *card; /**< whose keys are known; with none, the trail is believed about them */
	size_t cards;
	const char *today; /**< day of the audit, "2026-03-05"; NULL: the system's */
};

/**
 * Audits one job: its chain and that of the shop's log, then a replay of the stored procedure in which
 * every finding is worked out again and compared with the recorded one (numbers within
 * FW_AUDIT_TOLERANCE, relative, since mathematical libraries differ in the last digits), every answer
 * read again from what was typed, signatures checked against the people's keys, sign-off and release looked for, concessions, gauges and
 * figures without a published source noted. `given` may be NULL.
 * Returns 0 when the audit could be carried out; see `sum` for the outcome.
 */
int fw_job_audit(struct fw_trail *trail, int64_t job, const struct fw_audit_given *given,
                 void (*report)(void *context, const struct fw_audit_line *line), void *context,
                 struct fw_audit_sum *sum, struct fw_error *err);

#define FW_AUDIT_TOLERANCE 1e-9

/** What came of the audit of one job among many. Strings and lines are borrowed for the call. */
struct fw_audit_done {
	int64_t job;
	const struct fw_audit_sum *sum;
	const struct fw_audit_line *line;
	size_t lines, left_out; /**< lines beyond fw_audit_many.lines_most are only counted */
	const char *refused;    /**< NULL; else why it couldn't be audited */
};

/** An audit of many jobs. */
struct fw_audit_many {
	const char *path;    /**< the trail; each thread opens it for itself, for reading */
	const int64_t *job;  /**< their numbers */
	size_t jobs;
	unsigned threads;    /**< 0: as many as the machine has processors */
	size_t lines_most;   /**< lines kept of each job */
	enum fw_audit_weight least; /**< lines that weigh less are left out */
	const struct fw_audit_given *given; /**< or NULL */
	void *context;
	/** Hears of each job, in the order of `job`, in the calling thread. A return other than 0 ends the audit and is
	 *  returned. */
	int (*done)(void *context, const struct fw_audit_done *done);
	/** NULL, or called several times a second in the calling thread, with the number of jobs audited so far.
	 *  As `done`. */
	int (*progress)(void *context, size_t audited, size_t jobs);
};

/** Audits jobs, several at a time, as fw_job_audit() does; what is heard doesn't depend on the number of threads.
 *  One that can't be audited doesn't keep the others from it. What is common to all jobs of a file is checked by
 *  fw_trail_verify() with FW_VERIFY_FILE, the chain of the shop's log with FW_SHOP. FW_ERR_MEMORY, or as
 *  fw_trail_open(). */
int fw_job_audit_many(const struct fw_audit_many *many, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
