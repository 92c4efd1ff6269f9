/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file gears.h
 * Gear trains: how fast everything turns in each gear, what carries load, how often teeth and
 * bearings strike, and which part fits the gears and loads in which a noise is heard.
 *
 * A train is made of *bodies* that turn: shafts, and gears that run free on a shaft. Body 0 is the
 * case, which stands. Pairs of gears join two bodies in a ratio, locks (dog clutches, splines of a
 * sliding gear) make two turn as one; each holds in some gears or in all. Speeds spread from the
 * input by wa·za = ∓wb·zb, external teeth reversing the sense. Planetary sets are outside the
 * model.
 *
 * All bodies turn about parallel or crossed axes with a sense of their own; for bevel pairs only
 * the amounts count. SI: rad/s, Hz.
 */
#ifndef FITWRIGHT_GEARS_H
#define FITWRIGHT_GEARS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/bearing.h"
#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One pair of gears. */

/** Hz. */
struct fw_mesh {
	double mesh;     /**< teeth·turns of either gear */
	double turn_a;   /**< turns of gear a: the spacing of the sidebands that its faults put on the
	                    mesh */
	double turn_b;   /**< the same of gear b */
	double phase;    /**< assembly phase: mesh / common */
	double hunting;  /**< the same two teeth meet: mesh·common/(za·zb) */
	unsigned common; /**< greatest common divisor of the teeth; 1: every tooth meets every other */
};

/** Most teeth on a gear; beyond: FW_ERR_ARGUMENT. */
#define FW_TEETH_MOST 10000

/** Frequencies of a pair with `za` and `zb` teeth (1..FW_TEETH_MOST), gear a turning at `speed`
 * (rad/s).
 */
int fw_gear_mesh(struct fw_mesh *out, unsigned za, unsigned zb, double speed, struct fw_error *err);

/* Trains. */

/** Most bodies, pairs, locks and bearings, each. Most gears to choose from. */
#define FW_TRAIN_MOST  256
#define FW_TRAIN_GEARS 63

/** The case, as a body; no body; no gear chosen. */
#define FW_CASE    0
#define FW_NOBODY  SIZE_MAX
#define FW_NEUTRAL SIZE_MAX

/** In every gear, neutral too. Else bit g stands for gear g. */
#define FW_ALWAYS UINT64_MAX

struct fw_train_pair {
	const char *name;
	size_t a, b; /**< bodies; not the case, not the same */
	unsigned teeth_a, teeth_b;
	bool internal; /**< one of them is a ring gear: both turn the same way */
	uint64_t gears;
};

struct fw_train_lock {
	const char *name;
	size_t a, b; /**< bodies that turn as one; the case holds the other */
	uint64_t gears;
};

struct fw_train_bearing {
	const char *name;
	size_t inner, outer;               /**< bodies its rings turn with */
	const struct fw_bearing *geometry; /**< NULL: not known, no defect frequencies */
};

/** A train; everything is borrowed. Names are for messages and must not be NULL. */
struct fw_train {
	const char *const *body; /**< names; body[0] is the case */
	size_t bodies;
	const struct fw_train_pair *pair;
	size_t pairs;
	const struct fw_train_lock *lock;
	size_t locks;
	const struct fw_train_bearing *bearing;
	size_t bearings;
	const char *const *gear; /**< names; with 0 gears the train has but one, number 0 */
	size_t gears;
	size_t input, output; /**< bodies */
	size_t engine;        /**< a body that the clutch parts from the input, or FW_NOBODY */
};

/** How the unit is driven. */
enum fw_train_load {
	FW_DRIVE,  /**< the input drives */
	FW_FLOAT,  /**< no torque either way */
	FW_OVERRUN /**< the output drives */
};

/** "drive", "float", "overrun". */
const char *fw_train_load_name(enum fw_train_load load);

struct fw_train_case {
	size_t gear; /**< or FW_NEUTRAL: the output stands */
	enum fw_train_load load;
	bool declutched; /**< in neutral: the input stands too, only the engine turns */
};

struct fw_pair_state {
	struct fw_mesh mesh; /**< all 0 when it doesn't turn or isn't in */
	bool turning;
	bool loaded;
	bool a_drives; /**< of a loaded pair: the power goes from a to b */
	int flank;     /**< which side of a's teeth bears: 1 the one that faces positive rotation, -1, 0
	                  none */
};

struct fw_bearing_state {
	double inner, outer;                  /**< rad/s; NAN: not driven */
	bool turning;                         /**< one ring against the other */
	bool loaded;                          /**< carries the force of a loaded pair */
	struct fw_bearing_frequencies sounds; /**< all NAN when the geometry isn't known */
};

