/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file list.h  What the list says of a job beyond its line. */
#ifndef FITWRIGHT_CLI_LIST_H
#define FITWRIGHT_CLI_LIST_H

#include "cli/cli.h"

struct fw_list_points {
	struct fw_job_points points;
	bool looked;     /* all of `points` is known; else concessions and reopened alone */
	char waits[400]; /* for what an open job waits: "hold point, inspector"; "" when that isn't
	                    known */
};

/* Looks into the job where its line says that there may be a concession, or, with `all`, anyhow. */
int fw_list_look(struct fw_list_points *out, struct fw_trail *trail, const struct fw_job_line *line,
                 bool all, struct fw_error *err);
/* Lines below that of the job; nothing when there is nothing to say. */
void fw_list_print_points(const struct fw_screen *screen, const struct fw_list_points *points);
/* Adds them to an object; 0, or -1 when out of memory. */
int fw_list_put_points(json_t *object, const struct fw_list_points *points);

#endif
