/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file gauge.h  What the readings were taken with. */
#ifndef FITWRIGHT_REPORT_GAUGE_H
#define FITWRIGHT_REPORT_GAUGE_H

#include "report/model.h"

/** A gauge as it was when it read, and how often it did. */
struct fw_report_gauge {
	const json_t *gauge;   /**< of the reading; NULL: a typical one, described by `typical` */
	const json_t *typical; /**< of a measurement; NULL: nothing is known but its kind */
	const char *kind;      /**< never NULL */
	size_t readings;       /**< that stand */
	size_t overdue;        /**< of these, taken after it was due */
	size_t bad;            /**< of these, taken on or after the day from which it was found bad */
};

struct fw_report_gauges {
	struct fw_report_gauge *list;
	size_t count;
	size_t more;                  /**< readings of further ones, where there are very many */
	size_t overdue, bad, typical; /**< readings */
};

int fw_report_gauges(struct fw_report_gauges *out, const struct fw_report_job *job,
                     struct fw_error *err);
void fw_report_gauges_free(struct fw_report_gauges *gauges);

/** Whether the reading was taken after its gauge was due. */
bool fw_report_overdue(const struct fw_report_entry *reading);
/** The gauge's facts as words, "" when it doesn't say. */
const char *fw_report_gauge_fact(char *buffer, size_t size, const struct fw_report_gauge *gauge,
                                 const char *key);
/** "DI-2, calibrated 2026-03-01, due 2027-03-01" of a reading; "" when it names none. */
const char *fw_report_reading_gauge(char *buffer, size_t size,
                                    const struct fw_report_entry *reading);
/** "limits 8 times the gauges' error, 3 steps of their scale wide: too coarse"; "" when a verdict
 * says nothing of it. Under four times, or ten steps, is too coarse (common practice, no source).
 */
const char *fw_report_ratio_text(char *buffer, size_t size, const struct fw_report_entry *verdict);
bool fw_report_too_coarse(const struct fw_report_entry *verdict);

#endif
