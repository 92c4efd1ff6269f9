/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file model.h
 * A job as read from its trail, before it is drawn. Every writer sees this and no trail.
 *
 * A trail may be a stranger's: each getter here gives NULL, false or NAN for what is absent or of
 * the wrong type, and accepts a NULL object.
 */
#ifndef FITWRIGHT_REPORT_MODEL_H
#define FITWRIGHT_REPORT_MODEL_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/error.h"
#include "fitwright/people.h"
#include "fitwright/trail.h"

/** One entry, with strings repaired to valid UTF-8. */
struct fw_report_entry {
	int64_t seq;
	char *kind, *step, *at, *who, *typed;
	char *ask_text, *value_text; /**< the columns as they were, kept only when they are no JSON */
	json_t *ask, *value;         /**< NULL when absent or no JSON */
	const char *phase;           /**< of the question, or of the answer it follows from; or NULL */
	int64_t struck_by;           /**< seq of the entry that struck it out; 0: it stands */
	int64_t root;  /**< of an amendment: seq of the answer that was first given; else its own */
	int64_t after; /**< of a finding: root of the answer it follows from; 0: of none */
	bool joint;    /**< a joint begins here: asked for, or tightened without */
	const struct fw_report_entry *tightened; /**< of such: how it was tightened, or NULL */
	char prev[FW_HASH_TEXT], hash[FW_HASH_TEXT];
};

struct fw_report_job {
	int64_t number;
	struct fw_trail *trail; /**< borrowed: evidence is read when it is drawn */
	struct fw_report_entry *entries;
	size_t count, room;
	size_t phased; /**< while verdicts are read: index of the last question with its phase */
	size_t *order; /**< answers that stand, by index; an amendment in the place of its root */
	size_t answers;
	struct fw_people people;  /**< of the shop's log, whole */
	size_t flaws;             /**< that the trail's own check found */
	char flaw[FW_ERROR_TEXT]; /**< the first of them */
	bool failed;              /**< out of memory while reading */
};

/** The same for verdicts, trials and concessions alone, and what strikes them out: of all else only the kind is
 *  kept, and the phase. */
int fw_report_read_verdicts(struct fw_report_job *job, struct fw_trail *trail, int64_t number,
                            struct fw_error *err);
/** Reads the job whole, folds it, and has its chain checked. */
int fw_report_read(struct fw_report_job *job, struct fw_trail *trail, int64_t number,
                   struct fw_error *err);
/** The same without people, and without the check of the chain, which looks at the whole file each
 * time. */
int fw_report_read_entries(struct fw_report_job *job, struct fw_trail *trail, int64_t number,
                           struct fw_error *err);
void fw_report_free(struct fw_report_job *job);

/** Which entries stand, what took their place, and what each finding follows from. */
int fw_report_fold(struct fw_report_job *job, struct fw_error *err);
/** The entry of that number, or NULL. */
const struct fw_report_entry *fw_report_entry(const struct fw_report_job *job, int64_t seq);
bool fw_report_is(const struct fw_report_entry *entry, const char *kind);
/** An answer, a signature, or an amendment. */
bool fw_report_answers(const struct fw_report_entry *entry);
/** "taken back", "amended", "lapsed", "reopened", NULL for what stands. */
const char *fw_report_struck(const struct fw_report_job *job, const struct fw_report_entry *entry);
/** Why an entry struck others out, in its own words or ours; NULL: it doesn't say. */
const char *fw_report_reason(const struct fw_report_entry *entry);

/** Getters on JSON. */
const char *fw_get_text(const json_t *object, const char *key);
double fw_get_number(const json_t *object, const char *key); /* NAN */
bool fw_get_true(const json_t *object, const char *key);
/** A whole number; `fallback` when absent or of another type. */
int64_t fw_get_whole(const json_t *object, const char *key, int64_t fallback);

/** A quantity as the trail holds it. */
struct fw_report_quantity {
	double si, u;          /**< u: 0 when it has none */
	const char *text;      /**< as recorded; may be NULL */
	const char *unit;      /**< symbol to write; "" when the unit isn't known, then SI is drawn */
	double factor, offset; /**< value in SI = value in the unit * factor + offset */
};

/** False unless `json` holds a finite value. */
bool fw_report_quantity(struct fw_report_quantity *out, const json_t *json);
/** SI to the unit of `scale`. */
double fw_report_in(const struct fw_report_quantity *scale, double si);
/** "0.406 mm", and with `with_u` and uncertainty "0.406 ± 0.024 mm" (twice the standard one); ""
 * for what is no quantity. */
const char *fw_report_quantity_text(char *buffer, size_t size, const json_t *json, bool with_u);

/** "0.05 mm to 0.15 mm, aim 0.10 mm", "at most …", "at least …"; "" when there are none. */
const char *fw_report_limits_text(char *buffer, size_t size, const json_t *limits);

/** `find` of a finding, else NULL. */
const char *fw_report_find(const struct fw_report_entry *entry);
/** The next standing finding of that sort after `entry` (NULL: the first), or NULL. */
const struct fw_report_entry *fw_report_next(const struct fw_report_job *job,
                                             const struct fw_report_entry *entry, const char *find);
/** The next standing entry of that kind, in the same way. */
const struct fw_report_entry *fw_report_next_kind(const struct fw_report_job *job,
                                                  const struct fw_report_entry *entry,
                                                  const char *kind);

/** `value` of the first entry, if it is a begin; else NULL. */
const json_t *fw_report_begin(const struct fw_report_job *job);
/** The release that stands, or NULL. */
const struct fw_report_entry *fw_report_release(const struct fw_report_job *job);
/** The next standing answer, amendment or signature in the order in which the procedure asks: an amendment in the
 *  place of what it amends. NULL begins, and ends. */
const struct fw_report_entry *fw_report_next_asked(const struct fw_report_job *job,
                                                   const struct fw_report_entry *entry);
/** The next standing answer or amendment, without signatures; as fw_report_next_kind(). */
const struct fw_report_entry *fw_report_next_answer(const struct fw_report_job *job,
                                                    const struct fw_report_entry *entry);
/** Whether reading `index` (from 0) of a measurement was queried as implausible and kept. */
bool fw_report_kept(const struct fw_report_job *job, const struct fw_report_entry *measurement,
                    size_t index);
/** What an answer was understood as, or what a finding showed: in `buffer` or borrowed, never NULL.
 */
const char *fw_report_understood(char *buffer, size_t size, const struct fw_report_entry *entry);
/** Whether a sign-off or release names the head and the count it really stands on. */
bool fw_report_head_matches(const struct fw_report_entry *entry);

/** "2026-03-05 14:03 UTC" of an `at`; with `seconds` "14:03:11" alone. Odd text is copied as it is.
 */
const char *fw_report_time(char *buffer, size_t size, const char *at, bool seconds);

/** "35 min", "1 h 5 min", "3 days" between two times; "" when they can't be told, or run backwards.
 */
const char *fw_report_span(char *buffer, size_t size, const char *from, const char *to);

/** "512 bytes", "318 KiB", "12.4 MiB"; in `buffer`. */
const char *fw_report_bytes(char *buffer, size_t size, int64_t bytes);

#endif
