/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file bearing.h
 * Rolling bearings: load ratings and life from what can be measured on the bench, radial internal
 * clearance and what a press fit and warmth leave of it, frequencies at which a defect is heard.
 *
 * SI throughout: metres, newtons, radians, rad/s, kelvins. The factors fc and f0 are the plain
 * numbers of the standards' tables, which go with millimetres and newtons.
 *
 * Standards were not at hand as published; each table has been checked by a second route, which the
 * tests repeat (tests/solve/test_bearing_tables.c).
 */
#ifndef FITWRIGHT_BEARING_H
#define FITWRIGHT_BEARING_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

enum fw_bearing_kind {
	FW_BALL_BEARING,  /**< radial contact groove and angular contact ball bearings */
	FW_ROLLER_BEARING /**< radial cylindrical and taper roller bearings with machined rings */
};

/** What a bearing is made of. */
struct fw_bearing {
	enum fw_bearing_kind kind;
	unsigned elements;     /**< Z: balls or rollers in one row */
	unsigned rows;         /**< i; 1 for a single row */
	double element_dia;    /**< Dw; of taper rollers the mean diameter, m */
	double pitch_dia;      /**< Dpw: diameter of the circle of the centres, m */
	double contact_angle;  /**< α, rad, 0 for deep groove and cylindrical roller bearings */
	double element_length; /**< Lwe: length of contact of a roller, m; not used for balls */
};

/** FW_OK if such a bearing can exist: 1 element or more, neighbours on the circle of centres don't
 *  overlap (Dw <= Dpw·sin(π/Z)), Dw < Dpw, 0 <= α < 90°, all finite; else FW_ERR_ARGUMENT with
 *  which. Rows and the length of rollers are checked where they count. */
int fw_bearing_check(const struct fw_bearing *bearing, struct fw_error *err);

/** Load ratings and the factors they come from. */
struct fw_bearing_rating {
	double gamma; /**< Dw·cos α / Dpw */
	double bm; /**< rating factor for today's steel: 1.3 balls, 1.1 rollers (ISO 281, table 1, 6) */
	double fc; /**< by ISO 281, table 2 or 7, interpolated; two rows of radial contact 0.90/0.95 */
	double dynamic; /**< C: basic dynamic radial load rating, N */
	double f0;      /**< by ISO 76, table 1, interpolated; rollers: 44·(1 - gamma) */
	double still;   /**< C0: basic static radial load rating, N */
};

/**
 * Basic load ratings by ISO 281:2007 and ISO 76:2006 (from memory; formulas and tables as
 * transcribed in two independent programs), with Dw and Lwe counted in mm:
 *     balls    C  = bm·fc·(i·cos α)^0.7·Z^(2/3)·Dw^1.8         Dw <= 25.4 mm
 *              C  = 3.647·bm·fc·(i·cos α)^0.7·Z^(2/3)·Dw^1.4   Dw >  25.4 mm
 *              C0 = f0·i·Z·Dw²·cos α
 *     rollers  C  = bm·fc·(i·Lwe·cos α)^(7/9)·Z^(3/4)·Dwe^(29/27)
 *              C0 = 44·(1 - gamma)·i·Z·Lwe·Dwe·cos α
 * For grooves no wider than 0.52·Dw (outer ring 0.53·Dw). At least 3 elements. Two rows of balls at
 * α = 0 take 0.90/0.95 of fc (the reduction factors of ISO 281, table 2, from memory): C jumps by
 * that to the least angle above 0. FW_ERR_RANGE outside gamma 0.01..0.40 (rollers 0.01..0.30), α
 * above 45°, more than two rows of balls at α = 0: the tables end there.
 */
int fw_bearing_rate(struct fw_bearing_rating *out, const struct fw_bearing *bearing,
                    struct fw_error *err);

/** Equivalent loads. */
struct fw_bearing_load {
	double x, y;     /**< factors taken in P = x·Fr + y·Fa */
	double e;        /**< up to Fa/Fr = e a single row takes the axial load for nothing */
	double relative; /**< f0·Fa/C0, at an angle f0·i·Fa/C0, in the units of the tables (N/mm²); 0
	                      for rollers */
	double dynamic;  /**< P, N */
	double still;    /**< P0, N */
};

/**
 * Dynamic equivalent radial load P = X·Fr + Y·Fa (ISO 281:2007, tables 3 and 8) and static P0 =
 * max(Fr, X0·Fr + Y0·Fa) (ISO 76:2006, tables 2 and 5) under constant loads `radial` and `axial`
 * (N, >= 0, not both 0). One or two rows (a pair back to back or face to face counts as two).
 *
 * X, Y and e go by the load on the row that carries it, Fa/(Z·Dw²): of two rows at an angle one
 * alone carries an axial load, so theirs is f0·i·Fa/C0; in radial contact both do, f0·Fa/C0.
 * Between tabled loads and angles linear; below the least load in the table (0.172) its first row
 * is taken. P0 is linear between 5° and 45° and as at 5° below, but at 0° exactly, radial contact,
 * X0 and Y0 are 0.6 and 0.5 whatever the rows: P0 jumps there (to 1 and 1.04 with two rows, 0.5 and
 * 0.52 with one). FW_ERR_RANGE: a relative load above 6.89, an angle above 45°, an axial load on
 * cylindrical rollers.
 */
int fw_bearing_equivalent(struct fw_bearing_load *out, const struct fw_bearing *bearing,
                          double radial, double axial, struct fw_error *err);

/** Life. */
struct fw_bearing_life {
	double exponent; /**< p: 3 for balls, 10/3 for rollers */
	double a1;       /**< life modification factor for reliability */
	double revolutions;
	double seconds; /**< at the speed given; NAN when that is 0 */
	bool heavy;     /**< P above C/2: beyond what the formula is meant for (ISO 281:2007, 6) */
};

