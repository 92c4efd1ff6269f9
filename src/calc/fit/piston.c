/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/fit/common.h"

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_roundness bore, piston;
	struct fw_running running;
	int rc = fw_fit_planes(&bore, out, in, "bore", err);

	if (rc == FW_OK)
		rc = fw_fit_planes(&piston, out, in, "piston", err);
	if (rc == FW_OK)
		rc = fw_running_clearance(&running, &bore, 0.0, &piston, err);
	if (rc == FW_OK)
		fw_fit_put_running(out, &running, &bore, 0.0, &piston, "piston",
		                   fw_calc_unit(fw_calc_record(in, "piston", 0), "size"));
	return rc;
}

static const struct fw_calc_input inputs[] = {
    {"bore", FW_CALC_RECORDS, NULL, FW_CALC_ANY, true, NULL, NULL, fw_plane_fields,
     "bore, one record for each depth"},
    {"piston", FW_CALC_RECORDS, NULL, FW_CALC_ANY, true, NULL, NULL, fw_plane_fields,
     "piston, at the skirt, square to the pin"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_piston = {
    .name = "piston",
    .summary = "clearance of a piston in its bore, taper and out-of-round",
    .about = "Bore less piston, at mean, least and greatest, and for each unit of its size.\n"
             "Give a record for each depth of the bore, 'along, across=…'. A piston is\n"
             "oval and tapered on purpose: measure it where its maker says, usually at\n"
             "the skirt square to the pin. Bore and piston at one temperature.",
    .source = "bore - piston; out-of-round and taper as measured in workshops, common practice",
    .example = "--bore '86.04, across=86.03' --bore '86.02, across=86.02' --piston 85.96",
    .inputs = inputs,
    .run = run};
