/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file bench_kit.h  A kit of shims or gaskets that can grow while the job runs. */
#ifndef FITWRIGHT_SCRIPT_BENCH_KIT_H
#define FITWRIGHT_SCRIPT_BENCH_KIT_H

#include "figures.h"
#include "fitwright/shim.h"
#include "words.h"

struct fw_bench_kit {
	const struct fw_unit *unit;
	size_t count, room;
	struct fw_shim shim[];
};

/* How many sizes can be added at the bench. */
#define FW_BENCH_SIZES 32

/* Pushes a userdata with a copy of the kit. */
struct fw_bench_kit *fw_bench_kit_new(lua_State *L, const struct fw_figure_kit *kit);

/* Nothing in the kit serves, because of `why`: asks what could be got instead. `next` calls
 * fw_bench_kit_take(), then chooses again. */
int fw_bench_kit_ask(lua_State *L, const struct fw_word *word, int args,
                     const struct fw_bench_kit *kit, const char *why, lua_KFunction next);
void fw_bench_kit_take(lua_State *L, struct fw_bench_kit *kit);

#endif
