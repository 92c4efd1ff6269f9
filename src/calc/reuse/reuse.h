/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file reuse.h  Between the files of the calculator that hands parts round. */
#ifndef FITWRIGHT_CALC_REUSE_REUSE_H
#define FITWRIGHT_CALC_REUSE_REUSE_H

#include "calc/figure.h"
#include "fitwright/calc.h"
#include "fitwright/reuse.h"

/** An engine as it was typed. */
struct fw_bench {
	const struct fw_calc_values *in; /**< borrowed */
	struct fw_reuse reuse;           /**< its lists are the next three */
	struct fw_place *place;
	struct fw_part *part; /**< those that were in, by place, then the spares */
	size_t *owner;        /**< the place that a part was in; SIZE_MAX: a spare */
	size_t spares_from;   /**< parts before the first spare */
	struct fw_grade *grade;
	const struct fw_unit *unit, *fine; /**< for lengths, for uncertainties */
	bool exact;                        /**< no uncertainty was given anywhere */
};

/** Takes everything that was typed. On failure there is nothing to free. */
int fw_bench_take(struct fw_bench *out, const struct fw_calc_values *in, struct fw_error *err);
void fw_bench_free(struct fw_bench *bench);

/** The name of a place, borrowed. */
const char *fw_bench_name(const struct fw_bench *bench, size_t place);

/** Working, tables, results and warnings. FW_ERR_MEMORY. */
int fw_bench_put(struct fw_calc_out *out, const struct fw_bench *bench,
                 const struct fw_fitting *fitting, const struct fw_reuse_sum *sum,
                 struct fw_error *err);

#endif
