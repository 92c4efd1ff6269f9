/* SPDX-License-Identifier: GPL-3.0-or-later */
/* /amend: an earlier answer is corrected. */
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "face/amend_show.h"
#include "face/session.h"
#include "face/wrap.h"

/* Answers listed at first. */
#define LISTED 20

static bool blank(const char *text)
{
	return text[strspn(text, " \t")] == '\0';
}

static int show_list(struct fw_session *session, size_t most, struct fw_error *err)
{
	size_t count = 0;
	int code = fw_given_show(session->screen, session->job, most, &count, err);

	if (code != FW_OK)
		return code;
	if (count == 0)
		fw_message_show(session->screen, "There is no answer to amend yet.");
	else
		fw_wrap(session->screen,
		        most > 0 && count > most
		            ? "To correct one: /amend and its number. /amend all lists them all."
		            : "To correct one: /amend and its number.",
		        2, FW_STYLE_PLAIN);
	return FW_OK;
}

struct seek {
	int64_t seq;
	bool found, signature;
	char words[FW_GIVEN_WORDS];
};

static int seek_one(void *context, const struct fw_given *given)
{
	struct seek *seek = context;

	if (given->seq == seek->seq) {
		seek->found = true;
		seek->signature = given->signature;
		fw_given_words(given, seek->words, sizeof seek->words);
	}
	return 0;
}

/* Codes that tell the person something; the session goes on. */
static bool is_told(int code)
{
	return fw_ask_again(code) || code == FW_ERR_STATE || code == FW_ERR_NOT_FOUND ||
	       code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT || code == FW_ERR_ARGUMENT;
}

static int told(const struct fw_session *session, int code, const struct fw_error *refused,
                struct fw_error *err)
{
	if (!is_told(code))
		return fw_fail(err, code, "%s", refused->text);
	fw_message_show(session->screen, refused->text);
	return FW_OK;
}

/* What is being amended, on its way. */
struct wanted {
	int64_t seq;
	char typed[FW_INPUT_LONGEST + 1];
	bool confirmed;
};

/* Asks for a line; false when the person left it, by Enter alone or a command. */
static bool ask(struct fw_session *session, const char *prompt, char out[FW_INPUT_LONGEST + 1])
{
	const char *line;

	if (!fw_session_line(session, prompt, &line)) {
		if (!session->left)
			fw_message_show(session->screen, "Nothing was amended.");
		return false;
	}
	if (fw_is_command(line + strspn(line, " \t"))) {
		fw_message_show(session->screen,
		                "A command isn't an answer here; nothing was amended. To do it, type the "
		                "command again.");
		return false;
	}
	snprintf(out, FW_INPUT_LONGEST + 1, "%s", line);
	return true;
}

/* Asks for the new answer until one can be looked at, or it is left: what is mistyped here must not
 * end at the prompt of the question that waits, where the next try would be taken for its answer.
 * `*out` stays NULL when it was left or refused. */
static int ask_answer(struct fw_session *session, struct wanted *wanted, struct fw_amendment **out,
                      struct fw_error *err)
{
	const char *prompt = "new answer > ";
	bool again = false, doubted = false;
	char line[FW_INPUT_LONGEST + 1];

	*out = NULL;
	while (ask(session, prompt, line)) {
		struct fw_error refused = {0};

		if (again && blank(line)) {
			fw_message_show(session->screen, "Nothing was amended.");
			return FW_OK;
		}
		wanted->confirmed =
		    doubted && (strcmp(line, wanted->typed) == 0 || strcasecmp(line, "yes") == 0);
		if (!wanted->confirmed)
			memcpy(wanted->typed, line, sizeof line);
		int code = fw_job_amend_look(session->job, wanted->seq, wanted->typed, wanted->confirmed,
		                             out, &refused);
		if (code == FW_OK)
			return FW_OK;
		if (code != FW_ERR_IMPLAUSIBLE && !fw_ask_again(code))
			return told(session, code, &refused, err);
		fw_message_show(session->screen, refused.text);
		again = true;
		doubted = code == FW_ERR_IMPLAUSIBLE;
		if (doubted)
			fw_input_forget(session->input);
		prompt = doubted ? "Enter it again to keep it, or correct it: "
		                 : "new answer, or Enter to leave it > ";
	}
	return FW_OK;
}

/* The reason, and a yes. False: it was left. */
static bool ask_reason(struct fw_session *session, char reason[FW_INPUT_LONGEST + 1])
{
	char yes[FW_INPUT_LONGEST + 1];

	fw_wrap(session->screen, "The old answer stays in the record, struck out, with your reason.", 2,
	        FW_STYLE_PLAIN);
	if (!ask(session, "reason, or Enter to leave it > ", reason) || blank(reason))
		return false;
	if (!ask(session, "amend it? [yes, or Enter to leave it] > ", yes))
		return false;
	return strcasecmp(yes, "yes") == 0 || strcasecmp(yes, "y") == 0;
}

static int amend(struct fw_session *session, const struct wanted *wanted, const char *reason,
                 struct fw_error *err)
{
	struct fw_error refused = {0};
	int code =
	    fw_job_amend(session->job, wanted->seq, wanted->typed, wanted->confirmed, reason, &refused);

	if (code != FW_OK)
		return told(session, code, &refused, err);
	session->shown = (struct fw_shown){0}; /* in full again */
	fw_session_show_next(session);
	return FW_OK;
}

static int amend_one(struct fw_session *session, int64_t seq, struct fw_error *err)
{
	struct seek seek = {.seq = seq};
	struct wanted wanted = {.seq = seq};
	struct fw_amendment *amendment;
	char reason[FW_INPUT_LONGEST + 1], was[FW_GIVEN_WORDS + 16];
	int code = fw_job_given(session->job, seek_one, &seek, err);

	if (code != FW_OK)
		return code;
	if (!seek.found || seek.signature) {
		fw_message_show(session->screen,
		                seek.found ? "That is a signature: take it back instead of amending it."
		                           : "No answer stands under that number; /amend lists them.");
		return FW_OK;
	}
	snprintf(was, sizeof was, "As it stands: %s", seek.words);
	fw_wrap(session->screen, was, 2, FW_STYLE_PLAIN);
	code = ask_answer(session, &wanted, &amendment, err);
	if (code != FW_OK || !amendment)
		return code;
	fw_amendment_show(session->screen, amendment);
	fw_amendment_free(amendment);
	if (!ask_reason(session, reason)) {
		fw_message_show(session->screen, "Nothing was amended.");
		return FW_OK;
	}
	return amend(session, &wanted, reason, err);
}

int fw_session_amend(struct fw_session *session, const char *rest, struct fw_error *err)
{
	char *end;

	if (blank(rest))
		return show_list(session, LISTED, err);
	if (strcmp(rest, "all") == 0)
		return show_list(session, 0, err);
	long long seq = strtoll(rest, &end, 10);
	if (rest[0] < '0' || rest[0] > '9' || !blank(end)) {
		fw_message_show(session->screen,
		                "Behind /amend stands the number of an answer; /amend alone lists them.");
		return FW_OK;
	}
	return amend_one(session, seq, err);
}
