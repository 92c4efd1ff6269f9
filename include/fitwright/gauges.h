/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file gauges.h
 * The shop's gauges: each with its own number, what it reads to, when it was calibrated and is due.
 *
 * The register is folded out of the shop's log (job 0 of the trail), in which nothing is changed: a new
 * calibration is a new entry. A reading records its gauge as it was then.
 */
#ifndef FITWRIGHT_GAUGES_H
#define FITWRIGHT_GAUGES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/error.h"
#include "fitwright/trail.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A gauge on the shelf, as its last entry in the log has it. */
struct fw_shop_gauge {
	char *id;          /**< the shop's own number, "DI-2" */
	char *kind;        /**< "dial indicator": what a procedure asks for */
	double resolution; /**< SI, > 0 */
	double error;      /**< limit of error, SI, >= 0 */
	char *unit;        /**< in which both were written; it carries the dimension */
	char *calibrated;  /**< "2026-03-01"; or NULL: not known */
	char *due;         /**< last day on which it may be used; or NULL: none set */
	char *source;      /**< where the figures come from: "certificate 118/26" */
	char *bad_from;    /**< found bad: from this day on nothing it read is to be trusted; or NULL */
	char *retired;     /**< day on which it was taken out of use; or NULL */
	int64_t entry;     /**< of the shop's log, its last */
};

struct fw_shop_gauges {
	struct fw_shop_gauge *list; /**< sorted by id */
	size_t count;
};

/** Reads the register out of the shop's log. FW_ERR_TRAIL names the entry that can't be read. */
int fw_shop_gauges_read(struct fw_shop_gauges *out, struct fw_trail *trail, struct fw_error *err);
void fw_shop_gauges_free(struct fw_shop_gauges *gauges);
/** By id, letters alike whatever their case; NULL: none. */
const struct fw_shop_gauge *fw_shop_gauge_find(const struct fw_shop_gauges *gauges, const char *id);

/** Whether it may be used on the day of `at`; else why not, in a few words ("overdue since 2026-09-01",
 *  "found bad from …", "retired …"), into `why`. */
bool fw_shop_gauge_usable(const struct fw_shop_gauge *gauge, const char *at, char *why, size_t size);

/** Records a gauge: a new one, or new figures and a new calibration for one that is there. Only the
 *  fields of the file are taken; `entry` is ignored. FW_ERR_ARGUMENT names the field. `at` NULL: now. */
int fw_shop_gauge_record(struct fw_trail *trail, const struct fw_shop_gauge *gauge, const char *by,
                         const char *at, struct fw_error *err);
/** Found bad, from a day on. */
int fw_shop_gauge_bad(struct fw_trail *trail, const char *id, const char *from, const char *reason,
                      const char *by, const char *at, struct fw_error *err);
int fw_shop_gauge_retire(struct fw_trail *trail, const char *id, const char *reason, const char *by,
                         const char *at, struct fw_error *err);

/** A reading that a gauge took. Strings are borrowed for the call. */
struct fw_gauge_use {
	int64_t job, seq;
	const char *unit_on_bench; /**< of the job */
	const char *at, *who, *step, *item, *typed;
	bool struck;               /**< it doesn't stand any more */
	bool released;             /**< its job is */
};
/** Calls `visit` for every reading taken with the gauge `id` from the day `from` (NULL: ever) on, in the
 *  order of jobs and entries. A return other than 0 ends it and is returned. */
int fw_shop_gauge_uses(struct fw_trail *trail, const char *id, const char *from,
                       int (*visit)(void *context, const struct fw_gauge_use *use), void *context,
                       struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
