/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify_internal.h  What the parts of the check share. */
#ifndef FITWRIGHT_TRAIL_VERIFY_INTERNAL_H
#define FITWRIGHT_TRAIL_VERIFY_INTERNAL_H

#include "trail/trail_internal.h"

struct fw_check {
	struct fw_trail *trail;
	int64_t job; /* 0: all */
	void (*report)(void *context, const struct fw_flaw *flaw);
	void *context;
	size_t flaws;
};

/** Reports one flaw; `means` is said as it is. */
void fw_check_flaw(struct fw_check *check, int64_t job, int64_t seq, const char *means,
                   const char *format, ...) FW_PRINTF(5, 6);
/** A failed read: damage is a flaw of the file and gives FW_OK; all else is an error. */
int fw_check_failed(struct fw_check *check, int rc, const char *doing, struct fw_error *err);

/* verify_chain.c */
int fw_check_chain(struct fw_check *check, struct fw_error *err);
/* verify_sign.c */
int fw_check_signatures(struct fw_check *check, struct fw_error *err);
/* verify_source.c */
int fw_check_sources(struct fw_check *check, struct fw_error *err);

#endif
