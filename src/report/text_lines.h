/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file text_lines.h  Plain lines of at most 80 columns, and the parts of the page made of them.
 */
#ifndef FITWRIGHT_REPORT_TEXT_LINES_H
#define FITWRIGHT_REPORT_TEXT_LINES_H

#include <stdio.h>

#include "report/outcome.h"

/** `label` at `indent`, the text from `hang` on, wrapped. A label that is too long takes its own
 * line; nothing when the text is NULL or empty. */
void fw_lines_wrapped(FILE *out, size_t indent, const char *label, size_t hang, const char *text);
void fw_lines_fact(FILE *out, const char *label, const char *text);
void fw_lines_heading(FILE *out, const char *heading);

void fw_lines_people(FILE *out, const struct fw_report_job *job,
                     const struct fw_report_outcome *outcome);
void fw_lines_outcome(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_outcome *outcome);
void fw_lines_joints(FILE *out, const struct fw_report_job *job);
void fw_lines_gauges(FILE *out, const struct fw_report_outcome *outcome);

#endif
