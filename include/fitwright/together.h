/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file together.h
 * Shims at several places that share one kit, set together by trial.
 *
 * Each response r_i (an end float, a depth, a backlash, a preload as negative play) moves with the
 * stacks s_j at the places in a straight line: r_i = r0_i + sum over j of per_ij · s_j + error. The
 * r0_i, the responses with no shim anywhere, are never measured directly; each is learned from
 * trials as the datum of shim.h is. The per_ij are plain numbers that follow from the geometry of
 * the unit: -1 where a shim takes up play one for one, 2·tan(pressure angle) where it moves a gear
 * into its mate, and so on.
 *
 * What is assumed, and where that ends:
 * - What shim.h says of its one response holds for each here: normal errors, rigid parts, straight
 *   lines. A preload is meant as negative play (how far the parts are squeezed); what turning
 * torque that gives is the bearing's affair and is measured as a check, not predicted.
 * - Each response is learned by itself. What moves two at once (one bearing not seated) is judged
 *   twice, each time by one response alone; their errors may be correlated in any way without harm
 * to the choice, which rests on each response's own chance (see fw_together_choose()).
 * - per_ij holds for small changes; where a line is a tangent (backlash over depth) the stack must
 * end near where it was drawn. The last reading releases the unit, never the prediction.
 *
 * All lengths in metres.
 */
#ifndef FITWRIGHT_TOGETHER_H
#define FITWRIGHT_TOGETHER_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/conform.h"
#include "fitwright/error.h"
#include "fitwright/shim.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Most places and responses. Beyond: FW_ERR_ARGUMENT. */
#define FW_PLACES_MOST    6
#define FW_RESPONSES_MOST 8

/** A place for shims. */
struct fw_together_place {
	const char *name; /**< for messages; NULL: "place 2" */
	size_t most;      /**< shims in its stack, 1..FW_STACK_MOST */
	bool may_be_empty;
	const bool *fits; /**< of each size in the kit, whether it goes here; NULL: all do */
};

/** Something that is measured and has limits. */
struct fw_together_response {
	const char *name; /**< for messages; NULL: "response 2" */
	struct fw_limits limits;
	double settle_u;            /**< how well a correct assembly repeats, standard uncertainty, m */
	double per[FW_PLACES_MOST]; /**< growth per growth of the stack at each place, |per| <= 1000 */
};

/** The whole fit. All pointers are borrowed. */
struct fw_together {
	const struct fw_shim *kit;
	size_t sizes;
	const struct fw_together_place *place;
	size_t places;
	const struct fw_together_response *response;
	size_t responses;
	/** What counts as equally near the aims: a distance (below) over the nearest; 0 stands for
	 * FW_SHIM_TIE_AIM, INFINITY for "fewest shims, wherever in the limits". */
	double near;
};

/** FW_OK, or FW_ERR_ARGUMENT saying which place, response or size of the kit is wrong. A place that
 *  moves no response, and a response that no place moves, are refused. */
int fw_together_check(const struct fw_together *fit, struct fw_error *err);

/** What was read of one response in a trial. */
struct fw_together_reading {
	bool read; /**< false: it wasn't, and is left as it is known */
	double value, u;
};

/**
 * Takes in one trial: the stack at each place (`stack`, `stack_u`: as many as places) and what was
 * read of each response. `datum` has as many as responses, zeroed before the first trial, and gets
 * r0_i = read - sum of per_ij · stack_j by the rule of fw_shim_learn(), each response by itself;
 * the uncertainties of the stacks count as independent of each other. `out` may be NULL, else as
 * many as responses: a surprise in any says that something moved. Of one not read the difference is
 * NAN. Errors as of fw_shim_learn(), naming the response; nothing is updated then.
 */
int fw_together_learn(struct fw_datum *datum, const struct fw_together *fit, const double *stack,
                      const double *stack_u, const struct fw_together_reading *reading,
                      double sigmas, struct fw_trial *out, struct fw_error *err);

