/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file link.h  One link of a chain: what it must be, and its moments by shape. */
#ifndef FITWRIGHT_SOLVE_LINK_H
#define FITWRIGHT_SOLVE_LINK_H

#include "fitwright/stackup.h"

/** Checks a chain; FW_ERR_ARGUMENT names link and figure. */
int fw_links_check(const struct fw_stackup_link *link, size_t count, struct fw_error *err);

/** Half the width of a checked link; of a measured one sigmas·u. */
double fw_link_half(const struct fw_stackup_link *link);

/** Middle of its deviations. */
double fw_link_middle(const struct fw_stackup_link *link);

/** Its standard deviation as a share of half its width. */
double fw_link_sd_share(const struct fw_stackup_link *link);

double fw_link_excess(const struct fw_stackup_link *link);

#endif
