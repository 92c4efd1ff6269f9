/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/fit/common.h"

static const char *against_rule(double ratio)
{
	if (ratio < FW_RUNNING_RULE_LOW)
		return "below it";
	return ratio > FW_RUNNING_RULE_HIGH ? "above it" : "as usual";
}

static void put_rule(struct fw_calc_out *out, const struct fw_running *running, double journal,
                     const struct fw_unit *unit)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	fw_calc_line(out,
	             "rule of thumb (common practice, no limit): 0.001 of the journal = %s; 0.00075 to "
	             "0.0015 = %s to %s",
	             fw_calc_figure(FW_RUNNING_RULE * journal, unit, a, sizeof a),
	             fw_calc_figure(FW_RUNNING_RULE_LOW * journal, unit, b, sizeof b),
	             fw_calc_figure(FW_RUNNING_RULE_HIGH * journal, unit, c, sizeof c));
	fw_calc_put(out, "rule", "rule of thumb (common practice)", FW_RUNNING_RULE * journal, unit);
	fw_calc_put_text(out, "against-rule", "against the rule of thumb",
	                 against_rule(running->ratio));
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_roundness bore, journal;
	struct fw_running running;
	double shell = fw_calc_given(in, "shell") ? fw_calc_value(in, "shell") : 0.0;
	int rc = fw_fit_planes(&bore, out, in, "bore", err);

	if (rc == FW_OK)
		rc = fw_fit_planes(&journal, out, in, "journal", err);
	if (rc == FW_OK)
		rc = fw_running_clearance(&running, &bore, shell, &journal, err);
	if (rc != FW_OK)
		return rc;

	const struct fw_unit *unit = fw_calc_unit(fw_calc_record(in, "journal", 0), "size");
	fw_fit_put_running(out, &running, &bore, shell, &journal, "journal", unit);
	put_rule(out, &running, journal.mean, unit);
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {
    {"bore", FW_CALC_RECORDS, NULL, FW_CALC_ANY, true, NULL, NULL, fw_plane_fields,
     "bore, one record for each depth, cap torqued"},
    {"journal", FW_CALC_RECORDS, NULL, FW_CALC_ANY, true, NULL, NULL, fw_plane_fields,
     "journal, one record for each depth"},
    {"shell", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "wall of one shell, where the bore was miked without"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_oil_clearance = {
    .name = "oil-clearance",
    .summary = "clearance of a journal in its bearing, from readings of both",
    .about = "Bore less journal, and less two shell walls where the bore was measured bare.\n"
             "Give a record for each depth; with a size across, out-of-round shows, with\n"
             "several depths taper. A bore measured with its shells in and the cap torqued\n"
             "is better: crush closes a bore by some micrometres, and is left out here.\n"
             "The rule of thumb is common practice and no limit.",
    .source = "bore - 2·shell - journal; rule of thumb: common practice, no source",
    .example = "--bore '53.04, across=53.05' --journal '53.00, across=52.99' --journal 52.98",
    .inputs = inputs,
    .run = run};
