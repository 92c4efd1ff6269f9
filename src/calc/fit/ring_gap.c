/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/fit/common.h"

static int put_rule(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	const struct fw_unit *unit = fw_calc_unit(in, "bore");
	double bore = fw_calc_value(in, "bore"), share = fw_calc_value(in, "share"), gap = 0.0;
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];
	int rc = fw_ring_rule(&gap, bore, share, err);

	if (rc != FW_OK)
		return rc;
	fw_calc_line(out, "gap by rule = share × bore = %s × %s = %s", fw_calc_plain(share, a),
	             fw_calc_figure(bore, unit, b, sizeof b), fw_calc_figure(gap, unit, c, sizeof c));
	fw_calc_put(out, "rule", "gap by rule", gap, unit);
	return FW_OK;
}

/* The gap in a bore other than the one in which it was measured. */
static int put_other(struct fw_calc_out *out, double gap, double bore, double other,
                     const struct fw_unit *unit, struct fw_error *err)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	double there = 0.0;
	int rc = fw_ring_gap_in(&there, gap, bore, other, err);

	if (rc != FW_OK)
		return rc;
	fw_calc_figure(other, unit, c, sizeof c);
	fw_calc_line(out, "gap in %s = gap + pi × (%s - %s) = %s + (%s)", c, c,
	             fw_calc_figure(bore, unit, b, sizeof b), fw_calc_figure(gap, unit, a, sizeof a),
	             fw_calc_figure(there - gap, unit, d, sizeof d));
	fw_calc_row(out, "gaps", "Gap in other bores");
	fw_calc_put(out, "bore", "bore", other, unit);
	fw_calc_put(out, "gap", "gap", there, unit);
	fw_calc_put(out, "change", "change", there - gap, unit);
	fw_calc_row_end(out);
	if (there <= 0.0)
		fw_calc_warn(out, "in a bore of %s the ends of the ring butt", c);
	return FW_OK;
}

static int put_gaps(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	int rc = FW_OK;

	if (!fw_calc_given(in, "gap"))
		return fw_calc_given(in, "other")
		           ? fw_fail(err, FW_ERR_ARGUMENT,
		                     "ring gap: other bores need the gap measured in --bore")
		           : FW_OK;
	for (size_t i = 0; rc == FW_OK && i < fw_calc_count(in, "other"); i++)
		rc = put_other(out, fw_calc_value(in, "gap"), fw_calc_value(in, "bore"),
		               fw_calc_item(in, "other", i), fw_calc_unit(in, "bore"), err);
	return rc;
}

static int put_side(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	bool has_groove = fw_calc_given(in, "groove"), has_width = fw_calc_given(in, "width");
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];
	double side = 0.0;

	if (!has_groove && !has_width)
		return FW_OK;
	if (!has_groove || !has_width)
		return fw_fail(err, FW_ERR_ARGUMENT, "ring gap: side clearance takes groove and width");

	double groove = fw_calc_value(in, "groove"), width = fw_calc_value(in, "width");
	const struct fw_unit *unit = fw_calc_unit(in, "groove");
	int rc = fw_ring_side(&side, groove, width, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_line(out, "side clearance = groove - width = %s - %s = %s",
	             fw_calc_figure(groove, unit, a, sizeof a),
	             fw_calc_figure(width, unit, b, sizeof b), fw_calc_figure(side, unit, c, sizeof c));
	fw_calc_put(out, "side", "side clearance in the groove", side, unit);
	if (side <= 0.0)
		fw_calc_warn(out, "the ring is as wide as its groove: it sticks");
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	int rc = put_rule(out, in, err);

	if (rc == FW_OK)
		rc = put_gaps(out, in, err);
	return rc == FW_OK ? put_side(out, in, err) : rc;
}

static const struct fw_calc_input inputs[] = {
    {"bore", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL,
     "bore where the ring is, or was, tried"},
    {"share", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, "0.0035", NULL, NULL,
     "gap as a share of the bore"},
    {"gap", FW_CALC_QUANTITY, "mm", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "gap measured in that bore"},
    {"other", FW_CALC_QUANTITIES, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "bores elsewhere: at depth, or after wear"},
    {"groove", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "height of the groove"},
    {"width", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "height of the ring"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_ring_gap = {
    .name = "ring-gap",
    .summary = "gap of a piston ring, in this bore and others; side clearance",
    .about = "The rule gives the least gap a cast ring wants; 0.003 to 0.004 of the bore is\n"
             "common, more for hard use. With a gap measured in the bore, tells the gap in\n"
             "other bores: the ring keeps its length, so the gap takes up the whole change\n"
             "of circumference. Set the gap where the bore is smallest.",
    .source = "gap + pi·(change of bore); the rule: common practice, no source",
    .example = "--bore 86 --gap 0.35 --other 86.05 --groove 1.54 --width 1.49",
    .inputs = inputs,
    .run = run};
