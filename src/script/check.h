/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file check.h
 * Between the files of `check`: a check that isn't within its limits stops the work until it is
 * corrected or conceded, and nothing is signed over one that is neither.
 *
 * All of it runs in frames that begin alike: index 1 the call's table, index 2 the struct fw_check.
 */
#ifndef FITWRIGHT_SCRIPT_CHECK_H
#define FITWRIGHT_SCRIPT_CHECK_H

#include <stdbool.h>

#include "figures.h"
#include "fitwright/conform.h"
#include "words.h"

/* A check as it stands. Plain data in a userdata. */
struct fw_check {
	struct fw_quantity value;
	struct fw_conformity verdict;
	bool late; /* asked about again, since the work is to be signed or ends */
};

/* word_check.c */
/* Takes the value of the call, measuring anew where it is a function, and judges it. */
int fw_check_measure(lua_State *L);
/* Pushes what `check` returns. */
void fw_check_push_outcome(lua_State *L, const struct fw_check *check, bool conceded);
/* What is checked, in words; and the limits of the call. */
const char *fw_check_name(lua_State *L);
const struct fw_figure_limits *fw_check_limits(lua_State *L);
/* Whether the call measures by itself. */
bool fw_check_can_measure(lua_State *L);
/* Pushes "end float: 0.42 mm ± 0.02 mm". */
void fw_check_push_value(lua_State *L, const struct fw_check *check);

/* check_stop.c: asks what is to be done; returns the outcome of the check. */
int fw_check_stop(lua_State *L);

/* check_open.c: those that are neither within nor conceded. */
void fw_check_open(lua_State *L);
void fw_check_settle(lua_State *L);
/* A function without arguments that returns once none is open. */
int fw_check_close_all(lua_State *L);

#endif
