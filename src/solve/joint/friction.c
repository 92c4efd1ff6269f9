/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "fitwright/joint.h"
#include "solve/quote.h"

struct state {
	const char *name;
	struct fw_friction friction;
};

/* Common practice, no source: steel bolts, thread and head alike. On an M10 the usual values come
 * to nut factors of about 0.20, 0.16, 0.12 and 0.18. */
static const struct state states[] = {
    {"dry", {0.11, 0.15, 0.22}},
    {"oiled", {0.09, 0.12, 0.15}},
    {"anti-seize", {0.06, 0.08, 0.11}},
    {"threadlocker", {0.10, 0.13, 0.16}},
};

int fw_friction_state(struct fw_friction *out, const char *state, struct fw_error *err)
{
	char quoted[FW_QUOTE];

	if (!out || !state)
		return fw_fail(err, FW_ERR_ARGUMENT, "friction: no state, or no place for the result");
	for (size_t i = 0; i < sizeof states / sizeof states[0]; i++)
		if (strcmp(states[i].name, state) == 0) {
			*out = states[i].friction;
			return FW_OK;
		}
	return fw_fail(err, FW_ERR_INPUT,
	               "friction state \"%s\" is not known; known are dry, oiled, anti-seize, "
	               "threadlocker",
	               fw_quote(state, quoted));
}
