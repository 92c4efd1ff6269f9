/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file fit.h
 * Limits and fits by ISO 286-1:2010, for nominal sizes up to 500 mm: standard tolerances IT01 to
 * IT18, shafts a to zc, holes A to ZC.
 *
 * The printed tables count, not the formulas they came from. A size on the boundary of two steps
 * belongs to the lower one ("over … up to and including"). Holes follow from the shafts:
 * - A to H: EI = -es of the same letter;
 * - K, M, N up to IT8 and P to ZC up to IT7, over 3 mm:
 *   ES = -ei + Δ, Δ = ITn - IT(n-1), IT3 to IT8;
 * - N above IT8, over 3 mm: ES = 0; M6 over 250 mm up to 315 mm: ES = -9 µm, as printed;
 * - the rest: ES = -ei.
 * js and JS lie exactly half to either side (the standard allows odd values of js7 to js11 to be
 * rounded down to whole micrometres; that is left to whoever draws).
 *
 * Not defined, and FW_ERR_RANGE: sizes of 0 or less and beyond 500 mm; a, b, A, B and IT14 to IT18
 * up to 1 mm, N above IT8 up to 1 mm (from memory); cd, ef, fg beyond 10 mm (the edition of 2010
 * goes on to 50 mm, that part is left out as no two sources at hand agree on it); t up to 24 mm, v
 * up to 14 mm, y up to 18 mm; j other than j5, j6, j7 (and j8 up to 3 mm), J other than J6, J7, J8;
 * K above IT8 beyond 3 mm; grades finer than IT3 where Δ is needed.
 *
 * Sizes and deviations in metres; grades as plain numbers, -1 for IT01. Sizes at 20 °C (ISO 1).
 */
#ifndef FITWRIGHT_FIT_H
#define FITWRIGHT_FIT_H

#include <stdbool.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Largest nominal size, m. */
#define FW_FIT_LARGEST 0.5
/** The finest grade, IT01, and the coarsest. */
#define FW_FIT_IT01       (-1)
#define FW_FIT_GRADE_MOST 18

/** A tolerance class: "H7", "js6". */
struct fw_fit_class {
	char letter[3]; /**< as written: capital for a hole */
	int grade;      /**< FW_FIT_IT01, 0 … FW_FIT_GRADE_MOST */
	bool hole;
};

/** What was written: "25 H7/g6", "25H7", "H7/g6", "g6". */
struct fw_fit_text {
	double size; /**< m; NAN when none was written */
	bool has_hole, has_shaft;
	struct fw_fit_class hole, shaft;
};

/** The zone in which a part must lie. */
struct fw_fit_zone {
	double lower, upper; /**< deviations from the nominal size (EI, ES or ei, es), m */
	double min, max;     /**< limits of size, m */
	double tolerance;    /**< upper - lower, m */
};

enum fw_fit_kind { FW_FIT_CLEARANCE, FW_FIT_TRANSITION, FW_FIT_INTERFERENCE };

/** A hole and a shaft of one nominal size. */
struct fw_fit {
	struct fw_fit_zone hole, shaft;
	double clearance_min, clearance_max; /**< m; negative: interference */
	enum fw_fit_kind kind; /**< clearance from 0 up; interference down from 0; else transition */
};

/** "clearance", "transition", "interference". */
const char *fw_fit_kind_name(enum fw_fit_kind kind);

/** Longest text that is read, in bytes. */
#define FW_FIT_TEXT 64

/** Reads "25 H7/g6", "25H7/g6", "Ø25 mm H7", "H7/g6", "g6", "25,4 js6"; sizes in millimetres, the
 * hole before the shaft. FW_ERR_INPUT says what was expected, and where; FW_ERR_ARGUMENT without
 * text or place. Whether the class exists at that size is for fw_fit_zone(). */
int fw_fit_parse(struct fw_fit_text *out, const char *text, struct fw_error *err);

/** Reads one class, "H7" or "g6". The same errors. */
int fw_fit_class_parse(struct fw_fit_class *out, const char *text, struct fw_error *err);

/** The standard tolerance ITn of a nominal size `size`, m. FW_ERR_RANGE outside the sizes and
 * grades above, FW_ERR_ARGUMENT for NaN and infinity. */
int fw_fit_tolerance(double *out, double size, int grade, struct fw_error *err);

/** Limits of one class. The same errors; FW_ERR_RANGE names the class and why it isn't defined
 * there. */
int fw_fit_zone(struct fw_fit_zone *out, double size, const struct fw_fit_class *part,
                struct fw_error *err);

/** Limits of both, the clearance and the kind of fit. */
int fw_fit_pair(struct fw_fit *out, double size, const struct fw_fit_class *hole,
                const struct fw_fit_class *shaft, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
