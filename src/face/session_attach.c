/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/attach_words.h"
#include "face/session.h"

int fw_session_attach(struct fw_session *session, const char *rest, struct fw_error *err)
{
	struct fw_error refused = {0};

	if (!*rest) {
		fw_message_show(session->screen,
		                "Which file? /attach FILE, and words that say what it shows.");
		return FW_OK;
	}
	int code = fw_attach_and_say(session->job, session->screen, rest, &refused);
	if (code == FW_OK)
		return FW_OK;
	/* What is wrong with the file or the note: the work goes on. */
	if (code != FW_ERR_STATE && code != FW_ERR_ARGUMENT && !fw_ask_again(code))
		return fw_fail(err, code, "%s", refused.text);
	fw_message_show(session->screen, refused.text);
	return FW_OK;
}
