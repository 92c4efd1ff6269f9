/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/joint.h"

int fw_passes_check(const double *share, size_t count, struct fw_error *err)
{
	if (!share || count == 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "passes: none given; one pass at the full torque is 1");
	for (size_t i = 0; i < count; i++) {
		if (!(share[i] > 0.0 && share[i] <= 1.0))
			return fw_fail(
			    err, FW_ERR_ARGUMENT,
			    "passes, number %zu: must be a share of the final torque, above 0 and at "
			    "most 1",
			    i + 1);
		if (i > 0 && share[i] < share[i - 1])
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "passes, number %zu: must not be below the one before", i + 1);
	}
	if (share[count - 1] != 1.0)
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "passes: the last must be 1, the full torque; it is the only one that counts");
	return FW_OK;
}
