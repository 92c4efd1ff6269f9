/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file shim.h
 * Choosing the shims at one place by trial: play = datum - sum of the shims + error.
 *
 * The datum (the play there would be with no shim at all) is never measured directly. Each trial
 * assembly, its stack and the play then read, is one observation of it. The posterior is normal:
 * the precision-weighted mean of the trials since the last surprise, plus a floor for what all trials
 * share (the gauge). A trial further from its prediction than `surprise` standard deviations of the
 * predicted difference says that something other than the shims moved (a bearing not seated, a gasket
 * left out); the old datum is then given up and the next stack is worked out from that trial alone.
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
	double thickness; /**< m, > 0 (for a gasket: before it is crushed) */
	double u;         /**< standard uncertainty of one piece, m, >= 0 */
	double crush;     /**< share of its thickness lost when clamped, 0 (shim) to below 1 (gasket) */
	double crush_u;   /**< standard uncertainty of that share, >= 0 */
	unsigned count;   /**< pieces at hand, >= 1 */
};

/** Most sizes in a kit, most shims in one stack. Beyond: FW_ERR_ARGUMENT. */
#define FW_KIT_SIZES 1024
#define FW_STACK_MOST 8

/** A stack: indices into the kit with repeats, thickest first. */
struct fw_stack {
	size_t count;
	size_t shim[FW_STACK_MOST];
	double thickness; /**< sum of the crushed thicknesses, m */
	double u;         /**< its standard uncertainty, m */
};

/** What is known of the datum. */
struct fw_datum {
	double value;      /**< m; meaningless while trials == 0 */
	double u;          /**< standard uncertainty, m */
	unsigned trials;   /**< trials since the last surprise, that one included */
	unsigned surprises;
};

/** How one trial compared with its prediction. */
struct fw_trial {
	double predicted;  /**< m; NAN on the first trial */
	double difference; /**< read - predicted, m; NAN on the first trial */
	double expected_u; /**< standard uncertainty of that difference, m */
	double sigmas;     /**< |difference| / expected_u */
	bool surprise;
};

/** How sure one wants to be before calling a surprise, in standard deviations of the difference. */
#define FW_SURPRISE_SIGMAS 4.0

/** FW_OK if every size is finite and positive, crush in [0, 1), counts >= 1, no two entries alike
 *  in thickness and crush; else FW_ERR_ARGUMENT naming the entry (counted from 1). */
int fw_kit_check(const struct fw_shim *kit, size_t sizes, struct fw_error *err);

/**
 * Takes in one trial: stack of `stack` (crushed sum) with `stack_u`, play `play` with `play_u`.
 * `settle_u` (>= 0) is how well a correct assembly repeats (seating), the same for each trial.
 * `out` may be NULL. Updates `datum`; a zeroed datum is the state before the first trial.
 * `sigmas` > 0, normally FW_SURPRISE_SIGMAS.
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
};

/** What counts as equally likely, and (as a share of the width of the limits) as equally near. */
#define FW_SHIM_TIE_PROBABILITY 1e-3
#define FW_SHIM_TIE_AIM 0.01

/**
 * Chooses from the kit the stack most likely to bring the play within `limits`; among those within
 * FW_SHIM_TIE_PROBABILITY of the best the nearest to the aim; among those within FW_SHIM_TIE_AIM of
 * the nearest the fewest shims; then the thinner first shim. Exact: every stack of at most `most`
 * pieces (1..FW_STACK_MOST; the empty stack too when `may_be_empty`) competes. `play_u` is the
 * standard uncertainty of the reading that will judge it, `settle_u` as above.
 *
 * Errors: FW_ERR_STATE before the first trial; FW_ERR_ARGUMENT; FW_ERR_RANGE when the kit and `most`
 * give too many stacks to try, or when no stack has a chance of one in a hundred: the message then
 * says what thickness to get.
 */
int fw_shim_choose(struct fw_shim_choice *out, const struct fw_datum *datum,
                   const struct fw_shim *kit, size_t sizes, size_t most, bool may_be_empty,
                   const struct fw_limits *limits, double settle_u, struct fw_error *err);

/**
 * Gasket from a bare gap. A retainer or cover set down bare, finger tight, stands off its seat by
 * `gap` (m, > 0, with `gap_u`) because it rests on the bearing. With a gasket of crushed thickness t
 * the bearing is nipped by gap - t; negative is float. Chooses the one gasket (or pack of at most
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
