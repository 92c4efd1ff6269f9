/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file sandbox_internal.h  What the files of the sandbox share; nobody else includes it, save its
 * tests. */
#ifndef FITWRIGHT_SCRIPT_SANDBOX_INTERNAL_H
#define FITWRIGHT_SCRIPT_SANDBOX_INTERNAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <lauxlib.h>
#include <lua.h>

#include "script/sandbox.h"

enum {
	FW_BOX_STEP = 1000,         /* instructions between two calls of the hook */
	FW_BOX_ARGUMENTS = 250,     /* most values in "..." and most results of unpack and byte */
	FW_BOX_STRING = 256 * 1024, /* longest string */
	FW_BOX_SOURCE = 128 * 1024, /* longest chunk: the compiler runs without a hook */
	FW_BOX_PLACE = 96           /* "file:line: " */
};

#define FW_BOX_MEMORY       ((size_t)64 * 1024 * 1024)
#define FW_BOX_INSTRUCTIONS UINT64_C(20000000)

/* Why the allocator last said no. */
enum fw_refusal {
	FW_REFUSED_NOTHING,
	FW_REFUSED_CAP,
	FW_REFUSED_STRING,
	FW_REFUSED_WORK,
	FW_REFUSED_SYSTEM
};

struct fw_sandbox {
	lua_State *L;
	lua_State *running; /* the thread of the slice under way, or NULL */
	void *context;
	size_t memory, used;   /* bytes: cap, in use */
	size_t largest;        /* biggest block ever that is not a string: a table may be that sparse */
	size_t longest;        /* longest string ever: one instruction may compare that much */
	uint64_t budget, left; /* work units, 1 an instruction */
	uint64_t allocations;  /* how many more may succeed; tests make it small */
	enum fw_refusal refusal;
	int depth; /* of protected entries; 0: the host is outside, nothing is charged */
	bool spent;
	bool out_of_memory;
	int doom;                    /* FW_ERR_* once doomed */
	char place[FW_BOX_PLACE];    /* where the budget ran out */
	char message[FW_ERROR_TEXT]; /* of the doom */
};

/* fw_sandbox_new() with only so many allocations that succeed. */
int fw_sandbox_new_within(struct fw_sandbox **out, const struct fw_sandbox_limits *limits,
                          void *context, uint64_t allocations, struct fw_error *err);

struct fw_sandbox *fw_sandbox_of(lua_State *L);

/* The allocator (lua_Alloc) that counts. */
void *fw_sandbox_allocate(void *box, void *block, size_t old, size_t size);

/* "file:line: " of the innermost Lua function of L, or "". Allocates nothing. */
void fw_sandbox_place(lua_State *L, char *out, size_t size);

/* The hook that charges instructions and refuses endless argument lists. */
void fw_sandbox_hook(lua_State *L, lua_Debug *activation);

/* Whether nothing may go on: budget or memory spent, or doomed. */
bool fw_sandbox_over(const struct fw_sandbox *box);

/* Raises the error that no pcall of a script keeps. */
int fw_sandbox_raise(lua_State *L);

/* Pushes the metatable key under which a read-only stand-in keeps its table: the table itself, or
 * nothing. */
bool fw_sandbox_push_original(lua_State *L, int index);

/* Pushes the text a script sees for any value: no addresses. */
const char *fw_sandbox_tostring(lua_State *L, int index, size_t *length);

/* string.format and table.sort, each in its own file. */
int fw_sandbox_format(lua_State *L);
int fw_sandbox_sort(lua_State *L);

/* Each pushes nothing and defines its part of the environment. */
void fw_sandbox_open_base(lua_State *L);
void fw_sandbox_open_pairs(lua_State *L);
void fw_sandbox_open_string(lua_State *L);
void fw_sandbox_open_table(lua_State *L);
void fw_sandbox_open_math(lua_State *L);

/* Copies `names` (NULL-terminated) from the library that `open` makes into the table on top; its
 * functions then pay for their arguments first. */
void fw_sandbox_borrow(lua_State *L, lua_CFunction open, const char *const *names);

/* Charges for the length of every text among the arguments: even to read one as a number takes a
 * walk. */
void fw_sandbox_charge_arguments(lua_State *L);

#endif
