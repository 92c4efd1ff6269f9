/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/amend_words.h"

#include <stdlib.h>
#include <string.h>

#include "face/amend_show.h"
#include "face/glyph.h"

/* "STEP ITEM!: ANSWER -- REASON", taken apart. */
struct words {
	const char *text;
	int64_t seq;   /* of the answer that is meant; 0: none */
	size_t place;  /* how much of the text names it */
	size_t others; /* answers of that step that stand for other items */
	bool confirmed;
	const char *answer; /* up to `reason` */
	char *copy, *reason;
};

/* Whether the text begins with `place`, with a colon (or "!:") behind it. */
static bool names(const char *text, const char *place, size_t *length)
{
	*length = strlen(place);
	if (strncmp(text, place, *length) != 0)
		return false;
	const char *rest = text + *length;
	rest += strspn(rest, " \t");
	return rest[0] == ':' || (rest[0] == '!' && rest[1] == ':');
}

static int match(void *context, const struct fw_given *given)
{
	struct words *words = context;
	size_t size = strlen(given->step) + (given->item ? strlen(given->item) : 0) + 2, length;
	char *place = malloc(size);

	if (!place)
		return FW_ERR_MEMORY;
	snprintf(place, size, "%s%s%s", given->step, given->item ? " " : "",
	         given->item ? given->item : "");
	/* The longest name, and of its answers the last. */
	if (names(words->text, place, &length) && length >= words->place) {
		words->seq = given->seq;
		words->place = length;
	}
	words->others += given->item && names(words->text, given->step, &length);
	free(place);
	return 0;
}

static int find(struct words *words, struct fw_job *job, struct fw_error *err)
{
	int code = fw_job_given(job, match, words, err);
	int shown = (int)strcspn(words->text, ":");

	if (code != FW_OK)
		return code == FW_ERR_MEMORY ? fw_fail(err, code, "out of memory") : code;
	if (words->seq > 0)
		return FW_OK;
	if (words->others > 0)
		return fw_fail(err, FW_ERR_INPUT,
		               "several answers stand at '%.*s': say which, '%.*s reading 1 of 2: …'",
		               shown, words->text, shown, words->text);
	return fw_fail(err, FW_ERR_INPUT,
	               "no answer stands at '%.*s'; /amend reads 'STEP ITEM: ANSWER -- REASON'", shown,
	               words->text);
}

/* What stands behind the place; cuts the copy where the reason begins. */
static int split(struct words *words, struct fw_error *err)
{
	char *rest = words->copy + words->place, *dashes = NULL;

	rest += strspn(rest, " \t");
	words->confirmed = *rest == '!';
	rest += words->confirmed ? 2 : 1;
	rest += strspn(rest, " \t");
	for (char *at = strstr(rest, "-- "); at; at = strstr(at + 1, "-- "))
		if (at == rest || at[-1] == ' ' || at[-1] == '\t')
			dashes = at;
	if (!dashes)
		return fw_fail(err, FW_ERR_INPUT, "no reason is given; it stands behind ' -- '");
	words->reason = dashes + 3 + strspn(dashes + 3, " \t");
	while (dashes > rest && (dashes[-1] == ' ' || dashes[-1] == '\t'))
		dashes--;
	*dashes = '\0';
	words->answer = rest;
	return FW_OK;
}

static int amend(const struct words *words, struct fw_job *job, const struct fw_screen *screen,
                 struct fw_error *err)
{
	struct fw_amendment *look;
	int code = fw_job_amend_look(job, words->seq, words->answer, words->confirmed, &look, err);

	if (code != FW_OK)
		return code;
	code = fw_job_amend(job, words->seq, words->answer, words->confirmed, words->reason, err);
	if (code == FW_OK) {
		fputs("\n  An answer is amended: ", screen->out);
		fw_text_print(screen, words->reason, -1);
		fputc('\n', screen->out);
		fw_amendment_show(screen, look);
	}
	fw_amendment_free(look);
	return code;
}

int fw_amend_and_say(struct fw_job *job, const struct fw_screen *screen, const char *text,
                     struct fw_error *err)
{
	struct words words = {.text = text};
	int code = find(&words, job, err);

	if (code != FW_OK)
		return code;
	words.copy = malloc(strlen(text) + 1);
	if (!words.copy)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	memcpy(words.copy, text, strlen(text) + 1);
	code = split(&words, err);
	if (code == FW_OK)
		code = amend(&words, job, screen, err);
	free(words.copy);
	return code;
}
