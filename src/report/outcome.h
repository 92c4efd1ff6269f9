/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file outcome.h  What came of a job: each checked figure as found and as left, and one sentence.
 */
#ifndef FITWRIGHT_REPORT_OUTCOME_H
#define FITWRIGHT_REPORT_OUTCOME_H

#include "report/gauge.h"
#include "report/model.h"
#include "report/signature.h"

/** Names on the cover. */
#define FW_REPORT_WORKERS 12

/** One checked figure: all verdicts on it, the first as found and the last as left. */
struct fw_report_figure {
	const char *name;                    /**< never NULL */
	const struct fw_report_entry *found; /**< first verdict of an as-found check, or NULL */
	const struct fw_report_entry *first; /**< when none is as found: the earliest of several */
	const struct fw_report_entry *left;  /**< last of the other verdicts, or NULL */
	const struct fw_report_concession *conceded; /**< `left` was, or NULL */
	size_t checks;                               /**< verdicts that stand */
};

struct fw_report_outcome {
	struct fw_report_figure *figures;
	size_t count;
	size_t within, outside, doubtful; /**< of the figures, as left */
	size_t surprises, signatures, rejected;
	size_t otherwise;  /**< joints tightened otherwise than asked */
	size_t overloaded; /**< joints that can pass their proof load */
	size_t warned;     /**< joints with another warning: threads that may strip and the like */
	size_t kept;       /**< readings kept though they were queried as implausible */
	size_t amended;    /**< answers that stand amended */
	size_t conceded;   /**< figures that are not within as left, and conceded */
	struct fw_report_concession *concessions;
	size_t concession_count;
	struct fw_report_gauges gauges;
	size_t coarse; /**< figures whose gauges were too coarse for the limits */
	size_t holds;
	size_t dependent; /**< holds and concessions signed by who did the work */
	size_t wrong;     /**< signatures that don't fit their key, or whose key is another's */
	size_t nameless;  /**< sign-offs and holds by name alone */
	size_t evidence;
	const char *worker[FW_REPORT_WORKERS]; /**< who answered, in order of appearance */
	size_t workers;
	bool more_workers;
	const struct fw_report_entry *released_by; /**< the last sign-off, or NULL */
	const struct fw_report_entry *reopened;    /**< the last reopening that stands, or NULL */
	bool released;
	char sentence[192]; /**< "Released: 2 figures checked, all within their limits." */
	bool alarm;         /**< the sentence says something that a reader must not miss */
};

/** The figures of a job, from its verdicts. */
int fw_report_figures(struct fw_report_outcome *out, const struct fw_report_job *job,
                      struct fw_error *err);
int fw_report_judge(struct fw_report_outcome *out, const struct fw_report_job *job,
                    struct fw_error *err);
/** The figures alone, with what was conceded; all else is 0. */
int fw_report_judge_figures(struct fw_report_outcome *out, const struct fw_report_job *job,
                            struct fw_error *err);
void fw_report_outcome_free(struct fw_report_outcome *outcome);

/** What a reader must see beside the figures, a sentence each, by `index` from 0; NULL behind the
 * last.
 */
const char *fw_report_warning(char *buffer, size_t size, const struct fw_report_outcome *outcome,
                              size_t index);

/** "R. Example (technician; key 12ab 34cd 56ef 7890)", as far as the shop's log knows. */
const char *fw_report_person_text(char *buffer, size_t size, const struct fw_report_job *job,
                                  const char *name);

/** "within", "outside", "doubtful" or "no verdict" of a verdict finding. */
const char *fw_report_verdict(const struct fw_report_entry *verdict);

/** "within, 99.4 % probable, 0.012 mm from the nearer limit"; in `buffer`. */
const char *fw_report_verdict_text(char *buffer, size_t size,
                                   const struct fw_report_entry *verdict);

/** What a grade says in words: "published standard", "common practice, no source" … */
const char *fw_report_grade_text(const char *grade);

#endif