/** How a choice ended. */
enum fw_together_end {
	FW_TOGETHER_SERVES,       /**< stacks were found */
	FW_TOGETHER_PIECE,        /**< one new piece at `piece_place` would serve */
	FW_TOGETHER_STACKS,       /**< no such piece was found: other stacks, `wanted`, would */
	FW_TOGETHER_CONTRADICTED, /**< no stacks whatever can bring all within */
	FW_TOGETHER_COARSE,       /**< a response is known too coarsely for its limits */
	FW_TOGETHER_TOO_LONG      /**< given up at FW_TOGETHER_WORK */
};

/** A choice and what it promises. */
struct fw_together_choice {
	enum fw_together_end end;
	struct fw_stack stack[FW_PLACES_MOST];
	double value[FW_RESPONSES_MOST];       /**< predicted, m */
	double u[FW_RESPONSES_MOST];           /**< its standard uncertainty, m */
	double probability[FW_RESPONSES_MOST]; /**< that it lies in its limits */
	double chance;                         /**< the smallest of them */
	double all;                       /**< all lie within at least so likely, however correlated */
	double distance;                  /**< from the aims, as below */
	double wanted[FW_PLACES_MOST];    /**< stacks of any thickness that would come nearest to the
	                                       aims, m; FW_TOGETHER_PIECE and _STACKS: and bring all
	                                       within */
	size_t piece_place;               /**< FW_TOGETHER_PIECE: where the new piece goes, alone, */
	double piece;                     /**< and how thick it must be when clamped, m */
	bool clashing[FW_RESPONSES_MOST]; /**< FW_TOGETHER_CONTRADICTED: that can't be had together;
	                                       FW_TOGETHER_COARSE: that is known too coarsely */
	double work;                      /**< steps it took */
};

/** Most steps of one choice, a second or two; it depends on nothing but the arguments. */
#define FW_TOGETHER_WORK 1e8
/** Most stacks of all places together; beyond: FW_ERR_RANGE. */
#define FW_TOGETHER_STACKS_MOST 1e6
/** Thinnest new piece that is proposed: shim stock is hardly sold below 1 thou (common practice, no
 * source). */
#define FW_TOGETHER_THINNEST 25e-6
/** What a one-sided limit counts as wide in the distance, m: so that near means FW_SHIM_TIE_OPEN.
 */
#define FW_TOGETHER_OPEN_WIDTH (FW_SHIM_TIE_OPEN / FW_SHIM_TIE_AIM)

/**
 * Chooses a stack for each place, no size used more often in all than it is at hand:
 * 1. `chance`, the smallest of the probabilities of the responses, is within
 * FW_SHIM_TIE_PROBABILITY of the greatest there is, which must be at least FW_SHIM_CHANCE;
 * 2. of those, `distance` = root of the sum of ((r_i - aim_i) / width_i)² is within `near` of the
 *    least there is (width of the limits, or FW_TOGETHER_OPEN_WIDTH);
 * 3. of those, the fewest shims in all;
 * 4. then at the first place the fewest shims, the thinner first shim, the thinner second …; then
 * at the second place, and so on. With one place, one response and per = -1 that is the rule of
 * fw_shim_choose(). Exact: every combination competes. Sums of thicknesses count in whole
 * picometres.
 *
 * The probability of a response is that of fw_shim_choose(): normal, with the variances of r0_i, of
 * settling and of the pieces added, each piece weighed with per_ij², the crush of pieces of one
 * size common to them wherever they are; where all are zero, a response on a limit
 * (fw_limits_snap()) is inside. `all` = 1 - sum of (1 - P_i) (Bonferroni's inequality) is
 * a lower bound of the chance that all are within, for any correlation; `chance` is the upper one.
 *
 * Where nothing serves, one new piece is looked for as the whole stack of a place, the others from
 * the kit; of all that serve, the one that comes nearest to the aims. Should that take too long,
 * the message says that not all could be tried. `wanted` is a constrained least-squares solution
 * (Lawson and Hanson), stacks from nothing to FW_SHIM_THICKEST.
 *
 * Errors: FW_ERR_STATE when a response was never read; FW_ERR_ARGUMENT; FW_ERR_MEMORY; FW_ERR_RANGE
 * when nothing serves or it takes too long: out->end tells which, the message what to do, the
 * stacks are empty, value and u NAN.
 */
int fw_together_choose(struct fw_together_choice *out, const struct fw_together *fit,
                       const struct fw_datum *datum, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
