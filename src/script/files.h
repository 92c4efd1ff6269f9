/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file files.h  How procedure, sheet and modules find each other in the Lua registry. */
#ifndef FITWRIGHT_SCRIPT_FILES_H
#define FITWRIGHT_SCRIPT_FILES_H

#include <lua.h>

/* Registry keys: the table given to procedure {}, to sheet {}, and the modules loaded, by name. */
#define FW_FILES_PROCEDURE "fw.procedure"
#define FW_FILES_SHEET     "fw.sheet"
#define FW_FILES_MODULES   "fw.modules"

/* Longest name of a module. */
#define FW_FILES_NAME_MOST 60

/* Holds the sheet against what the procedure declares, raises with every difference at once, and
 * leaves on the stack what `run` is called with. `name` is the sheet's file, for messages; NULL:
 * there is none. */
void fw_files_push_sheet(lua_State *L, const char *name);

#endif
