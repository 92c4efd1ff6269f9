/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file thermal.h
 * What heat does to a gap, and to a fit.
 *
 *     gap(hot) = gap(cold) + Σ c_i · L_i · α_i · (hot_i - cold_i)
 *
 * over the links of a chain (c_i = +1 for a part that opens the gap when it grows, as the case, -1
 * for one that closes it, as the shaft in it). α is the mean coefficient of linear expansion. Parts
 * are free to grow, each is at one temperature, and nothing creeps or takes up load: a gap that
 * comes out negative means that the parts jam, not by how much they give way.
 *
 * Temperatures are in kelvins, lengths in metres, coefficients per kelvin. All figures finite.
 */
#ifndef FITWRIGHT_THERMAL_H
#define FITWRIGHT_THERMAL_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The range in which mean coefficients are used here: -60 °C to 300 °C. Outside: FW_ERR_RANGE. */
#define FW_THERMAL_COLDEST 213.15
#define FW_THERMAL_HOTTEST 573.15

/** A material of the table. */
struct fw_material {
	const char *name;   /**< "steel", "cast-aluminium" … */
	const char *grades; /**< what is taken together under it */
	double alpha;       /**< mean coefficient near room temperature to 100 °C, 1/K */
	double half;        /**< half the width, 1/K, within which the grades lie */
	const char *source;
};

/** All materials, in a fixed order; `*count` gets their number. The table is static. */
const struct fw_material *fw_materials(size_t *count);

/** The material of that name, or FW_ERR_INPUT that lists them. `*out` is borrowed. */
int fw_material_find(const struct fw_material **out, const char *name, struct fw_error *err);

/** By how much the mean coefficient of a metal may be off, as a share for each kelvin that the
 * middle of the two temperatures is from 60 °C. EN 1993-1-2:2005, 3.4.1.1 gives 6.4e-4 for carbon
 * steel, EN 1999-1-2:2007, 3.3.1.1 (from memory) 8.4e-4 for aluminium; not corrected for, but
 * counted in the uncertainty. */
#define FW_THERMAL_DRIFT 8.5e-4

/** The mean coefficient of a material between two temperatures and its standard uncertainty: a
 *  rectangle of half width `half`, and one of alpha·FW_THERMAL_DRIFT·|(cold + hot)/2 - 60 °C|,
 * added (JCGM 100:2008, 4.3.7), so u = (sum)/√3. FW_ERR_ARGUMENT without a material, FW_ERR_RANGE.
 */
int fw_material_alpha(double *alpha, double *u, const struct fw_material *material, double cold,
                      double hot, struct fw_error *err);

/** Least and most coefficient taken, 1/K: anything else is a slip of units. */
#define FW_ALPHA_LEAST 1e-7
#define FW_ALPHA_MOST  3e-4

/** One link. Zero-initialise, then set what applies. */
struct fw_thermal_link {
	const char *name;   /**< for messages, borrowed; NULL: only its number is given */
	double coefficient; /**< c, not 0 */
	double length;      /**< m, cold, above 0 */
	const struct fw_material *material; /**< from the table; its links share its error. Or NULL: */
	double alpha;                       /**< 1/K; 0 with a material */
	double alpha_u;                     /**< its standard uncertainty, each link's its own */
	double cold, hot;                   /**< K */
	double rise_u; /**< standard uncertainty of hot - cold, K, the link's own */
};

/** Most links. Beyond: FW_ERR_ARGUMENT. */
#define FW_THERMAL_LINKS 1000000

/** The cold gap, and what all links share. */
struct fw_thermal_start {
	double gap;    /**< m, negative where the parts are tight */
	double gap_u;  /**< m */
	double rise_u; /**< standard uncertainty of the rise in temperature, K, in all links the same */
};

/** The gap hot. */
struct fw_thermal {
	double change;   /**< m; above 0: the gap opens */
	double change_u; /**< standard uncertainty, m: coefficients and temperatures */
	double hot;      /**< m */
	double hot_u;    /**< m: change_u and gap_u */
};

/** Works out the gap hot. `change` has room for what each of the `count` links adds to the gap, or
 * is NULL. FW_ERR_ARGUMENT names the link (from 1) and the figure; FW_ERR_RANGE for a temperature
 *  outside -60 °C to 300 °C, a coefficient that is a slip of units, a result beyond all measure. On
 * an error nothing is written. */
int fw_thermal_gap(struct fw_thermal *out, double *change, const struct fw_thermal_link *link,
                   size_t count, const struct fw_thermal_start *start, struct fw_error *err);

/** Two parts on one diameter: a bearing in a housing, a ring on a shaft. */
struct fw_thermal_pair {
	double diameter;     /**< m, above 0 */
	double interference; /**< m, cold; negative: clearance */
	double inner, outer; /**< mean coefficients, 1/K */
	double inner_u, outer_u;
	double cold;                 /**< K, both */
	double inner_hot, outer_hot; /**< K */
};

struct fw_thermal_fit {
	double hot;   /**< interference hot, m: cold + d·(α_inner·ΔT_inner - α_outer·ΔT_outer) */
	double hot_u; /**< standard uncertainty from the coefficients alone, each part's its own, m */
	double even;  /**< K: where interference and clearance are 0 with both parts equally warm; NAN
	                 where that is never within -60 °C to 300 °C */
};

/** The fit hot: free diameters, the parts taken apart in thought (a ring that is held by its
 *  interference follows the other part until that is used up). */
int fw_thermal_fit(struct fw_thermal_fit *out, const struct fw_thermal_pair *pair,
                   struct fw_error *err);

/** Hottest that a common rolling bearing is heated: 120 °C (common practice, no source: above it
 * the steel grows for good and grease and cages suffer). */
#define FW_BEARING_HOTTEST 393.15

/** A ring to be heated so that it slips over a shaft, which may be chilled. */
struct fw_heating {
	double bore;         /**< of the ring, m, at `room`, above 0 */
	double interference; /**< m, at `room`, above 0, below the bore */
	double clearance;    /**< wanted for slipping it on, m, >= 0 */
	double alpha;        /**< of the ring, 1/K */
	double alpha_u;
	double room;        /**< K, where both were measured */
	double shaft;       /**< K, what the shaft is at when the ring goes on */
	double shaft_alpha; /**< 1/K; 0 when the shaft is at `room` */
};

struct fw_heated {
	double gain;    /**< by how much the bore must grow, m */
	double rise;    /**< of the ring, K */
	double ring;    /**< K */
	double at_most; /**< K: should the coefficient be two standard uncertainties low; NAN above 300
	                   °C */
};

/** rise = (interference + clearance + (bore + interference)·α_shaft·(shaft - room)) / (α·bore).
 *  FW_ERR_RANGE when the ring would have to be hotter than 300 °C. A shaft chilled so far that the
 *  ring need not be heated gives a rise of 0. */
int fw_thermal_heat(struct fw_heated *out, const struct fw_heating *heating, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
