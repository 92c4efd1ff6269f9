/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file sandbox.h
 * The room a procedure runs in: a Lua state with an allow-list of functions, a cap on memory and on
 * instructions, and no way to see a clock, a file, an address or a random number.
 *
 * Scripts have assert error ipairs pairs pcall select tonumber tostring type, string, table, math
 * and utf8, each without what is unbounded or not the same on every run. There are no patterns and
 * no metatables. pairs goes by numbers ascending, then texts by bytes, then false and true. A text
 * is at most 256 KiB long, a source 128 KiB, a call has at most 250 values in "...", pcall works
 * down to 200 calls deep.
 */
#ifndef FITWRIGHT_SCRIPT_SANDBOX_H
#define FITWRIGHT_SCRIPT_SANDBOX_H

#include <stddef.h>
#include <stdint.h>

#include <lua.h>

#include "fitwright/error.h"

struct fw_sandbox; /* opaque */

struct fw_sandbox_limits {
	size_t memory;         /* bytes for the whole state; 0: default, 64 MiB */
	uint64_t instructions; /* per slice (one fw_sandbox_resume()); 0: default, 20 million */
};

/* Makes the state. `context` is what fw_sandbox_context() returns inside C functions. */
int fw_sandbox_new(struct fw_sandbox **out, const struct fw_sandbox_limits *limits, void *context,
                   struct fw_error *err);
void fw_sandbox_free(struct fw_sandbox *box); /* NULL is allowed */

/* The main state. C code that sets it up calls it through fw_sandbox_protect(). */
lua_State *fw_sandbox_state(struct fw_sandbox *box);

/* The context given to fw_sandbox_new(), from any thread (coroutine) of the state. */
void *fw_sandbox_context(lua_State *L);

/* Runs `setup` (a lua_CFunction, light argument `argument` at index 1 as light userdata) protected
 * on the main state; out of memory or an error becomes FW_ERR_*. For the host's own set-up work
 * only. */
int fw_sandbox_protect(struct fw_sandbox *box, lua_CFunction setup, void *argument,
                       struct fw_error *err);

/* Puts a name into the environment that scripts see (value on top of the main state, popped). Call
 * inside fw_sandbox_protect(). Scripts can't assign over it: globals of the room are read-only, and
 * a script's own globals are refused with an error that says to write `local`. */
void fw_sandbox_define(lua_State *L, const char *name);

/* The same for a table of functions, which scripts see as a read-only stand-in: "shims", "string".
 */
void fw_sandbox_define_library(lua_State *L, const char *name);

/* Replaces the table on top by a read-only stand-in: reading a text key that isn't there raises
 * "unknown name 'name.key'", writing raises; pairs, ipairs and # see the table. For libraries and
 * sheets. May raise. */
void fw_sandbox_read_only(lua_State *L, const char *name);

/* Reading a text key that the table on top doesn't have raises "unknown name 'name.key'": for what a
 * word returns. May raise. */
void fw_sandbox_guard(lua_State *L, const char *name);

/* Charges the slice for work done in C, 1 an instruction (some 10 ns); raises when the budget is
 * spent. Every C function whose time grows with its arguments calls it first. */
void fw_sandbox_charge(lua_State *L, uint64_t units);

/* Makes a coroutine whose body is the chunk `bytes` (text only) named `name` ("procedure.lua",
 * shown in messages as file:line), and anchors it in the state. FW_ERR_SCRIPT carries the syntax
 * error. */
int fw_sandbox_load(struct fw_sandbox *box, lua_State **thread, const char *bytes, size_t size,
                    const char *name, struct fw_error *err);

/* Makes a coroutine of the function on top of `from` (popped), anchored. Call inside protected
 * code. */
lua_State *fw_sandbox_thread(lua_State *from);

enum fw_slice { FW_SLICE_DONE, FW_SLICE_YIELDED };

/* Runs a slice of a thread with a full instruction budget: resumes with `arguments` values from its
 * stack. On success *slice tells whether it ended or yielded, *results how many values it left on
 * its stack. On failure: FW_ERR_SCRIPT (message with file:line, and the line in the procedure from
 * the traceback when the error rose in a C function), FW_ERR_LIMIT (instructions or memory spent,
 * with file:line where), FW_ERR_MEMORY. A script can swallow neither of the limits with pcall. */
int fw_sandbox_resume(struct fw_sandbox *box, lua_State *thread, int arguments,
                      enum fw_slice *slice, int *results, struct fw_error *err);

/* Marks the state as failed: from now on every slice, and every call of pcall inside the script,
 * ends with this message. For the host, when it can't go on (a replay that doesn't match). */
void fw_sandbox_doom(struct fw_sandbox *box, int code, const char *message);

#endif
