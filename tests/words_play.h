/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file words_play.h  Small procedures given as strings, played with a list of answers, all they
 * ask and find kept. */
#ifndef FITWRIGHT_TESTS_WORDS_PLAY_H
#define FITWRIGHT_TESTS_WORDS_PLAY_H

#include <stdbool.h>
#include <stdio.h>

#include "check.h"

/* The line of `run` is 1, so the first line of the body is 2. */
#define RUN(body)                                                                                  \
	"return procedure { title = 'T', phases = { 'P', 'Q' }, run = function(sheet)\n" body "\nend " \
	                                                                                      "}"
/* The same with figures asked for. */
#define RUN_WITH(figures, body)                                                                    \
	"return procedure { title = 'T', phases = { 'P', 'Q' }, sheet = { " figures                    \
	" }, run = function(sheet)\n" body "\nend }"

struct play_module {
	const char *name, *text;
};

struct play {
	const struct play_module *modules; /* ends with a NULL name; NULL: none */
	unsigned rules;                    /* 0: those of a job that begins now */
	/* Filled in: */
	int code;
	struct fw_error error;
	bool ended;   /* the procedure came to its end */
	size_t given; /* answers taken */
	char *log; /* JSON of each question and finding in order, a line each: "? …", "! ask value" */
	size_t size;
	FILE *out;
};

/* Plays `procedure` ("p.lua") with `sheet` ("s.lua", or NULL) and answers separated by '|' (NULL:
 * none). Stops at the first question without an answer. Free with play_free(). */
void play_run(struct play *play, const char *procedure, const char *sheet, const char *answers);
void play_free(struct play *play);

/* Must come to the end, or to a question after the last answer when `waits`. Log is left for the
 * caller. */
void play_well(struct play *play, const char *procedure, const char *sheet, const char *answers);
/* Comes to its end, the log holding each of `parts` (separated by '|') in that order. */
void play_holds(const char *procedure, const char *answers, const char *parts);
/* Must fail with FW_ERR_SCRIPT and a message that contains all of `parts`, separated by '|'. */
void play_badly(const char *procedure, const char *sheet, const char *answers, const char *parts);

#endif
