/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify.h  For audits: a job checked and read in one go. */
#ifndef FITWRIGHT_TRAIL_VERIFY_H
#define FITWRIGHT_TRAIL_VERIFY_H

#include "fitwright/trail.h"

/** Who hears what. */
struct fw_verify_walk {
	void (*report)(void *context, const struct fw_flaw *flaw);
	void *reporter; /**< context of `report` */
	int (*visit)(void *context, const struct fw_entry *entry);
	void *visitor; /**< context of `visit` */
};

/** As fw_trail_verify() of one job and fw_trail_walk() behind it, with the rows read once and nothing recorded
 *  between the two. `*walked` gets what the walk would return, with its message in `walk_error`; the check goes on
 *  where the walk ends. */
int fw_trail_verify_walk(struct fw_trail *trail, int64_t job, const struct fw_verify_walk *walk, int *walked,
                         struct fw_error *walk_error, struct fw_error *err);

#endif
