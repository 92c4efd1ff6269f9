/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file gauge_json.h  A gauge as the shop's log keeps it, and the check of its fields. */
#ifndef FITWRIGHT_SHOP_GAUGE_JSON_H
#define FITWRIGHT_SHOP_GAUGE_JSON_H

#include <jansson.h>

#include "fitwright/gauges.h"

/* Frees its strings and zeroes it. */
void fw_shop_gauge_clear(struct fw_shop_gauge *gauge);

/* FW_ERR_ARGUMENT names the field that can't be as it is. */
int fw_gauge_check(const struct fw_shop_gauge *gauge, struct fw_error *err);

/* The value of an entry `gauge`; NULL when out of memory. */
json_t *fw_gauge_json(const struct fw_shop_gauge *gauge);

/* Reads it back, all but `entry`, with strings of its own. FW_ERR_TRAIL says what is wrong with it; `out`
 * is zeroed then. */
int fw_gauge_json_read(struct fw_shop_gauge *out, const json_t *value, struct fw_error *err);

#endif
