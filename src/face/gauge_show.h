/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file gauge_show.h  Gauges of the shop, in words. */
#ifndef FITWRIGHT_FACE_GAUGE_SHOW_H
#define FITWRIGHT_FACE_GAUGE_SHOW_H

#include "face/screen.h"
#include "fitwright/job.h"

/** Room for what fw_gauge_figures() writes. */
#define FW_GAUGE_FIGURES 160

/** "0.01 mm": what can be told apart on it. Returns `buffer` of FW_GAUGE_FIGURES. */
const char *fw_gauge_resolution(const struct fw_shop_gauge *gauge, char *buffer);
/** "0.02 mm", "4 %" (of the reading), "0.5 N + 1 %": its limit of error. Returns `buffer`, as above. */
const char *fw_gauge_error(const struct fw_shop_gauge *gauge, char *buffer);
/** "0.01 mm, error 0.02 mm", "0.5 N·m, error 4 % of the reading". Returns `buffer` of FW_GAUGE_FIGURES. */
const char *fw_gauge_figures(const struct fw_shop_gauge *gauge, char *buffer);

/** The gauge that a reading will be taken with, and what there is to say about it, below the question. Either
 *  may be NULL. */
void fw_gauge_show(const struct fw_screen *screen, const struct fw_shop_gauge *gauge, const char *note);

/** What struct fw_shown keeps of them, so that they are said once. */
uint64_t fw_gauge_shown(const struct fw_shop_gauge *gauge, const char *note);

#endif
