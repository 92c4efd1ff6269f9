/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file log.h  Writing to the shop's log: job 0 of the trail. */
#ifndef FITWRIGHT_SHOP_LOG_H
#define FITWRIGHT_SHOP_LOG_H

#include <jansson.h>

#include "fitwright/trail.h"

/* Where the log ends. */
struct fw_shop_end {
	int64_t seq; /* of its last entry */
	char at[32]; /* time of it */
};

/* FW_ERR_STATE: a trail of an earlier format, opened for reading, has no log. */
int fw_shop_log_end(struct fw_shop_end *out, struct fw_trail *trail, struct fw_error *err);

/* Time of a new entry behind `end`: `at`, or the system's clock when it is NULL. Never before the last
 * entry: a clock a little behind gives the time of that one, further behind it is FW_ERR_STATE. */
int fw_shop_log_time(char out[32], const struct fw_shop_end *end, const char *at,
                     struct fw_error *err);

/* Appends one entry behind `end`, at a time of fw_shop_log_time(). FW_ERR_BUSY: the log has gone on
 * since; read it again. */
int fw_shop_log_append(struct fw_trail *trail, const struct fw_shop_end *end, const char *kind,
                       const char *by, const char *at, const json_t *value, struct fw_error *err);

/* One line of words of at most 200 bytes, not blank, fit to be shown; `what` names it in the message
 * (FW_ERR_ARGUMENT). */
int fw_shop_check_words(const char *what, const char *text, struct fw_error *err);

#endif
