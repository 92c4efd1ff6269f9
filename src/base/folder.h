/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file folder.h  The folder that a file stands in. */
#ifndef FITWRIGHT_BASE_FOLDER_H
#define FITWRIGHT_BASE_FOLDER_H

#include "fitwright/error.h"

/* Its path, malloc'ed: "." for a bare name, "/" for what stands in the root. NULL: out of memory. */
char *fw_folder_above(const char *path);
/* A new name is on the disk only when the folder it stands in is. FW_ERR_TRAIL: the disk failed. */
int fw_folder_sync_above(const char *path, struct fw_error *err);

#endif
