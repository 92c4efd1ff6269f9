/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/joint/common.h"

#include <math.h>
#include <string.h>

#include "fitwright/strip.h"

const char *fw_joint_force_unit(const struct fw_thread *thread)
{
	return thread->inch ? "lbf" : "kN";
}

const char *fw_joint_length_unit(const struct fw_thread *thread)
{
	return thread->inch ? "in" : "mm";
}

int fw_joint_read_thread(struct fw_thread *out, const struct fw_calc_values *in,
                         struct fw_error *err)
{
	return fw_thread_parse(out, fw_calc_text(in, "thread"), err);
}

int fw_joint_read_strength(struct fw_strength *out, const struct fw_calc_values *in,
                           const struct fw_thread *thread, struct fw_error *err)
{
	*out = (struct fw_strength){0.0, 0.0, 0.0};
	if (!fw_calc_given(in, "class"))
		return FW_OK;
	return fw_class_strength(out, fw_calc_text(in, "class"), thread->diameter, err);
}

/* From a state, or from one figure with its ± (k = 2), or from three. */
static int read_friction(struct fw_friction *out, const struct fw_calc_values *in,
                         const char *state, const char *figures, const char *otherwise,
                         struct fw_error *err)
{
	size_t count = fw_calc_count(in, figures);

	if (fw_calc_given(in, state) && fw_calc_given(in, figures))
		return fw_fail(err, FW_ERR_ARGUMENT, "%s and %s: give one of them", state, figures);

	if (fw_calc_given(in, figures) && count == 1) {
		const struct fw_quantity *mu = fw_calc_item_quantity(in, figures, 0);
		double off = 2.0 * fw_quantity_u(mu);
		*out = (struct fw_friction){mu->value - off, mu->value, mu->value + off};
		return FW_OK;
	}
	if (fw_calc_given(in, figures)) {
		if (count != 3)
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "%s takes one figure, or three: lowest, usual and highest", figures);
		*out = (struct fw_friction){fw_calc_item(in, figures, 0), fw_calc_item(in, figures, 1),
		                            fw_calc_item(in, figures, 2)};
		return FW_OK;
	}
	if (!fw_calc_given(in, state))
		return otherwise ? fw_friction_state(out, otherwise, err) : FW_OK;
	return fw_friction_state(out, fw_calc_text(in, state), err);
}

static int read_bearing(double *out, const struct fw_calc_values *in, struct fw_error *err)
{
	bool face = fw_calc_given(in, "face"), hole = fw_calc_given(in, "hole");

	if (fw_calc_given(in, "bearing")) {
		if (face || hole)
			return fw_fail(err, FW_ERR_ARGUMENT, "bearing: give it, or face and hole, not both");
		*out = fw_calc_value(in, "bearing");
		return FW_OK;
	}
	if (face != hole)
		return fw_fail(err, FW_ERR_ARGUMENT, "face and hole belong together: %s is missing",
		               face ? "hole" : "face");
	if (!face)
		return FW_OK;
	return fw_bearing_diameter(out, NULL, fw_calc_value(in, "face"), fw_calc_value(in, "hole"),
	                           err);
}

static double or_nil(double value)
{
	return isnan(value) ? 0.0 : value;
}

int fw_joint_read(struct fw_joint *out, struct fw_strength *strength,
                  const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_joint joint = {.wrench = or_nil(fw_calc_value(in, "wrench")),
	                         .wrench_fixed = or_nil(fw_calc_value(in, "wrench-fixed")),
	                         .prevailing = or_nil(fw_calc_value(in, "prevailing")),
	                         .loss = or_nil(fw_calc_value(in, "loss"))};
	int rc = fw_joint_read_thread(&joint.thread, in, err);

	if (rc == FW_OK)
		rc = fw_joint_read_strength(strength, in, &joint.thread, err);
	if (rc == FW_OK)
		rc = read_friction(&joint.friction, in, "friction", "mu", "dry", err);
	if (rc == FW_OK)
		rc = read_friction(&joint.head, in, "head-friction", "head-mu", NULL, err);
	if (rc == FW_OK)
		rc = read_bearing(&joint.bearing_dia, in, err);
	if (rc != FW_OK)
		return rc;
	joint.proof_stress = strength->proof;
	joint.yield_stress = strength->yield;
	*out = joint;
	return FW_OK;
}

int fw_joint_read_parent(double *shear, const char **source, const struct fw_calc_values *in,
                         struct fw_error *err)
{
	const struct fw_parent *parent = NULL;

	*shear = NAN;
	*source = NULL;
	if (fw_calc_given(in, "parent") && fw_calc_given(in, "parent-shear"))
		return fw_fail(err, FW_ERR_ARGUMENT, "parent and parent-shear: give one of them");
	if (fw_calc_given(in, "parent-shear")) {
		*shear = fw_calc_value(in, "parent-shear");
		return FW_OK;
	}
	if (!fw_calc_given(in, "parent"))
		return FW_OK;
	int rc = fw_parent_find(&parent, fw_calc_text(in, "parent"), err);
	if (rc != FW_OK)
		return rc;
	*shear = parent->shear;
	*source = parent->source;
	return FW_OK;
}
