/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file json.h  Questions, answers and quantities as JSON, in the shapes of docs/trail.md. */
#ifndef FITWRIGHT_SCRIPT_JSON_H
#define FITWRIGHT_SCRIPT_JSON_H

#include <stdbool.h>

#include <jansson.h>

#include "fitwright/question.h"

/* A quantity; NULL when out of memory. */
json_t *fw_json_quantity(const struct fw_quantity *q);
/* fw_quantity_of() and fw_quantity_span() in one go. */
json_t *fw_json_of(double si, const struct fw_unit *unit);
json_t *fw_json_span(double si, const struct fw_unit *unit);

/* Reads one back, value and unit only: recorded readings carry no uncertainty of their own. False
 * when it isn't one. */
bool fw_json_quantity_read(struct fw_quantity *out, const json_t *json);

/* A question with the storage behind it. Zero-initialise; fw_question_view_set() takes a reference.
 */
struct fw_question_view {
	struct fw_question question;
	json_t *json;
	const char **options;
	unsigned *order;
};

/* Makes the view show `json`. FW_ERR_TRAIL when it isn't a question, FW_ERR_MEMORY. */
int fw_question_view_set(struct fw_question_view *view, json_t *json, struct fw_error *err);
void fw_question_view_clear(struct fw_question_view *view);

/* The answer as the trail keeps it; `confirmed` adds that mark. NULL when out of memory. */
json_t *fw_json_answer(const struct fw_answer *answer, bool confirmed);

/* Reads a recorded answer to `question`. Text is borrowed from `json`. False when it doesn't fit.
 */
bool fw_json_answer_read(struct fw_answer *out, const struct fw_question *question,
                         const json_t *json);

/* Reads the gauge of a recorded answer; one without has an empty one. False when it isn't a gauge. */
bool fw_json_answer_gauge(struct fw_answer_gauge *out, const json_t *answer);

/* Compact text, reals with 17 digits so that they read back as the same doubles. malloc'ed. */
char *fw_json_text(const json_t *json);

/* Whether `text` (NULL: no) is what fw_json_text() makes of `json`, save that a real may be written in other digits
 * that read as the same double. Quick; false where it can't tell: then read the text and compare. */
bool fw_json_reads(const json_t *json, const char *text);

/* The same structure, strings and whole numbers alike, reals within `tolerance` (relative). A key
 * "text" repeats in words what its neighbours hold in numbers, so it may read otherwise, but only
 * where some real differs in its last digits, and then by no more than the last place of the
 * figures in it. */
bool fw_json_alike(const json_t *a, const json_t *b, double tolerance);

#endif
