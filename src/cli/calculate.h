/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file calculate.h  The bench calculators as commands. */
#ifndef FITWRIGHT_CLI_CALCULATE_H
#define FITWRIGHT_CLI_CALCULATE_H

#include "cli/cli.h"

/** Runs a calculator; argv[0] is its name. */
int fw_cli_calculate(struct fw_cli *cli, const struct fw_calculator *calculator, int argc,
                     char **argv);

/** What --help says of it. */
void fw_cli_calculate_help(const struct fw_calculator *calculator);

/** The results as a person reads them. */
void fw_cli_calculate_show(const struct fw_screen *screen, const struct fw_calculator *calculator,
                           const struct fw_calc_out *out);

#endif
