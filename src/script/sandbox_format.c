/* SPDX-License-Identifier: GPL-3.0-or-later */
/* string.format with bounded width and precision, without %p and %q. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "script/sandbox_internal.h"

enum {
	NUMBER_COST = 400, /* units for one number: some 4 microseconds at worst */
	ROOM = 512         /* "%.99f" of the largest double takes 309 + 1 + 99 and a sign */
};

/* One directive: "%-08.3" as text, and its letter. */
struct directive {
	char text[16];
	size_t length;
	int width, precision; /* -1: not given */
	bool left;
	char letter;
};

static const char *read_two_digits(const char *at, int *out)
{
	for (int digits = 0; digits < 2 && *at >= '0' && *at <= '9'; digits++)
		*out = (*out < 0 ? 0 : *out) * 10 + (*at++ - '0');
	return at;
}

/* Reads what follows '%'; gives the place after the letter. The format ends in a zero byte. */
static const char *read_directive(lua_State *L, const char *at, struct directive *d)
{
	const char *start = at;
	size_t flags = strspn(at, "-+ #0");

	*d = (struct directive){.width = -1, .precision = -1, .left = memchr(at, '-', flags) != NULL};
	at = read_two_digits(at + flags, &d->width);
	if (*at == '.') {
		d->precision = 0;
		at = read_two_digits(at + 1, &d->precision);
	}
	size_t length = (size_t)(at - start);
	if (flags > 5 || (*at >= '0' && *at <= '9') || length > sizeof d->text - 6)
		luaL_error(L, "string.format: width, precision or flags too long in a directive");
	d->text[0] = '%';
	memcpy(d->text + 1, start, length);
	d->length = length + 1;
	d->letter = *at;
	return *at ? at + 1 : at;
}

/* Completes the directive for snprintf: "%-8.3" + "ll" + "d". */
static void finish(struct directive *d, const char *modifier)
{
	snprintf(d->text + d->length, sizeof d->text - d->length, "%s%c", modifier, d->letter);
}

static void add_integer(lua_State *L, luaL_Buffer *buffer, struct directive *d, int argument)
{
	lua_Integer value = luaL_checkinteger(L, argument);
	char *room = luaL_prepbuffsize(buffer, ROOM);
	finish(d, LUA_INTEGER_FRMLEN);
	luaL_addsize(buffer, (size_t)snprintf(room, ROOM, d->text, (LUAI_UACINT)value));
}

static void add_number(lua_State *L, luaL_Buffer *buffer, struct directive *d, int argument)
{
	lua_Number value = luaL_checknumber(L, argument);
	fw_sandbox_charge(L, NUMBER_COST);
	char *room = luaL_prepbuffsize(buffer, ROOM);
	if (isnan(value))
		value = copysign(value, 1.0); /* its sign differs between processors */
	finish(d, "");
	luaL_addsize(buffer, (size_t)snprintf(room, ROOM, d->text, value));
}

static void add_padding(luaL_Buffer *buffer, const struct directive *d, size_t length)
{
	for (size_t width = d->width < 0 ? 0 : (size_t)d->width; length < width; length++)
		luaL_addchar(buffer, ' ');
}

static void add_text(lua_State *L, luaL_Buffer *buffer, const struct directive *d, int argument)
{
	size_t length;
	luaL_checkany(L, argument);
	/* The text goes in place of the argument: the buffer wants the top of the stack to itself. */
	fw_sandbox_tostring(L, argument, &length);
	lua_replace(L, argument);
	const char *text = lua_tolstring(L, argument, &length);
	if (d->precision >= 0 && (size_t)d->precision < length)
		length = (size_t)d->precision;
	if (!d->left)
		add_padding(buffer, d, length);
	luaL_addlstring(buffer, text, length);
	if (d->left)
		add_padding(buffer, d, length);
}

static void add_character(lua_State *L, luaL_Buffer *buffer, const struct directive *d,
                          int argument)
{
	char c = (char)luaL_checkinteger(L, argument);
	if (!d->left)
		add_padding(buffer, d, 1);
	luaL_addchar(buffer, c);
	if (d->left)
		add_padding(buffer, d, 1);
}

static void add_value(lua_State *L, luaL_Buffer *buffer, struct directive *d, int argument)
{
	switch (d->letter) {
	case 'd':
	case 'i':
	case 'x':
	case 'X':
	case 'o':
		add_integer(L, buffer, d, argument);
		break;
	case 'e':
	case 'E':
	case 'f':
	case 'F':
	case 'g':
	case 'G':
	case 'a':
	case 'A':
		add_number(L, buffer, d, argument);
		break;
	case 's':
		add_text(L, buffer, d, argument);
		break;
	case 'c':
		add_character(L, buffer, d, argument);
		break;
	default:
		luaL_error(L, "string.format: '%%%c' is not a directive here", d->letter);
	}
}

/* format(form, ...) */
int fw_sandbox_format(lua_State *L)
{
	size_t length;
	const char *at = luaL_checklstring(L, 1, &length), *end = at + length;
	int argument = 1, count = lua_gettop(L);
	luaL_Buffer buffer;

	fw_sandbox_charge_arguments(L);
	luaL_buffinit(L, &buffer);
	while (at < end) {
		if (*at != '%') {
			luaL_addchar(&buffer, *at++);
			continue;
		}
		if (*++at == '%') {
			luaL_addchar(&buffer, *at++);
			continue;
		}
		struct directive d;
		at = read_directive(L, at, &d);
		if (++argument > count)
			return luaL_argerror(L, argument, "no value");
		add_value(L, &buffer, &d, argument);
		if (luaL_bufflen(&buffer) > FW_BOX_STRING)
			return luaL_error(L, "string.format: the result is longer than %d KiB",
			                  FW_BOX_STRING / 1024);
	}
	luaL_pushresult(&buffer);
	return 1;
}
