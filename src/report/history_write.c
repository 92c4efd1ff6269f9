/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <string.h>

#include "report/history.h"
#include "report/put.h"

/* The names of the checks that match, as far as they go into a message. */
static int several(const struct fw_history *history, struct fw_error *err)
{
	char names[400] = "";

	for (size_t i = 0; i < history->count; i++) {
		size_t used = strlen(names);
		fw_report_print(names + used, sizeof names - used, "%s'%.80s' of '%.80s'", i ? ", " : "",
		                history->checks[i].name, history->checks[i].title);
	}
	return fw_fail(err, FW_ERR_ARGUMENT,
	               "a chart shows one check, and these match: %s; say which with --check and "
	               "--procedure",
	               names);
}

static int nothing(const struct fw_history *history, struct fw_error *err)
{
	const struct fw_history_filter *filter = history->filter;

	if (history->jobs == 0)
		return fw_fail(err, FW_ERR_NOT_FOUND,
		               "no job matches; 'fitwright list' shows their units and procedures");
	return fw_fail(err, FW_ERR_NOT_FOUND, "%zu job%s match%s, and none has a check%s%s%s",
	               history->jobs, history->jobs == 1 ? "" : "s", history->jobs == 1 ? "es" : "",
	               filter->check ? " called '" : "", filter->check ? filter->check : "",
	               filter->check ? "'" : "");
}

static int write_as(FILE *out, const struct fw_history *history, enum fw_history_format format,
                    struct fw_error *err)
{
	if (history->count == 0)
		return nothing(history, err);
	switch (format) {
	case FW_HISTORY_TEXT:
		fw_history_text(out, history);
		return FW_OK;
	case FW_HISTORY_JSON:
		return fw_history_json(out, history, err);
	case FW_HISTORY_SVG:
		return history->count > 1 ? several(history, err)
		                          : fw_history_svg(out, &history->checks[0], err);
	}
	return fw_fail(err, FW_ERR_ARGUMENT, "history: unknown format %d", (int)format);
}

int fw_history_write(FILE *out, struct fw_trail *trail, const struct fw_history_filter *filter,
                     enum fw_history_format format, struct fw_error *err)
{
	struct fw_history history;
	int code = fw_history_collect(&history, trail, filter, err);

	if (code == FW_OK)
		code = write_as(out, &history, format, err);
	fw_history_free(&history);
	if (code != FW_OK)
		return code;
	errno = 0;
	if (fflush(out) == 0 && !ferror(out))
		return FW_OK;
	return fw_fail(err, FW_ERR_TRAIL,
	               "the history can't be written: %s; nothing is lost, write it again where there "
	               "is room",
	               errno ? strerror(errno) : "the output refused it");
}
