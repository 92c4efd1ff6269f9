/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file history.h
 * A check over all jobs of a kind: as found against as left, trials, concessions, and whether what is left
 * behind drifts (control.h). Drawn from the trail alone.
 */
#ifndef FITWRIGHT_HISTORY_H
#define FITWRIGHT_HISTORY_H

#include <stdio.h>

#include "fitwright/error.h"
#include "fitwright/trail.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Which jobs and checks; letters a to z alike whatever their case; NULL: all. */
struct fw_history_filter {
	const char *unit;      /**< part of the name of the unit on the bench */
	const char *procedure; /**< part of the procedure's title, or of its file's name */
	const char *check;     /**< part of the check's name; or all of it, when one has just that */
};

enum fw_history_format {
	FW_HISTORY_TEXT, /**< 80 columns */
	FW_HISTORY_JSON, /**< docs/report.md describes it */
	FW_HISTORY_SVG   /**< one chart, of one check */
};

/** Writes it to `out` (UTF-8). FW_ERR_NOT_FOUND: no job has such a check; FW_ERR_ARGUMENT: of the chart, several
 *  checks match, and the message names them; FW_ERR_RANGE: too few values for a chart. Else as
 *  fw_report_write(). */
int fw_history_write(FILE *out, struct fw_trail *trail, const struct fw_history_filter *filter,
                     enum fw_history_format format, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
