/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lines of stripping, for "strip" and "torque". */
#include <math.h>

#include "calc/joint/common.h"
#include "fitwright/strip.h"

/* One thread's least area and what it bears. */
static void put_side(struct fw_calc_out *out, const char *who, const char *equation, double area,
                     double shear, double load, const struct fw_thread *t)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(out, "%s: A = %s = %s; strips at A·τ = %s · %s = %s", who, equation,
	             fw_calc_in(area, "mm²", a), a, fw_calc_in(shear, "MPa", b),
	             fw_calc_in(load, fw_joint_force_unit(t), c));
}

static int put_areas(struct fw_calc_out *out, const struct fw_strip_case *in,
                     const struct fw_strip *s, struct fw_error *err)
{
	const struct fw_thread *t = &in->thread;
	const char *unit = fw_joint_length_unit(t);
	struct fw_thread_limits l;
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	int rc = fw_thread_limits(&l, t, err);

	if (rc != FW_OK)
		return rc;
	fw_calc_line(
	    out, "worst limits, %s: bolt d min = %s, d2 min = %s; hole D2 max = %s, D1 max = %s",
	    l.classes, fw_calc_in(l.bolt_outer_min, unit, a), fw_calc_in(l.bolt_pitch_min, unit, b),
	    fw_calc_in(l.nut_pitch_max, unit, c), fw_calc_in(l.nut_inner_max, unit, d));
	put_side(out, "parent's thread", "π·Le·d/P·[P/2 + (d - D2)/√3]", s->parent_area,
	         in->parent_shear, s->parent_load, t);
	if (!isnan(s->bolt_load))
		put_side(out, "bolt's thread, τ = 0.6·Rm", "π·Le·D1/P·[P/2 + (d2 - D1)/√3]", s->bolt_area,
		         FW_BOLT_SHEAR_RATIO * in->bolt_tensile, s->bolt_load, t);
	return FW_OK;
}

static void put_breaking(struct fw_calc_out *out, const struct fw_strip_case *in,
                         const struct fw_strip *s)
{
	const struct fw_thread *t = &in->thread;
	const char *length = fw_joint_length_unit(t), *force = fw_joint_force_unit(t);
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	if (isnan(s->break_load))
		return;
	fw_calc_line(out, "the bolt breaks at Rm·As = %s · %s = %s",
	             fw_calc_in(in->bolt_tensile, "MPa", a), fw_calc_in(t->stress_area, "mm²", b),
	             fw_calc_in(s->break_load, force, c));
	fw_calc_line(
	    out, "engagement for that = Le·(load that breaks / load that strips) = %s · %s / %s = %s",
	    fw_calc_in(in->engagement, length, a), c, fw_calc_in(s->load, force, b),
	    fw_calc_in(s->engagement_needed, length, d));
	fw_calc_put(out, "break-load", "load that breaks the bolt", s->break_load,
	            fw_calc_symbol(force));
	fw_calc_put(out, "engagement-needed", "engagement for the bolt to break first",
	            s->engagement_needed, fw_calc_symbol(length));
	fw_calc_put_flag(out, "bolt-breaks-first", "the bolt breaks before threads strip",
	                 s->break_load < s->load);
	if (s->engagement_needed > FW_ENGAGEMENT_MOST * t->diameter)
		fw_calc_warn(
		    out,
		    "in this material the threads strip before the bolt breaks, however long they are");
}

static void judge(struct fw_calc_out *out, const struct fw_thread *t, const struct fw_strip *s,
                  double preload)
{
	const char *force = fw_joint_force_unit(t);
	double margin = s->load / preload;
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	if (isnan(preload))
		return;
	fw_calc_line(out, "margin = load that strips / highest preload = %s / %s = %s",
	             fw_calc_in(s->load, force, a), fw_calc_in(preload, force, b),
	             fw_calc_plain(margin, c));
	fw_calc_put_number(out, "strip-margin", "margin of stripping", margin);
	if (margin < 1.0)
		fw_calc_warn(out, "the %s can strip: %s at the most against %s",
		             s->parent_first ? "parent's thread" : "bolt's thread",
		             fw_calc_in(preload, force, a), fw_calc_in(s->load, force, b));
	else if (margin < FW_STRIP_MARGIN)
		fw_calc_warn(out, "the margin of stripping is below %g", FW_STRIP_MARGIN);
}

int fw_joint_put_strip(struct fw_calc_out *out, const struct fw_calc_values *in,
                       const struct fw_thread *thread, const struct fw_strength *strength,
                       double preload, struct fw_error *err)
{
	struct fw_strip_case strip = {.thread = *thread,
	                              .engagement = fw_calc_value(in, "engagement"),
	                              .bolt_tensile = strength->tensile};
	const char *source = NULL, *force = fw_joint_force_unit(thread);
	struct fw_strip s;
	char a[FW_FIGURE];
	int rc = fw_joint_read_parent(&strip.parent_shear, &source, in, err);

	if (rc == FW_OK)
		rc = fw_strip_work(&s, &strip, err);
	if (rc != FW_OK)
		return rc;
	if (source)
		fw_calc_line(out, "parent: τ = %s, typical: %s", fw_calc_in(strip.parent_shear, "MPa", a),
		             source);
	rc = put_areas(out, &strip, &s, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_put(out, "strip-load", "load that strips", s.load, fw_calc_symbol(force));
	fw_calc_put_text(out, "strips-first", "what strips first",
	                 s.parent_first ? "the parent's thread" : "the bolt's thread");
	put_breaking(out, &strip, &s);
	judge(out, thread, &s, preload);
	return FW_OK;
}
