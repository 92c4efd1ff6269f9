/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file strip.h
 * Stripping: what the engaged threads of a bolt and of the part it is screwed into can bear, and
 * how far in the bolt must go to break before they strip.
 *
 * Least shear areas for a length of engagement Le (ASME B1.1, appendix B, which is FED-STD-H28's):
 *     bolt:   pi·Le·D1max/P · [ P/2 + (d2min - D1max)/sqrt 3 ]
 *     parent: pi·Le·dmin/P  · [ P/2 + (dmin - D2max)/sqrt 3 ]
 * They are those of the geometry: threads bend apart and share their load unevenly, so what strips
 * them in practice may be a tenth less. Inserts of wound wire are left out: they strip by their own
 * outer thread. SI throughout.
 */
#ifndef FITWRIGHT_STRIP_H
#define FITWRIGHT_STRIP_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"
#include "fitwright/joint.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Shear strength of a bolt's thread over its tensile strength. Common practice, and VDI 2230's
 * least value, that of class 12.9 (from memory). */
#define FW_BOLT_SHEAR_RATIO 0.6

/** Longest engagement that is counted, in diameters: threads further in carry next to nothing.
 *  Common practice, no source. */
#define FW_ENGAGEMENT_MOST 3.0

/** What a joint should keep between its highest preload and the load that strips it. Common
 * practice, no source: the uneven load above, and the scatter of castings. */
#define FW_STRIP_MARGIN 1.25

/** A material that bolts are screwed into. Typical values of weak sorts, for want of better: they
 * vary with alloy, temper and the thickness of a casting. */
struct fw_parent {
	const char *name;   /**< "cast aluminium" */
	double shear;       /**< shear strength, Pa */
	const char *source; /**< where that comes from */
};

/** All of them; `*count` gets their number. The table is static. */
const struct fw_parent *fw_parents(size_t *count);

/** The one of that name; FW_ERR_INPUT lists the names. */
int fw_parent_find(const struct fw_parent **out, const char *name, struct fw_error *err);

struct fw_strip_case {
	struct fw_thread thread;
	double engagement;   /**< length of full threads engaged, m: a pitch to FW_ENGAGEMENT_MOST */
	double parent_shear; /**< shear strength of the parent, Pa */
	double bolt_tensile; /**< tensile strength of the bolt, Pa; 0: unknown */
};

struct fw_strip {
	double bolt_area, parent_area; /**< least shear areas, m² */
	double bolt_load;              /**< N that strips the bolt's thread, NAN when unknown */
	double parent_load;            /**< N that strips the parent's */
	double load;                   /**< the lesser */
	bool parent_first;             /**< the parent strips first (or the bolt is unknown) */
	double break_load;             /**< N that breaks the bolt, NAN when unknown */
	double engagement_needed;      /**< m at which the bolt breaks first; NAN when unknown */
};

/** Works a case out. FW_ERR_ARGUMENT names what isn't finite and above zero; FW_ERR_RANGE for an
 *  engagement outside what is said above, for a thread without limits (fw_thread_limits()), and for
 *  a load that is no finite number. */
int fw_strip_work(struct fw_strip *out, const struct fw_strip_case *in, struct fw_error *err);

/** Shortest engagement (m) of a bolt in a part of the same strength: 2·At over the bolt's shear
 * area for each unit of length (FED-STD-H28/2). The errors of fw_thread_limits(). */
int fw_engagement_equal(double *out, const struct fw_thread *thread, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
