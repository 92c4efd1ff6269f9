/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "fitwright/strip.h"
#include "solve/quote.h"

#define MPA 1e6

/* Of each kind a weak sort that is common: a casing seldom says what it is made of. Cast alloys:
 * typical shear strengths of the Aluminum Association, NADCA (die castings) and of ASTM A48 class
 * 20 grey iron, as reprinted in textbooks and lists of materials. Steels: 0.6 of the least tensile
 * strength, spheroidal iron 0.9 of it (VDI 2230, from memory). */
static const struct fw_parent parents[] = {
    {"cast aluminium", 150 * MPA, "319-F, sand cast: 22 ksi (152 MPa)"},
    {"die-cast aluminium", 170 * MPA, "413, die cast: 25 ksi (172 MPa)"},
    {"wrought aluminium", 205 * MPA, "6061-T6: 30 ksi (207 MPa), from memory"},
    {"cast magnesium", 95 * MPA, "AZ91C, weakest temper: 96 MPa"},
    {"die-cast magnesium", 140 * MPA, "AZ91, die cast: 20 ksi (138 MPa)"},
    {"grey cast iron", 175 * MPA, "class 20: 26 ksi (179 MPa)"},
    {"spheroidal cast iron", 360 * MPA, "0.9 of 400 MPa (EN-GJS-400)"},
    {"mild steel", 215 * MPA, "0.6 of 360 MPa (S235)"},
    {"heat-treated steel", 480 * MPA, "0.6 of 800 MPa (strength of class 8.8)"},
    {"brass", 205 * MPA, "free-cutting brass, annealed: 30 ksi (207 MPa), from memory"},
};

const struct fw_parent *fw_parents(size_t *count)
{
	if (count)
		*count = sizeof parents / sizeof parents[0];
	return parents;
}

int fw_parent_find(const struct fw_parent **out, const char *name, struct fw_error *err)
{
	char quoted[FW_QUOTE], list[512] = "";

	if (!out || !name)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "parent material: no name, or no place for the result");
	for (size_t i = 0; i < sizeof parents / sizeof parents[0]; i++) {
		size_t used = strlen(list);
		if (strcmp(parents[i].name, name) == 0) {
			*out = &parents[i];
			return FW_OK;
		}
		snprintf(list + used, sizeof list - used, "%s%s", i ? ", " : "", parents[i].name);
	}
	return fw_fail(err, FW_ERR_INPUT, "parent material \"%s\" is not known; known are %s",
	               fw_quote(name, quoted), list);
}
