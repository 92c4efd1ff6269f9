/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file html.h  The parts of the page, in the order in which they stand on it. */
#ifndef FITWRIGHT_REPORT_HTML_H
#define FITWRIGHT_REPORT_HTML_H

#include <stdio.h>

#include "fitwright/report.h"
#include "report/model.h"
#include "report/outcome.h"

void fw_html_style(FILE *out);
/** For a figure that is a file of its own. */
void fw_html_svg_style(FILE *out);

void fw_html_title(FILE *out, const struct fw_report_job *job,
                   const struct fw_report_outcome *outcome);
void fw_html_outcome(FILE *out, const struct fw_report_job *job,
                     const struct fw_report_outcome *outcome);
/** The boxes of the concessions, within the outcome. */
void fw_html_concessions(FILE *out, const struct fw_report_job *job,
                         const struct fw_report_outcome *outcome);
void fw_html_signatures(FILE *out, const struct fw_report_job *job,
                        const struct fw_report_outcome *outcome);

void fw_html_trials(FILE *out, const struct fw_report_job *job);
void fw_html_parts(FILE *out, const struct fw_report_job *job);
void fw_html_joints(FILE *out, const struct fw_report_job *job);
void fw_html_grids(FILE *out, const struct fw_report_job *job);
void fw_html_worked(FILE *out, const struct fw_report_job *job);
void fw_html_notes(FILE *out, const struct fw_report_job *job);
void fw_html_gauges(FILE *out, const struct fw_report_outcome *outcome);
void fw_html_measurements(FILE *out, const struct fw_report_job *job);

void fw_html_evidence(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_options *options);

void fw_html_log(FILE *out, const struct fw_report_job *job);
void fw_html_sources(FILE *out, const struct fw_report_job *job);

/** Opens `<section>` with a heading; close it with fw_html_close(). */
void fw_html_section(FILE *out, const char *heading);
void fw_html_close(FILE *out);
/** A row of a definition list; nothing when `text` is NULL or empty. */
void fw_html_fact(FILE *out, const char *name, const char *text);
/** ` class="long"` for text with a word too long for a column, else "". */
const char *fw_html_long(const char *text);
/** A table cell `<td>` with the name of its column for narrow screens. */
void fw_html_open_cell(FILE *out, const char *column,
                       const char *text); /* text: what it will hold */
void fw_html_cell(FILE *out, const char *column, const char *text);
void fw_html_quantity(FILE *out, const char *column, const json_t *quantity);
/** Opens a table with these columns (NULL-terminated) as far as its body; close with fw_html_end().
 */
void fw_html_table(FILE *out, const char *class, const char *const *columns);
void fw_html_end(FILE *out);
/** A word in a frame whose shape depends on it: "within", "outside", "doubtful", "surprise". */
void fw_html_tag(FILE *out, const char *word);
/** Hex in groups of eight. */
void fw_html_hash(FILE *out, const char *hex);
/** "maker's data: workshop leaflet of the invented works". */
void fw_html_source(FILE *out, const json_t *source);

#endif
