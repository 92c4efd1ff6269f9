/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/shim.h"
#include "solve/shim/stack.h"

static int datum_check(const struct fw_datum *datum, double settle_u, struct fw_error *err)
{
	if (!datum)
		return fw_fail(err, FW_ERR_ARGUMENT, "shims: no datum given");
	if (datum->trials == 0)
		return fw_fail(err, FW_ERR_STATE,
		               "shims: nothing measured yet; measure the play with a known stack first");
	if (!(fabs(datum->value) <= FW_LENGTH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT, "shims: the datum is not a length up to 1000 m");
	if (!(datum->u >= 0.0 && datum->u <= FW_LENGTH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "shims: the uncertainty of the datum must be finite and not negative");
	if (!(settle_u >= 0.0 && settle_u <= FW_LENGTH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "shims: the uncertainty of seating must be finite and not negative");
	return FW_OK;
}

int fw_shim_choose(struct fw_shim_choice *out, const struct fw_datum *datum,
                   const struct fw_shim *kit, size_t sizes, size_t most, bool may_be_empty,
                   const struct fw_limits *limits, double settle_u, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "shims: no place for the choice");

	int rc = datum_check(datum, settle_u, err);
	if (rc == FW_OK)
		rc = fw_limits_check(limits, err);
	if (rc != FW_OK)
		return rc;

	struct fw_stack_task task = {.noun = "shim",
	                             .play = "play",
	                             .datum = datum->value,
	                             .variance = datum->u * datum->u + settle_u * settle_u,
	                             .kit = kit,
	                             .sizes = sizes,
	                             .most = most,
	                             .may_be_empty = may_be_empty,
	                             .limits = limits};
	return fw_stack_search(out, &task, err);
}
