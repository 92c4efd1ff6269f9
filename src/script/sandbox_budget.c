/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory and work: what a script may use, and how it is stopped. */
#include <stdio.h>
#include <stdlib.h>

#include "script/sandbox_internal.h"

enum {
	BYTES_PER_UNIT = 16,   /* allocated: making and collecting them costs about an instruction */
	STRING_PER_UNIT = 256, /* compared by one instruction */
	STRING_HEAD = 64       /* what Lua keeps beside the characters, at most */
};

/* Takes without raising; the hook or the next charge raises. */
static void take(struct fw_sandbox *box, uint64_t units)
{
	if (box->depth > 0)
		box->left -= units < box->left ? units : box->left;
}

static bool refuse(struct fw_sandbox *box, enum fw_refusal why)
{
	box->refusal = why;
	/* Lua now collects everything and asks again. */
	take(box, box->used / BYTES_PER_UNIT);
	return false;
}

static bool may_grow(struct fw_sandbox *box, bool string, size_t old, size_t size)
{
	if (box->depth > 0 && box->left == 0)
		return refuse(box, FW_REFUSED_WORK);
	if (string && size > FW_BOX_STRING + STRING_HEAD)
		return refuse(box, FW_REFUSED_STRING);
	if (size - old > box->memory - box->used)
		return refuse(box, FW_REFUSED_CAP);
	if (box->allocations == 0)
		return refuse(box, FW_REFUSED_SYSTEM);
	box->allocations--;
	return true;
}

static void note_size(struct fw_sandbox *box, bool string, size_t size)
{
	size_t *most = string ? &box->longest : &box->largest;
	if (size > *most)
		*most = size;
	take(box, size / BYTES_PER_UNIT);
}

void *fw_sandbox_allocate(void *user, void *block, size_t old, size_t size)
{
	struct fw_sandbox *box = user;
	/* Without a block, `old` tells what kind of object it is for. */
	bool string = !block && old == LUA_TSTRING;
	size_t had = block ? old : 0;

	if (size == 0) {
		free(block);
		box->used -= had;
		return NULL;
	}
	bool grows = size > had;
	if (grows && !may_grow(box, string, had, size))
		return NULL;

	void *fresh = realloc(block, size);
	if (!fresh && grows) {
		refuse(box, FW_REFUSED_SYSTEM);
		return NULL;
	}
	box->used = box->used - had + size;
	if (grows)
		note_size(box, string, size);
	return fresh ? fresh : block; /* to shrink never fails */
}

void fw_sandbox_place(lua_State *L, char *out, size_t size)
{
	lua_Debug at;
	out[0] = '\0';
	for (int level = 0; lua_getstack(L, level, &at); level++) {
		lua_getinfo(L, "Sl", &at);
		if (at.currentline > 0) {
			snprintf(out, size, "%s:%d: ", at.short_src, at.currentline);
			return;
		}
	}
}

bool fw_sandbox_over(const struct fw_sandbox *box)
{
	return box->spent || box->out_of_memory || box->doom != 0;
}

int fw_sandbox_raise(lua_State *L)
{
	/* A light value: raising it allocates nothing. */
	lua_pushlightuserdata(L, fw_sandbox_of(L));
	return lua_error(L);
}

static void spend(lua_State *L, struct fw_sandbox *box)
{
	if (!box->spent)
		fw_sandbox_place(L, box->place, sizeof box->place);
	box->left = 0;
	box->spent = true;
	/* From now on every instruction raises, whatever catches it. */
	lua_sethook(L, fw_sandbox_hook, LUA_MASKCOUNT | LUA_MASKCALL, 1);
	fw_sandbox_raise(L);
}

void fw_sandbox_charge(lua_State *L, uint64_t units)
{
	struct fw_sandbox *box = fw_sandbox_of(L);
	if (box->depth == 0)
		return;
	if (units >= box->left)
		spend(L, box);
	box->left -= units;
}

void fw_sandbox_hook(lua_State *L, lua_Debug *activation)
{
	struct fw_sandbox *box = fw_sandbox_of(L);
	if (box->depth == 0)
		return;
	if (fw_sandbox_over(box))
		fw_sandbox_raise(L);
	if (activation->event == LUA_HOOKCOUNT) {
		fw_sandbox_charge(L, FW_BOX_STEP * (1 + box->longest / STRING_PER_UNIT));
		return;
	}
	/* Each use of a long "..." copies it whole in one instruction. */
	if (lua_getlocal(L, activation, -(FW_BOX_ARGUMENTS + 1))) {
		luaL_where(L, 0);
		lua_pushfstring(L, "more than %d arguments in a call", FW_BOX_ARGUMENTS);
		lua_concat(L, 2);
		lua_error(L);
	}
}
