/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file question.h
 * What a procedure asks of the technician, and what comes back.
 *
 * A question is what a face needs to show and what the engine needs to accept an answer. All strings
 * are UTF-8 and borrowed from the object that handed the question out, until its next call.
 */
#ifndef FITWRIGHT_QUESTION_H
#define FITWRIGHT_QUESTION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/quantity.h"

#ifdef __cplusplus
extern "C" {
#endif

enum fw_ask {
	FW_ASK_DONE,     /**< do it, then say so: an empty line, "done", "yes", "ok" */
	FW_ASK_QUANTITY, /**< a number with a unit */
	FW_ASK_CHOICE,   /**< one of the options, by its text, a clear beginning of it, or its number */
	FW_ASK_TEXT,     /**< words; empty only if `optional` */
	FW_ASK_SIGN      /**< the signer's name, typed in full */
};

/** "done", "quantity", "choice", "text", "sign". */
const char *fw_ask_name(enum fw_ask ask);

struct fw_question {
	enum fw_ask ask;
	const char *word;    /**< the procedure's word: "measure", "task", "grid" … */
	const char *step;    /**< id of the step, "float-on-trial" */
	const char *item;    /**< which part of the step, "reading 2 of 3", "third gear, drive"; or NULL */
	const char *phase;   /**< "Fit-up"; NULL before the first */
	unsigned phase_number, phase_count; /**< 4 of 6; 0 before the first */
	unsigned round;      /**< how often this step and item came up before in this job, from 0 */
	const char *say;     /**< what to do */
	const char *caution; /**< or NULL */
	const char *help;    /**< more, shown on demand; or NULL */
	bool optional;       /**< an empty text is an answer */
	const struct fw_unit *unit; /**< FW_ASK_QUANTITY: unit of a bare number */
	double low, high;    /**< plausible range in SI, -INFINITY and INFINITY when open */
	const char *gauge;   /**< kind of gauge, or NULL */
	double width;        /**< FW_ASK_QUANTITY: width of the limits the reading is for, SI; 0: not known, or open */
	const char *const *options; /**< FW_ASK_CHOICE */
	size_t option_count;
	const char *role;    /**< FW_ASK_SIGN: "technician" */
	const char *meaning; /**< FW_ASK_SIGN: what the signature says */
	const char *purpose; /**< FW_ASK_SIGN: "sign", "hold", "concession" */
	const char *reason;  /**< FW_ASK_SIGN: of a concession; or NULL */
	const unsigned *order; /**< tighten: order of the bolts in this pass; or NULL */
	size_t order_count;
	size_t columns; /**< tighten: bolts in a row, numbered along the rows; 0: round a circle */
};

/** The gauge that a reading was taken with, as the shop's register had it then. Strings are borrowed. */
struct fw_answer_gauge {
	const char *id;            /**< NULL: none of the register */
	const char *kind;          /**< "dial indicator" */
	double resolution, error;  /**< SI; limits of error as in struct fw_gauge */
	double relative;
	const struct fw_unit *unit; /**< in which both are written */
	const char *calibrated, *due, *source; /**< or NULL */
	int64_t entry;             /**< of the shop's log, that gave these figures */
};

/** An answer as accepted. */
struct fw_answer {
	enum fw_ask ask;
	struct fw_quantity quantity; /**< FW_ASK_QUANTITY */
	struct fw_answer_gauge gauge; /**< FW_ASK_QUANTITY; fw_answer_read() leaves it empty */
	size_t option;               /**< FW_ASK_CHOICE: index from 0 */
	const char *text;            /**< FW_ASK_CHOICE: the option; TEXT and SIGN: the words */
};

/**
 * Reads what was typed as an answer to `question`. Text points into `typed` trimmed by copy in
 * `buffer` of `size`. FW_ERR_INPUT or FW_ERR_DIMENSION with what is expected;
 * FW_ERR_IMPLAUSIBLE when a reading lies outside the plausible range and `confirmed` is false, the
 * message naming the likely slip.
 */
int fw_answer_read(struct fw_answer *out, const struct fw_question *question, const char *typed,
                   bool confirmed, char *buffer, size_t size, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
