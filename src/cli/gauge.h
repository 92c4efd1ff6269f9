/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file gauge.h  Between the files of the command `gauge`. */
#ifndef FITWRIGHT_CLI_GAUGE_H
#define FITWRIGHT_CLI_GAUGE_H

#include "cli/cli.h"
#include "fitwright/measure.h"

/** What was typed; NULL: nothing. */
struct fw_gauge_wanted {
	const char *id, *kind, *resolution, *error, *calibrated, *due, *source, *from, *reason, *who;
	bool json;
};

/** The actions. Each returns an exit status. */
int fw_gauge_add(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted);
int fw_gauge_calibrated(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted);
int fw_gauge_bad(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted);
int fw_gauge_retire(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted);
int fw_gauge_list(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted);
int fw_gauge_typical_list(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted);
int fw_gauge_uses(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted);

/** The unit in which a typical gauge's figures read best. */
const struct fw_unit *fw_gauge_typical_unit(const struct fw_gauge *gauge);

#endif
