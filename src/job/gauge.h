/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file gauge.h
 * With which of the shop's gauges a reading is taken.
 *
 * The register is no input of a procedure: it is looked at when a reading is asked for, and what was
 * used is recorded with the answer. What was used last for a kind is taken from the answers met, so that
 * a job that is resumed goes on with it.
 */
#ifndef FITWRIGHT_JOB_GAUGE_H
#define FITWRIGHT_JOB_GAUGE_H

#include "fitwright/gauges.h"
#include "fitwright/measure.h"
#include "fitwright/question.h"
#include "shop/gauge_rule.h"

struct fw_job;

/* What is taken for one kind of gauge. */
struct fw_gauge_choice {
	char *kind;
	char *used;   /* id of the one that the last such reading was taken with, or NULL */
	char *chosen; /* what the person chose since: an id or "none"; or NULL */
};

struct fw_job_gauges {
	struct fw_shop_gauges shelf; /* the register as it was read last */
	bool read;
	struct fw_gauge_choice *choice;
	size_t choices;
	/* The last answer met, if it was a reading: which of how many of its measurement. */
	uint64_t step; /* name of its step as a number */
	unsigned number, of;
	int64_t entry; /* that gave its gauge's figures; 0: not of the register */
	char note[512];
};

void fw_job_gauges_clear(struct fw_job_gauges *gauges);
/* A run begins anew: what was used so far is to be met again. What was chosen stays. */
void fw_job_gauges_rewind(struct fw_job *job);
/* An answer, recorded or new, is about to be handed over. */
int fw_job_gauges_met(struct fw_job *job, const struct fw_question *question,
                      const struct fw_answer *answer, struct fw_error *err);
/* The gauge that goes into a new answer to the pending question, empty for none; borrowed until the register
 * is looked at again. FW_ERR_INPUT: none can be used as things stand; the message says what to do. */
int fw_job_gauges_take(struct fw_job *job, struct fw_answer_gauge *out, struct fw_error *err);

/* Between gauge.c and gauge_look.c. */
/* What is taken for a kind; NULL: nothing yet. */
struct fw_gauge_choice *fw_gauges_choice(const struct fw_job_gauges *gauges, const char *kind);
int fw_gauges_make_choice(struct fw_gauge_choice **out, struct fw_job_gauges *gauges,
                          const char *kind, struct fw_error *err);
/* Puts a copy of `text` in the place of what was there. */
int fw_gauges_keep_text(char **out, const char *text, struct fw_error *err);
/* Whether the pending question asks for a reading off a gauge at all. */
bool fw_gauges_asked(const struct fw_job *job);
/* Whether it goes on with a measurement that has begun. */
bool fw_gauges_goes_on(const struct fw_job *job);
/* Reads the register anew if something was recorded about it since. */
int fw_gauges_look_at_shelf(const struct fw_job *job, struct fw_error *err);
/* Whether the gauge could take the pending reading; and that of this id which could, or NULL. */
bool fw_gauges_fits(const struct fw_job *job, const struct fw_shop_gauge *gauge);
const struct fw_shop_gauge *fw_gauges_find(const struct fw_job *job, const char *id);

#endif
