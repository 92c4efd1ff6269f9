/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file history.h  Checks over many jobs, collected. */
#ifndef FITWRIGHT_REPORT_HISTORY_H
#define FITWRIGHT_REPORT_HISTORY_H

#include "fitwright/control.h"
#include "fitwright/history.h"
#include "report/model.h"

/** One job's part in a check. SI; NAN where it wasn't checked. */
struct fw_history_point {
	int64_t job;
	char *unit; /**< on the bench */
	char began[11];
	double found, left, left_u;
	const char *found_verdict, *left_verdict; /**< "within" …; NULL where it wasn't checked */
	size_t checks, trials;
	bool released, conceded;
	unsigned marks; /**< enum fw_control_mark */
};

struct fw_history_check {
	char *title, *name;
	struct fw_report_quantity unit; /**< of the newest point; its symbol is of the table of units */
	struct fw_history_point *points;
	size_t count, room;
	double min, max, aim; /**< of the newest limits; NAN where open */
	bool limits_differ;   /**< between jobs */
	char *limits;         /**< the newest, as text */
	struct fw_control control; /**< count 0: too few values that were released */
	size_t within, outside, doubtful, conceded, trials, charted;
};

struct fw_history {
	const struct fw_history_filter *filter;
	struct fw_trail *trail;
	struct fw_history_check *checks;
	size_t count;
	size_t jobs; /**< that match, with such a check or without */
	struct fw_error *err;
};

int fw_history_collect(struct fw_history *out, struct fw_trail *trail,
                       const struct fw_history_filter *filter, struct fw_error *err);
void fw_history_free(struct fw_history *history);

/** Whether the point counts in the chart: released, with a value as left. */
bool fw_history_charted(const struct fw_history_point *point);
/** A value of the check in its unit, "0.096" to `decimals` that tell its points apart; "" for NAN. */
const char *fw_history_value(char *buffer, size_t size, const struct fw_history_check *check,
                             double si);
void fw_history_text(FILE *out, const struct fw_history *history);
int fw_history_json(FILE *out, const struct fw_history *history, struct fw_error *err);
int fw_history_svg(FILE *out, const struct fw_history_check *check, struct fw_error *err);

#endif