/**
 * Lnm = a1·(C/P)^p in millions of revolutions (ISO 281:2007, a1 by its table 12 as the Weibull
 * distribution behind it: a1 = 0.05 + 0.95·(ln(1/R)/ln(1/0.9))^(2/3); 0.90 gives 1). aISO, for
 * lubrication and dirt, is left out: it is 1 here. `reliability` 0.90..0.9995. `dynamic` and `load`
 * > 0, N. `speed` rad/s, either sign.
 */
int fw_bearing_lasts(struct fw_bearing_life *out, enum fw_bearing_kind kind, double dynamic,
                     double load, double speed, double reliability, struct fw_error *err);

/* Internal clearance. */

enum fw_clearance_table {
	FW_CLEARANCE_DEEP_GROOVE, /**< deep groove ball bearings, cylindrical bore, above 2.5 to 200 mm
	                           */
	FW_CLEARANCE_CYLINDRICAL  /**< cylindrical roller bearings, cylindrical bore, up to 200 mm */
};

/** Groups of ISO 5753-1, C2, CN, C3, C4, C5 on the box. */
enum fw_clearance_group { FW_GROUP_2, FW_GROUP_N, FW_GROUP_3, FW_GROUP_4, FW_GROUP_5 };
#define FW_CLEARANCE_GROUPS 5

/** "C2", "CN" … */
const char *fw_clearance_group_name(enum fw_clearance_group group);

struct fw_clearance_range {
	double min, max; /**< m; both NAN where the standard has no such group for the bore */
};

/** Radial internal clearance of each group, unmounted and unloaded, for `bore` (m) (ISO 5753-1,
 * read in reprints). Fills FW_CLEARANCE_GROUPS elements. FW_ERR_RANGE outside the table. */
int fw_bearing_clearances(struct fw_clearance_range *out, enum fw_clearance_table table,
                          double bore, struct fw_error *err);

/** How a bearing is mounted. A zero in a member of an "or" takes what stands behind it. */
struct fw_bearing_mount {
	double clearance;            /**< before mounting, at 20 °C, m; below 0: preload */
	double bore, outside;        /**< d and D of the bearing, m */
	double inner_race;           /**< diameter of the inner raceway, m */
	double outer_race;           /**< of the outer raceway, m */
	double shaft_interference;   /**< shaft - bore at 20 °C, m; 0 or less: a loose fit */
	double housing_interference; /**< outside - housing bore at 20 °C, m */
	double shaft_bore;           /**< of a hollow shaft, m; or solid */
	double housing_outside;      /**< of the wall round the bearing, m; or very thick */
	double ring_modulus, ring_poisson, ring_expansion;          /**< Pa, -, 1/K */
	double shaft_modulus, shaft_poisson, shaft_expansion;       /**< Pa, -, 1/K */
	double housing_modulus, housing_poisson, housing_expansion; /**< Pa, -, 1/K */
	double inner_temperature; /**< inner ring, elements and shaft, K above 20 °C */
	double outer_temperature; /**< outer ring and housing, K above 20 °C */
	double shaft_share;   /**< of the interference that reaches the raceway, 0..1; NAN: by Lamé */
	double housing_share; /**< the same outside */
};

/** What is left of the clearance. */
struct fw_bearing_mounted {
	double shaft_interference;   /**< when warm, m */
	double housing_interference; /**< when warm, m */
	double shaft_share, housing_share;
	double inner_growth; /**< of the inner raceway by the fit, m */
	double outer_shrink; /**< of the outer raceway by the fit, m */
	double warmth;       /**< loss by the rings' own temperatures, m */
	double clearance;    /**< left, m; below 0: the bearing is preloaded */
};

/**
 * Clearance left = clearance - inner_growth - outer_shrink - warmth. The growth of a raceway is
 * what a ring of uniform section grows at its far side when pressed (Lamé's thick ring, as in
 * Harris, Rolling Bearing Analysis; from memory); on a solid shaft of the same steel it is d/F
 * times the interference. `warmth` = expansion·(inner - outer temperature)·outer raceway diameter.
 * Elastic only. Bore from 1 µm, outside and housing to 1 km. Materials: all moduli > 0, Poisson's
 * ratios 0..0.5, expansions 0 to below 0.001/K. Interference at most 1 % of the diameter.
 * FW_ERR_ARGUMENT names what can't be; FW_ERR_RANGE when a result is no finite number.
 */
int fw_bearing_mount(struct fw_bearing_mounted *out, const struct fw_bearing_mount *mount,
                     struct fw_error *err);

/* Defect frequencies. */

/** Hz, none below 0. */
struct fw_bearing_frequencies {
	double relative; /**< one ring against the other */
	double cage;     /**< cage against the outer ring: FTF where the outer ring stands */
	double outer;    /**< elements over one place of the outer ring, BPFO */
	double inner;    /**< elements over one place of the inner ring, BPFI */
	double spin;     /**< an element about its own axis, BSF; its defect strikes twice a turn */
};

/**
 * From rolling without slip, rings turning at `inner` and `outer` (rad/s, signed):
 *     cage/outer = ½·(1 - gamma)·Δn    BPFO = Z·cage/outer    BPFI = ½·Z·(1 + gamma)·Δn
 *     BSF = Dpw/(2·Dw)·(1 - gamma²)·Δn
 * Slip makes the heard ones some 1 or 2 % lower (common practice, no source). FW_ERR_RANGE when one
 * is no finite number.
 */
int fw_bearing_sounds(struct fw_bearing_frequencies *out, const struct fw_bearing *bearing,
                      double inner, double outer, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
