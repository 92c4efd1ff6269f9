/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file who.h  Names of people, against those with a key. */
#ifndef FITWRIGHT_CLI_WHO_H
#define FITWRIGHT_CLI_WHO_H

#include "cli/cli.h"

/** The only person with a key in use, malloc'ed; NULL: there is none, or more than one. */
char *fw_cli_only_person(const struct fw_cli *cli);
/** Points out, on standard error, that `who` is none of those with a key, in a shop that has keys:
 * by their names it is told whether a hold was signed by another than who did the work. */
void fw_cli_say_stranger(struct fw_trail *trail, const char *who);

#endif
