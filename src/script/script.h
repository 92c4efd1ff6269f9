/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file script.h
 * A procedure at work: its text and its sheet go in, questions and findings come out.
 *
 * Nothing here remembers a job: the caller feeds answers, recorded or new, and takes the findings
 * as they are made. The same sources and the same answers give the same questions and findings.
 */
#ifndef FITWRIGHT_SCRIPT_SCRIPT_H
#define FITWRIGHT_SCRIPT_SCRIPT_H

#include <stddef.h>

#include <jansson.h>

#include "fitwright/error.h"
#include "fitwright/question.h"

struct fw_script; /* opaque */

/* A text with the name that messages show. Borrowed for the call. */
struct fw_script_text {
	const char *name; /* "end-float.lua" */
	const char *bytes;
	size_t size;
};

/* Where a script turns to. */
struct fw_script_host {
	void *context;
	/* Takes a finding (both borrowed). A failure ends the script with `err`, which nothing
	 * swallows. */
	int (*finding)(void *context, const char *step, const json_t *ask, const json_t *value,
	               struct fw_error *err);
	/* Gives the text of a module beside the procedure; `*bytes` is malloc'ed, freed by the script.
	 */
	int (*module)(void *context, const char *name, char **bytes, size_t *size,
	              struct fw_error *err);
	/* What the words mean: 1: no check stops, and there is no `hold`; 2: as docs/procedures.md has
	 * it. A job keeps the rules with which it began. */
	unsigned rules;
};

/* The rules of a job that begins now. */
#define FW_RULES 2

/* Loads procedure and sheet (NULL: none) and checks one against the other. FW_ERR_SCRIPT with
 * file:line. */
int fw_script_new(struct fw_script **out, const struct fw_script_text *procedure,
                  const struct fw_script_text *sheet, const struct fw_script_host *host,
                  struct fw_error *err);
void fw_script_free(struct fw_script *script); /* NULL is allowed */

/* The language and its release, "Lua 5.4.4": releases mended faults that could change a replay. */
const char *fw_script_language(void);

/* {"title", "phases": [text], "figures": [...]} as docs/trail.md has it. Borrowed. */
const json_t *fw_script_facts(const struct fw_script *script);

/* Runs to the first question, or to the end. */
int fw_script_start(struct fw_script *script, struct fw_error *err);

/* What is asked; NULL before the start and after the end. Borrowed until the next call. */
json_t *fw_script_question(const struct fw_script *script);

/* Hands over the answer to that question and runs on. `answer` is borrowed for the call. */
int fw_script_answer(struct fw_script *script, const struct fw_answer *answer,
                     struct fw_error *err);

#endif
