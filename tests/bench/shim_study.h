/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file shim_study.h
 * Simulated rebuilds of one shimmed place, in several ways of choosing the shims, on the same
 * draws.
 *
 * A unit has a hidden datum (uniform, 60 to 120 thou) and comes in with 31 thou of shims. The play
 * as found is read. With a chance of one in four something then moves the datum for good (normal,
 * 12 thou) before the first trial is assembled: the surprise. Each reading is off by the gauge,
 * each assembly seats within 0.5 thou, each piece of the kit is off by 0.1 thou (all normal,
 * independent, standard deviations). All these figures, and the kit, are invented.
 */
#ifndef FITWRIGHT_TESTS_SHIM_STUDY_H
#define FITWRIGHT_TESTS_SHIM_STUDY_H

#include "fitwright/conform.h"
#include "fitwright/shim.h"

#define STUDY_THOU 25.4e-6
/** A unit not released after so many trials is given up. */
#define STUDY_TRIALS_MOST 12

enum study_method {
	STUDY_SHIMS,      /**< fw_shim_learn() and fw_shim_choose(), released on fw_conform() */
	STUDY_DIFFERENCE, /**< old stack + play read - aim each time; released when it reads within */
	STUDY_GUARDED,    /**< the same, but released on fw_conform() */
	STUDY_GUESS,      /**< nothing read as found: a usual stack, then the difference read */
	STUDY_HALVES,     /**< the same, but corrected by half of the difference */
	STUDY_METHODS
};

struct study {
	double gauge_u; /**< m */
	struct fw_limits limits;
	unsigned units;
};

struct study_tally {
	unsigned units, moved;
	unsigned trials;           /**< assemblies with a stack chosen, of all units */
	unsigned released, within; /**< released; and of these with the true play within the limits */
	unsigned surprises;        /**< called in all */
	unsigned false_alarms;     /**< called where nothing had moved */
	unsigned doubted,
	    held; /**< first trials in doubt; datum then within twice its u of the truth */
	double doubted_squares; /**< sum of the squares of its error, m² */
};

const char *study_method_name(enum study_method method);

/** Mean trials a unit; share of the released that are truly within, 0..1. */
double study_mean_trials(const struct study_tally *tally);
double study_share_within(const struct study_tally *tally);

/** Plays all units of the study with one method. The draws depend on the unit alone. */
struct study_tally study_run(const struct study *study, enum study_method method);

#endif
