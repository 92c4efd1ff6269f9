/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fake_job.h  A job that asks from a list, so that a face can be tried without an engine. */
#ifndef FITWRIGHT_TESTS_FAKE_JOB_H
#define FITWRIGHT_TESTS_FAKE_JOB_H

#include "fitwright/job.h"

#define FAKE_ANSWERS 32

/** A question, and what is found once it is answered. */
struct fake_step {
	struct fw_question question;
	const struct fw_finding *findings;
	size_t finding_count;
};

struct fw_job {
	const struct fake_step *steps;
	size_t count, at;
	int fail; /**< not 0: what the next answer fails with */
	char typed[FAKE_ANSWERS][128];
	bool confirmed[FAKE_ANSWERS];
	char reason[128]; /**< of the last withdrawal, or amendment */
	size_t withdrawn, amended;
	struct fw_attached attached; /**< last; `size` counts them */
	char note[128];              /**< of it */
	const struct fw_shop_gauge *gauge; /**< all there are */
	size_t gauges, gauge_used;         /**< the one in use counted from 1; 0: none */
	const char *gauge_note;
};

#endif
