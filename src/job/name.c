/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names, units and reasons: one line of words, fit to be shown as it is. */
#include <string.h>

#include "base/text.h"
#include "job_internal.h"

int fw_job_no_text(const char *what, struct fw_error *err)
{
	return fw_fail(err, FW_ERR_ARGUMENT, "%s is empty; give it in a few words", what);
}

bool fw_job_is_blank(const char *text)
{
	return !text || text[strspn(text, " \t")] == '\0';
}

/* Longest name of a unit or a person, or reason: what fits on a cover. */
#define NAME_MOST 200

/* One line of words, fit to be shown as it is. */
int fw_job_check_name(const char *what, const char *name, struct fw_error *err)
{
	char shown[NAME_MOST + 1];

	if (fw_job_is_blank(name))
		return fw_job_no_text(what, err);
	if (strlen(name) > NAME_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is longer than %d bytes; say it in fewer words",
		               what, NAME_MOST);
	memcpy(shown, name, strlen(name) + 1);
	fw_text_one_line(shown);
	if (strcmp(shown, name) != 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s holds control characters, or bytes that aren't UTF-8; type it anew",
		               what);
	return FW_OK;
}
