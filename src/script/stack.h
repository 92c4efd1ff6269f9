/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file stack.h  A stack of shims or gaskets as a Lua value, and a kit that can grow at the bench. */
#ifndef FITWRIGHT_SCRIPT_STACK_H
#define FITWRIGHT_SCRIPT_STACK_H

#include <jansson.h>
#include <lua.h>

#include "figures.h"
#include "fitwright/shim.h"

/* A chosen stack. */
struct fw_lua_stack {
	const struct fw_unit *unit;
	size_t count;
	double piece[FW_STACK_MOST]; /* as supplied, m */
	double thickness, u;         /* as fitted, m */
	double play, play_u;         /* predicted, m */
	double probability;
};

/* A kit with room for what is got while the job runs. */
struct fw_bench_kit {
	const struct fw_unit *unit;
	size_t count, room;
	struct fw_shim shim[];
};

/* How many sizes can be added at the bench. */
#define FW_BENCH_SIZES 32

/* Pushes a userdata with a copy of the kit. */
struct fw_bench_kit *fw_bench_kit_new(lua_State *L, const struct fw_figure_kit *kit);
/* Adds one piece of that thickness; false when there is no room or it is there already (then its count
 * goes up). */
bool fw_bench_kit_add(struct fw_bench_kit *kit, double thickness);

/* Pushes a stack value. */
void fw_stack_push(lua_State *L, const struct fw_shim_choice *choice, const struct fw_bench_kit *kit);
const struct fw_lua_stack *fw_stack_get(lua_State *L, int index); /* or NULL */

/* A length in `unit`, as a quantity with standard uncertainty `u` of source `label` (NULL: none). */
struct fw_quantity fw_stack_length(double si, double u, const char *label,
                                   const struct fw_unit *unit);
/* "shims" of docs/trail.md: the pieces as supplied. NULL when out of memory. */
json_t *fw_stack_pieces_json(const struct fw_lua_stack *stack);
/* Pushes "0.40 + 0.25 mm (0.65 mm)". */
void fw_stack_push_text(lua_State *L, const struct fw_lua_stack *stack);

#endif
