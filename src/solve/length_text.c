/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/length_text.h"

#include <math.h>
#include <stdio.h>

#define TENTH_OF_A_THOU 2.54e-6

/* Whole steps as an integer: printf's %f would write the decimal sign of the host's locale. */
static long long steps(double metres, double step)
{
	double count = round(metres / step);
	return fabs(count) < 1e15 ? (long long)count : 0;
}

const char *fw_length_text(double metres, char *buffer, size_t size)
{
	if (!(fabs(metres) < 1e6)) {
		snprintf(buffer, size, "out of all measure");
		return buffer;
	}

	long long um = steps(fabs(metres), 1e-6);
	long long tenths = steps(fabs(metres), TENTH_OF_A_THOU);
	const char *um_sign = metres < 0.0 && um != 0 ? "-" : "";
	const char *inch_sign = metres < 0.0 && tenths != 0 ? "-" : "";
	if (um % 10 == 0)
		snprintf(buffer, size, "%s%lld.%02lld mm (%s%lld.%04lld in)", um_sign, um / 1000,
		         um % 1000 / 10, inch_sign, tenths / 10000, tenths % 10000);
	else
		snprintf(buffer, size, "%s%lld.%03lld mm (%s%lld.%04lld in)", um_sign, um / 1000, um % 1000,
		         inch_sign, tenths / 10000, tenths % 10000);
	return buffer;
}
