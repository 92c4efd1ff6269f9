/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/strip.h"

#include <math.h>

#define PI     3.14159265358979323846
#define SQRT_3 1.73205080756887729353

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

/* Shear areas for each metre of engagement, m. */
struct ring {
	double bolt, parent;
};

static int rings(struct ring *out, const struct fw_thread *t, struct fw_error *err)
{
	struct fw_thread_limits l;
	int rc = fw_thread_limits(&l, t, err);

	if (rc != FW_OK)
		return rc;
	double half = t->pitch / 2.0;
	out->bolt =
	    PI * l.nut_inner_max / t->pitch * (half + (l.bolt_pitch_min - l.nut_inner_max) / SQRT_3);
	out->parent =
	    PI * l.bolt_outer_min / t->pitch * (half + (l.bolt_outer_min - l.nut_pitch_max) / SQRT_3);
	if (!positive(out->bolt) || !positive(out->parent) || !positive(t->stress_area))
		return fw_fail(err, FW_ERR_RANGE, "stripping: these are no dimensions of a thread");
	return FW_OK;
}

static int check(const struct fw_strip_case *in, struct fw_error *err)
{
	const struct fw_thread *t = &in->thread;

	if (!positive(in->engagement))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "stripping: the length of engagement must be finite and above zero");
	if (!positive(in->parent_shear))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "stripping: the parent's shear strength must be finite and above zero");
	if (!(isfinite(in->bolt_tensile) && in->bolt_tensile >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "stripping: the bolt's tensile strength must be finite and above zero; 0 if "
		               "unknown");
	if (in->engagement < t->pitch * (1.0 - 1e-9))
		return fw_fail(err, FW_ERR_RANGE,
		               "stripping: %.3g mm of engagement is less than one thread, %.3g mm",
		               in->engagement * 1e3, t->pitch * 1e3);
	if (in->engagement > FW_ENGAGEMENT_MOST * t->diameter * (1.0 + 1e-9))
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "stripping: %.4g mm of engagement is more than %g diameters; threads further "
		    "in carry next to nothing, so give %.4g mm",
		    in->engagement * 1e3, FW_ENGAGEMENT_MOST, FW_ENGAGEMENT_MOST * t->diameter * 1e3);
	return FW_OK;
}

int fw_strip_work(struct fw_strip *out, const struct fw_strip_case *in, struct fw_error *err)
{
	struct ring ring;

	if (!out || !in)
		return fw_fail(err, FW_ERR_ARGUMENT, "stripping: no case, or no place for the result");
	int rc = rings(&ring, &in->thread, err);
	if (rc == FW_OK)
		rc = check(in, err);
	if (rc != FW_OK)
		return rc;

	struct fw_strip s = {.bolt_area = ring.bolt * in->engagement,
	                     .parent_area = ring.parent * in->engagement,
	                     .bolt_load = NAN,
	                     .break_load = NAN,
	                     .engagement_needed = NAN,
	                     .parent_first = true};
	s.parent_load = s.parent_area * in->parent_shear;
	s.load = s.parent_load;
	if (in->bolt_tensile > 0.0) {
		double bolt_shear = FW_BOLT_SHEAR_RATIO * in->bolt_tensile;
		s.bolt_load = s.bolt_area * bolt_shear;
		s.parent_first = s.parent_load <= s.bolt_load;
		s.load = fmin(s.parent_load, s.bolt_load);
		s.break_load = in->bolt_tensile * in->thread.stress_area;
		s.engagement_needed =
		    s.break_load / fmin(ring.bolt * bolt_shear, ring.parent * in->parent_shear);
	}
	if (!isfinite(s.parent_load) || isinf(s.bolt_load) || isinf(s.engagement_needed))
		return fw_fail(err, FW_ERR_RANGE, "stripping: the load is beyond all measure");
	*out = s;
	return FW_OK;
}

int fw_engagement_equal(double *out, const struct fw_thread *thread, struct fw_error *err)
{
	struct ring ring;

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "stripping: no place for the engagement");
	int rc = rings(&ring, thread, err);
	if (rc == FW_OK)
		*out = 2.0 * thread->stress_area / ring.bolt;
	return rc;
}
