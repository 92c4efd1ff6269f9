/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "fitwright/thermal.h"
#include "solve/clearance/kelvin.h"
#include "solve/quote.h"

#define CALLISTER "W. D. Callister, Materials Science and Engineering, appendix B, table B.6"
#define HANDBOOK  "a handbook's table of aluminium casting alloys, reprinted"

/* Middle and half width span the grades named; the width is this project's judgement. */
static const struct fw_material materials[] = {
    {"steel", "carbon and low-alloy steels: 1020 11.7, 1040 11.3, 4140 and 4340 12.3", 11.7e-6,
     0.8e-6, CALLISTER},
    {"bearing-steel", "hardened rings and rollers of ordinary bearings", 12.0e-6, 1.0e-6,
     "common practice, no source"},
    {"stainless", "austenitic: 304 17.2, 316 15.9", 16.6e-6, 0.9e-6, CALLISTER},
    {"stainless-hardenable", "ferritic and martensitic: 405 10.8, 440A 10.2, 17-7PH 11.0", 10.6e-6,
     0.7e-6, CALLISTER},
    {"cast-iron", "grey iron, G1800 to G4000 11.4", 11.4e-6, 1.0e-6, CALLISTER},
    {"ductile-iron", "60-40-18 11.2, 80-55-06 10.6", 10.9e-6, 0.9e-6, CALLISTER},
    {"aluminium", "wrought: 1100 and 6061 23.6, 2024 22.9, 7075 23.4", 23.4e-6, 0.7e-6, CALLISTER},
    {"cast-aluminium", "aluminium-silicon castings: 319 and 356 21.5, 355 22.0, 360 21.0", 21.5e-6,
     1.0e-6, CALLISTER " (356.0); " HANDBOOK},
    {"piston-aluminium", "high-silicon castings and forgings: A132 19.0, 4032 19.4, F132 20.7",
     19.9e-6, 1.0e-6, HANDBOOK},
    {"magnesium", "AZ31B and AZ91D 26.0", 26.0e-6, 1.2e-6, CALLISTER},
    {"titanium", "grade 1 and Ti-6Al-4V 8.6, Ti-5Al-2.5Sn 9.4", 8.9e-6, 0.8e-6, CALLISTER},
    {"copper", "C11000 17.0", 17.0e-6, 0.6e-6, CALLISTER},
    {"brass", "C26000 19.9, C36000 20.5", 19.9e-6, 1.0e-6, CALLISTER},
    {"bronze", "bearing and tin bronzes, C93200 18.0", 18.0e-6, 0.7e-6, CALLISTER},
};

#define MATERIALS (sizeof materials / sizeof materials[0])

const struct fw_material *fw_materials(size_t *count)
{
	*count = MATERIALS;
	return materials;
}

static void list_names(char *buffer, size_t size)
{
	size_t used = 0;

	buffer[0] = '\0';
	for (size_t i = 0; i < MATERIALS; i++) {
		int more = snprintf(buffer + used, size - used, "%s%s", i ? ", " : "", materials[i].name);

		if (more < 0 || (size_t)more >= size - used)
			return;
		used += (size_t)more;
	}
}

int fw_material_find(const struct fw_material **out, const char *name, struct fw_error *err)
{
	char names[400], quoted[FW_QUOTE];

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "material: no place for the result");
	if (!name)
		return fw_fail(err, FW_ERR_ARGUMENT, "material: no name given");
	for (size_t i = 0; i < MATERIALS; i++) {
		if (strcmp(materials[i].name, name) == 0) {
			*out = &materials[i];
			return FW_OK;
		}
	}
	list_names(names, sizeof names);
	return fw_fail(err, FW_ERR_INPUT, "\"%s\" is none of the materials known: %s",
	               fw_quote(name, quoted), names);
}

int fw_material_alpha(double *alpha, double *u, const struct fw_material *material, double cold,
                      double hot, struct fw_error *err)
{
	if (!alpha || !u)
		return fw_fail(err, FW_ERR_ARGUMENT, "material: no place for the coefficient");
	if (!material)
		return fw_fail(err, FW_ERR_ARGUMENT, "material: none given");

	int rc = fw_kelvin_check(cold, "material: the cold temperature", err);
	if (rc == FW_OK)
		rc = fw_kelvin_check(hot, "material: the hot temperature", err);
	if (rc != FW_OK)
		return rc;

	double away = fabs((cold + hot) / 2.0 - (FW_CELSIUS + 60.0));
	*alpha = material->alpha;
	*u = (material->half + material->alpha * FW_THERMAL_DRIFT * away) / sqrt(3.0);
	return FW_OK;
}
