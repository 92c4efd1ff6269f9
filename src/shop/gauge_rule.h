/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file gauge_rule.h  How fine a gauge is for the limits it is to judge by the two rules of the bench. */
#ifndef FITWRIGHT_SHOP_GAUGE_RULE_H
#define FITWRIGHT_SHOP_GAUGE_RULE_H

#include <stdbool.h>
#include <stddef.h>

struct fw_gauge_fit {
	double steps; /* width / resolution; 0: not known */
	double ratio; /* width / span of the limits of error; 0: not known */
};
#define FW_GAUGE_STEPS 10.0
#define FW_GAUGE_RATIO 4.0
struct fw_gauge_fit fw_gauge_fit_of(double width, double resolution, double error);
bool fw_gauge_fit_coarse(const struct fw_gauge_fit *fit);  /* reads to more than a tenth */
bool fw_gauge_fit_unsure(const struct fw_gauge_fit *fit);  /* less than four to one */
/* Where they fall short, in words; "" when both hold. Returns `buffer`. */
const char *fw_gauge_fit_text(const struct fw_gauge_fit *fit, char *buffer, size_t size);

#endif
