/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file writers.h  One function a format. What they write to is looked at for failure by the
 * caller. */
#ifndef FITWRIGHT_REPORT_WRITERS_H
#define FITWRIGHT_REPORT_WRITERS_H

#include <stdio.h>

#include "fitwright/report.h"
#include "report/model.h"
#include "report/outcome.h"

void fw_report_html(FILE *out, const struct fw_report_job *job,
                    const struct fw_report_outcome *outcome,
                    const struct fw_report_options *options);
int fw_report_json(FILE *out, const struct fw_report_job *job,
                   const struct fw_report_outcome *outcome, struct fw_error *err);
void fw_report_answers_file(FILE *out, const struct fw_report_job *job);
void fw_report_text(FILE *out, const struct fw_report_job *job,
                    const struct fw_report_outcome *outcome);

#endif
