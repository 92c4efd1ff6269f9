/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file stack_up.h  A stack-up worked out, and how it is shown. */
#ifndef FITWRIGHT_CALC_STACK_UP_H
#define FITWRIGHT_CALC_STACK_UP_H

#include "calc/clearance/common.h"
#include "fitwright/stackup.h"

struct fw_stack_up {
	struct fw_stackup_link *link;
	struct fw_stackup_share *share;
	size_t count;
	double level;
	const struct fw_unit *unit;
	bool limited;
	struct fw_limits limits;
	struct fw_stackup stackup;
	struct fw_stackup_capability capability;
};

void fw_stack_up_put_spread(struct fw_calc_out *out, const struct fw_stack_up *it);
void fw_stack_up_put_capability(struct fw_calc_out *out, const struct fw_stack_up *it);
void fw_stack_up_put_sample(struct fw_calc_out *out, const struct fw_stack_up *it,
                            const struct fw_stackup_sample *sample, double seed);

#endif
