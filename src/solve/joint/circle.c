/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/joint.h"

/* Spreads 0..count-1 so that what comes next lies half the list away: 0 2 1 3, 0 2 4 1 3,
 * 0 4 2 6 1 5 3 7. Runs of stride count/2, their starts spread in the same way. */
static void spread(unsigned *out, unsigned count)
{
	unsigned starts[FW_BOLTS_MOST] = {0};
	unsigned stride = count / 2;
	unsigned n = 0;

	if (stride < 2) {
		for (unsigned i = 0; i < count; i++)
			out[i] = i;
		return;
	}
	spread(starts, stride);
	for (unsigned i = 0; i < stride; i++)
		for (unsigned at = starts[i]; at < count; at += stride)
			out[n++] = at;
}

static void crosses(unsigned *order, unsigned count)
{
	unsigned first[FW_BOLTS_MOST] = {0};
	unsigned quarter = count / 4;

	spread(first, quarter);
	for (size_t i = 0; i < quarter; i++) {
		unsigned a = first[i] + 1;
		order[4 * i] = a;
		order[4 * i + 1] = a + 2 * quarter;
		order[4 * i + 2] = a + quarter;
		order[4 * i + 3] = a + 3 * quarter;
	}
}

static void pairs(unsigned *order, unsigned count)
{
	unsigned first[FW_BOLTS_MOST] = {0};
	unsigned half = count / 2;

	spread(first, half);
	for (size_t i = 0; i < half; i++) {
		order[2 * i] = first[i] + 1;
		order[2 * i + 1] = first[i] + 1 + half;
	}
}

/* (n - 1)/2 has no divisor in common with an odd n, so it visits every bolt. */
static void star(unsigned *order, unsigned count)
{
	unsigned stride = (count - 1) / 2;
	unsigned at = 0;

	for (unsigned i = 0; i < count; i++) {
		order[i] = at + 1;
		at = (at + stride) % count;
	}
}

int fw_circle_order(unsigned *order, size_t count, struct fw_error *err)
{
	if (!order)
		return fw_fail(err, FW_ERR_ARGUMENT, "circle: no place for the order");
	if (count < 1 || count > FW_BOLTS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "circle: %zu bolts, must be 1 to %d", count,
		               FW_BOLTS_MOST);

	unsigned n = (unsigned)count;
	if (n % 4 == 0)
		crosses(order, n);
	else if (n % 2 == 0)
		pairs(order, n);
	else
		star(order, n);
	return FW_OK;
}
