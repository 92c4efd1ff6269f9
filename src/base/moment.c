/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/moment.h"

#include <stdio.h>

const char *fw_moment_text(char out[32], const struct timespec *moment)
{
	struct tm utc;
	char date[24] = "";

	gmtime_r(&moment->tv_sec, &utc);
	strftime(date, sizeof date, "%Y-%m-%dT%H:%M:%S", &utc);
	snprintf(out, 32, "%.19s.%03uZ", date, (unsigned)(moment->tv_nsec / 1000000L) % 1000U);
	return out;
}

const char *fw_moment_now(char out[32])
{
	struct timespec now;

	clock_gettime(CLOCK_REALTIME, &now);
	return fw_moment_text(out, &now);
}
