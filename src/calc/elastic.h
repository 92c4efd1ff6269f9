/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file elastic.h  How parts under pressure give way, by material: one table for all calculators.
 * What they grow by with heat stands in fitwright/thermal.h, under the same names. */
#ifndef FITWRIGHT_CALC_ELASTIC_H
#define FITWRIGHT_CALC_ELASTIC_H

struct fw_elastic {
	const char *name;
	double modulus; /**< Young's, Pa */
	double poisson;
};

/** As FW_CALC_CHOICE takes them, in the order of the table. */
#define FW_ELASTIC_CHOICES                                                                         \
	"steel|stainless|cast-iron|ductile-iron|aluminium|cast-aluminium|magnesium|bronze|brass"

/** The material of that choice, from 0. */
const struct fw_elastic *fw_elastic_at(int choice);

#endif
