/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of values that come one at a time, from their moving ranges. */
#include "fitwright/control.h"

#include <math.h>
#include <stdbool.h>

#include "solve/conform/readings_check.h"

/* Range of two standard normal values: half-normal with sd √2. */
static const double d2 = 1.1283791670955126; /* 2/√π */
static const double d3 = 0.8525024664274217; /* √(2 - 4/π) */

static double mean_of(const double *x, size_t count)
{
	double sum = 0, rest = 0;

	for (size_t i = 0; i < count; i++)
		sum += x[i] / (double)count;
	for (size_t i = 0; i < count; i++)
		rest += (x[i] - sum) / (double)count;
	return sum + rest; /* equal values have their value as mean, to the bit */
}

static double mean_range(const double *x, size_t count)
{
	double sum = 0;

	for (size_t i = 1; i < count; i++)
		sum += fabs(x[i] - x[i - 1]) / (double)(count - 1);
	return sum;
}

int fw_control_limits(struct fw_control *out, const double *x, size_t count, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "control limits: no place for the result");
	if (count < FW_CONTROL_LEAST)
		return fw_fail(err, FW_ERR_RANGE, "control limits: need %d values or more, there are %zu",
		               FW_CONTROL_LEAST, count);
	int code = fw_readings_check(x, count, err);
	if (code != FW_OK)
		return code;

	struct fw_control c = {
	    .count = count, .mean = mean_of(x, count), .range = mean_range(x, count)};
	c.sd = c.range / d2;
	c.low = c.mean - 3 * c.sd;
	c.high = c.mean + 3 * c.sd;
	c.range_high = c.range * (1 + 3 * d3 / d2);
	if (!isfinite(c.low) || !isfinite(c.high) || !isfinite(c.range_high))
		return fw_fail(err, FW_ERR_RANGE, "control limits: the values are too large");
	*out = c;
	return FW_OK;
}

void fw_control_marks(unsigned *marks, const struct fw_control *control, const double *x,
                      size_t count)
{
	size_t run = 0;
	int side = 0;

	for (size_t i = 0; i < count; i++) {
		int own = (x[i] > control->mean) - (x[i] < control->mean);
		run = own != 0 && own == side ? run + 1 : own != 0;
		side = own;
		bool jumped = i > 0 && fabs(x[i] - x[i - 1]) > control->range_high;
		marks[i] = (x[i] < control->low || x[i] > control->high ? FW_CONTROL_BEYOND : 0U) |
		           (jumped ? FW_CONTROL_JUMPED : 0U) |
		           (run >= FW_CONTROL_RUN ? FW_CONTROL_ONE_SIDE : 0U);
	}
}
