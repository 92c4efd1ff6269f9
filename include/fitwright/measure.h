/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file measure.h
 * A measurement: readings off one gauge combined into a quantity with its uncertainty budget.
 *
 * Type A (JCGM 100:2008, 4.2): mean of n readings, s/sqrt(n), n - 1 degrees of freedom, from two
 * readings up. Type B (4.3): resolution d as a rectangle of half-width d/2, u = d/sqrt(12), one for
 * the mean; the gauge's limit of error e as a rectangle of half-width e, u = e/sqrt(3), shared by all
 * that was measured with that gauge. The limit of a gauge such as a torque wrench grows with the
 * reading; it is taken at the mean.
 */
#ifndef FITWRIGHT_MEASURE_H
#define FITWRIGHT_MEASURE_H

#include <stddef.h>

#include "fitwright/quantity.h"

#ifdef __cplusplus
extern "C" {
#endif

struct fw_gauge {
	const char *name;         /**< "dial indicator"; names the shared source of uncertainty */
	double resolution;        /**< SI, > 0 */
	double error;             /**< limit of error, SI, >= 0 */
	struct fw_dimension dimension;
	const char *source;       /**< where the figures come from */
	double relative;          /**< share of the reading by which `error` grows, 0 when it doesn't */
};

/** Limit of error at a reading of `si`: error + relative · |si|. */
double fw_gauge_limit(const struct fw_gauge *gauge, double si);

/** Typical gauges of the bench, common practice, no source. NULL when not in the list. The figures of
 *  a name never change: jobs recorded with it are worked out again with them. */
const struct fw_gauge *fw_gauge_typical(const char *name);

/** The list itself. */
const struct fw_gauge *fw_gauges_typical(size_t *count);

/** Most readings in one measurement. */
#define FW_READINGS_MOST 64

/**
 * Mean of `count` (1..FW_READINGS_MOST) readings of one dimension, written in the first one's unit.
 * `label` names this measurement's own sources (repeatability, resolution), so give each measurement
 * its own ("float-on-trial#2"). `gauge` NULL: only type A. FW_ERR_ARGUMENT: no or too many readings,
 * no label, a gauge without usable figures; FW_ERR_DIMENSION: readings not alike, or not what the gauge
 * reads; FW_ERR_RANGE: too many sources (FW_TERMS), or no finite result.
 */
int fw_measure_combine(struct fw_quantity *out, const struct fw_quantity *readings, size_t count,
                       const struct fw_gauge *gauge, const char *label, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
