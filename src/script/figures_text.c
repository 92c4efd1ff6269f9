/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures in words, for reports and messages. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "figures.h"
#include "lua_quantity.h"
#include "words.h"

static const char *length_text(double si, const struct fw_unit *unit, char *buffer, size_t size)
{
	struct fw_quantity q = fw_quantity_of(si, unit);

	return fw_quantity_text(&q, false, buffer, size);
}

static void limits_text(const struct fw_figure_limits *limits, char *out, size_t size)
{
	const struct fw_limits *si = &limits->si;
	char min[64], max[64], aim[64];

	length_text(isfinite(si->min) ? si->min : 0.0, limits->unit, min, sizeof min);
	length_text(isfinite(si->max) ? si->max : 0.0, limits->unit, max, sizeof max);
	if (!isfinite(si->min))
		snprintf(out, size, "at most %s", max);
	else if (!isfinite(si->max))
		snprintf(out, size, "at least %s", min);
	else
		snprintf(out, size, "%s to %s", min, max);
	if (!isnan(si->aim)) {
		size_t used = strlen(out);
		snprintf(out + used, size - used, ", aim %s",
		         length_text(si->aim, limits->unit, aim, sizeof aim));
	}
}

static void kit_text(const struct fw_figure_kit *kit, char *out, size_t size)
{
	char low[64], high[64];
	double least = INFINITY, most = 0.0;
	unsigned pieces = 0;

	for (size_t i = 0; i < kit->count; i++) {
		least = fmin(least, kit->shim[i].thickness);
		most = fmax(most, kit->shim[i].thickness);
		pieces += kit->shim[i].count;
	}
	snprintf(out, size, "%u pieces in %zu sizes, %s to %s", pieces, kit->count,
	         length_text(least, kit->unit, low, sizeof low),
	         length_text(most, kit->unit, high, sizeof high));
}

static void joint_text(const struct fw_figure_joint *joint, char *out, size_t size)
{
	char torque[64], rows[48] = "", head[48] = "";

	if (joint->rows)
		snprintf(rows, sizeof rows, " in %u rows of %u", joint->rows, joint->columns);
	if (joint->head_friction[0])
		snprintf(head, sizeof head, " (head %s)", joint->head_friction);
	snprintf(out, size, "%u × %s%s%s%s, %s%s, %s%s", joint->bolts, joint->thread,
	         joint->property_class[0] ? " class " : "", joint->property_class, rows,
	         joint->friction, head, fw_quantity_text(&joint->torque, false, torque, sizeof torque),
	         joint->left_hand ? ", left-hand thread" : "");
}

static void gauge_text(const struct fw_figure_gauge *gauge, char *out, size_t size)
{
	char resolution[64], limit[64];
	struct fw_quantity step = fw_quantity_span(gauge->gauge.resolution, gauge->unit);
	struct fw_quantity error = fw_quantity_span(gauge->gauge.error, gauge->unit);

	snprintf(out, size, "%s, reads to %s, limit of error %s", gauge->name,
	         fw_quantity_text(&step, false, resolution, sizeof resolution),
	         fw_quantity_text(&error, false, limit, sizeof limit));
}

static void push_list_text(lua_State *L, int index)
{
	luaL_Buffer list;

	fw_figure_push_value(L, index);
	int table = lua_gettop(L);
	luaL_buffinit(L, &list);
	for (lua_Integer i = 1; i <= (lua_Integer)lua_rawlen(L, table); i++) {
		if (i > 1)
			luaL_addstring(&list, ", ");
		lua_rawgeti(L, table, i);
		luaL_addvalue(&list);
	}
	luaL_pushresult(&list);
	lua_remove(L, table);
}

static void value_text(lua_State *L, int index, char *out, size_t size)
{
	struct fw_quantity q;
	char text[64];

	fw_figure_push_value(L, index);
	if (fw_lua_quantity_get(L, lua_gettop(L), &q))
		snprintf(out, size, "%s", fw_quantity_text(&q, false, text, sizeof text));
	lua_pop(L, 1);
}

void fw_figure_push_text(lua_State *L, int index)
{
	char text[256] = "";
	int kind = fw_figure_kind(L, index);

	index = lua_absindex(L, index);
	switch (kind) {
	case FW_FIGURE_LIMITS:
		limits_text(fw_figure_get(L, index, FW_FIGURE_LIMITS), text, sizeof text);
		break;
	case FW_FIGURE_KIT:
		kit_text(fw_figure_get(L, index, FW_FIGURE_KIT), text, sizeof text);
		break;
	case FW_FIGURE_JOINT:
		joint_text(fw_figure_get(L, index, FW_FIGURE_JOINT), text, sizeof text);
		break;
	case FW_FIGURE_GAUGE:
		gauge_text(fw_figure_get(L, index, FW_FIGURE_GAUGE), text, sizeof text);
		break;
	case FW_FIGURE_LIST:
		push_list_text(L, index);
		return;
	case FW_FIGURE_VALUE:
		value_text(L, index, text, sizeof text);
		break;
	default:
		break;
	}
	lua_pushstring(L, text);
}
