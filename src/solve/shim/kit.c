/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/shim.h"
#include "solve/shim/stack.h"

/* Two entries closer than this are one size written twice: 31 thou and 0.7874 mm differ in the last
 * bit only. */
#define ALIKE 1e-9

static int fail_entry(struct fw_error *err, size_t i, const char *what)
{
	return fw_fail(err, FW_ERR_ARGUMENT, "kit, entry %zu: %s", i + 1, what);
}

static int shim_check(const struct fw_shim *shim, size_t i, struct fw_error *err)
{
	if (!isfinite(shim->thickness))
		return fail_entry(err, i, "the thickness is not a finite number");
	if (shim->thickness <= 0.0)
		return fail_entry(err, i, "the thickness must be above zero");
	if (shim->thickness > FW_SHIM_THICKEST)
		return fail_entry(err, i, "thicker than 1 m; lengths are in metres");
	if (!(isfinite(shim->u) && shim->u >= 0.0))
		return fail_entry(err, i, "the uncertainty must be a finite number, zero or above");
	if (shim->u > FW_SHIM_THICKEST)
		return fail_entry(err, i, "the uncertainty is above 1 m; lengths are in metres");
	if (!(shim->crush >= 0.0 && shim->crush < 1.0))
		return fail_entry(err, i, "the crush must be a share from 0 to below 1");
	if (!(shim->crush_u >= 0.0 && shim->crush_u <= 1.0))
		return fail_entry(err, i, "the uncertainty of the crush must be a share from 0 to 1");
	if (shim->count < 1)
		return fail_entry(err, i, "no piece at hand; leave the size out or count it");
	return FW_OK;
}

static bool alike(const struct fw_shim *a, const struct fw_shim *b)
{
	return fabs(a->thickness - b->thickness) <= ALIKE * a->thickness &&
	       fabs(a->crush - b->crush) <= ALIKE;
}

int fw_kit_check(const struct fw_shim *kit, size_t sizes, struct fw_error *err)
{
	if (!kit || sizes == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "kit: empty; list at least one size");
	if (sizes > FW_KIT_SIZES)
		return fw_fail(err, FW_ERR_ARGUMENT, "kit: %zu sizes, at most %d can be handled", sizes,
		               FW_KIT_SIZES);
	for (size_t i = 0; i < sizes; i++) {
		int rc = shim_check(&kit[i], i, err);
		if (rc != FW_OK)
			return rc;
		for (size_t j = 0; j < i; j++)
			if (alike(&kit[j], &kit[i]))
				return fw_fail(err, FW_ERR_ARGUMENT,
				               "kit, entry %zu: the same size as entry %zu; add up their counts",
				               i + 1, j + 1);
	}
	return FW_OK;
}
