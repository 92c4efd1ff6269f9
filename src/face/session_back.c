/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "face/session.h"
#include "face/wrap.h"

static bool blank(const char *text)
{
	return text[strspn(text, " \t")] == '\0';
}

int fw_session_back(struct fw_session *session, const char *reason, struct fw_error *err)
{
	struct fw_error refused = {0};

	if (fw_job_answered(session->job) == 0) {
		fw_message_show(session->screen, "There is no answer to take back yet.");
		return FW_OK;
	}
	if (blank(reason)) {
		fw_wrap(session->screen,
		        "The last answer will be struck out and asked for again. It stays in the record, "
		        "with your reason.",
		        2, FW_STYLE_PLAIN);
		if (!fw_session_line(session, "reason, or Enter to leave it > ", &reason) || blank(reason))
			return FW_OK;
	}
	if (fw_is_command(reason + strspn(reason, " \t"))) {
		fw_message_show(session->screen,
		                "A command is no reason; nothing was taken back. To do it, type /back "
		                "again.");
		return FW_OK;
	}
	int code = fw_job_withdraw(session->job, reason, &refused);
	if (code == FW_OK) {
		session->shown = (struct fw_shown){0}; /* in full again */
		fw_session_show_next(session);
		return FW_OK;
	}
	if (code != FW_ERR_STATE && !fw_ask_again(code))
		return fw_fail(err, code, "%s", refused.text);
	fw_message_show(session->screen, refused.text);
	return FW_OK;
}
