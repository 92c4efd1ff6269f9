/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Gauges of the bench as they usually are, for a shop that hasn't entered its own. Resolution is
 * what can be told apart on the scale, the error what such a gauge in good order is trusted to.
 */
#include <string.h>

#include "fitwright/measure.h"
#include "quantity/dimension_list.h"
#include "quantity/text.h"

#define THOU       2.54e-5
#define DEGREE     (3.14159265358979323846 / 180)
#define RPM        (3.14159265358979323846 / 30)
#define INCH_POUND (0.0254 * 4.4482216152605) /* lbf·in, exact by definition */
#define USUAL      "common practice, no source"

/* The figures of a name never change, since recorded jobs are worked out again with them: a better
 * figure has a name of its own. */
/* clang-format off */
static const struct fw_gauge gauges[] = {
    {"micrometer",            1e-5,       4e-6,       LENGTH,      USUAL, 0},
    {"inch micrometer",       0.1 * THOU, 0.2 * THOU, LENGTH,      USUAL, 0},
    {"inside micrometer",     1e-5,       6e-6,       LENGTH,      USUAL, 0},
    {"depth micrometer",      1e-5,       5e-6,       LENGTH,      USUAL, 0},
    {"vernier caliper",       2e-5,       3e-5,       LENGTH,      USUAL, 0},
    {"digital caliper",       1e-5,       3e-5,       LENGTH,      USUAL, 0},
    {"depth gauge",           2e-5,       3e-5,       LENGTH,      USUAL ": with a vernier", 0},
    {"dial indicator",        1e-5,       1.5e-5,     LENGTH,      USUAL, 0},
    {"fine dial indicator",   1e-6,       5e-6,       LENGTH,      USUAL ": 1 mm of travel", 0},
    {"thou dial indicator",   THOU,       THOU,       LENGTH,      USUAL, 0},
    {"dial test indicator",   1e-5,       1.3e-5,     LENGTH,      USUAL ": the lever square to the stroke", 0},
    {"dial bore gauge",       1e-5,       1e-5,       LENGTH,      USUAL, 0},
    {"telescopic gauge",      1e-5,       2e-5,       LENGTH,      USUAL, 0},
    {"feeler gauge",          5e-5,       5e-6,       LENGTH,      USUAL, 0},
    {"inch feeler gauge",     THOU,       0.2 * THOU, LENGTH,      USUAL, 0},
    {"straightedge and feeler", 5e-5,     2e-5,       LENGTH,      USUAL, 0},
    {"plastic gauge strip",   2.5e-5,     1.3e-5,     LENGTH,      USUAL, 0},
    {"steel rule",            5e-4,       3e-4,       LENGTH,      USUAL, 0},
    {"torque wrench",         1,          2,          TORQUE,      USUAL ": 4 % at 50 N·m", 0},
    {"small torque wrench",   0.1,        0.1,        TORQUE,      USUAL ": for running torque and small screws", 0},
    {"setting torque wrench", 1,          0,          TORQUE,      USUAL ": 4 % of what it is set to", 0.04},
    {"beam torque wrench",    1,          0,          TORQUE,      USUAL ": 4 % of the reading", 0.04},
    {"inch-pound dial wrench", 0.5 * INCH_POUND, 0,   TORQUE,      USUAL ": 4 % of the reading", 0.04},
    {"spring scale",          0.5,        1,          FORCE,       USUAL, 0},
    {"spring balance",        0.5,        0.5,        FORCE,       USUAL ": for the drag of bearings", 0.01},
    {"spring tester",         5,          0,          FORCE,       USUAL ": 3 % of the reading", 0.03},
    {"bench scale",           1e-3,       2e-3,       MASS,        USUAL, 0},
    {"pressure gauge",        1e4,        2e4,        PRESSURE,    USUAL, 0},
    {"thermometer",           1,          2,          TEMPERATURE, USUAL, 0},
    {"protractor",            DEGREE,     DEGREE,     ANGLE,       USUAL, 0},
    {"burette",               1e-7,       2e-7,       VOLUME,      USUAL, 0},
    {"stop watch",            0.1,        0.5,        TIME,        USUAL, 0},
    {"tachometer",            10 * RPM,   10 * RPM,   SPEED,       USUAL, 0},
};
/* clang-format on */

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