/** FW_OK if the train is one: indices and counts in range, teeth 1..FW_TEETH_MOST, input and output
 *  bodies other than the case, geometries that can exist; else FW_ERR_ARGUMENT with the name. */
int fw_train_check(const struct fw_train *train, struct fw_error *err);

/**
 * Speeds, loads and frequencies with the input (in neutral declutched: the engine) at `speed`
 * rad/s, not 0. `body`, `pair` and `bearing` have room for all of the train's; each may be NULL. A
 * body that nothing drives has NAN.
 *
 * A pair or lock bears load when power on its way between input and output can pass it, and the
 * sense is that in which it does; a pair that bridges two such ways could be passed in either, and
 * one is taken. A bearing is loaded when it can be on the way of some loaded pair's force to the
 * case. In neutral, on the float and in direct drive (input locked to output) no teeth bear.
 *
 * FW_ERR_RANGE: the train locks up (two ways give a body two speeds, or the case is made to turn),
 * the output isn't driven in a gear, or is in neutral; each names gear and part. FW_ERR_ARGUMENT:
 * speed NaN, 0 or infinite, no such gear.
 */
int fw_train_run(double *body, struct fw_pair_state *pair, struct fw_bearing_state *bearing,
                 const struct fw_train *train, const struct fw_train_case *at, double speed,
                 struct fw_error *err);

/* From the noise to the part. */

/** One thing tried on the road or the bench. */
struct fw_train_heard {
	struct fw_train_case at;
	bool heard;
};

/** What a part does at a time. */
enum fw_doing { FW_AT_REST, FW_IDLE, FW_LOADED };
#define FW_DOINGS 3

/** A part that may make the noise. */
struct fw_suspect {
	bool is_bearing;
	size_t index; /**< of the pair or bearing */
	int flank;    /**< of pairs: 1 or -1, as in struct fw_pair_state */
	double share; /**< of the likelihood of all suspects, 0..1; they add up to 1 */
	unsigned heard[FW_DOINGS], silent[FW_DOINGS]; /**< observations, by what it did */
	bool out;       /**< heard where it doesn't turn: it can't be this alone */
	uint8_t drives; /**< of pairs: bit for each enum fw_train_load in which that flank bears */
};

/**
 * Chances of hearing a part that is worn enough to complain about. It has one of two habits, each
 * as likely beforehand: it sounds under load only (a pitted flank), or whenever it turns (a rough
 * bearing). Common practice, no source, and so the numbers are round.
 */
#define FW_HEARD_AT_REST 0.01 /**< it doesn't turn: heard by mistake */
#define FW_HEARD_SELDOM  0.1  /**< it turns without load, of one that sounds under load only */
#define FW_HEARD_MOSTLY  0.9  /**< it does what makes it sound */

/** Most observations. */
#define FW_HEARD_MOST 1000

/**
 * Ranks each pair (either flank apart) and each bearing by the likelihood of what was heard and
 * what was not: the product over the observations of the chances above, the mean of both habits;
 * each part as likely as the other beforehand, and one alone at fault. Best first, equals in the
 * order of the train, pairs before bearings. `*count` is the room in `out` (2·pairs + bearings is
 * enough) and gets the number. At least one observation, 1..FW_HEARD_MOST, one for each case.
 * Errors as fw_train_run().
 */
int fw_train_rank(struct fw_suspect *out, size_t *count, const struct fw_train *train,
                  const struct fw_train_heard *heard, size_t observations, struct fw_error *err);

/** What of a part a frequency belongs to. */
enum fw_train_line_of {
	FW_LINE_TURN, /**< a body turns */
	FW_LINE_MESH,
	FW_LINE_CAGE,
	FW_LINE_OUTER,
	FW_LINE_INNER,
	FW_LINE_ELEMENT /**< a ball's defect strikes both rings: 2·BSF */
};

/** "turn", "mesh" … */
const char *fw_train_line_name(enum fw_train_line_of of);

struct fw_train_line {
	enum fw_train_line_of of;
	unsigned harmonic; /**< 1: the frequency itself */
	size_t index;      /**< of the body, pair or bearing */
	double frequency;  /**< Hz, of that harmonic */
	double off;        /**< (frequency - measured)/measured */
};

/** Most harmonics looked at. */
#define FW_HARMONICS_MOST 20

/**
 * All lines of the train within `within` (share, > 0 to 0.5) of `measured` (Hz, > 0), harmonics 1
 * to `harmonics`, nearest first, the lower harmonic first among equals. `*count` is the room and
 * gets the number found; when there are more than the room, the nearest are kept. Errors as
 * fw_train_run().
 */
int fw_train_near(struct fw_train_line *out, size_t *count, const struct fw_train *train,
                  const struct fw_train_case *at, double speed, double measured, double within,
                  unsigned harmonics, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
