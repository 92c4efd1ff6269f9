/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file shim.h
 * Choosing the shims at one place by trial: play = datum - sum of the shims + error.
 *
 * The datum (the play there would be with no shim at all) is never measured directly. Each trial
 * assembly, its stack and the play then read, is one observation of it. The posterior is normal:
 * the precision-weighted mean of the trials since the last surprise, plus a floor for what all
 * trials share (the gauge).
 *
 * How far a trial is from its prediction, in standard uncertainties of that difference, decides
 * what becomes of the trials before it:
 * - up to FW_USUAL_SIGMAS: as expected. The plain weighted mean.
 * - beyond FW_SURPRISE_SIGMAS: a surprise. Something other than the shims moved (a bearing not
 *   seated, a gasket left out). The old datum is given up, the next stack worked out from that
 *   trial alone.
 * - between the two: in doubt. The probability that something moved follows from Bayes' rule, with
 *   one trial in twenty moved beforehand (FW_MOVED_CHANCE) and a shift of about eight times the
 *   expected difference (FW_MOVED_SPREAD): 4 % at 2, 13 % at 2.5, 36 % at 3, 73 % at 3.5. By so
 *   much the earlier trials lose their say, and what the two views differ by widens the datum's
 *   uncertainty. Both figures are judgement, no source; docs/solvers/shims.md shows what they gain.
 *
 * What is assumed, and where that ends:
 * - `play_u` holds both what differs from reading to reading and what all readings off one gauge
 *   share; the split isn't known here. So each use takes the less favourable view. The datum takes
 *   `play_u` and `stack_u` (the same pieces may be in again, miked with the same micrometer) as
 *   wholly shared, so that repeated trials never claim less than they share: only the seating
 *   averages out. The test for a surprise takes them as independent, so that none is called
 *   lightly.
 * - The weight of a trial is 1 / (stack_u² + play_u² + settle_u²), as if all were independent:
 *   right for like trials, and it keeps a rough reading from outvoting a fine one.
 * - A shift smaller than about twice the uncertainty of the difference goes unseen and is averaged
 *   in: 4 thou where gauge and seating are good for 1 thou each. Therefore a unit is released on
 *   the verdict on its last reading, never on a prediction.
 * - Errors are normal, shims are rigid, and play falls by what the stack grows, one for one. Where
 *   more shims give more play (under a cap), take play, limits and aim with the other sign.
 * - A bearing under preload gives way, and its play can't be read. Limits may be negative all the
 *   same: they are then the stack beyond the one that just takes up the play. Learn from trials
 *   that still have play, set the preload by the stack, and prove it by the turning torque
 *   (preload.h).
 *
 * All lengths in metres. Not for several places sharing one kit.
 */
#ifndef FITWRIGHT_SHIM_H
#define FITWRIGHT_SHIM_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/conform.h"
#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/** One size in the kit. */
struct fw_shim {
	double thickness; /**< m, > 0, at most FW_SHIM_THICKEST (of a gasket: before it is crushed) */
	double u;         /**< standard uncertainty of one piece, m, >= 0, each on its own */
	double crush;     /**< share of its thickness lost when clamped, 0 (shim) to < 1 (gasket) */
	double crush_u;   /**< standard uncertainty of that share, 0..1, common to its pieces */
	unsigned count;   /**< pieces at hand, >= 1 */
};

/** Most sizes in a kit, most shims in one stack. Beyond: FW_ERR_ARGUMENT. */
#define FW_KIT_SIZES  1024
#define FW_STACK_MOST 8

/** Thickest shim, and longest datum, play or stack, m. Beyond: FW_ERR_ARGUMENT, as it can only be a
 *  slip of units. */
#define FW_SHIM_THICKEST 1.0
#define FW_LENGTH_MOST   1000.0

/** Most stacks that kit and `most` may give; beyond: FW_ERR_RANGE. It depends on nothing else, so a
 *  kit that can be searched at the first trial can be searched at each. */
#define FW_STACKS_MOST 5e7

/** A stack: indices into the kit with repeats, thickest (before crushing) first. */
struct fw_stack {
	size_t count;
	size_t shim[FW_STACK_MOST];
	double thickness; /**< sum of the crushed thicknesses, m */
	double u;         /**< its standard uncertainty, m */
};

/** What is known of the datum. */
struct fw_datum {
	double value;    /**< m; meaningless while trials == 0 */
	double u;        /**< standard uncertainty, m */
	unsigned trials; /**< trials since the last surprise, that one included */
	unsigned surprises;
	double shared; /**< the part of u that further trials don't reduce, m */
	double weight; /**< sum of the weights of those trials, 1/m² */
};

/** How one trial compared with its prediction. */
struct fw_trial {
	double predicted;  /**< m; NAN on the first trial */
	double difference; /**< read - predicted, m; NAN on the first trial */
	double expected_u; /**< standard uncertainty of that difference, m */
	double sigmas;     /**< |difference| / expected_u */
	bool surprise;
	double doubt; /**< probability that something moved, as reckoned with: 1 is a surprise */
};

