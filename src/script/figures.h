/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file figures.h
 * The figures of a unit sheet as Lua values: limits, kits, joints, gauges, lists and single
 * figures. They can't be changed once made, and none is made without saying where it comes from.
 */
#ifndef FITWRIGHT_SCRIPT_FIGURES_H
#define FITWRIGHT_SCRIPT_FIGURES_H

#include <stdbool.h>
#include <stddef.h>

#include <jansson.h>
#include <lua.h>

#include "fitwright/conform.h"
#include "fitwright/joint.h"
#include "fitwright/measure.h"
#include "fitwright/quantity.h"
#include "fitwright/shim.h"
#include "fitwright/strip.h"
#include "fitwright/wrench.h"

enum fw_figure_kind {
	FW_FIGURE_LIMITS,
	FW_FIGURE_KIT,
	FW_FIGURE_JOINT,
	FW_FIGURE_GAUGE,
	FW_FIGURE_LIST,
	FW_FIGURE_VALUE,
	FW_FIGURE_KINDS
};

/* Longest text of a source. */
#define FW_SOURCE_MOST 500

/* Where a figure comes from. */
struct fw_figure_source {
	const char *grade; /* "standard", "maker", "measured", "owner", "practice" */
	char text[];
};

struct fw_figure_limits {
	struct fw_limits si;
	const struct fw_unit *unit;
};

struct fw_figure_kit {
	const struct fw_unit *unit;
	size_t count;
	struct fw_shim shim[];
};

struct fw_figure_joint {
	struct fw_joint joint;
	struct fw_quantity torque; /* that clamps: the prevailing one comes on top */
	unsigned bolts;
	unsigned rows, columns; /* 0: a circle */
	bool left_hand;
	char thread[32], property_class[24], friction[24];
	char head_friction[24]; /* "" when it is as the thread's */
	double tensile;         /* strength of the bolt, Pa; 0 when unknown */
	bool has_prevailing;
	struct fw_quantity prevailing;
	bool has_adapter;
	struct fw_adapter adapter;
	double factor; /* setting of the wrench over torque at the bolt; 1 without an adapter */
	struct fw_quantity adapter_length, adapter_extension, adapter_angle;
	bool has_parent; /* the thread may strip: */
	struct fw_quantity engagement;
	char parent[32];
	struct fw_strip strip;
};

struct fw_figure_gauge {
	struct fw_gauge gauge; /* its strings point into the members below */
	const struct fw_unit *unit;
	char name[64], source[FW_SOURCE_MOST + 16]; /* the source: "grade: text" */
};

/* "limits", "kit" … as a procedure declares them; -1 for an unknown name. */
const char *fw_figure_kind_name(enum fw_figure_kind kind);
int fw_figure_kind_find(const char *name);

bool fw_figure_is(lua_State *L, int index, enum fw_figure_kind kind);
/* The payload of a figure of that kind, or NULL. A list and a single figure have none. */
const void *fw_figure_get(lua_State *L, int index, enum fw_figure_kind kind);
/* The kind of the figure at `index`, or -1. */
int fw_figure_kind(lua_State *L, int index);

/* The source at `index`, or NULL; and that of a figure. */
const struct fw_figure_source *fw_source_get(lua_State *L, int index);
const struct fw_figure_source *fw_figure_source(lua_State *L, int index);

/* Pushes what a procedure gets for the figure at `index`: a list as a plain table, a single figure
 * as its quantity, the others as they are. */
void fw_figure_push_value(lua_State *L, int index);

/* JSON of docs/trail.md. NULL when out of memory. */
json_t *fw_figure_limits_json(const struct fw_figure_limits *limits,
                              const struct fw_figure_source *source);
json_t *fw_figure_source_json(const struct fw_figure_source *source);

/* One line in words, "0.13 mm to 0.64 mm, aim 0.38 mm", pushed as a string. */
void fw_figure_push_text(lua_State *L, int index);

#endif
