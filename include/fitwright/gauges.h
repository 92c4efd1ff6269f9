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
	double relative;   /**< share of the reading by which that limit grows, 0 to 1: a torque wrench's 0.04 */
	char *unit;        /**< in which both were written; it carries the dimension */
	char *calibrated;  /**< "2026-03-01"; or NULL: not known */
	char *due;         /**< last day on which it may be used; or NULL: none set */
	char *source;      /**< where the figures come from: "certificate 118/26" */
	char *bad_from;    /**< found bad: from this day on nothing it read is to be trusted; or NULL */
	char *retired;     /**< day on which it was taken out of use; or NULL */
	int64_t entry;     /**< of the shop's log: the last that gave its figures */
};

/** A gauge was found bad, once. */
struct fw_gauge_bad {
	char *id, *from, *reason;
	int64_t entry;     /**< of the shop's log; figures of a later entry are those after a repair */
};

struct fw_shop_gauges {
	struct fw_shop_gauge *list; /**< as they are now, sorted by id */
	size_t count;
	struct fw_shop_gauge *past; /**< every entry that gave figures, oldest first */
	size_t pasts;
	struct fw_gauge_bad *bad;   /**< every time that one was found bad, oldest first */
	size_t bads;
	int64_t entries;            /**< of the shop's log that were read */
};

/** Reads the register out of the shop's log. FW_ERR_TRAIL names the entry that can't be read. */
int fw_shop_gauges_read(struct fw_shop_gauges *out, struct fw_trail *trail, struct fw_error *err);
void fw_shop_gauges_free(struct fw_shop_gauges *gauges);
/** By id, letters alike whatever their case; NULL: none. */
const struct fw_shop_gauge *fw_shop_gauge_find(const struct fw_shop_gauges *gauges, const char *id);
/** As entry `entry` of the shop's log gave it; NULL: that entry isn't one that does. */
const struct fw_shop_gauge *fw_shop_gauge_at(const struct fw_shop_gauges *gauges, int64_t entry);
/** When it was found, after the figures that entry `entry` gave, that what the gauge `id` read on the day of `at`
 *  isn't to be trusted: the last finding of that kind; NULL: never. */
const struct fw_gauge_bad *fw_shop_gauge_distrusted(const struct fw_shop_gauges *gauges, const char *id,
                                                    int64_t entry, const char *at);

/** Whether it is good to be used on the day of `at`; else why not, in a few words ("overdue since 2026-09-01",
 *  "found bad from …", "retired …"), into `why` (may be NULL). Days are those of `at`: UTC. */
bool fw_shop_gauge_usable(const struct fw_shop_gauge *gauge, const char *at, char *why, size_t size);
/** Whether it was found bad or retired by the day of `at`: what it reads isn't taken, while one that is only
 *  overdue is recorded as such. `why` as above. */
bool fw_shop_gauge_barred(const struct fw_shop_gauge *gauge, const char *at, char *why, size_t size);

/** Longest id and kind, in bytes. An id has letters, digits, '-', '_' and '.'. */
#define FW_GAUGE_ID_MOST 40
#define FW_GAUGE_KIND_MOST 60

/** Records a gauge: a new one, or new figures and a new calibration for one that is there. `bad_from`, `retired`
 *  and `entry` are ignored. FW_ERR_ARGUMENT names the field; FW_ERR_STATE: it was retired, or is of another kind.
 *  `at` NULL: now. `by` is who records it. */
int fw_shop_gauge_record(struct fw_trail *trail, const struct fw_shop_gauge *gauge, const char *by,
                         const char *at, struct fw_error *err);
/** Found bad, from a day on that isn't to come. FW_ERR_NOT_FOUND: no such gauge. */
int fw_shop_gauge_bad(struct fw_trail *trail, const char *id, const char *from, const char *reason,
                      const char *by, const char *at, struct fw_error *err);
/** Taken out of use; its number isn't given again. FW_ERR_NOT_FOUND; FW_ERR_STATE: it was already. */
int fw_shop_gauge_retire(struct fw_trail *trail, const char *id, const char *reason, const char *by,
                         const char *at, struct fw_error *err);

/** A reading that a gauge took, or a check that rests on such readings. Strings are borrowed for the call. */
struct fw_gauge_use {
	int64_t job, seq;
	const char *unit_on_bench; /**< of the job */
	const char *at, *who, *step;
	const char *item, *typed;  /**< of a reading; item or NULL */
	const char *check;         /**< name of a check; NULL: it is a reading */
	const char *verdict;       /**< of a check */
	bool struck;               /**< it doesn't stand any more */
	bool released;             /**< its job is */
};
/** Calls `visit` for every reading taken with the gauge `id` from the day `from` (NULL: ever) on, and for every
 *  check that rests on one of it, in the order of jobs and entries. A return other than 0 ends it and is returned. */
int fw_shop_gauge_uses(struct fw_trail *trail, const char *id, const char *from,
                       int (*visit)(void *context, const struct fw_gauge_use *use), void *context,
                       struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
