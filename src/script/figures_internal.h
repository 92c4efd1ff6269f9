/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file figures_internal.h  Between figures.c and the words that make figures. */
#ifndef FITWRIGHT_SCRIPT_FIGURES_INTERNAL_H
#define FITWRIGHT_SCRIPT_FIGURES_INTERNAL_H

#include "figures.h"

/* Pushes a figure with a zeroed payload of `size` and the fields of the table at index 1. */
void *fw_figure_new(lua_State *L, enum fw_figure_kind kind, size_t size);

/* The body of standard "…", maker "…" and so on: pushes the source. */
int fw_source_new(lua_State *L, const char *grade);

/* Whether a kind of figure can have that field. */
bool fw_figure_has_field(enum fw_figure_kind kind, const char *name);

#endif
