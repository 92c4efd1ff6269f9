/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fit_table.h  The printed tables of ISO 286-1, in micrometres. */
#ifndef FITWRIGHT_SOLVE_FIT_TABLE_H
#define FITWRIGHT_SOLVE_FIT_TABLE_H

#include <stdbool.h>

#define FW_FIT_STEPS    13 /* main steps of nominal size */
#define FW_FIT_SUBSTEPS 25 /* with the intermediate ones */
#define FW_FIT_GRADES   20 /* IT01, IT0, IT1 … IT18 */

/* Upper ends of the steps, mm: a step goes over the one before and up to and including its own. */
extern const double fw_fit_steps[FW_FIT_STEPS];
extern const double fw_fit_substeps[FW_FIT_SUBSTEPS];

/* The standard tolerance, µm; `grade` from -1 (IT01) by 0 (IT0) to 18. */
double fw_fit_table_it(int step, int grade);

/* What a letter of a shaft is defined by. */
enum fw_fit_rule {
	FW_FIT_ABOVE, /* a to h: upper deviation, below the nominal size by the value */
	FW_FIT_BELOW, /* m to zc: lower deviation, above the nominal size by the value */
	FW_FIT_JS,    /* half the tolerance to either side */
	FW_FIT_J,
	FW_FIT_K
};

/* A letter, in small letters. */
struct fw_fit_letter {
	const char *name;
	enum fw_fit_rule rule;
};

/* The letter of that name, or NULL. */
const struct fw_fit_letter *fw_fit_letter(const char *name);

/* Value of a letter that has one, µm, positive; false where the standard prints none. */
bool fw_fit_value(double *out, const struct fw_fit_letter *letter, int step, int substep);

/* Lower deviation of shafts j (grades 5 to 8), upper deviation of holes J (6 to 8), lower deviation
 * of k in grades 4 to 7; false where the standard prints none. */
bool fw_fit_j_shaft(double *out, int step, int grade);
bool fw_fit_j_hole(double *out, int step, int grade);
double fw_fit_k_shaft(int step);

#endif
