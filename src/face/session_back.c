/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "face/amend_show.h"
#include "face/session.h"
#include "face/wrap.h"

static bool blank(const char *text)
{
	return text[strspn(text, " \t")] == '\0';
}

struct last {
	int64_t seq;
	bool amendment;
	char words[FW_GIVEN_WORDS];
};

static int find_last(void *context, const struct fw_given *given)
{
	struct last *last = context;

	if (given->seq > last->seq) {
		last->seq = given->seq;
		last->amendment = given->amendment;
		fw_given_words(given, last->words, sizeof last->words);
	}
	return 0;
}

/* Which answer it is, before it is struck out. */
static int show_last(const struct fw_session *session, struct fw_error *err)
{
	struct last last = {0};
	char text[FW_GIVEN_WORDS + 160];
	int code = fw_job_given(session->job, find_last, &last, err);

	if (code != FW_OK)
		return code;
	snprintf(text, sizeof text,
	         last.amendment ? "Last, an answer was amended: %s" : "The last answer is %s",
	         last.words);
	fw_wrap(session->screen, text, 2, FW_STYLE_STRONG);
	fw_wrap(
	    session->screen,
	    last.amendment
	        ? "That will be undone, and what it struck out stands again. It stays in the record, "
	          "with your reason."
	        : "It will be struck out and asked for again. It stays in the record, with your "
	          "reason.",
	    2, FW_STYLE_PLAIN);
	return FW_OK;
}

int fw_session_back(struct fw_session *session, const char *reason, struct fw_error *err)
{
	struct fw_error refused = {0};
	int code;

	if (fw_job_answered(session->job) == 0) {
		fw_message_show(session->screen, "There is no answer to take back yet.");
		return FW_OK;
	}
	if (blank(reason)) {
		code = show_last(session, err);
		if (code != FW_OK)
			return code;
		if (!fw_session_line(session, "reason, or Enter to leave it > ", &reason) || blank(reason))
			return FW_OK;
	}
	if (fw_is_command(reason + strspn(reason, " \t"))) {
		fw_message_show(session->screen,
		                "A command is no reason; nothing was taken back. To do it, type /back "
		                "again.");
		return FW_OK;
	}
	code = fw_job_withdraw(session->job, reason, &refused);
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
