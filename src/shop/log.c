/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/log.h"
#include "base/moment.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/text.h"

/* A clock behind the last entry by no more than this is taken as set right in passing. */
#define CLOCK_SLACK_SECONDS 120

/* Longest name, reason or source: what fits on a line of a list. */
#define WORDS_MOST 200

static int keep_end(void *context, const struct fw_entry *entry)
{
	struct fw_shop_end *end = context;

	end->seq = entry->seq;
	snprintf(end->at, sizeof end->at, "%s", entry->at ? entry->at : "");
	return 0;
}

int fw_shop_log_end(struct fw_shop_end *out, struct fw_trail *trail, struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	int code = fw_trail_walk(trail, FW_SHOP, keep_end, out, err);
	if (code == FW_ERR_NOT_FOUND)
		return fw_fail(err, FW_ERR_STATE,
		               "this trail has no log of the shop yet; open it for writing once, which "
		               "brings it up to date");
	return code;
}

int fw_shop_log_time(char out[32], const struct fw_shop_end *end, const char *at,
                     struct fw_error *err)
{
	struct timespec now;
	char later[32];

	clock_gettime(CLOCK_REALTIME, &now);
	if (at)
		snprintf(out, 32, "%s", at);
	else
		fw_moment_text(out, &now);
	if (strcmp(out, end->at) >= 0)
		return FW_OK;
	/* A time that is given has no clock to be behind. */
	now.tv_sec += CLOCK_SLACK_SECONDS;
	fw_moment_text(later, &now);
	if (at || strcmp(later, end->at) < 0)
		return fw_fail(
		    err, FW_ERR_STATE,
		    "the time is %s, and the last entry of the shop's log is of %s: set the clock", out,
		    end->at);
	memcpy(out, end->at, sizeof end->at);
	return FW_OK;
}

int fw_shop_log_append(struct fw_trail *trail, const struct fw_shop_end *end, const char *kind,
                       const char *by, const char *at, const json_t *value, struct fw_error *err)
{
	char *text = json_dumps(value, JSON_COMPACT | JSON_REAL_PRECISION(17));
	const struct fw_entry entry = {.kind = kind, .at = at, .who = by, .value = text};
	int code = text ? fw_trail_append(trail, FW_SHOP, end->seq, &entry, 1, NULL, err)
	                : fw_fail(err, FW_ERR_MEMORY, "out of memory");

	free(text);
	return code;
}

int fw_shop_check_words(const char *what, const char *text, struct fw_error *err)
{
	char shown[WORDS_MOST + 1];

	if (!text || text[strspn(text, " \t")] == '\0')
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is empty; give it in a few words", what);
	if (strlen(text) > WORDS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is longer than %d bytes; say it in fewer words",
		               what, WORDS_MOST);
	memcpy(shown, text, strlen(text) + 1);
	fw_text_one_line(shown);
	if (strcmp(shown, text) != 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s holds control characters, or bytes that aren't UTF-8; type it anew",
		               what);
	return FW_OK;
}