/** How sure one wants to be before calling a surprise, in standard deviations of the difference. */
#define FW_SURPRISE_SIGMAS 4.0

/** Up to here a difference is as expected. */
#define FW_USUAL_SIGMAS 2.0

/** Of the trials, how many find that something moved; and how far it moves, in standard
 * uncertainties of the difference. Judgement, no source. */
#define FW_MOVED_CHANCE 0.05
#define FW_MOVED_SPREAD 8.0

/** FW_OK if every size is finite and positive, crush in [0, 1), counts >= 1, no two entries alike
 *  (to 1e-9) in thickness and crush; else FW_ERR_ARGUMENT naming the entry (counted from 1). */
int fw_kit_check(const struct fw_shim *kit, size_t sizes, struct fw_error *err);

/**
 * Takes in one trial: stack of `stack` (crushed sum) with `stack_u`, play `play` with `play_u`.
 * `settle_u` (>= 0) is how well a correct assembly repeats (seating), the same for each trial.
 * `out` may be NULL. Updates `datum`; a zeroed datum is the state before the first trial.
 * `sigmas` > 0, normally FW_SURPRISE_SIGMAS. An uncertainty of zero counts as a nanometre, so that
 * rounding alone is no surprise. On error the datum is left as it was.
 */
int fw_shim_learn(struct fw_datum *datum, double stack, double stack_u, double play, double play_u,
                  double settle_u, double sigmas, struct fw_trial *out, struct fw_error *err);

/** A choice and what it promises. */
struct fw_shim_choice {
	struct fw_stack stack;
	double play;        /**< predicted, m */
	double u;           /**< its standard uncertainty, m */
	double probability; /**< that the play lies in the limits */
	double wanted;      /**< the stack that would hit the aim, m: what to get when nothing serves */
	double add; /**< or one piece of this thickness (crushed), m, to go with `with`; or NAN */
	struct fw_stack with; /**< pieces at hand; empty where `add` is NAN */
};

/** What counts as equally likely, and (as a share of the width of the limits) as equally near. */
#define FW_SHIM_TIE_PROBABILITY 1e-3
#define FW_SHIM_TIE_AIM         0.01
/** What counts as equally near where the limits are open on one side, m. */
#define FW_SHIM_TIE_OPEN 1e-6
/** A stack with less than this chance is not proposed. */
#define FW_SHIM_CHANCE 0.01

/**
 * Chooses from the kit the stack most likely to bring the play within `limits`; among those within
 * FW_SHIM_TIE_PROBABILITY of the best the nearest to the aim; among those within FW_SHIM_TIE_AIM of
 * the nearest the fewest shims; then the thinner first shim, the thinner second, and so on (of two
 * alike in thickness the one that is crushed more). Exact: every stack of at most `most` pieces
 * (1..FW_STACK_MOST, of each size no more than its count; the empty stack too when `may_be_empty`)
 * competes, and the order of the kit doesn't matter.
 *
 * The probability is that of the true play: normal, with the variances of datum, stack and
 * `settle_u` (as above) added; where all are zero a play on a limit (fw_limits_snap()) is inside.
 * Within a stack the pieces are independent, but for the crush of pieces of one size, which is
 * common to them.
 *
 * What to get: out->wanted always. Where nothing serves, or the best has less than FW_CONFORMANCE,
 * also out->add and out->with: of the stacks at hand with room for one more piece the thickest that
 * leaves it as thick as the thinnest of the kit (and the fewest pieces), if there is one.
 *
 * Errors: FW_ERR_STATE before the first trial; FW_ERR_ARGUMENT; FW_ERR_RANGE when the kit and
 * `most` give too many stacks to try, or when no stack reaches FW_SHIM_CHANCE: the message then
 * says what thickness to get, out->wanted and out->add are set, the stack is empty and play and u
 * are NAN.
 */
int fw_shim_choose(struct fw_shim_choice *out, const struct fw_datum *datum,
                   const struct fw_shim *kit, size_t sizes, size_t most, bool may_be_empty,
                   const struct fw_limits *limits, double settle_u, struct fw_error *err);

/**
 * Gasket from a bare gap. A retainer or cover set down bare, finger tight, stands off its seat by
 * `gap` (m, > 0, with `gap_u`) because it rests on the bearing. With a gasket of crushed thickness
 * t the bearing is nipped by gap - t; negative is float. Chooses the one gasket (or pack of at most
 * `most`) whose nip is most likely within `nip` (limits of the nip, m), ties as for shims.
 * out->play is the nip.
 */
int fw_gasket_choose(struct fw_shim_choice *out, double gap, double gap_u,
                     const struct fw_shim *kit, size_t sizes, size_t most,
                     const struct fw_limits *nip, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
