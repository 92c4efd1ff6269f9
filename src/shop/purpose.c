/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "fitwright/people.h"

static const char *const names[] = {"sign", "hold", "concession", "reopen", "person"};

const char *fw_purpose_name(enum fw_purpose purpose)
{
	return names[purpose];
}

bool fw_purpose_find(enum fw_purpose *out, const char *name)
{
	for (size_t i = 0; i < sizeof names / sizeof *names; i++)
		if (strcmp(names[i], name) == 0) {
			*out = (enum fw_purpose)i;
			return true;
		}
	return false;
}
