/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/amend_show.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "face/glyph.h"
#include "face/wrap.h"

/* Bytes of an answer, or of the words of a question, in a line. */
#define QUOTED 160

struct list {
	const struct fw_screen *screen;
	size_t count, skip, most;
};

static int count_one(void *context, const struct fw_given *given)
{
	(void)given;
	((struct list *)context)->count++;
	return 0;
}

void fw_given_words(const struct fw_given *given, char *out, size_t size)
{
	const char *typed = given->typed && *given->typed ? given->typed : "(Enter)";
	const char *option = given->option && strcmp(given->option, typed) != 0 ? given->option : NULL;

	snprintf(out, size, "%.*s%s%.*s%s: %.*s%s%.*s%s", fw_utf8_fit(given->step, QUOTED), given->step,
	         given->item ? " (" : "", given->item ? fw_utf8_fit(given->item, QUOTED) : 0,
	         given->item ? given->item : "", given->item ? ")" : "", fw_utf8_fit(typed, QUOTED),
	         typed, option ? " (" : "", option ? fw_utf8_fit(option, QUOTED) : 0,
	         option ? option : "", option ? ")" : "");
}

/* "    12  float-on-trial (reading 1 of 3): 0.41" */
static int show_one(void *context, const struct fw_given *given)
{
	struct list *list = context;
	const struct fw_screen *screen = list->screen;
	char words[FW_GIVEN_WORDS], text[FW_GIVEN_WORDS + 40];

	if (list->skip > 0) {
		list->skip--;
		return 0;
	}
	fw_given_words(given, words, sizeof words);
	snprintf(text, sizeof text, "%s%s", words,
	         given->signature ? "   (signature: stays, or lapses)" : "");
	fprintf(screen->out, "  %4lld  ", (long long)given->seq);
	fw_text_print(screen, text, screen->width - 8);
	fputc('\n', screen->out);
	return 0;
}

int fw_given_show(const struct fw_screen *screen, struct fw_job *job, size_t most, size_t *count,
                  struct fw_error *err)
{
	struct list list = {.screen = screen};
	char text[128];
	int code = fw_job_given(job, count_one, &list, err);

	if (count)
		*count = list.count;
	if (code != FW_OK)
		return code;
	if (most > 0 && list.count > most) {
		list.skip = list.count - most;
		snprintf(text, sizeof text, "(%zu answers before these)", list.skip);
		fw_wrap(screen, text, 2, FW_STYLE_PLAIN);
	}
	return fw_job_given(job, show_one, &list, err);
}

static void show_what(const struct fw_screen *screen, const struct fw_amendment *it)
{
	char text[4 * QUOTED];
	const char *was = it->was ? it->was : "", *now = it->will_be ? it->will_be : "";

	snprintf(text, sizeof text, "%.*s%s%.*s%s: \"%.*s\" becomes \"%.*s\".",
	         fw_utf8_fit(it->step, QUOTED), it->step, it->item ? " (" : "",
	         it->item ? fw_utf8_fit(it->item, QUOTED) : 0, it->item ? it->item : "",
	         it->item ? ")" : "", fw_utf8_fit(was, QUOTED), was, fw_utf8_fit(now, QUOTED), now);
	fw_wrap(screen, text, 2, FW_STYLE_STRONG);
}

void fw_lapsed_show(const struct fw_screen *screen, const struct fw_job *job, size_t before)
{
	size_t after = fw_job_answered(job);
	char text[2 * QUOTED];

	if (after > before)
		return;
	snprintf(
	    text, sizeof text,
	    "%zu later answer%s with that: the work goes another way from here. What still comes up "
	    "is asked again.",
	    before + 1 - after, before == after ? " lapses" : "s lapse");
	fputc('\n', screen->out);
	fw_wrap(screen, text, 2, FW_STYLE_CAUTION);
}

void fw_amendment_show(const struct fw_screen *screen, const struct fw_amendment *it)
{
	char text[2 * QUOTED];

	show_what(screen, it);
	if (it->lapsed == 0) {
		snprintf(text, sizeof text,
		         it->kept == 1 ? "The %zu later answer stays." : "The %zu later answers stay.",
		         it->kept);
		fw_wrap(screen, it->kept > 0 ? text : "No answer came after it.", 2, FW_STYLE_PLAIN);
	} else {
		snprintf(text, sizeof text,
		         "%zu later answer%s. These lapse; what still comes up is asked again:", it->kept,
		         it->kept == 1 ? " stays" : "s stay");
		fw_wrap(screen, text, 2, FW_STYLE_PLAIN);
	}
	for (size_t i = 0; i < it->lapsed; i++)
		fw_wrap(screen, it->lapsed_text[i], 6, FW_STYLE_PLAIN);
	if (!it->next)
		return;
	if (it->waiting > 0) {
		snprintf(text, sizeof text,
		         it->waiting == 1
		             ? "%zu of those that stay waits behind what is asked next, and may lapse when "
		               "that is answered."
		             : "%zu of those that stay wait behind what is asked next, and may lapse when "
		               "that is answered.",
		         it->waiting);
		fw_wrap(screen, text, 2, FW_STYLE_PLAIN);
	}
	snprintf(text, sizeof text, "Asked next: %.*s", fw_utf8_fit(it->next, QUOTED), it->next);
	fw_wrap(screen, text, 2, FW_STYLE_PLAIN);
}
