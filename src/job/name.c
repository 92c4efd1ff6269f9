/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names, units and reasons: one line of words, fit to be shown as it is. */
#include <string.h>

#include "job_internal.h"
#include "shop/log.h"

int fw_job_no_text(const char *what, struct fw_error *err)
{
	return fw_fail(err, FW_ERR_ARGUMENT, "%s is empty; give it in a few words", what);
}

bool fw_job_is_blank(const char *text)
{
	return !text || text[strspn(text, " \t")] == '\0';
}

int fw_job_check_name(const char *what, const char *name, struct fw_error *err)
{
	return fw_shop_check_words(what, name, err);
}
