/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file gearbox.h  A gearbox to try things on: four speeds, top direct, all figures invented. */
#ifndef FITWRIGHT_TESTS_GEARBOX_H
#define FITWRIGHT_TESTS_GEARBOX_H

#include "fitwright/gears.h"

enum { CASE, ENGINE, INPUT, LAY, MAIN, FREE_1, FREE_2, FREE_3, IDLER, FREE_R, GEARBOX_BODIES };
enum { P_CONSTANT, P_1, P_2, P_3, P_LAY_IDLER, P_R, GEARBOX_PAIRS };
enum { FIRST, SECOND, THIRD, TOP, REVERSE, GEARBOX_GEARS };
enum {
	B_INPUT,
	B_PILOT,
	B_SPIGOT,
	B_MAIN,
	B_LAY_FRONT,
	B_LAY_REAR,
	B_IDLER,
	B_FREE_1,
	B_FREE_2,
	B_FREE_3,
	B_FREE_R,
	GEARBOX_BEARINGS
};

/* The constant pair drives the layshaft in every gear; each free gear is locked to the main shaft
 * in its own, the input to the main shaft in top. */
static const struct fw_train *gearbox(void)
{
	static const char *const body[GEARBOX_BODIES] = {
	    "case",       "engine",      "input",      "layshaft", "main shaft",
	    "first gear", "second gear", "third gear", "idler",    "reverse gear"};
	static const char *const gear[GEARBOX_GEARS] = {"1st", "2nd", "3rd", "top", "reverse"};
	static const struct fw_train_pair pair[GEARBOX_PAIRS] = {
	    {"constant", INPUT, LAY, 21, 38, false, FW_ALWAYS},
	    {"first", LAY, FREE_1, 17, 35, false, FW_ALWAYS},
	    {"second", LAY, FREE_2, 25, 29, false, FW_ALWAYS},
	    {"third", LAY, FREE_3, 32, 24, false, FW_ALWAYS},
	    {"reverse pinion", LAY, IDLER, 15, 20, false, FW_ALWAYS},
	    {"reverse", IDLER, FREE_R, 20, 33, false, FW_ALWAYS},
	};
	static const struct fw_train_lock lock[] = {
	    {"1st dog", FREE_1, MAIN, 1u << FIRST},       {"2nd dog", FREE_2, MAIN, 1u << SECOND},
	    {"3rd dog", FREE_3, MAIN, 1u << THIRD},       {"top dog", INPUT, MAIN, 1u << TOP},
	    {"reverse dog", FREE_R, MAIN, 1u << REVERSE},
	};
	static const struct fw_bearing ball = {FW_BALL_BEARING, 9, 1, 0.0095, 0.0465, 0.0, 0.0};
	static const struct fw_train_bearing bearing[GEARBOX_BEARINGS] = {
	    {"input bearing", INPUT, CASE, &ball},       {"pilot bearing", INPUT, ENGINE, NULL},
	    {"spigot bearing", MAIN, INPUT, NULL},       {"main rear bearing", MAIN, CASE, &ball},
	    {"layshaft front bearing", LAY, CASE, NULL}, {"layshaft rear bearing", LAY, CASE, &ball},
	    {"idler bush", CASE, IDLER, NULL},           {"first needles", MAIN, FREE_1, NULL},
	    {"second needles", MAIN, FREE_2, NULL},      {"third needles", MAIN, FREE_3, NULL},
	    {"reverse needles", MAIN, FREE_R, NULL},
	};
	static const struct fw_train train = {
	    .body = body,
	    .bodies = GEARBOX_BODIES,
	    .pair = pair,
	    .pairs = GEARBOX_PAIRS,
	    .lock = lock,
	    .locks = sizeof lock / sizeof lock[0],
	    .bearing = bearing,
	    .bearings = GEARBOX_BEARINGS,
	    .gear = gear,
	    .gears = GEARBOX_GEARS,
	    .input = INPUT,
	    .output = MAIN,
	    .engine = ENGINE,
	};

	return &train;
}

#endif
