/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file stack.h  A stack of shims or gaskets as a Lua value. */
#ifndef FITWRIGHT_SCRIPT_STACK_H
#define FITWRIGHT_SCRIPT_STACK_H

#include <jansson.h>
#include <lua.h>

#include "bench_kit.h"
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

/* Pushes a stack value. */
void fw_stack_push(lua_State *L, const struct fw_shim_choice *choice,
                   const struct fw_bench_kit *kit);
const struct fw_lua_stack *fw_stack_get(lua_State *L, int index); /* or NULL */

/* A length in `unit`, as a quantity with standard uncertainty `u` of source `label` (NULL: none).
 */
struct fw_quantity fw_stack_length(double si, double u, const char *label,
                                   const struct fw_unit *unit);
/* "shims" of docs/trail.md: the pieces as supplied. NULL when out of memory. */
json_t *fw_stack_pieces_json(const struct fw_lua_stack *stack);
/* Pushes "0.40 + 0.25 mm (0.65 mm)". */
void fw_stack_push_text(lua_State *L, const struct fw_lua_stack *stack);

/* How the choice of a stack is recorded as a finding. */
struct fw_stack_finding {
	const char *find;       /* "stack", "gasket" */
	const char *limits;     /* field of the call that holds the limits */
	const char *given_name; /* what it was chosen for: "datum", "gap" */
	struct fw_quantity given;
	const char *outcome;        /* what it leaves: "play", "nip" */
	const struct fw_unit *unit; /* of the outcome */
	const char *sentence;       /* with %s for the stack, the outcome and its chance */
};

/* Makes the finding, for the call whose table is at `args`. Leaves the stack as it was. */
void fw_stack_find(lua_State *L, int args, const struct fw_lua_stack *stack,
                   const struct fw_stack_finding *finding);

#endif
