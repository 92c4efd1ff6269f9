/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/shim.h"
#include "solve/shim/stack.h"

static int gap_check(double gap, double gap_u, struct fw_error *err)
{
	if (!isfinite(gap))
		return fw_fail(err, FW_ERR_ARGUMENT, "gasket: the gap is not a finite number");
	if (gap <= 0.0)
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "gasket: the gap must be above zero; a cover that goes down to its seat bare "
		    "does not touch the bearing, so measure its float instead");
	if (gap > FW_SHIM_THICKEST)
		return fw_fail(err, FW_ERR_ARGUMENT, "gasket: the gap is above 1 m; lengths are in metres");
	if (!(gap_u >= 0.0 && gap_u <= FW_SHIM_THICKEST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gasket: the uncertainty of the gap must be finite and not negative");
	return FW_OK;
}

int fw_gasket_choose(struct fw_shim_choice *out, double gap, double gap_u,
                     const struct fw_shim *kit, size_t sizes, size_t most,
                     const struct fw_limits *nip, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "gasket: no place for the choice");

	int rc = gap_check(gap, gap_u, err);
	if (rc == FW_OK)
		rc = fw_limits_check(nip, err);
	if (rc != FW_OK)
		return rc;

	struct fw_stack_task task = {.noun = "gasket",
	                             .play = "nip",
	                             .datum = gap,
	                             .variance = gap_u * gap_u,
	                             .kit = kit,
	                             .sizes = sizes,
	                             .most = most,
	                             .limits = nip};
	return fw_stack_search(out, &task, err);
}
