/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Gauges of the bench as they usually are, for a shop that hasn't entered its own. Resolution is
 * what can be told apart on the scale, the error what such a gauge in good order is trusted to.
 */
#include <string.h>

#include "fitwright/measure.h"
#include "quantity/dimension_list.h"
#include "quantity/text.h"

#define THOU   2.54e-5
#define DEGREE (3.14159265358979323846 / 180)
#define RPM    (3.14159265358979323846 / 30)
#define USUAL  "common practice, no source"

static const struct fw_gauge gauges[] = {
    {"micrometer", 1e-5, 4e-6, LENGTH, USUAL},
    {"inch micrometer", 0.1 * THOU, 0.2 * THOU, LENGTH, USUAL},
    {"depth micrometer", 1e-5, 5e-6, LENGTH, USUAL},
    {"vernier caliper", 2e-5, 3e-5, LENGTH, USUAL},
    {"digital caliper", 1e-5, 3e-5, LENGTH, USUAL},
    {"dial indicator", 1e-5, 1.5e-5, LENGTH, USUAL},
    {"thou dial indicator", THOU, THOU, LENGTH, USUAL},
    {"dial bore gauge", 1e-5, 1e-5, LENGTH, USUAL},
    {"telescopic gauge", 1e-5, 2e-5, LENGTH, USUAL},
    {"feeler gauge", 5e-5, 5e-6, LENGTH, USUAL},
    {"inch feeler gauge", THOU, 0.2 * THOU, LENGTH, USUAL},
    {"plastic gauge strip", 2.5e-5, 1.3e-5, LENGTH, USUAL},
    {"steel rule", 5e-4, 3e-4, LENGTH, USUAL},
    {"torque wrench", 1, 2, TORQUE, USUAL ": 4 % at 50 N·m"},
    {"small torque wrench", 0.1, 0.1, TORQUE, USUAL ": for running torque and small screws"},
    {"spring scale", 0.5, 1, FORCE, USUAL},
    {"bench scale", 1e-3, 2e-3, MASS, USUAL},
    {"pressure gauge", 1e4, 2e4, PRESSURE, USUAL},
    {"thermometer", 1, 2, TEMPERATURE, USUAL},
    {"protractor", DEGREE, DEGREE, ANGLE, USUAL},
    {"burette", 1e-7, 2e-7, VOLUME, USUAL},
    {"stop watch", 0.1, 0.5, TIME, USUAL},
    {"tachometer", 10 * RPM, 10 * RPM, SPEED, USUAL},
};

const struct fw_gauge *fw_gauges_typical(size_t *count)
{
	if (count)
		*count = sizeof gauges / sizeof gauges[0];
	return gauges;
}

static bool same_name(const char *a, const char *b)
{
	while (*a != '\0' && fw_text_fold((unsigned char)*a) == fw_text_fold((unsigned char)*b)) {
		a++;
		b++;
	}
	return *a == *b;
}

const struct fw_gauge *fw_gauge_typical(const char *name)
{
	for (size_t i = 0; name && i < sizeof gauges / sizeof gauges[0]; i++) {
		if (same_name(gauges[i].name, name))
			return &gauges[i];
	}
	return NULL;
}
