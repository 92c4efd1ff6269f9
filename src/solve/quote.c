/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/quote.h"

#include <stdio.h>

#include "base/text.h"

#define SHOWN 40

_Static_assert(SHOWN < FW_QUOTE, "room for the quotation");

const char *fw_quote(const char *text, char buffer[FW_QUOTE])
{
	snprintf(buffer, FW_QUOTE, "%.*s", SHOWN, text);
	fw_text_one_line(buffer);
	return buffer;
}
