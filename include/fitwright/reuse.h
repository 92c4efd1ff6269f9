/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file reuse.h
 * Graded parts handed round: which of the old ones goes where, and which are bought.
 *
 * Valve shims, bearing shells, thrust washers: at each place a clearance depends on the size of one
 * part, and what doesn't fit at its own place may do at another:
 *
 *     clearance = found + factor · (size of the part that was in - size of the part that goes in)
 *     clearance = found - factor · size, where `found` was measured with no part in
 *
 * factor 1: a shim between tappet and cam; 2: a pair of bearing shells of one size, where bare
 * found = bore - journal. Plain geometry; parts are rigid and clearance doesn't act back on size.
 *
 * Each place gets one part, each old part goes in once, of each grade no more are bought than the
 * shelf holds. Among all ways to do it the best is found, exactly:
 *   1. the fewest places left out;
 *   2. of those, the fewest parts bought;
 *   3. of those, the least sum of |clearance - aim|, each in whole nanometres;
 *   4. of those, place by place in the order given: its own part, else the first old part in the
 *      order given, else the smallest grade.
 * The order of the shelf does not matter.
 *
 * A part serves a place only if the clearance it gives would be judged `within` there: the
 * probability that the true clearance lies in the limits (conform.h, normal) is at least `asked`.
 * The uncertainties of the clearance found and of the sizes are taken as independent, which is on
 * the safe side where sizes were taken with one micrometer. A part that stays at its place changes
 * nothing: there only the clearance found counts, with its own uncertainty.
 *
 * Method: one linear assignment (assign.h) in integers. With n places and no deviation above D
 * (nm), a bought part costs B = n·D + 1 and a place left out L = (n + 1)·B: no sum of deviations
 * outweighs one part bought, none of parts bought one place left out. (n + 1)·L must not
 * exceed FW_ASSIGN_WHOLE = 2^55: so D may be 7 km with 16 places, and 4.5 mm with 2000.
 *
 * All lengths in metres.
 */
#ifndef FITWRIGHT_REUSE_H
#define FITWRIGHT_REUSE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/conform.h"
#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The place was measured with no part in. */
#define FW_PLACE_BARE SIZE_MAX

/** One place. */
struct fw_place {
	double found;  /**< clearance measured there, m */
	double u;      /**< its standard uncertainty, m, >= 0 */
	size_t own;    /**< which old part was in when it was measured, or FW_PLACE_BARE */
	double factor; /**< by what the clearance falls for each metre of size; above 0, at most 10 */
	struct fw_limits limits; /**< of the clearance */
};

/** One old part, as measured at the bench. */
struct fw_part {
	double size; /**< m, > 0 */
	double u;    /**< its standard uncertainty, m, >= 0 */
};

/** As many as asked for. */
#define FW_GRADE_ENDLESS UINT32_MAX

/** One grade of new parts. */
struct fw_grade {
	double size;    /**< m, > 0 */
	uint32_t count; /**< pieces on the shelf, 0 too, or FW_GRADE_ENDLESS */
};

/** What there is to do. All borrowed. */
struct fw_reuse {
	const struct fw_place *place;
	size_t places;
	const struct fw_part *part; /**< may be NULL with 0 parts */
	size_t parts;
	const struct fw_grade *grade; /**< may be NULL with 0 grades: then nothing can be bought */
	size_t grades;
	double grade_u; /**< standard uncertainty of a new part's size, m, >= 0 */
	double asked;   /**< in (0.5, 1), normally FW_CONFORMANCE */
};

/** Longest size, clearance and limit, m. Beyond: FW_ERR_ARGUMENT, as it can only be a slip of
 * units. */
#define FW_REUSE_LONGEST 10.0

/** Most parts, most grades; and most pairs, places · (places + parts + pieces), where pieces are
 *  those of counted grades that may be worth fitting somewhere. So most places, with nothing else.
 *  Beyond: FW_ERR_RANGE. */
#define FW_REUSE_ITEMS  1000000
#define FW_REUSE_PAIRS  64000000
#define FW_REUSE_PLACES 8000

/** Where the part for a place comes from. */
enum fw_source { FW_FROM_OWN, FW_FROM_OLD, FW_FROM_SHELF, FW_FROM_NOWHERE };

/** "own part", "old part", "new", "left out". */
const char *fw_source_text(enum fw_source source);

/** What goes in at one place. */
struct fw_fitting {
	enum fw_source from;
	size_t index;       /**< of the part or grade; SIZE_MAX when left out */
	double size;        /**< m; NAN when left out, as the next three */
	double clearance;   /**< as it will be, m */
	double u;           /**< its standard uncertainty, m */
	double probability; /**< that it lies in its limits */
	double wanted;      /**< the size that would give the aim, m; may be negative: no part does */
	bool uncertain;     /**< no size whatever could be judged within: measure better */
};

/** All places together. */
struct fw_reuse_sum {
	size_t left_out, bought, moved, kept; /**< together the number of places */
	double deviation;                     /**< sum of |clearance - aim| of those not left out, m */
};

/**
 * Works it out; `out` has room for `places`, `sum` may be NULL. On failure neither is written.
 *
 * A place that nothing serves is no failure: it comes out as FW_FROM_NOWHERE.
 *
 * Errors, each naming the place, part or grade counted from 1: FW_ERR_ARGUMENT for what is NaN,
 * infinite, of the wrong sign or too long, for limits that are crossed, for two places with one own
 * part, two grades of one size (to a nanometre); FW_ERR_RANGE beyond the limits above, and where
 * the weights (see above) would not be exact; FW_ERR_MEMORY.
 */
int fw_reuse(struct fw_fitting *out, struct fw_reuse_sum *sum, const struct fw_reuse *reuse,
             struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
