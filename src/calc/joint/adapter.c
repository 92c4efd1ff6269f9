/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/joint/common.h"
#include "fitwright/wrench.h"

static int put_range(struct fw_calc_out *out, const struct fw_calc_values *in, double setting,
                     double factor, const struct fw_unit *unit, struct fw_error *err)
{
	double relative = fw_calc_value(in, "wrench"), fixed = fw_calc_value(in, "wrench-fixed");
	double low = 0.0, high = 0.0;
	char a[FW_FIGURE], b[FW_FIGURE];

	if (isnan(relative) && isnan(fixed))
		return FW_OK;
	int rc = fw_wrench_range(&low, &high, setting, isnan(relative) ? 0.0 : relative,
	                         isnan(fixed) ? 0.0 : fixed, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_line(
	    out,
	    "the wrench may give %s to %s; at the bolt each is divided by the factor, and what "
	    "turns the nut before it clamps is part of it",
	    fw_calc_figure(low, unit, a, sizeof a), fw_calc_figure(high, unit, b, sizeof b));
	fw_calc_put(out, "torque-low", "lowest at the bolt, in all", low / factor, unit);
	fw_calc_put(out, "torque-high", "highest at the bolt, in all", high / factor, unit);
	return FW_OK;
}

/* What is set, what comes of it at the bolt, and how much of that turns the nut before it clamps.
 */
struct adapted {
	double factor, setting, torque, prevailing;
	const struct fw_unit *unit;
};

static int factor_of(double *factor, struct fw_calc_out *out, const struct fw_adapter *adapter,
                     const struct fw_unit *length, struct fw_error *err)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];
	int rc = fw_adapter_factor(factor, adapter, err);

	if (rc == FW_OK)
		fw_calc_line(out, "factor = L/(L + E·cos a) = %s/(%s + %s · cos %s) = %s",
		             fw_calc_figure(adapter->length, length, a, sizeof a), a,
		             fw_calc_figure(adapter->extension, length, b, sizeof b),
		             fw_calc_in(adapter->angle, "°", c), fw_calc_plain(*factor, d));
	return rc;
}

static int from_setting(struct adapted *it, struct fw_calc_out *out,
                        const struct fw_adapter *adapter, const struct fw_calc_values *in,
                        struct fw_error *err)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	it->setting = fw_calc_value(in, "setting");
	int rc = fw_adapter_torque(&it->torque, adapter, it->setting, err);
	if (rc != FW_OK)
		return rc;
	if (it->torque <= it->prevailing)
		return fw_fail(err, FW_ERR_RANGE,
		               "setting: no more than the prevailing torque is left at the bolt");
	fw_calc_line(out, "torque at the bolt = setting / factor - prevailing = %s / %s - %s = %s",
	             fw_calc_figure(it->setting, it->unit, a, sizeof a), fw_calc_plain(it->factor, d),
	             fw_calc_figure(it->prevailing, it->unit, c, sizeof c),
	             fw_calc_figure(it->torque - it->prevailing, it->unit, b, sizeof b));
	return FW_OK;
}

static int from_torque(struct adapted *it, struct fw_calc_out *out,
                       const struct fw_adapter *adapter, const struct fw_calc_values *in,
                       struct fw_error *err)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	it->torque = fw_calc_value(in, "torque") + it->prevailing;
	int rc = fw_adapter_setting(&it->setting, adapter, it->torque, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_line(out, "setting = (torque + prevailing) · factor = (%s + %s) · %s = %s",
	             fw_calc_figure(it->torque - it->prevailing, it->unit, a, sizeof a),
	             fw_calc_figure(it->prevailing, it->unit, c, sizeof c),
	             fw_calc_plain(it->factor, d), fw_calc_figure(it->setting, it->unit, b, sizeof b));
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	const struct fw_adapter adapter = {fw_calc_value(in, "length"), fw_calc_value(in, "extension"),
	                                   fw_calc_value(in, "angle")};
	bool back = fw_calc_given(in, "setting");
	struct adapted it = {.unit = fw_calc_unit(in, back ? "setting" : "torque")};

	if (back == fw_calc_given(in, "torque"))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "torque %s: give torque, for what to set, or setting, for what it gives",
		               back ? "and setting" : "is missing");
	if (fw_calc_given(in, "prevailing"))
		it.prevailing = fw_calc_value(in, "prevailing");
	int rc = factor_of(&it.factor, out, &adapter, fw_calc_unit(in, "length"), err);
	if (rc == FW_OK)
		rc = back ? from_setting(&it, out, &adapter, in, err)
		          : from_torque(&it, out, &adapter, in, err);
	if (rc != FW_OK)
		return rc;
	fw_calc_put(out, "setting", "set the wrench to", it.setting, it.unit);
	fw_calc_put(out, "torque", "torque that clamps", it.torque - it.prevailing, it.unit);
	fw_calc_put_number(out, "factor", "setting over torque at the bolt", it.factor);
	return put_range(out, in, it.setting, it.factor, it.unit, err);
}

static const struct fw_calc_input inputs[] = {
    {"torque", FW_CALC_QUANTITY, "N·m", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "torque wanted at the bolt"},
    {"setting", FW_CALC_QUANTITY, "N·m", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "what the wrench is set to, in place of torque"},
    {"length", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL,
     "from the middle of the grip to the square"},
    {"extension", FW_CALC_QUANTITY, "mm", FW_CALC_NOT_NEGATIVE, true, NULL, NULL, NULL,
     "from the square to the bolt"},
    {"angle", FW_CALC_QUANTITY, "°", FW_CALC_ANY, false, "0 °", NULL, NULL,
     "between wrench and adapter: 0 in line, 90 square"},
    {"prevailing", FW_CALC_QUANTITY, "N·m", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "torque that turns the nut before it clamps"},
    {"wrench", FW_CALC_NUMBER, NULL, FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "relative error of the wrench, such as 4 %"},
    {"wrench-fixed", FW_CALC_QUANTITY, "N·m", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "the part of it that doesn't grow with the torque"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_adapter = {
    .name = "adapter",
    .summary = "what to set a torque wrench to with an adapter on it",
    .about = "An adapter that moves the bolt out of the wrench's axis changes the lever.\n"
             "Square to the wrench (90°) it changes nothing. A prevailing torque, as of a\n"
             "self-locking nut, is added before. It holds while the hand pulls at the\n"
             "middle of the grip, square to the handle; a straight extension of the socket\n"
             "changes nothing.",
    .source = "TM 9-254, General maintenance procedures (US Army); AC 43.13-1B, 7-40",
    .example = "--torque \"70 lbf·in\" --length \"12 in\" --extension \"2 in\"",
    .inputs = inputs,
    .run = run};
