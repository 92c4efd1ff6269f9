/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/bore.h"

#include <math.h>
#include <stdbool.h>

#include "solve/length_text.h"

#define SPREAD_MOST 0.1 /* of the mean: more is another part, or a slip of units */

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

/* Smallest and largest of one direction. */
struct span {
	double min, max;
	size_t count;
};

static void widen(struct span *span, double x)
{
	if (span->count == 0 || x < span->min)
		span->min = x;
	if (span->count == 0 || x > span->max)
		span->max = x;
	span->count++;
}

static int check_plane(const struct fw_plane *plane, size_t index, const char *name,
                       struct fw_error *err)
{
	if (!positive(plane->along))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s, plane %zu: the size must be finite and above zero", name, index + 1);
	if (!isnan(plane->across) && !positive(plane->across))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s, plane %zu: the size across must be finite and above zero", name,
		               index + 1);
	return FW_OK;
}

static double larger(double a, double b)
{
	return isnan(a) || b > a ? b : a;
}

int fw_roundness(struct fw_roundness *out, const struct fw_plane *planes, size_t count,
                 const char *name, struct fw_error *err)
{
	struct span along = {0}, across = {0}, all = {0};
	double sum = 0.0, round_off = NAN, taper = NAN;

	if (!name)
		name = "bore";
	if (!out || !planes || count == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: no readings, or no place for the result", name);
	if (count > FW_PLANES_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: more than %d planes", name, FW_PLANES_MOST);
	for (size_t i = 0; i < count; i++) {
		int rc = check_plane(&planes[i], i, name, err);
		if (rc != FW_OK)
			return rc;
		widen(&along, planes[i].along);
		widen(&all, planes[i].along);
		sum += planes[i].along - planes[0].along; /* small: no digits are lost in the sum */
		if (isnan(planes[i].across))
			continue;
		widen(&across, planes[i].across);
		widen(&all, planes[i].across);
		sum += planes[i].across - planes[0].along;
		round_off = larger(round_off, fabs(planes[i].along - planes[i].across));
	}
	if (!((all.max - all.min) <= SPREAD_MOST * all.max))
		return fw_fail(err, FW_ERR_RANGE,
		               "%s: the readings differ by more than a tenth; one part only, and one unit",
		               name);
	if (along.count > 1)
		taper = along.max - along.min;
	if (across.count > 1)
		taper = larger(taper, across.max - across.min);
	*out = (struct fw_roundness){.mean = planes[0].along + sum / (double)all.count,
	                             .min = all.min,
	                             .max = all.max,
	                             .out_of_round = round_off,
	                             .taper = taper,
	                             .readings = all.count};
	return FW_OK;
}

static bool usable(const struct fw_roundness *part)
{
	return part && positive(part->mean) && positive(part->min) && positive(part->max) &&
	       part->min <= part->max;
}

int fw_running_clearance(struct fw_running *out, const struct fw_roundness *bore, double shell,
                         const struct fw_roundness *inner, struct fw_error *err)
{
	char text[FW_LENGTH_TEXT];

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "clearance: no place for the result");
	if (!usable(bore))
		return fw_fail(err, FW_ERR_ARGUMENT, "clearance: the bore must be finite and above zero");
	if (!usable(inner))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "clearance: what runs in the bore must be finite and above zero");
	if (!(isfinite(shell) && shell >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "clearance: the wall of the shell must be finite and not negative");
	if (shell > 0.1 * inner->mean)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "clearance: a shell of %s is more than a tenth of the journal; give the wall "
		    "of one shell",
		    fw_length_text(shell, text, sizeof text));

	struct fw_running running = {.mean = bore->mean - 2.0 * shell - inner->mean,
	                             .min = bore->min - 2.0 * shell - inner->max,
	                             .max = bore->max - 2.0 * shell - inner->min};
	running.ratio = running.mean / inner->mean;
	if (!(fabs(running.ratio) <= 0.1))
		return fw_fail(err, FW_ERR_RANGE,
		               "clearance: %s between bore and what runs in it is more than a tenth of its "
		               "size; are both of one place, and in the right units?",
		               fw_length_text(running.mean, text, sizeof text));
	*out = running;
	return FW_OK;
}
