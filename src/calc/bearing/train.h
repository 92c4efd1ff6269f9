/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file train.h  A gear train typed as records. */
#ifndef FITWRIGHT_CALC_BEARING_TRAIN_H
#define FITWRIGHT_CALC_BEARING_TRAIN_H

#include "fitwright/calc.h"
#include "fitwright/gears.h"

#define FW_GEAR_NAME 40

/** A train with room for all it may have. Names are borrowed from the inputs, but for gears'. */
struct fw_typed_train {
	struct fw_train train;
	const char *body[FW_TRAIN_MOST];
	struct fw_train_pair pair[FW_TRAIN_MOST];
	struct fw_train_lock lock[FW_TRAIN_MOST];
	struct fw_train_bearing bearing[FW_TRAIN_MOST];
	struct fw_bearing geometry[FW_TRAIN_MOST];
	const char *gear[FW_TRAIN_GEARS];
	char gear_name[FW_TRAIN_GEARS][FW_GEAR_NAME];
};

/** Names that stand for something: the case, no gear, and that with the clutch pressed. */
#define FW_NAME_CASE    "case"
#define FW_NAME_NEUTRAL "neutral"
#define FW_NAME_CLUTCH  "clutch-out"

/** Inputs "shaft", "pair", "lock", "bearing", "input", "output", "engine" as a train. Errors name
 * the record and what in it isn't known. */
int fw_train_take(struct fw_typed_train *out, const struct fw_calc_values *in,
                  struct fw_error *err);

/** A gear of that name, "neutral" or "clutch-out", as a case without its load. FW_ERR_NOT_FOUND
 * lists the gears. */
int fw_train_gear(struct fw_train_case *out, const struct fw_typed_train *train, const char *name,
                  struct fw_error *err);

/** Working and tables of what the train does in `at`. */
int fw_train_show(struct fw_calc_out *out, const struct fw_typed_train *train,
                  const struct fw_train_case *at, double speed, struct fw_error *err);

/** The lines near a frequency. */
int fw_train_show_near(struct fw_calc_out *out, const struct fw_calc_values *in,
                       const struct fw_typed_train *train, const struct fw_train_case *at,
                       double speed, struct fw_error *err);

/** What records "heard" point at. */
int fw_train_show_suspects(struct fw_calc_out *out, const struct fw_calc_values *in,
                           const struct fw_typed_train *train, struct fw_error *err);

/** The fields of the records. */
extern const struct fw_calc_input fw_shaft_fields[], fw_pair_fields[], fw_lock_fields[],
    fw_train_bearing_fields[], fw_heard_fields[];

#endif
